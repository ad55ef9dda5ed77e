import { logarithm } from "../../numerics/powers.ts";
import { leastOf } from "../../numerics/extremes.ts";
import { describe } from "../../text/describe.ts";
import type { OptionReader } from "../../text/optionReader.ts";
import { soilTexture, textureNames, type TextureName } from "../soilTexture.ts";

/**
 * The classes of the sorptive number alpha* [1/m]: coarse and gravelly sands; most structured soils, medium and fine sands, and what
 * is taken first where nothing is known; fine soils without structure; compacted clays without structure.
 *
 * @source  Elrick, Reynolds & Tan, Ground Water Monitoring Review 9(3), 1989, from memory
 */
export const SORPTIVE_CLASSES_PER_M = [36, 12, 4, 1] as const;

/** A sorptive number, and how it is known. */
export interface SorptiveNumber {
  /** [1/m] */
  readonly alpha: number;
  readonly from: "given" | "texture" | "assumed";
}

/**
 * The class of a texture: the one nearest by ratio to 1 over the suction of the wetting front. Sands to loams come to 12 per metre,
 * silt loam and finer to 4; structure, which a texture does not tell, moves a soil by a class or more.
 *
 * @returns  [1/m]
 * @source  suctions: see `soilTexture`; that 1/alpha* is about the wetting front's suction: Bouwer, Journal of Geophysical Research
 *          69(4), 1964, from memory
 * @example sorptiveNumberOf("clay loam"); // => 4
 */
export function sorptiveNumberOf(texture: TextureName): number {
  const alpha = 1 / soilTexture(texture).wettingFrontSuction;
  const away = SORPTIVE_CLASSES_PER_M.map((each) => Math.abs(logarithm(each / alpha)));
  return SORPTIVE_CLASSES_PER_M[away.indexOf(leastOf(away))]!;
}

/** Bounds of a sorptive number as it is written [1/cm]. */
export const SORPTIVE_NUMBER = { least: 1e-4, most: 100 } as const;

/** Reads `sorptiveNumber_perCm` or `texture`; where neither is given 12 per metre is assumed. */
export function readSorptiveNumber(read: OptionReader): SorptiveNumber {
  if (read.has("sorptiveNumber_perCm")) {
    if (read.has("texture")) read.problem("texture", "either sorptiveNumber_perCm or texture", describe(read.raw("texture")));
    return { alpha: 100 * read.number("sorptiveNumber_perCm", SORPTIVE_NUMBER), from: "given" };
  }
  if (!read.has("texture")) return { alpha: 12, from: "assumed" };
  const texture = read.word("texture", textureNames());
  return { alpha: textureNames().includes(texture) ? sorptiveNumberOf(texture) : NaN, from: "texture" };
}
