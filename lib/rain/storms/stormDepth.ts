import { readDepthDuration, type Rainfall } from "./depthDuration.ts";
import type { OptionReader } from "../../text/optionReader.ts";

/** How a storm's depth is said: as it is, or through the rain of the place at the storm's duration. */
export interface StormDepth {
  readonly depth?: string;
  readonly rainfall?: Rainfall;
  readonly returnPeriod?: string;
  /** multiplies the depth, default 1 */
  readonly climateFactor?: number;
}

/**
 * The storm's depth: `depth`, or that of `rainfall` at `returnPeriod` and the storm's duration; times `climateFactor`.
 *
 * @param duration  [s]
 * @returns         gives the depth [m] once the options are known to be good, as the rain of a place is read then
 */
export function stormDepth(options: OptionReader, duration: number): () => number {
  if (options.has("rainfall")) {
    if (options.has("depth")) options.problem("depth", "either depth or rainfall", "both");
    const rain = readDepthDuration(options);
    return () => rain(duration);
  }
  const climateFactor = options.number("climateFactor", { above: 0, most: 10, missing: 1 });
  const depth = climateFactor * options.quantity("depth", "length", { least: 0 });
  return () => depth;
}
