import { intervalRow, type IntervalRow } from "./record/intervalRow.ts";

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
  /**
   * Adds rain to an interval, there already or not; for bucket tips.
   *
   * @param most  that the interval may come to [m]; past it nothing is added
   * @returns     what it comes to, or would have [m]
   */
  pour(start: number, end: number, depth: number, most: number): number;
  /** stretches covered without a break; their depths mean nothing */
  readonly spans: IntervalRow;
  /** the wet intervals */
  readonly wet: IntervalRow;
}

/** Times nearer than this are one [s]: stamps are written to the second or the millisecond. */
const SAME = 1e-4;

export function coverage(): Coverage {
  const spans = intervalRow();
  const wet = intervalRow();

  const depthWithin = (start: number, end: number): number => {
    wet.seek(start + SAME);
    const [before, next] = [wet.before(), wet.next()];
    if (before !== null && start - before.start <= SAME) return Math.abs(before.end - end) <= SAME ? before.depth : NaN;
    const isParted = (before !== null && before.end > start + SAME) || (next !== null && next.start < end - SAME);
    return isParted ? NaN : 0;
  };

  return {
    spans,
    wet,
    add(start, end, depth) {
      spans.seek(start + SAME);
      const [before, next] = [spans.before(), spans.next()];
      const overlapsBefore = before !== null && start < before.end - SAME;
      if (overlapsBefore && end <= before.end + SAME) return depthWithin(start, end) === depth ? "again" : "conflict";
      if (overlapsBefore || (next !== null && end > next.start + SAME)) return "conflict";
      const joined = before !== null && start <= before.end + SAME ? before : null;
      const joining = next !== null && end >= next.start - SAME ? next : null;
      if (joined !== null) spans.removeBefore();
      if (joining !== null) spans.removeNext();
      spans.insert(joined?.start ?? start, joining?.end ?? end, 0);
      if (depth > 0) {
        wet.seek(start);
        wet.insert(start, end, depth);
      }
      return next === null ? "added" : "inserted";
    },
    pour(start, end, depth, most) {
      wet.seek(start + SAME);
      const before = wet.before();
      const isThere = before !== null && start - before.start <= SAME;
      const sum = depth + (isThere ? before.depth : 0);
      if (sum > most) return sum;
      if (isThere) wet.removeBefore();
      wet.insert(start, end, sum);
      return sum;
    },
  };
}
