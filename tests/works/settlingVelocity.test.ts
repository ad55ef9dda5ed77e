import fc from "fast-check";
import { expect, test } from "vitest";
import { settlingVelocity } from "../../lib/works/settlingVelocity.ts";
import { expectClose } from "../closeTo.ts";

// Ferguson & Church 2004 with C1 = 18, C2 = 1.0 (read), evaluated apart from this library with R = 1.65, g = 9.81 and
// nu = 1.0e-6 m2/s at 20 degC, 1.307e-6 at 10 degC: diameters in mm, velocities in mm/s.
test.each([
  [2, 196.41474, 193.17637], [1, 126.27837, 121.05939], [0.5, 71.04964, 64.76579], [0.2, 23.24403, 19.39612], [0.1, 7.53413, 5.99273],
])("a grain of %f mm sinks at %f mm/s at 20 degC and %f at 10 degC", (diameter_mm, warm_mm_s, cold_mm_s) => {
  const diameter = diameter_mm / 1000;
  expectClose(1000 * settlingVelocity({ diameter }), warm_mm_s, { relative: 4e-4, because: "g of 9.80665 against 9.81" });
  expectClose(1000 * settlingVelocity({ diameter, temperature: 10 }), cold_mm_s, { relative: 2.5e-3, because: "viscosity by another formula" });
});

test("the fine sink by Stokes' law, R g D^2 / (18 nu)", () => {
  expectClose(settlingVelocity({ diameter: 2e-6 }), (1.65 * 9.80665 * 4e-12) / 18e-6, { relative: 2e-3, because: "the other term is 0.1 percent there" });
});

test("larger and heavier grains sink faster, in warmer water too", () => {
  const grain = fc.record({
    diameter: fc.double({ min: 1e-6, max: 5e-3, noNaN: true }),
    density: fc.integer({ min: 1050, max: 4000 }),
    temperature: fc.integer({ min: 0, max: 39 }),
  });
  fc.assert(fc.property(grain, ({ diameter, density, temperature }) => {
    const speed = settlingVelocity({ diameter, density, temperature });
    expect(settlingVelocity({ diameter: 1.1 * diameter, density, temperature })).toBeGreaterThan(speed);
    expect(settlingVelocity({ diameter, density: density + 10, temperature })).toBeGreaterThan(speed);
    expect(settlingVelocity({ diameter, density, temperature: temperature + 1 })).toBeGreaterThan(speed);
  }));
});

test("says all that is wrong with a grain", () => {
  expect(() => settlingVelocity({ diameter: 0, density: 900, temperature: 90 })).toThrow([
    "The settling velocity cannot be computed:",
    "  settlingVelocity.diameter: expected a number above 0 and of 1 or less, got 0",
    "  settlingVelocity.density: expected a number above 1000 and of 25000 or less, got 900",
    "  settlingVelocity.temperature: expected a number of 0 or more and of 40 or less, got 90",
  ].join("\n"));
});
