import { describe, expect, test } from "vitest";
import { capillaryRise } from "../lib/ground/capillaryRise.ts";
import { soilTexture, textureNames } from "../lib/ground/soilTexture.ts";
import { waterViscosityRatio } from "../lib/ground/waterViscosity.ts";
import { depthDuration } from "../lib/rain/storms/depthDuration.ts";
import { designStorm } from "../lib/rain/storms/designStorm.ts";
import { regionalRatios } from "../lib/rain/storms/regionalRatios.ts";
import { NRCS_TABLE } from "../lib/rain/storms/nrcsStorm.ts";
import { detentionStorage } from "../lib/runoff/detentionStorage.ts";
import { graphicalPeak } from "../lib/runoff/graphicalPeak.ts";
import { timeOfConcentration, type SheetSurface, type ShallowSurface } from "../lib/runoff/timeOfConcentration.ts";
import { NRCS_UNIT_HYDROGRAPH } from "../lib/runoff/unitHydrograph.ts";
import { quantity } from "../lib/text/quantity.ts";
import { settlingVelocity } from "../lib/works/settlingVelocity.ts";
import { expectClose } from "./closeTo.ts";

// Every published table that lib holds, written down a second time from its source, so that no digit of it changes unseen.

const FOOT = 0.3048;
const INCH = 0.0254;

/** Types I, II and III at tenths of an hour and IA at half hours; from where, says nrcsStorm.ts. */
const NRCS = {
  i: [
    0, 0.00174, 0.00348, 0.00522, 0.00697, 0.00871, 0.01046, 0.0122, 0.01395, 0.0157, 0.01745, 0.0192, 0.02095, 0.0227,
    0.02446, 0.02621, 0.02797, 0.02972, 0.03148, 0.03324, 0.035, 0.03677, 0.03858, 0.04041, 0.04227, 0.04416, 0.04608, 0.04803,
    0.05001, 0.05201, 0.05405, 0.05611, 0.05821, 0.06033, 0.06248, 0.06466, 0.06687, 0.06911, 0.07138, 0.07367, 0.076, 0.07835,
    0.0807, 0.08307, 0.08545, 0.08784, 0.09024, 0.09265, 0.09507, 0.09751, 0.09995, 0.10241, 0.10487, 0.10735, 0.10984, 0.11234,
    0.11485, 0.11737, 0.1199, 0.12245, 0.125, 0.12761, 0.13034, 0.13317, 0.1361, 0.13915, 0.1423, 0.14557, 0.14894, 0.15241,
    0.156, 0.15966, 0.16334, 0.16706, 0.17082, 0.1746, 0.17842, 0.18226, 0.18614, 0.19006, 0.194, 0.19817, 0.20275, 0.20775,
    0.21317, 0.219, 0.22523, 0.23185, 0.23885, 0.24623, 0.254, 0.26233, 0.27139, 0.28119, 0.29173, 0.303, 0.31942, 0.34542,
    0.38784, 0.46316, 0.515, 0.5322, 0.5476, 0.5612, 0.573, 0.583, 0.59188, 0.60032, 0.60832, 0.61588, 0.623, 0.62982,
    0.63648, 0.64298, 0.64932, 0.6555, 0.66152, 0.66738, 0.67308, 0.67862, 0.684, 0.68925, 0.6944, 0.69945, 0.7044, 0.70925,
    0.714, 0.71865, 0.7232, 0.72765, 0.732, 0.73625, 0.7404, 0.74445, 0.7484, 0.75225, 0.756, 0.75965, 0.7632, 0.76665,
    0.77, 0.77329, 0.77656, 0.77981, 0.78304, 0.78625, 0.78944, 0.79261, 0.79576, 0.79889, 0.802, 0.80509, 0.80816, 0.81121,
    0.81424, 0.81725, 0.82024, 0.82321, 0.82616, 0.82909, 0.832, 0.83489, 0.83776, 0.84061, 0.84344, 0.84625, 0.84904, 0.85181,
    0.85456, 0.85729, 0.86, 0.86269, 0.86536, 0.86801, 0.87064, 0.87325, 0.87584, 0.87841, 0.88096, 0.88349, 0.886, 0.88849,
    0.89096, 0.89341, 0.89584, 0.89825, 0.90064, 0.90301, 0.90536, 0.90769, 0.91, 0.91229, 0.91456, 0.91681, 0.91904, 0.92125,
    0.92344, 0.92561, 0.92776, 0.92989, 0.932, 0.93409, 0.93616, 0.93821, 0.94024, 0.94225, 0.94424, 0.94621, 0.94816, 0.95009,
    0.952, 0.95389, 0.95576, 0.95761, 0.95944, 0.96125, 0.96304, 0.96481, 0.96656, 0.96829, 0.97, 0.97169, 0.97336, 0.97501,
    0.97664, 0.97825, 0.97984, 0.98141, 0.98296, 0.98449, 0.986, 0.98749, 0.98896, 0.99041, 0.99184, 0.99325, 0.99464, 0.99601,
    0.99736, 0.99869, 1,
  ],
  ia: [
    0, 0.01, 0.02, 0.035, 0.05, 0.067, 0.082, 0.098, 0.116, 0.135, 0.156, 0.18, 0.206, 0.237,
    0.268, 0.31, 0.425, 0.48, 0.52, 0.55, 0.577, 0.601, 0.624, 0.645, 0.664, 0.683, 0.701, 0.719,
    0.736, 0.753, 0.769, 0.785, 0.8, 0.815, 0.83, 0.844, 0.858, 0.871, 0.884, 0.896, 0.908, 0.92,
    0.932, 0.944, 0.956, 0.967, 0.978, 0.989, 1,
  ],
  ii: [
    0, 0.00101, 0.00202, 0.00305, 0.00408, 0.00513, 0.00618, 0.00725, 0.00832, 0.00941, 0.0105, 0.01161, 0.01272, 0.01385,
    0.01498, 0.01613, 0.01728, 0.01845, 0.01962, 0.02081, 0.022, 0.02321, 0.02442, 0.02565, 0.02688, 0.02813, 0.02938, 0.03065,
    0.03192, 0.03321, 0.0345, 0.03581, 0.03712, 0.03845, 0.03978, 0.04113, 0.04248, 0.04385, 0.04522, 0.04661, 0.048, 0.04941,
    0.05084, 0.05229, 0.05376, 0.05525, 0.05676, 0.05829, 0.05984, 0.06141, 0.063, 0.06461, 0.06624, 0.06789, 0.06956, 0.07125,
    0.07296, 0.07469, 0.07644, 0.07821, 0.08, 0.08181, 0.08364, 0.08549, 0.08736, 0.08925, 0.09116, 0.09309, 0.09504, 0.09701,
    0.099, 0.10101, 0.10304, 0.10509, 0.10716, 0.10925, 0.11136, 0.11349, 0.11564, 0.11781, 0.12, 0.12225, 0.1246, 0.12705,
    0.1296, 0.13225, 0.135, 0.13785, 0.1408, 0.14385, 0.147, 0.1502, 0.1534, 0.1566, 0.1598, 0.163, 0.16628, 0.16972,
    0.17332, 0.17708, 0.181, 0.18512, 0.18948, 0.19408, 0.19892, 0.204, 0.2094, 0.2152, 0.2214, 0.228, 0.235, 0.24268,
    0.25132, 0.26092, 0.27148, 0.283, 0.30684, 0.35436, 0.43079, 0.56786, 0.663, 0.68196, 0.69864, 0.71304, 0.72516, 0.735,
    0.74344, 0.75136, 0.75876, 0.76564, 0.772, 0.77796, 0.78364, 0.78904, 0.79416, 0.799, 0.8036, 0.808, 0.8122, 0.8162,
    0.82, 0.82367, 0.82726, 0.83079, 0.83424, 0.83763, 0.84094, 0.84419, 0.84736, 0.85047, 0.8535, 0.85647, 0.85936, 0.86219,
    0.86494, 0.86763, 0.87024, 0.87279, 0.87526, 0.87767, 0.88, 0.88229, 0.88455, 0.88679, 0.889, 0.89119, 0.89335, 0.89549,
    0.8976, 0.89969, 0.90175, 0.90379, 0.9058, 0.90779, 0.90975, 0.91169, 0.9136, 0.91549, 0.91735, 0.91919, 0.921, 0.92279,
    0.92455, 0.92629, 0.928, 0.92969, 0.93135, 0.93299, 0.9346, 0.93619, 0.93775, 0.93929, 0.9408, 0.94229, 0.94375, 0.94519,
    0.9466, 0.94799, 0.94935, 0.95069, 0.952, 0.9533, 0.95459, 0.95588, 0.95716, 0.95844, 0.95971, 0.96098, 0.96224, 0.9635,
    0.96475, 0.966, 0.96724, 0.96848, 0.96971, 0.97094, 0.97216, 0.97338, 0.97459, 0.9758, 0.977, 0.9782, 0.97939, 0.98058,
    0.98176, 0.98294, 0.98411, 0.98528, 0.98644, 0.9876, 0.98875, 0.9899, 0.99104, 0.99218, 0.99331, 0.99444, 0.99556, 0.99668,
    0.99779, 0.9989, 1,
  ],
  iii: [
    0, 0.001, 0.002, 0.003, 0.004, 0.005, 0.006, 0.007, 0.008, 0.009, 0.01, 0.011, 0.012, 0.013,
    0.014, 0.015, 0.016, 0.017, 0.018, 0.019, 0.02, 0.02101, 0.02203, 0.02307, 0.02412, 0.02519, 0.02627, 0.02737,
    0.02848, 0.02961, 0.03075, 0.03191, 0.03308, 0.03427, 0.03547, 0.03669, 0.03792, 0.03917, 0.04043, 0.04171, 0.043, 0.04431,
    0.04563, 0.04697, 0.04832, 0.04969, 0.05107, 0.05247, 0.05388, 0.05531, 0.05675, 0.05821, 0.05968, 0.06117, 0.06267, 0.06419,
    0.06572, 0.06727, 0.06883, 0.07041, 0.072, 0.07363, 0.0753, 0.07703, 0.0788, 0.08063, 0.0825, 0.08443, 0.0864, 0.08843,
    0.0905, 0.09263, 0.0948, 0.09703, 0.0993, 0.10163, 0.104, 0.10643, 0.1089, 0.11143, 0.114, 0.11666, 0.11943, 0.12232,
    0.12532, 0.12844, 0.13167, 0.13502, 0.13848, 0.14206, 0.14575, 0.14956, 0.15348, 0.15752, 0.16167, 0.16594, 0.17032, 0.17482,
    0.17943, 0.18416, 0.189, 0.19402, 0.19928, 0.20478, 0.21052, 0.2165, 0.22272, 0.22918, 0.23588, 0.24282, 0.25, 0.25776,
    0.26644, 0.27604, 0.28656, 0.298, 0.3143, 0.3394, 0.3733, 0.4166, 0.5, 0.584, 0.6267, 0.6606, 0.6857, 0.702,
    0.71344, 0.72396, 0.73356, 0.74224, 0.75, 0.75718, 0.76412, 0.77082, 0.77728, 0.7835, 0.78948, 0.79522, 0.80072, 0.80598,
    0.811, 0.81584, 0.82057, 0.82518, 0.82968, 0.83406, 0.83833, 0.84248, 0.84652, 0.85044, 0.85425, 0.85794, 0.86152, 0.86498,
    0.86833, 0.87156, 0.87468, 0.87768, 0.88057, 0.88334, 0.886, 0.88858, 0.8911, 0.89358, 0.896, 0.89838, 0.9007, 0.90298,
    0.9052, 0.90738, 0.9095, 0.91158, 0.9136, 0.91558, 0.9175, 0.91938, 0.9212, 0.92298, 0.9247, 0.92638, 0.928, 0.92959,
    0.93117, 0.93273, 0.93428, 0.93581, 0.93733, 0.93883, 0.94032, 0.94179, 0.94325, 0.94469, 0.94612, 0.94753, 0.94893, 0.95031,
    0.95168, 0.95303, 0.95437, 0.95569, 0.957, 0.95829, 0.95958, 0.96085, 0.96211, 0.96336, 0.9646, 0.96582, 0.96704, 0.96824,
    0.96944, 0.97062, 0.97179, 0.97295, 0.9741, 0.97523, 0.97636, 0.97747, 0.97858, 0.97967, 0.98075, 0.98182, 0.98288, 0.98392,
    0.98496, 0.98598, 0.987, 0.988, 0.98899, 0.98997, 0.99094, 0.99189, 0.99284, 0.99377, 0.9947, 0.99561, 0.99651, 0.9974,
    0.99828, 0.99914, 1,
  ],
};

test("the NRCS distributions", () => expect(NRCS_TABLE).toEqual(NRCS));

// Huff 1990, Illinois State Water Survey Circular 173, Table 3, medians of point rainfall, from memory: percent every 5 percent of the time
test.each([
  [1, [0, 16, 33, 43, 52, 60, 66, 71, 75, 79, 82, 84, 86, 88, 90, 92, 94, 96, 97, 98, 100]],
  [2, [0, 3, 8, 12, 16, 22, 29, 39, 51, 62, 70, 76, 81, 85, 88, 91, 93, 95, 97, 98, 100]],
  [3, [0, 3, 6, 9, 12, 15, 19, 23, 27, 32, 38, 45, 57, 70, 79, 85, 89, 92, 95, 97, 100]],
  [4, [0, 2, 5, 8, 10, 13, 16, 19, 22, 25, 28, 32, 35, 39, 45, 51, 59, 72, 84, 92, 100]],
] as const)("the Huff storm of quartile %s", (quartile, percents) => {
  const rain = designStorm({ pattern: `huff-${quartile}`, depth: "100 m", duration: "20 h" });
  expect([...rain.time].map((time) => time / 3600)).toEqual(percents.map((_, i) => i));
  rain.depth.forEach((depth, i) => expect(depth).toBeCloseTo(percents[i + 1]! - percents[i]!, 10));
});

// TR-55 (2nd ed. 1986) Table F-1 p. F-2, the same as HDS-2 Table 5.5 p. 5-28: Ia/P, C0, C1, C2
describe("the coefficients of TR-55's graphical peak", () => {
  test.each([
    ["nrcs-i", 0.1, 2.3055, -0.51429, -0.1175],
    ["nrcs-i", 0.2, 2.23537, -0.50387, -0.08929],
    ["nrcs-i", 0.25, 2.18219, -0.48488, -0.06589],
    ["nrcs-i", 0.3, 2.10624, -0.45695, -0.02835],
    ["nrcs-i", 0.35, 2.00303, -0.40769, 0.01983],
    ["nrcs-i", 0.4, 1.87733, -0.32274, 0.05754],
    ["nrcs-i", 0.45, 1.76312, -0.15644, 0.00453],
    ["nrcs-i", 0.5, 1.67889, -0.0693, 0],
    ["nrcs-ia", 0.1, 2.0325, -0.31583, -0.13748],
    ["nrcs-ia", 0.2, 1.91978, -0.28215, -0.0702],
    ["nrcs-ia", 0.25, 1.83842, -0.25543, -0.02597],
    ["nrcs-ia", 0.3, 1.72657, -0.19826, 0.02633],
    ["nrcs-ia", 0.5, 1.63417, -0.091, 0],
    ["nrcs-ii", 0.1, 2.55323, -0.61512, -0.16403],
    ["nrcs-ii", 0.3, 2.46532, -0.62257, -0.11657],
    ["nrcs-ii", 0.35, 2.41896, -0.61594, -0.0882],
    ["nrcs-ii", 0.4, 2.36409, -0.59857, -0.05621],
    ["nrcs-ii", 0.45, 2.29238, -0.57005, -0.02281],
    ["nrcs-ii", 0.5, 2.20282, -0.51599, -0.01259],
    ["nrcs-iii", 0.1, 2.47317, -0.51848, -0.17083],
    ["nrcs-iii", 0.3, 2.39628, -0.51202, -0.13245],
    ["nrcs-iii", 0.35, 2.35477, -0.49735, -0.11985],
    ["nrcs-iii", 0.4, 2.30726, -0.46541, -0.11094],
    ["nrcs-iii", 0.45, 2.24876, -0.41314, -0.11508],
    ["nrcs-iii", 0.5, 2.17772, -0.36803, -0.09525],
  ] as const)("%s at Ia/P %s", (pattern, abstractionShare, c0, c1, c2) => {
    for (const hours of [0.1, 0.5, 1, 2, 10]) {
      const peak = graphicalPeak({ pattern, area: (5280 * FOOT) ** 2, runoff: INCH, abstractionShare, timeOfConcentration: 3600 * hours });
      const log = Math.log10(hours);
      expectClose(peak / FOOT ** 3, 10 ** (c0 + c1 * log + c2 * log * log), { relative: 1e-12, because: "round-off" });
    }
  });
});

// TR-55 (2nd ed. 1986) Table F-2 p. F-2
test.each([
  ["nrcs-i", [0.66, -1.76, 1.96, -0.73]],
  ["nrcs-ia", [0.66, -1.76, 1.96, -0.73]],
  ["nrcs-ii", [0.682, -1.43, 1.64, -0.804]],
  ["nrcs-iii", [0.682, -1.43, 1.64, -0.804]],
] as const)("the storage curve of TR-55 for %s", (pattern, [c0, c1, c2, c3]) => {
  for (const r of [0.1, 0.3, 0.5, 0.8]) {
    const storage = detentionStorage({ pattern, peakRatio: r, runoffVolume: 1 });
    expectClose(storage, c0 + c1 * r + c2 * r * r + c3 * r ** 3, { absolute: 1e-14, because: "round-off" });
  }
});

// NRCS NEH 630 chapter 16 (March 2007) Table 16-1
test("the NRCS dimensionless unit hydrograph", () => expect(NRCS_UNIT_HYDROGRAPH).toEqual({
  time: [
    0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6,
    1.7, 1.8, 1.9, 2, 2.2, 2.4, 2.6, 2.8, 3, 3.2, 3.4, 3.6, 3.8, 4, 4.5, 5,
  ],
  flow: [
    0, 0.03, 0.1, 0.19, 0.31, 0.47, 0.66, 0.82, 0.93, 0.99, 1, 0.99, 0.93, 0.86, 0.78, 0.68, 0.56,
    0.46, 0.39, 0.33, 0.28, 0.207, 0.147, 0.107, 0.077, 0.055, 0.04, 0.029, 0.021, 0.015, 0.011, 0.005, 0,
  ],
}));

// Rawls, Brakensiek & Miller, J. Hydraul. Eng. 109(1), 1983: porosity, effective porosity, suction [cm], conductivity
// [cm/h]; saturated conductivity [in/h] of Rawls et al. 1982, from memory; lowest and highest [in/h] of a page of the Colorado Water
// Conservation Board; groups of TR-55 appendix A
type TextureRow = readonly [...[string, number, number, number, number, number], number | null, number | null, string];
const TEXTURES: readonly TextureRow[] = [
  ["sand", 0.437, 0.417, 4.95, 11.78, 8.27, 4, 8, "A"],
  ["loamy sand", 0.437, 0.401, 6.13, 2.99, 2.41, 1.2, 2.4, "A"],
  ["sandy loam", 0.453, 0.412, 11.01, 1.09, 1.02, null, null, "A"],
  ["loam", 0.463, 0.434, 8.89, 0.34, 0.52, 0.5, 1, "B"],
  ["silt loam", 0.501, 0.486, 16.68, 0.65, 0.27, 0.15, 0.3, "B"],
  ["sandy clay loam", 0.398, 0.33, 21.85, 0.15, 0.17, 0.1, 0.2, "C"],
  ["clay loam", 0.464, 0.309, 20.88, 0.1, 0.09, 0.05, 0.1, "D"],
  ["silty clay loam", 0.471, 0.432, 27.3, 0.1, 0.06, 0.05, 0.1, "D"],
  ["sandy clay", 0.43, 0.321, 23.9, 0.06, 0.05, 0.03, 0.05, "D"],
  ["silty clay", 0.479, 0.423, 29.22, 0.05, 0.04, 0.02, 0.04, "D"],
  ["clay", 0.475, 0.385, 31.63, 0.03, 0.02, 0.01, 0.02, "D"],
];

test.each(TEXTURES)("a %s", (name, porosity, effectivePorosity, suction_cm, wetting_cm_h, saturated_in_h, low, high, hydrologicSoilGroup) => {
  const soil = soilTexture(name);
  expect(soil).toMatchObject({ name, porosity, effectivePorosity, hydrologicSoilGroup });
  expect(soil.wettingFrontSuction * 100).toBeCloseTo(suction_cm, 12);
  expect(soil.wettingConductivity * 360000).toBeCloseTo(wetting_cm_h, 12);
  const inch_h = (rate: number): number => (rate * 3600) / INCH;
  expect(inch_h(soil.hydraulicConductivity)).toBeCloseTo(saturated_in_h, 12);
  const figures = [saturated_in_h, wetting_cm_h / 2.54, ...[low, high].filter((end) => end !== null)];
  expect(inch_h(soil.published.low)).toBeCloseTo(Math.min(...figures), 12);
  expect(inch_h(soil.published.high)).toBeCloseTo(Math.max(...figures), 12);
});

test("all the textures there are", () => expect(textureNames()).toEqual(TEXTURES.map(([name]) => name)));

// TR-55 (2nd ed. 1986) Table 3-1, from memory; dense grass 0.24 as in its Example 3-1
test.each([
  ["smooth", 0.011], ["fallow", 0.05], ["short grass", 0.15], ["dense grass", 0.24], ["bermudagrass", 0.41], ["light woods", 0.4],
  ["dense woods", 0.8],
] as const)("Manning's n of sheet flow over %s", (surface: SheetSurface, manningN) => {
  const reach = { kind: "sheet", length: "100 ft", slope: 0.02, twoYearRain: "3.3 in" } as const;
  expect(timeOfConcentration([{ ...reach, surface }])).toBe(timeOfConcentration([{ ...reach, manningN }]));
});

// TR-55 (2nd ed. 1986) appendix F (paved, unpaved) and NEH 630 chapter 15 (May 2010) Table 15-3, from memory: ft/s at slope 1
test.each([
  ["paved", 20.3282], ["unpaved", 16.1345], ["bare soil", 9.965], ["short grass", 6.962],
  ["woodland", 5.032], ["forest with heavy litter", 2.516],
] as const)("the speed of shallow flow over %s", (surface: ShallowSurface, speed) => {
  const time = timeOfConcentration([{ kind: "shallow", length: "1000 ft", slope: 0.04, surface }]);
  expectClose(time, 1000 / (speed * 0.2), { relative: 1e-12, because: "round-off" });
});

// Wallingford Procedure and BRE Digest 365, Tables 1 and 2, from memory
describe("the UK's factors", () => {
  const MINUTES = [5, 10, 15, 30, 60, 120, 240, 360, 600, 1440];
  test.each([
    [0.12, [0.22, 0.34, 0.45, 0.67, 1, 1.48, 2.17, 2.75, 3.7, 6]],
    [0.15, [0.25, 0.38, 0.48, 0.69, 1, 1.42, 2.02, 2.46, 3.23, 4.9]],
    [0.18, [0.27, 0.41, 0.51, 0.71, 1, 1.36, 1.86, 2.25, 2.86, 4.3]],
    [0.21, [0.29, 0.43, 0.54, 0.73, 1, 1.33, 1.77, 2.12, 2.62, 3.6]],
    [0.24, [0.31, 0.46, 0.56, 0.75, 1, 1.3, 1.71, 2, 2.4, 3.35]],
    [0.27, [0.33, 0.48, 0.58, 0.76, 1, 1.27, 1.64, 1.88, 2.24, 3.1]],
    [0.3, [0.34, 0.49, 0.59, 0.77, 1, 1.25, 1.57, 1.78, 2.12, 2.84]],
    [0.33, [0.35, 0.5, 0.61, 0.78, 1, 1.23, 1.53, 1.73, 2.04, 2.6]],
    [0.36, [0.36, 0.51, 0.62, 0.79, 1, 1.22, 1.48, 1.67, 1.9, 2.42]],
    [0.39, [0.37, 0.52, 0.63, 0.8, 1, 1.21, 1.46, 1.62, 1.82, 2.28]],
    [0.42, [0.38, 0.53, 0.64, 0.81, 1, 1.2, 1.42, 1.57, 1.74, 2.16]],
    [0.45, [0.39, 0.54, 0.65, 0.82, 1, 1.19, 1.38, 1.51, 1.68, 2.03]],
  ])("Z1 at r %s", (r, factors) => {
    // M5-60 of 200 mm is beyond Table 2, whose five-year factor is then 1.02
    const depth = depthDuration({ rainfall: { m5_60: "1000 mm", r }, returnPeriod: "5 year" });
    factors.forEach((factor, i) => expectClose(depth(60 * MINUTES[i]!), 1.02 * factor, { relative: 1e-9, because: "round-off of text" }));
  });

  const M5_MM = [5, 10, 15, 20, 25, 30, 40, 50, 75, 100];
  test.each([
    [1, [0.62, 0.61, 0.62, 0.64, 0.66, 0.68, 0.7, 0.72, 0.76, 0.78]],
    [2, [0.79, 0.79, 0.8, 0.81, 0.82, 0.83, 0.84, 0.85, 0.87, 0.88]],
    [3, [0.89, 0.9, 0.9, 0.9, 0.91, 0.91, 0.92, 0.93, 0.93, 0.94]],
    [4, [0.97, 0.97, 0.97, 0.97, 0.97, 0.97, 0.97, 0.98, 0.98, 0.98]],
    [5, [1.02, 1.03, 1.03, 1.03, 1.03, 1.03, 1.02, 1.02, 1.02, 1.02]],
    [10, [1.19, 1.22, 1.24, 1.24, 1.24, 1.22, 1.19, 1.17, 1.14, 1.13]],
    [20, [1.36, 1.41, 1.44, 1.45, 1.44, 1.42, 1.38, 1.34, 1.28, 1.25]],
    [50, [1.56, 1.65, 1.7, 1.73, 1.72, 1.7, 1.64, 1.58, 1.47, 1.4]],
    [100, [1.79, 1.91, 1.99, 2.03, 2.01, 1.97, 1.89, 1.81, 1.64, 1.54]],
  ])("Z2 at %s years", (years, factors) => {
    factors.forEach((factor, i) => {
      const depth = depthDuration({ rainfall: { m5_60: `${M5_MM[i]!} mm`, r: 0.3 }, returnPeriod: `${years} year` });
      expectClose(depth(3600), (M5_MM[i]! / 1000) * factor, { relative: 1e-9, because: "round-off of text" });
    });
  });
});

// Ferguson & Church 2004 with C1 18 and C2 1.0 (derived, settling velocities computed apart with R 1.65, g 9.81, nu 1e-6): mm, mm/s
test.each([
  [2, 196.41474],
  [1, 126.27837],
  [0.8, 106.97489],
  [0.6, 84.19804],
  [0.5, 71.04964],
  [0.4, 56.45568],
  [0.3, 40.34901],
  [0.25, 31.84049],
  [0.2, 23.24403],
  [0.15, 14.9255],
  [0.125, 11.05908],
  [0.1, 7.53413],
  [0.08, 5.05504],
  [0.063, 3.25414],
  [0.05, 2.10413],
  [0.04, 1.37163],
  [0.03, 0.78438],
  [0.02, 0.35358],
  [0.01, 0.08938],
])("a grain of %s mm settles at %s mm/s", (grain_mm, speed_mm_s) => {
  const speed = settlingVelocity({ diameter: grain_mm / 1000 });
  expectClose(speed * 1000, speed_mm_s, { relative: 0.005, because: "the viscosity and density of water at 20 degC are rounded there" });
});

// Heath, USGS Water-Supply Paper 2220, and Fetter, Applied Hydrogeology, table 6.1, both as quoted on a poster of 2012: cm
test.each([
  ["fine gravel", 1.5, 1.5], ["very coarse sand", 4, 4], ["coarse sand", 12.5, 15], ["medium sand", 25, 25], ["fine sand", 40, 50],
  ["very fine sand", 100, 100], ["silt", 100, 100], ["coarse silt", 300, 300], ["fine silt", 750, 750],
])("capillary rise in %s", (sediment, low_cm, high_cm) => {
  const { low, high } = capillaryRise(sediment);
  expect([low * 100, high * 100]).toEqual([expect.closeTo(low_cm, 10), expect.closeTo(high_cm, 10)]);
});

// Kestin, Sokolov & Wakeham 1978, viscosity of water [mPa s], from memory
test.each([[0, 1.7916], [5, 1.5188], [10, 1.3059], [15, 1.1375], [20, 1.0016], [25, 0.89], [30, 0.7972], [40, 0.6527]])(
  "the viscosity of water at %s degC", (temperature, viscosity) => {
    expectClose(waterViscosityRatio(temperature), viscosity / 1.0016, { relative: 0.002, because: "the table's last digits" });
  });

test("the regional ratios are those of NRCS, NEH 630 chapter 4, figure 4-72, as a stored program text has it", () => {
  const minutes = [5, 10, 15, 30, 60, 120, 180, 360, 720, 1440];
  const printed = {
    "nrcs-a": "0.143 0.219 0.272 0.386 0.502 0.594 0.635 0.749 0.864 1", "nrcs-b": "0.121 0.189 0.237 0.344 0.453 0.543 0.585 0.705 0.840 1",
    "nrcs-c": "0.105 0.166 0.210 0.308 0.409 0.500 0.545 0.672 0.823 1", "nrcs-d": "0.094 0.149 0.188 0.276 0.366 0.454 0.501 0.636 0.805 1",
  };
  for (const [name, ratios] of Object.entries(printed)) {
    const read = Object.entries(regionalRatios(name)!).map(([duration, ratio]) => [quantity(duration, "time", "duration") / 60, ratio]);
    expect(read).toEqual(ratios.split(" ").map((ratio, k) => [minutes[k], Number(ratio)]));
  }
  expect(regionalRatios("nrcs-e")).toBeNull();
});
