/** A label that wants its middle at `at` and takes up `size`, both along one line, in one unit. */
export interface LabelWish {
  readonly at: number;
  readonly size: number;
}

/**
 * Places for labels along a line so that none overlaps another, their order is kept, and the sum of the squares of
 * their moves is as small as that allows.
 *
 * Neighbours must stand (size + size)/2 + gap apart. With that spacing summed up and taken off, only a rising sequence
 * nearest to the wishes is left to find: isotonic regression, by pooling neighbours that would cross (pool adjacent
 * violators, Ayer et al. 1955, from memory). Cutting it off at both ends of the room keeps it the best.
 *
 * @param wishes     in any order; of labels at one place the first given comes first
 * @param room.from  the line's start; no label begins before it
 * @param room.to    the line's end; no label ends after it, unless all of them together are longer than the room: then
 *                   they stand packed from `from` and run past the end
 * @param room.gap   kept free between neighbours, 0 where not given
 * @returns          the middle of each label, in the order of `wishes`
 */
export function placeLabels(
  wishes: readonly LabelWish[],
  room: { readonly from: number; readonly to: number; readonly gap?: number },
): number[] {
  const gap = room.gap ?? 0;
  const order = wishes.map((_, i) => i).sort((a, b) => wishes[a]!.at - wishes[b]!.at || a - b);
  const sorted = order.map((i) => wishes[i]!);
  const packed = packedMiddles(sorted, gap);
  const free = isotonic(sorted.map((wish, i) => wish.at - packed[i]!));
  const last = sorted.length - 1;
  const slack = sorted.length === 0 ? 0 : room.to - room.from - (packed[last]! + sorted[last]!.size / 2);
  const places = new Array<number>(wishes.length);
  for (let i = 0; i < sorted.length; i++) {
    places[order[i]!] = packed[i]! + Math.max(room.from, Math.min(room.from + slack, free[i]!));
  }
  return places;
}

/** Middles of labels that stand one behind the other from 0. */
function packedMiddles(sorted: readonly LabelWish[], gap: number): number[] {
  let end = 0;
  return sorted.map(({ size }, i) => {
    const middle = end + (i > 0 ? gap : 0) + size / 2;
    end = middle + size / 2;
    return middle;
  });
}

/** The sequence that never falls nearest to `values` by least squares. */
function isotonic(values: readonly number[]): number[] {
  const blocks: { sum: number; count: number }[] = [];
  for (const value of values) {
    let block = { sum: value, count: 1 };
    let before = blocks.at(-1);
    while (before !== undefined && before.sum / before.count > block.sum / block.count) {
      blocks.pop();
      block = { sum: before.sum + block.sum, count: before.count + block.count };
      before = blocks.at(-1);
    }
    blocks.push(block);
  }
  return blocks.flatMap(({ sum, count }) => new Array<number>(count).fill(sum / count));
}
