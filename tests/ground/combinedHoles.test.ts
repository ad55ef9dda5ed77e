import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { combinedHoles, type HoleSays } from "../../lib/ground/test/combinedHoles.ts";
import { withinSiteBand } from "../../lib/ground/test/withinSiteBand.ts";
import { expectClose } from "../closeTo.ts";

const HAND = { relative: 5e-4, because: "digits by hand" };
const ROUND_OFF = { relative: 1e-12, because: "round-off" };

const bare = (conductivity: number): HoleSays => ({ conductivity, band: withinSiteBand(conductivity) });

describe("several test holes", () => {
  test("have their geometric mean, and from three on the band of Student's t", () => {
    const { conductivity, band, taken } = combinedHoles([1e-6, 2e-6, 4e-6].map(bare), null);
    expect(taken).toBe("mean");
    expectClose(conductivity, 2e-6, ROUND_OFF);
    // s = ln 2; t(0.975, 2) = 4.3027 (any table); ln f = 4.3027 x 0.69315 / sqrt 3 = 1.7219
    expectClose(band.high / conductivity, 5.595, HAND);
    expectClose(conductivity / band.low, 5.595, HAND);
  });

  test("that are two have the scatter of soils within a site, or their own where that is larger", () => {
    // 1.6319 / sqrt 2 = 1.1539
    expectClose(combinedHoles([3e-6, 3e-6].map(bare), null).band.high / 3e-6, 3.171, HAND);
    // s = ln 4 / sqrt 2 = 0.98026; 1.96 s / sqrt 2 = 1.3586
    expectClose(combinedHoles([1e-6, 4e-6].map(bare), null).band.high / 2e-6, 3.891, HAND);
  });

  test("keep in full what their own readings and suction leave in doubt", () => {
    const wide = { conductivity: 2e-6, band: withinSiteBand(2e-6, 0.4) };
    const { band } = combinedHoles([wide, wide, wide], null);
    // alike to a digit: nothing is left of the scatter, and the error of the readings does not average out: 1.96 x 0.4 = 0.784
    expectClose(band.high / 2e-6, Math.exp(0.784), HAND);
  });

  test("are no faster than the one nearest to the pit", () => {
    const holes = [1e-6, 2e-6, 4e-6].map(bare);
    expect([combinedHoles(holes, 0).conductivity, combinedHoles(holes, 0).taken]).toEqual([1e-6, "nearest"]);
    expect([combinedHoles(holes, 2).taken, combinedHoles(holes, 1).taken]).toEqual(["mean", expect.any(String)]);
  });

  test("of which one does not drain say nothing for the layer", () => {
    const dry: HoleSays = { conductivity: 0, band: { low: 0, high: 1e-7, from: "within-site scatter" } };
    const { conductivity, band, taken } = combinedHoles([bare(2e-6), dry], 0);
    expect([conductivity, band.low, taken]).toEqual([0, 0, "undrained"]);
    expect(band.high).toBe(bare(2e-6).band.high);
  });

  test("in any order are the same, and alike ones more of them narrow the band", () => {
    const holes = fc.array(fc.double({ min: 1e-8, max: 1e-3, noNaN: true }), { minLength: 2, maxLength: 8 });
    fc.assert(fc.property(holes, (each) => {
      const [one, other] = [combinedHoles(each.map(bare), null), combinedHoles(each.toReversed().map(bare), null)];
      expectClose(one.conductivity, other.conductivity, ROUND_OFF);
      expectClose(one.band.high, other.band.high, { relative: 1e-9, because: "sums in another order" });
      expect(one.band.low <= one.conductivity && one.conductivity <= one.band.high).toBe(true);
      const twice = combinedHoles([...each, ...each].map(bare), null);
      if (each.length < 3) return;
      expect(twice.band.high / twice.conductivity).toBeLessThanOrEqual((one.band.high / one.conductivity) * (1 + 1e-9));
    }), { seed: 41, numRuns: 200 });
  });
});
