import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import type { Load } from "../../lib/simulate/bodyInflows.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose } from "../closeTo.ts";

// Corners nearer than a rounding of the clock are one, and whatever stands at it takes it for its own.
const file = JSON.parse(readFileSync("data/copperbeech-lane.json", "utf8")) as { emitter: object };
const ONE = 1e-3;

function run(load: Load, more: object = {}, until: number = 7200): Run {
  return simulate(readSite({ ...file, ...more }), load, { until });
}

describe("corners that a rounding parts", () => {
  test.each([0, 1e-13, 3e-13, 1e-12, 1e-11, 1e-9])("of two bodies, %f s apart, bring what runs in and no more", (apart) => {
    const box = hydrograph({ time: [0, 1080 + apart, 1080 + apart, 3600], flow: [ONE, ONE, 0, 0] });
    const bank = hydrograph({ time: [0, 1080, 1080, 3600], flow: [0, 0, 1e-4, 1e-4] });
    const { ledger } = run({ settlingBox: box, chamberBank: bank });
    expectClose(ledger.inflow, 1080 * ONE + 2520 * 1e-4, { absolute: 1e-11, because: "the corner's own width" });
  });

  test.each([1e-13, 1e-12, 1e-11, 1e-9])("of one body, a fall within %f s, end its inflow", (fall) => {
    const { ledger } = run(hydrograph({ time: [0, 600, 600 + fall, 1200], flow: [ONE, ONE, 0, 0] }));
    expectClose(ledger.inflow, 600 * ONE, { absolute: 1e-11, because: "the corner's own width" });
    expectClose(ledger.error, 0, { absolute: 1e-13, because: "round-off" });
  });

  test("before the start count as the start, and about the end as the end", () => {
    expectClose(run(hydrograph({ time: [0.3 - 0.1 - 0.2, 600, 600], flow: [ONE, ONE, 0] })).ledger.inflow, 0.6, { absolute: 1e-12, because: "round-off" });
    for (const until of [600 - 2e-13, 600, 600 + 2e-13]) {
      const { ledger, times } = run(hydrograph({ time: [0, 600, 600], flow: [ONE, ONE, 0] }), {}, until);
      expectClose(ledger.inflow, 0.6, { absolute: 1e-12, because: "round-off" });
      expect(times.at(-1)).toBe(until);
    }
  });

  test.each([1e-9, 2e-9, 5e-9, 1e-8, 1e-7])("late in a run, %f s apart, do not stop it", (apart) => {
    const [box, bank] = [3e5, 3e5 + apart].map((time) => hydrograph({ time: [0, time, 3e5 + 600], flow: [0, ONE, 0] }));
    expect(run({ settlingBox: box!, chamberBank: bank! }, {}, 4e5).until).toBe(4e5);
  });

  test("shut the lid when its schedule begins and free it when that ends", () => {
    const held = { emitter: { ...file.emitter, heldShut: [{ from: "18 min", to: "2 h" }] } };
    const before = (time: number): number => time * (1 - 2.4e-16);
    const { firings } = run(hydrograph({ time: [0, before(1080), before(7200), 20_000], flow: [0, 4e-3, 2e-3, 0] }), held, 8 * 3600);
    expect(firings.length).toBeGreaterThan(0);
    expect(firings[0]!.start).toBeGreaterThanOrEqual(before(7200));
  });
});
