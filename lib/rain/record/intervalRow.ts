/** A stretch of time [s] and the rain in it [m]. */
export interface Interval {
  readonly start: number;
  readonly end: number;
  readonly depth: number;
}

/**
 * Intervals in order of their starts, worked on at one place. The next place costs nothing, and any other a search: a record runs
 * forwards, backwards or shuffled, and its lines tell how long it takes, not their order.
 */
export interface IntervalRow {
  readonly count: number;
  /** goes behind all intervals that start at or before a time */
  seek(time: number): void;
  /** the interval before the place, and the one after it; null if missing */
  before(): Interval | null;
  next(): Interval | null;
  /** puts an interval in at the place, and goes behind it */
  insert(start: number, end: number, depth: number): void;
  removeBefore(): void;
  removeNext(): void;
  /** all of them in order */
  forEach(take: (interval: Interval) => void): void;
}

/** Intervals of a block: what an insertion has to shift. */
const LONGEST = 256;

export function intervalRow(): IntervalRow {
  // Three numbers an interval, in blocks of which none is empty but an only one: half a million objects would take three times the room.
  const blocks: number[][] = [[]];
  let count = 0;
  // the place: behind a number of intervals of a block; at its end never before another block
  let [block, passed] = [0, 0];

  const lengthOf = (b: number): number => blocks[b]!.length / 3;
  const startBefore = (): number => (passed > 0 ? blocks[block]![3 * passed - 3]! : block > 0 ? blocks[block - 1]!.at(-3)! : -Infinity);
  const startNext = (): number => (passed < lengthOf(block) ? blocks[block]![3 * passed]! : Infinity);
  const intervalAt = (b: number, i: number): Interval => {
    const numbers = blocks[b]!;
    return { start: numbers[3 * i]!, end: numbers[3 * i + 1]!, depth: numbers[3 * i + 2]! };
  };
  const settle = (): void => {
    if (passed === lengthOf(block) && block < blocks.length - 1) [block, passed] = [block + 1, 0];
  };
  const remove = (b: number, i: number): void => {
    blocks[b]!.splice(3 * i, 3);
    count--;
    if (blocks[b]!.length > 0 || blocks.length === 1) return settle();
    blocks.splice(b, 1);
    if (b < block) block--;
    else if (block === blocks.length) [block, passed] = [block - 1, lengthOf(block - 1)];
  };

  return {
    get count() {
      return count;
    },
    seek(time) {
      if (startBefore() <= time && startNext() > time) return;
      block = firstPast(blocks.length, (b) => (blocks[b]![0] ?? Infinity) > time);
      block = Math.max(0, block - 1);
      passed = firstPast(lengthOf(block), (i) => blocks[block]![3 * i]! > time);
      settle();
    },
    before() {
      if (passed > 0) return intervalAt(block, passed - 1);
      return block > 0 ? intervalAt(block - 1, lengthOf(block - 1) - 1) : null;
    },
    next: () => (passed < lengthOf(block) ? intervalAt(block, passed) : null),
    insert(start, end, depth) {
      // at the edge of two blocks: the earlier one's end, so that a file in order fills block after block
      if (passed === 0 && block > 0) [block, passed] = [block - 1, lengthOf(block - 1)];
      const numbers = blocks[block]!;
      if (passed === lengthOf(block)) numbers.push(start, end, depth);
      else numbers.splice(3 * passed, 0, start, end, depth);
      count++;
      passed++;
      if (lengthOf(block) > LONGEST) {
        const kept = passed === lengthOf(block) ? passed - 1 : LONGEST / 2;
        blocks.splice(block + 1, 0, numbers.splice(3 * kept));
        if (passed > kept) [block, passed] = [block + 1, passed - kept];
      }
      settle();
    },
    removeBefore() {
      if (passed > 0) remove(block, --passed);
      else if (block > 0) remove(block - 1, lengthOf(block - 1) - 1);
    },
    removeNext() {
      if (passed < lengthOf(block)) remove(block, passed);
    },
    forEach(take) {
      for (let b = 0; b < blocks.length; b++) for (let i = 0; i < lengthOf(b); i++) take(intervalAt(b, i));
    },
  };
}

/** Binary search: the first of `length` ordered items for which `isPast` holds; `length` if it holds for none. */
function firstPast(length: number, isPast: (i: number) => boolean): number {
  let [low, high] = [0, length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isPast(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}
