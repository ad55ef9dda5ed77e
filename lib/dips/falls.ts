import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { depthText, durationText, type UnitSystem } from "../text/format.ts";
import type { Dips } from "./dips.ts";
import type { FillFinding } from "./fillTest.ts";

/** The fall that is judged, out of dips that may rise in between. */
export interface Falls {
  readonly kept: Dips;
  readonly findings: readonly FillFinding[];
  /** whether the hose's water still says how the fall that is judged began */
  readonly byHose: boolean;
}

/**
 * Dips of one fall. Water that rises again after the hose was shut came from somewhere: a rise by a third of all or more is another
 * fill, of which the last counts, for dry soil drinks at the first; a smaller one is rain, or the box that still runs off, and what comes
 * before it counts where that is enough. A single dip off the line of its neighbours makes no rise.
 *
 * @param shut    when the hose was shut [s]; -Infinity if there was none
 * @param fewest  dips that a fall needs
 */
export function fallsOf(dips: Dips, shut: number, fewest: number, units: UnitSystem): Falls {
  const { time, level } = dips;
  const whole: Falls = { kept: dips, findings: [], byHose: true };
  if (level.length < fewest) return whole;
  // the middle of three neighbours: one misread dip moves nothing
  const smooth = level.map((water, i) => (i === 0 || i === level.length - 1 ? water : [level[i - 1]!, water, level[i + 1]!].sort((a, b) =>
    a - b)[1]!));
  const all = greatestOf(level) - leastOf(level);
  const from = Math.max(0, time.findIndex((moment) => moment >= shut));
  const rises: { readonly at: number; readonly by: number }[] = [];
  for (let i = from + 1, low = smooth[from]!; i < level.length; i++) {
    const by = smooth[i]! - low;
    if (smooth[i]! > smooth[i - 1]! + RISE / 2 && by > RISE) {
      const last = rises.at(-1);
      if (last !== undefined && i === last.at + 1) rises[rises.length - 1] = { at: i, by: last.by + smooth[i]! - smooth[i - 1]! };
      else rises.push({ at: i, by });
      low = smooth[i]!;
    } else low = Math.min(low, smooth[i]!);
  }
  if (rises.length === 0) return whole;
  const part = (first: number, end: number): Dips => ({ time: time.slice(first, end), level: level.slice(first, end) });
  const fill = rises.findLast(({ by, at }) => by > all / 3 && level.length - at >= fewest);
  const when = (at: number): string => durationText(time[at]! - (shut === -Infinity ? time[0]! : shut));
  if (fill !== undefined) {
    return {
      kept: part(fill.at, level.length), byHose: false,
      findings: [{ kind: "second fill", words: `The pit was filled again ${when(fill.at)} after the first fall began: the last fill is judged, for dry soil drinks faster at the first.` }],
    };
  }
  const { at, by } = rises[0]!;
  const rain: FillFinding = {
    kind: "rain",
    words: `The water rose by ${depthText(by, units)} about ${when(at)} after ${shut === -Infinity ? "the first dip" : "the hose was shut"}: rain, or water still on its way from box or trench.`,
  };
  // where it begins to rise
  const low = smooth.reduce((best, water, i) => (i >= from && i < at && water <= smooth[best]! ? i : best), from);
  if (low + 1 >= fewest && low - from >= 2) {
    return { kept: part(0, low + 1), byHose: true, findings: [{ ...rain, words: `${rain.words} The dips before it are judged.` }] };
  }
  if (level.length - at >= fewest) return { kept: part(at, level.length), byHose: false, findings: [{ ...rain, words: `${rain.words} The dips after it are judged.` }] };
  return { ...whole, findings: [rain] };
}

/** More than a tape and a hand are off [m]. */
const RISE = 0.015;
