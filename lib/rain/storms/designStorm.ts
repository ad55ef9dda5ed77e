import { optionReader } from "../../text/optionReader.ts";
import type { Hyetograph } from "../hyetograph.ts";
import type { RainfallChoice } from "./depthDuration.ts";
import {
  massCurveStorm, alternatingBlockStorm, blockStorm, eulerStorm, huffStorm, keiferChuStorm, triangularStorm,
  ukProfileStorm,
} from "./plainStorms.ts";
import { nestedStorm } from "./nestedStorm.ts";
import { nrcsStorm } from "./nrcsStorm.ts";
import type { RegionalRatios } from "./regionalRatios.ts";
import { cutCurve, type StormPattern } from "./stormCurve.ts";
import type { StormDepth } from "./stormDepth.ts";

/** The options of `designStorm`: the pattern's name and what that pattern asks for, every quantity as text with its unit. */
export type DesignStormOptions =
  | ({ readonly pattern: "block"; readonly duration: string; readonly intensity?: string } & StormDepth)
  | ({ readonly pattern: "nrcs-i" | "nrcs-ia" | "nrcs-ii" | "nrcs-iii"; readonly duration?: string } & StormDepth)
  | ({ readonly pattern: "huff-1" | "huff-2" | "huff-3" | "huff-4"; readonly duration: string } & StormDepth)
  | ({ readonly pattern: "triangular"; readonly duration: string; readonly interval?: string; readonly peakAt?: number } & StormDepth)
  | ({
      readonly pattern: "alternating-block" | "keifer-chu";
      readonly duration: string;
      readonly interval: string;
      readonly peakAt?: number;
    } & RainfallChoice)
  | ({ readonly pattern: "euler-2"; readonly duration: string; readonly interval?: string } & RainfallChoice)
  | ({ readonly pattern: "nested"; readonly duration?: string; readonly interval?: string } & RainfallChoice)
  | ({
      readonly pattern: "nested";
      readonly duration?: string;
      readonly interval?: string;
      readonly ratios: RegionalRatios | Readonly<Record<string, number>>;
    } & StormDepth)
  | ({ readonly pattern: "uk-summer" | "uk-winter"; readonly duration: string; readonly interval?: string } & StormDepth)
  | ({
      readonly pattern: "mass-curve";
      readonly duration: string;
      readonly times: readonly number[];
      readonly shares: readonly number[];
    } & StormDepth)
  | {
      readonly pattern: "mass-curve";
      readonly points: readonly (readonly [time: string, fallen: string])[];
      readonly climateFactor?: number;
    };

/** The names `designStorm` knows. */
export type PatternName = DesignStormOptions["pattern"];

/**
 * Rain after a pattern, starting at time 0.
 *
 * | pattern | asks for | where missing |
 * | --- | --- | --- |
 * | `block` | depth (or `intensity`), `duration` | |
 * | `nrcs-i`, `nrcs-ia`, `nrcs-ii`, `nrcs-iii` | depth, `duration` up to 24 h | 24 h |
 * | `huff-1` ... `huff-4` | depth, `duration` | |
 * | `triangular` | depth, `duration`, `peakAt`, `interval` | 0.5, duration / 24 |
 * | `mass-curve` | depth, `duration`, `times`, `shares`; or `points` alone | |
 * | `alternating-block` | `rainfall`, `duration`, `interval`, `peakAt` | 0.5 |
 * | `keifer-chu` | `rainfall`, `duration`, `interval`, `peakAt` | 0.375 |
 * | `euler-2` | `rainfall`, `duration`, `interval` | 5 min |
 * | `nested` | `rainfall`, or depth and `ratios`; `duration`, `interval` | 24 h, 5 min |
 * | `uk-summer`, `uk-winter` | depth, `duration`, `interval` | duration / 24 |
 *
 * Depth is `depth: "3 in"`, or the rain of the place at the storm's duration: `rainfall` (a table, an equation or the UK
 * method, see `depthDuration`) and `returnPeriod: "10 year"`. Every pattern takes `climateFactor`, a plain number that
 * multiplies the depth. The depths of the intervals add up to the depth asked for, to round-off.
 *
 * @param options  plain data, as in a site file's `storms`
 * @throws InputError  with all problems: an unknown pattern or key (with the nearest known one), a missing or wrong value
 * @example designStorm({ pattern: "block", depth: "34 mm", duration: "1 h" }).depth[0]; // => 0.034
 */
export function designStorm(options: DesignStormOptions): Hyetograph {
  return designStormAt("designStorm", options);
}

/** As `designStorm`, for options of any kind that are called `where` in an error: `storms[0]`. */
export function designStormAt(where: string, options: unknown): Hyetograph {
  const reader = optionReader(where, options, "The design storm cannot be made:");
  const pattern = reader.word("pattern", Object.keys(PATTERNS) as PatternName[]);
  if (!Object.hasOwn(PATTERNS, pattern)) {
    // Which other keys belong there depends on the pattern, so they are not judged without it.
    reader.keys().forEach((key) => reader.has(key));
    reader.done();
  }
  return cutCurve(PATTERNS[pattern](reader));
}

/** The patterns by their names. */
export const PATTERNS: Readonly<Record<PatternName, StormPattern>> = {
  block: blockStorm,
  "nrcs-i": nrcsStorm("i"),
  "nrcs-ia": nrcsStorm("ia"),
  "nrcs-ii": nrcsStorm("ii"),
  "nrcs-iii": nrcsStorm("iii"),
  "alternating-block": alternatingBlockStorm,
  "keifer-chu": keiferChuStorm,
  "euler-2": eulerStorm,
  nested: nestedStorm,
  "uk-summer": ukProfileStorm("summer"),
  "uk-winter": ukProfileStorm("winter"),
  "huff-1": huffStorm(1),
  "huff-2": huffStorm(2),
  "huff-3": huffStorm(3),
  "huff-4": huffStorm(4),
  triangular: triangularStorm,
  "mass-curve": massCurveStorm,
};
