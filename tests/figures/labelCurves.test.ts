import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { labelCurves, type NamedCurve } from "../../lib/figures/labelCurves.ts";

const panel = { width: 700, height: 360, still: [20, 330] };
const size = { labelWidth: 60, labelHeight: 16 };

/** Curves like water levels: they rise, stay for a while, and fall. */
const curve = fc.record({
  foot: fc.integer({ min: 25, max: 120 }), top: fc.integer({ min: 130, max: 320 }), rise: fc.integer({ min: 20, max: 200 }),
}).map(({ foot, top, rise }): NamedCurve => ({
  x: [0, rise, rise + 120, 650, 700], y: [foot, top, top - 5, foot, foot], ...size,
}));
const curves = fc.array(curve, { minLength: 1, maxLength: 3 });

describe("names on curves", () => {
  test("stand within the panel and never on one another", () => {
    fc.assert(fc.property(curves, (all) => {
      const places = labelCurves(all, panel);
      places.forEach((place, i) => {
        expect(place).not.toBeNull();
        expect(place!.x).toBeGreaterThanOrEqual(0);
        expect(place!.x + size.labelWidth).toBeLessThanOrEqual(panel.width);
        expect(place!.y).toBeGreaterThanOrEqual(0);
        expect(place!.y + size.labelHeight).toBeLessThanOrEqual(panel.height);
        for (const other of places.slice(0, i)) {
          const apart = Math.abs(place!.x - other!.x) >= size.labelWidth || Math.abs(place!.y - other!.y) >= size.labelHeight;
          expect(apart).toBe(true);
        }
      });
    }));
  });

  test("do not lie on a curve where there is room beside it", () => {
    const flat = (y: number): NamedCurve => ({ x: [0, 700], y: [y, y], ...size });
    const [first, second] = labelCurves([flat(100), flat(200)], panel);
    for (const { y } of [first!, second!]) {
      for (const height of [100, 200]) expect(y > height || y + size.labelHeight < height).toBe(true);
    }
  });

  test("are left out for a curve that is nowhere drawn", () => {
    expect(labelCurves([{ x: [0, 700], y: [null, null], ...size }], panel)).toEqual([null]);
  });

  test("stand on a curve that begins only where the name does", () => {
    // candidates are tried from 4 px on; the curve is drawn from 4 to 64 px, just as wide as its name, and nothing is beside its ends
    const [place] = labelCurves([{ x: [4, 64], y: [100, 100], ...size }], { width: 66, height: 360, still: [] });
    expect(place).toEqual({ x: 4, y: 104 });
  });
});
