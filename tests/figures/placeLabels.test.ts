import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { placeLabels, type LabelWish } from "../../lib/figures/placeLabels.ts";

const wish = fc.record({ at: fc.double({ min: -50, max: 450, noNaN: true }), size: fc.double({ min: 1, max: 30, noNaN: true }) });
const wishes = fc.array(wish, { maxLength: 12 });
const room = { from: 0, to: 400, gap: 2 };
// Sums of a dozen numbers of a few hundred lose less than this.
const ROUND_OFF = 1e-9;

/** The labels' indices as they stand, by wish, the first given first where two wish for one place. */
function order(all: readonly LabelWish[]): number[] {
  return all.map((_, i) => i).sort((a, b) => all[a]!.at - all[b]!.at || a - b);
}

function overlaps(all: readonly LabelWish[], places: readonly number[]): number[] {
  const sorted = order(all);
  return sorted.slice(1).map((i, k) => {
    const before = sorted[k]!;
    return (all[i]!.size + all[before]!.size) / 2 + room.gap - (places[i]! - places[before]!);
  });
}

function moved(all: readonly LabelWish[], places: readonly number[]): number {
  return all.reduce((sum, { at }, i) => sum + (places[i]! - at) ** 2, 0);
}

describe("labels along a line", () => {
  test("never overlap, keep their order and stay in the room", () => {
    fc.assert(fc.property(wishes, (all) => {
      const places = placeLabels(all, room);
      for (const overlap of overlaps(all, places)) expect(overlap).toBeLessThan(ROUND_OFF);
      all.forEach(({ size }, i) => {
        expect(places[i]! - size / 2).toBeGreaterThan(room.from - ROUND_OFF);
        expect(places[i]! + size / 2).toBeLessThan(room.to + ROUND_OFF);
      });
    }));
  });

  test("move less, by the sum of squares, than in any other lawful order of places", () => {
    const dozen = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 12, maxLength: 12 });
    fc.assert(fc.property(wishes, dozen, (all, shares) => {
      const taken = all.reduce((sum, { size }) => sum + size, 0) + room.gap * Math.max(0, all.length - 1);
      const slacks = shares.slice(0, all.length).sort((a, b) => a - b).map((share) => share * (room.to - room.from - taken));
      let end = room.from - room.gap;
      const other = new Array<number>(all.length);
      order(all).forEach((i, k) => {
        other[i] = end + room.gap + all[i]!.size / 2 + slacks[k]!;
        end += room.gap + all[i]!.size;
      });
      expect(moved(all, placeLabels(all, room))).toBeLessThanOrEqual(moved(all, other) + 1e-6);
    }));
  });

  test("stay where they wish to be when nothing is in the way", () => {
    expect(placeLabels([{ at: 300, size: 10 }, { at: 20, size: 10 }, { at: 100, size: 10 }], room)).toEqual([300, 20, 100]);
  });

  test("share the move between neighbours that wish for one place", () => {
    expect(placeLabels([{ at: 200, size: 10 }, { at: 200, size: 10 }, { at: 200, size: 10 }], room)).toEqual([188, 200, 212]);
  });

  test("stand packed from the start when the room is too small for all", () => {
    const three = [{ at: 5, size: 10 }, { at: 6, size: 10 }, { at: 7, size: 10 }];
    expect(placeLabels(three, { from: 0, to: 20 })).toEqual([5, 15, 25]);
  });
});
