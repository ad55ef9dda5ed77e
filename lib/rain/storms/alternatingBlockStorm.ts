import { blocksFalling } from "./blocksFalling.ts";
import type { StormPattern } from "./stormCurve.ts";

/**
 * The nested storm of a place: every stretch around the peak has the depth that the place has for that duration.
 *
 *   { pattern: "alternating-block", duration: "2 h", interval: "10 min", rainfall: {...}, returnPeriod: "10 year" }
 *
 * Block k of the falling row has the depth D(k dt) - D((k - 1) dt). The largest comes at `peakAt`, a share of the duration
 * (default 0.5: the third of six, the sixth of twelve), the next after it, the next before it, and so on; where one side is
 * full the rest follow on the other.
 *
 * @source  HDS-2 (FHWA-NHI-02-001, 2nd ed. 2002), Example 6.6 p. 6-36; Chow, Maidment & Mays 1988, Example 14.4.1
 */
export const alternatingBlockStorm: StormPattern = (options) => {
  const peakAt = options.number("peakAt", { least: 0, most: 1, missing: 0.5 });
  return blocksFalling(options, {}, (falling) => alternate(falling, peakAt));
};

function alternate(falling: readonly number[], peakAt: number): number[] {
  const peak = Math.max(0, Math.ceil(peakAt * falling.length) - 1);
  const blocks = new Array<number>(falling.length);
  blocks[peak] = falling[0]!;
  let [before, after] = [peak - 1, peak + 1];
  for (let k = 1; k < falling.length; k++) {
    const isAfter = before < 0 || (after < falling.length && k % 2 === 1);
    blocks[isAfter ? after++ : before--] = falling[k]!;
  }
  return blocks;
}
