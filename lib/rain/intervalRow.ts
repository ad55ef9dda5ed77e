/** A stretch of time [s] and the rain in it [m]. */
export interface Interval {
  readonly start: number;
  readonly end: number;
  readonly depth: number;
}

/**
 * Intervals in order of their starts, worked on at one place. Going to another place costs the intervals passed, so a record
 * that runs forwards, backwards or twice over takes no longer than its lines.
 */
export interface IntervalRow {
  readonly count: number;
  /** goes behind all intervals that start at or before a time */
  seek(time: number): void;
  /** the intervals on both sides of the place; null where there is none */
  before(): Interval | null;
  next(): Interval | null;
  /** puts an interval in at the place, and goes behind it */
  insert(start: number, end: number, depth: number): void;
  removeBefore(): void;
  removeNext(): void;
  /** all of them in order */
  forEach(take: (interval: Interval) => void): void;
}

export function intervalRow(): IntervalRow {
  const passed = stack();
  const ahead = stack();
  const seek = (time: number): void => {
    while (ahead.topStart() <= time) passed.push(ahead.pop());
    while (passed.topStart() > time) ahead.push(passed.pop());
  };
  return {
    get count() {
      return passed.count() + ahead.count();
    },
    seek,
    before: () => passed.at(passed.count() - 1),
    next: () => ahead.at(ahead.count() - 1),
    insert: (start, end, depth) => passed.push({ start, end, depth }),
    removeBefore: () => void passed.pop(),
    removeNext: () => void ahead.pop(),
    forEach(take) {
      seek(Infinity);
      for (let i = 0; i < passed.count(); i++) take(passed.at(i)!);
    },
  };
}

interface Stack {
  count(): number;
  /** NaN where it is empty */
  topStart(): number;
  at(i: number): Interval | null;
  push(interval: Interval): void;
  pop(): Interval;
}

/** Three numbers an interval in one list: half a million objects would take three times the room. */
function stack(): Stack {
  const numbers: number[] = [];
  const count = (): number => numbers.length / 3;
  const at = (i: number): Interval | null =>
    i < 0 ? null : { start: numbers[3 * i]!, end: numbers[3 * i + 1]!, depth: numbers[3 * i + 2]! };
  return {
    count,
    topStart: () => numbers[numbers.length - 3] ?? NaN,
    at,
    push: ({ start, end, depth }) => void numbers.push(start, end, depth),
    pop() {
      const top = at(count() - 1)!;
      numbers.length -= 3;
      return top;
    },
  };
}
