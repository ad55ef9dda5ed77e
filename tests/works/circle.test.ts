import fc from "fast-check";
import { expect, test } from "vitest";
import { segmentArea, segmentAreaIntegral, segmentWidth } from "../../lib/works/circle.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";

// d/D and A/D^2 of a circular section: derived from plane geometry; agrees with Chow, Open-Channel Hydraulics, 1959, app. A (from memory)
const SECTIONS: readonly (readonly [number, number])[] = [
  [0.1, 0.040875], [0.2, 0.111824], [0.25, 0.153546], [0.3, 0.198168], [0.4, 0.29337], [0.5, 0.392699], [0.6, 0.492028],
  [0.7, 0.58723], [0.75, 0.631852], [0.8, 0.673574], [0.9, 0.744523], [0.938, 0.765202], [1, 0.785398],
];

test.each([1, 0.1, 2.5])("the area of a circle of %f m filled to a part of it is the tabulated one", (diameter) => {
  expectAllClose(SECTIONS.map(([share, area]) => (
    { what: `A/D^2 at ${share}`, value: segmentArea(diameter, share * diameter) / diameter ** 2, expected: area }
  )), { absolute: 0.5001e-6, because: "six digits in the table" });
});

test("outside the circle nothing more is wetted", () => {
  expect(segmentArea(0.3, -0.1)).toBe(0);
  expect(segmentWidth(0.3, 0.4)).toBe(0);
  expect(segmentAreaIntegral(0.3, -1)).toBe(0);
  expectClose(segmentArea(0.3, 5), (Math.PI / 4) * 0.09, { relative: 1e-15, because: "round-off" });
});

test("the integral of the full circle is its area times its radius, and rises by the area above it", () => {
  const area = (Math.PI / 4) * 0.3 ** 2;
  expectClose(segmentAreaIntegral(0.3, 0.3), area * 0.15, { relative: 1e-14, because: "round-off" });
  expectClose(segmentAreaIntegral(0.3, 0.8), area * 0.65, { relative: 1e-14, because: "round-off" });
});

test("a sliver at the bottom keeps its digits: 4/3 sqrt(D) y^1.5 and 8/15 sqrt(D) y^2.5 as y vanishes", () => {
  // next terms of the series: -3/10 y/D of the area, -3/14 y/D of the integral
  // storage tables begin at a depth of 2e-9 m
  for (const y of [2e-9, 1e-8, 1e-7, 1e-6, 1e-5]) {
    const sliver = { relative: 1e-9, because: "the term after these is of (y/D)^2" };
    expectClose(segmentArea(0.1, y), (4 / 3) * Math.sqrt(0.1) * y ** 1.5 * (1 - 3 * y), { ...sliver, relative: 1e-9 + (10 * y) ** 2 }, `area at ${y} m`);
    expectClose(segmentAreaIntegral(0.1, y), (8 / 15) * Math.sqrt(0.1) * y ** 2.5 * (1 - (15 / 7) * y), { ...sliver, relative: 1e-9 + (10 * y) ** 2 }, `integral at ${y} m`);
  }
});

test("width is the slope of the area, area the slope of its integral", () => {
  fc.assert(fc.property(fc.double({ min: 0.02, max: 3, noNaN: true }), fc.double({ min: 0.02, max: 0.98, noNaN: true }), (D, share) => {
    const [y, h] = [share * D, 1e-5 * D];
    const difference = { relative: 1e-6, because: "central difference: h^2/6 of the third derivative and round-off over 2 h" };
    expectClose((segmentArea(D, y + h) - segmentArea(D, y - h)) / (2 * h), segmentWidth(D, y), difference);
    expectClose((segmentAreaIntegral(D, y + h) - segmentAreaIntegral(D, y - h)) / (2 * h), segmentArea(D, y), difference);
  }), { seed: 1 });
});
