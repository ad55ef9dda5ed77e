/**
 * Intervals of a record as they come in: the rain of the wet ones, and for the dry ones only what time they cover, so that
 * fifty dry years take no more room than one.
 */
export interface Coverage {
  /**
   * Adds an interval.
   *
   * @returns  "added"; "inserted" where later ones were there before it; "again" where the same interval has the same depth
   *           already; "conflict" where it has another, or the new one overlaps what is there; nothing is added in the last two
   */
  add(start: number, end: number, depth: number): "added" | "inserted" | "again" | "conflict";
  /** adds rain to an interval, there already or not; for bucket tips */
  pour(start: number, end: number, depth: number): void;
  /** stretches covered without a break, in order */
  spans(): readonly { readonly start: number; readonly end: number }[];
  /** the wet intervals, in order */
  wet(): { readonly start: readonly number[]; readonly end: readonly number[]; readonly depth: readonly number[] };
}

/** Times nearer than this are one [s]: stamps are written to the second or the millisecond. */
const SAME = 1e-4;

export function coverage(): Coverage {
  const spanStart: number[] = [];
  const spanEnd: number[] = [];
  const start: number[] = [];
  const end: number[] = [];
  const depth: number[] = [];

  const addWet = (from: number, to: number, fallen: number): void => {
    const at = placeAfter(start, from);
    start.splice(at, 0, from);
    end.splice(at, 0, to);
    depth.splice(at, 0, fallen);
  };
  const cover = (from: number, to: number, at: number): void => {
    const joinsBefore = at > 0 && from <= spanEnd[at - 1]! + SAME;
    const joinsAfter = at < spanStart.length && to >= spanStart[at]! - SAME;
    if (joinsBefore && joinsAfter) {
      spanEnd[at - 1] = spanEnd[at]!;
      spanStart.splice(at, 1);
      spanEnd.splice(at, 1);
    } else if (joinsBefore) spanEnd[at - 1] = to;
    else if (joinsAfter) spanStart[at] = from;
    else {
      spanStart.splice(at, 0, from);
      spanEnd.splice(at, 0, to);
    }
  };
  const depthAt = (from: number, to: number): number => {
    const at = placeAfter(start, from + SAME) - 1;
    if (at >= 0 && Math.abs(start[at]! - from) <= SAME) return Math.abs(end[at]! - to) <= SAME ? depth[at]! : NaN;
    return at >= 0 && end[at]! > from + SAME ? NaN : 0;
  };

  return {
    add(from, to, fallen) {
      const last = spanEnd.length - 1;
      if (last < 0 || from >= spanEnd[last]! - SAME) {
        cover(from, to, spanStart.length);
        if (fallen > 0) {
          start.push(from);
          end.push(to);
          depth.push(fallen);
        }
        return "added";
      }
      const at = placeAfter(spanStart, from + SAME);
      const isInside = at > 0 && to <= spanEnd[at - 1]! + SAME;
      if (isInside) return depthAt(from, to) === fallen ? "again" : "conflict";
      const overlaps = (at > 0 && from < spanEnd[at - 1]! - SAME) || (at < spanStart.length && to > spanStart[at]! + SAME);
      if (overlaps) return "conflict";
      cover(from, to, at);
      if (fallen > 0) addWet(from, to, fallen);
      return "inserted";
    },
    pour(from, to, fallen) {
      const at = placeAfter(start, from + SAME) - 1;
      if (at >= 0 && Math.abs(start[at]! - from) <= SAME) depth[at]! += fallen;
      else addWet(from, to, fallen);
    },
    spans: () => spanStart.map((from, i) => ({ start: from, end: spanEnd[i]! })),
    wet: () => ({ start, end, depth }),
  };
}

/** Number of values that are not above a place, in a rising list; the last ones are looked at first, as records grow. */
function placeAfter(rising: readonly number[], place: number): number {
  if (rising.length === 0 || rising[rising.length - 1]! <= place) return rising.length;
  let [low, high] = [0, rising.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle]! <= place) low = middle + 1;
    else high = middle;
  }
  return low;
}
