import { describe, expect, test } from "vitest";
import { capillaryRise, poreRise, wickingShare } from "../../lib/ground/capillaryRise.ts";
import { hydrologicSoilGroup } from "../../lib/ground/hydrologicSoilGroup.ts";
import { soilTexture, textureNames } from "../../lib/ground/soilTexture.ts";
import { WITHIN_SITE_FACTOR, withinSiteBand } from "../../lib/ground/test/withinSiteBand.ts";
import { expectClose } from "../closeTo.ts";

const inchPerHour = (rate: number): number => (rate * 0.0254) / 3600;

describe("a soil by the name of its texture", () => {
  test("has the published figures of silt loam", () => {
    // Rawls, Brakensiek & Miller 1983: porosity 0.501, effective 0.486, suction 16.68 cm, K 0.65 cm/h; Rawls 1982: 0.27 in/h (from
    // memory); Colorado Water Conservation Board: 0.15 to 0.3 in/h; TR-55 appendix A: B
    const soil = soilTexture("silt loam");
    expect([soil.porosity, soil.effectivePorosity, soil.hydrologicSoilGroup]).toEqual([0.501, 0.486, "B"]);
    expectClose(soil.wettingFrontSuction, 0.1668, { relative: 1e-15, because: "round-off" });
    expectClose(soil.wettingConductivity, 0.0065 / 3600, { relative: 1e-14, because: "round-off" });
    expectClose(soil.hydraulicConductivity, inchPerHour(0.27), { relative: 1e-14, because: "round-off" });
    expectClose(soil.published.low, inchPerHour(0.15), { relative: 1e-14, because: "round-off" });
    expectClose(soil.published.high, inchPerHour(0.3), { relative: 1e-14, because: "round-off" });
  });

  test("lies within its published range, and its band reaches over that", () => {
    for (const name of textureNames()) {
      const { hydraulicConductivity, wettingConductivity, published, band, porosity, effectivePorosity } = soilTexture(name);
      expect(published.low).toBeLessThanOrEqual(Math.min(hydraulicConductivity, wettingConductivity));
      expect(published.high).toBeGreaterThanOrEqual(Math.max(hydraulicConductivity, wettingConductivity));
      expect(band.low).toBeLessThan(published.low);
      expect(band.high).toBeGreaterThan(published.high);
      expect(effectivePorosity).toBeLessThan(porosity);
    }
  });

  test("has a name among eleven, or the one that was meant", () => {
    expect(textureNames()).toHaveLength(11);
    expect(() => soilTexture("sandy lome")).toThrow(
      'soilTexture: expected one of "sand", "loamy sand", "sandy loam", "loam", "silt loam", "sandy clay loam", "clay loam", "silty clay loam", '
        + '"sandy clay", "silty clay", "clay", got "sandy lome" (did you mean "sandy loam"?)',
    );
  });
});

describe("hydrologic soil groups", () => {
  // TR-55 appendix A: A above 0.30 in/h, B 0.15 to 0.30, C 0.05 to 0.15, D below
  test.each([[0.31, "A"], [0.3, "B"], [0.15, "B"], [0.149, "C"], [0.05, "C"], [0.049, "D"], [0, "D"]] as const)("%f in/h is %s", (rate, group) => {
    expect(hydrologicSoilGroup((rate * 254) / 10000 / 3600)).toBe(group);
  });

  test("have no rate below 0", () => {
    expect(() => hydrologicSoilGroup(-1)).toThrow("transmission: expected 0 m/s or more, got -1");
  });
});

describe("the band within a site", () => {
  test("is even on a scale of logarithms, and wider where the test itself is loose", () => {
    const { low, high } = withinSiteBand(1e-5);
    expectClose(Math.sqrt(low * high), 1e-5, { relative: 1e-14, because: "round-off" });
    // variances of the logarithms add: ln f = 1.96 sqrt(0.6931 + 0.25) (derived)
    expectClose(withinSiteBand(1e-5, 0.5).high / 1e-5, Math.exp(1.959963984540054 * Math.sqrt(Math.LN2 + 0.25)), { relative: 1e-13, because: "round-off" });
    expect(WITHIN_SITE_FACTOR).toBeGreaterThan(5);
  });
});

describe("capillary rise", () => {
  // Heath, USGS WSP 2220, and Fetter table 6.1, as quoted on a poster of 2012 [cm]
  test.each([
    ["coarse sand", 12.5, 15], ["medium sand", 25, 25], ["fine sand", 40, 50], ["silt", 100, 100], ["fine silt", 750, 750],
    ["coarse silt", 300, 300], ["very fine sand", 100, 100], ["very coarse sand", 4, 4], ["fine gravel", 1.5, 1.5],
  ])("in %s is %f to %f cm", (sediment, low, high) => {
    expect(capillaryRise(sediment)).toEqual({ low: low / 100, high: high / 100, doubted: sediment.endsWith("silt") });
  });

  test("is 0.15/r(cm) in the pores of Fetter's table", () => {
    const rows = [[0.0002, 750], [0.0005, 300], [0.0015, 100], [0.003, 50], [0.006, 25], [0.01, 15], [0.1, 1.5]] as const;
    for (const [radius_cm, rise_cm] of rows) {
      expectClose(poreRise(radius_cm / 100), rise_cm / 100, { relative: 1e-12, because: "the table's own rule" });
    }
    // printed rounded: 4 for 3.75
    expectClose(poreRise(0.0004), 0.0375, { relative: 1e-12, because: "the table's own rule" });
  });

  test("fades sideways over centimetres in sand and metres in tight clay", () => {
    // exp(-alpha* x/2) is 1/100 at x = 2 ln 100/alpha*: 0.26 m at 36 per metre, 9.2 m at 1 per metre (derived)
    expectClose(wickingShare((2 * Math.log(100)) / 36, 36), 0.01, { relative: 1e-12, because: "round-off" });
    expectClose(wickingShare(9.21, 1), 0.01, { relative: 1e-3, because: "digits of the distance" });
    expect(wickingShare(0, 12)).toBe(1);
  });

  test("of what is in no table is refused", () => {
    expect(() => capillaryRise("medum sand")).toThrow('got "medum sand" (did you mean "medium sand"?)');
    expect(() => poreRise(0)).toThrow("poreRadius: expected above 0 m, got 0");
    expect(() => wickingShare(-1, 1)).toThrow("distance: expected 0 m or more, got -1");
    expect(() => wickingShare(1, 0)).toThrow("sorptiveNumber: expected above 0 1/m, got 0");
  });
});
