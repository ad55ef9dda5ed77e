import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { describe } from "../text/describe.ts";
import { nearest } from "../text/nearest.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { withinSiteBand, type Band } from "./test/withinSiteBand.ts";
import type { HydrologicSoilGroup } from "./hydrologicSoilGroup.ts";

/** What is published about soils of one texture. */
export interface SoilTexture {
  readonly name: TextureName;
  /** saturated, a typical value [m/s] */
  readonly hydraulicConductivity: number;
  /** lowest and highest of the figures published for the name [m/s] */
  readonly published: { readonly low: number; readonly high: number };
  /** where a site of this texture may lie: the typical value with the scatter within a site */
  readonly band: Band;
  /** for Green-Ampt: at natural saturation, about half of the saturated one in most textures [m/s] */
  readonly wettingConductivity: number;
  /** of the wetting front [m] */
  readonly wettingFrontSuction: number;
  /** share of voids */
  readonly porosity: number;
  /** share of the ground that water can fill from its driest, the most that Green-Ampt's moisture change may be */
  readonly effectivePorosity: number;
  readonly hydrologicSoilGroup: HydrologicSoilGroup;
}

/** The texture classes, from the coarsest. */
export type TextureName = (typeof ROWS)[number][0];

/**
 * Published figures for a soil by the name of its texture: a start where nothing was measured, and no stand-in for a test,
 * since soils of one name differ by a factor of 5, and structure, roots and compaction by more.
 *
 * @param where  the name's place in words, for errors
 * @throws InputError  when the name is not one of the eleven classes
 * @source  porosity, suction and wetting conductivity: Rawls, Brakensiek & Miller, J. Hydraul. Eng. 109(1), 1983, means. Saturated
 *          conductivity: Rawls et al. 1982, from memory. Range: these two and a page of the Colorado Water Conservation Board (none
 *          for sandy loam). Groups: TR-55 (2nd ed. 1986) appendix A, disturbed soils; C and D from memory
 * @example soilTexture("loam").hydrologicSoilGroup; // => "B"
 */
export function soilTexture(name: string, where = "soilTexture"): SoilTexture {
  const row = ROWS.find(([known]) => known === name);
  if (row === undefined) throw new InputError("The soil is not known by that name:", [unknownName(name, where)]);
  const [known, porosity, effectivePorosity, suction_cm, wetting_cm_h, saturated_in_h, low_in_h, high_in_h, group] = row;
  const hydraulicConductivity = inchPerHour(saturated_in_h);
  const wettingConductivity = wetting_cm_h / 360000;
  const range = low_in_h === null ? [] : [inchPerHour(low_in_h), inchPerHour(high_in_h)];
  const figures = [hydraulicConductivity, wettingConductivity, ...range];
  return {
    name: known,
    hydraulicConductivity,
    published: { low: leastOf(figures), high: greatestOf(figures) },
    band: withinSiteBand(hydraulicConductivity),
    wettingConductivity,
    wettingFrontSuction: suction_cm / 100,
    porosity,
    effectivePorosity,
    hydrologicSoilGroup: group,
  };
}

/** The names `soilTexture` knows, from the coarsest. */
export function textureNames(): TextureName[] {
  return ROWS.map(([name]) => name);
}

function unknownName(name: unknown, where: string): Problem {
  const names = textureNames();
  const meant = typeof name === "string" ? nearest(name.toLowerCase(), names) : null;
  const hint = meant === null ? "" : ` (did you mean "${meant}"?)`;
  return { where, expected: `one of ${names.map((known) => `"${known}"`).join(", ")}`, got: `${describe(name)}${hint}` };
}

function inchPerHour(rate: number): number {
  return (rate * 254) / (10000 * 3600);
}

// name, porosity, effective porosity, suction cm, wetting conductivity cm/h (all Rawls 1983), saturated in/h (Rawls 1982),
// lowest and highest in/h (Colorado), group
const ROWS = [
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
] as const;
