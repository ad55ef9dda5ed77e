import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { sizeAnswer } from "../../lib/figures/sizeAnswer.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { designStorm } from "../../lib/rain/designStorm.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { resized } from "../../lib/study/resized.ts";
import { columnOf } from "../../lib/study/runStudy.ts";
import { size } from "../../lib/study/size.ts";
import { sizePlan, type SizeOptions } from "../../lib/study/sizeCases.ts";
import { expectClose } from "../closeTo.ts";

const text = (name: string): string => readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8");
const lane = readSite(text("copperbeech-lane"));
const HOUR = { pattern: "block", depth: "1.6 in", duration: "1 h" } as const;

describe("against a pit sized by hand", () => {
  // invented: a pit of stone without chambers or trench, a block storm of two hours
  const prism = readSite({
    name: "Prism", catchments: [{ name: "roof", area: "150 m^2", runoffCoefficient: 1, timeOfConcentration: "1 s" }],
    settlingBox: { diameter: "0.2 m", floor: "9.9 m", rim: "12 m", outlet: { diameter: "1 m", invert: "10 m" } },
    chamberBank: { floor: "9 m", length: "5 m", width: "2 m", ground: "10.9 m", stone: { depth: "1.9 m", porosity: 0.4 } },
    soil: { layers: [{ conductivity: "1e-5 m/s" }], factorOfSafety: 1 },
  });
  // h(D) = ((Q/q - A)/P)(1 - exp(-q P D/(n A))), floor and sides, the filling form in the Ontario guidance (read)
  const risen = (width: number): number => {
    const [Q, q, n, A, P, D] = [(150 * 0.05) / 7200, 1e-5, 0.4, 5 * width, 2 * (5 + width), 7200];
    return ((Q / q - A) / P) * (1 - Math.exp((-q * P * D) / (n * A)));
  };

  test("the least width whose water stays under the stone's top is the one of the formula", async () => {
    const widths = Array.from({ length: 21 }, (_, i) => 1.4 + 0.1 * i);
    const byHand = widths.find((width) => risen(width) <= 1.9)!;
    const storm = { pattern: "block", depth: "50 mm", duration: "2 h" };
    const { best, designs, table } = await size(prism, {
      criteria: [{ storm, noSpill: true }], steps: { pitWidth: widths.map((width) => `${width} m`) },
    });
    expectClose(best!.sizes.pitWidth!, byHand, { absolute: 1e-9, because: "a step of the widths tried" });
    expect(designs.indexOf(best!)).toBeGreaterThan(1);
    columnOf(table, "pitPeak").forEach((peak, i) => {
      if (risen(widths[i]!) > 1.9) return;
      expectClose(peak - 9, risen(widths[i]!), { relative: 0.012, because: "the box has 0.03 m2 beside the pit's 2.8 m2 of voids and more" });
    });
  });
});

describe("a sizing", () => {
  const options: SizeOptions = {
    criteria: [{ storm: HOUR, noFiring: true, emptyWithin: "72 h" }],
    steps: { chambers: [2, 3, 4, 5, 6, 7], trenchLength: ["30 ft", "45 ft", "60 ft"] },
  };

  test("names the least dug design that does it, and what binds", async () => {
    const result = await size(lane, options);
    const { best, designs, binding, criteria } = result;
    expect(designs).toHaveLength(18);
    expect(best!.met).toEqual([true, true]);
    for (const smaller of designs.filter(({ dug }) => dug < best!.dug)) expect(smaller.met).toContain(false);
    expect(binding.map((c) => criteria[c]!.asks)).toEqual(["noFiring"]);
    const run = simulate(best!.site, designStorm(HOUR));
    expect(run.firings).toEqual([]);
    expect(sizeAnswer(result)).toMatch(/^\d chambers and .* ft of trench are the least dug of 18 designs that do what is asked; with less, the emitter fires in “1.6 in, 1 h, block”\.$/);
  });

  test("by the user's prices another may be best", async () => {
    const steps = { ...options.steps, trenchLength: ["30 ft", "60 ft", "120 ft"] };
    const cheapTrench = await size(lane, { ...options, steps, prices: { chamber: 5000, trench: { per: "1 ft", price: 1 } } });
    const cheapChambers = await size(lane, { ...options, steps, prices: { chamber: 1, trench: { per: "1 ft", price: 500 } } });
    expect(cheapTrench.best!.sizes.chambers).toBeLessThan(cheapChambers.best!.sizes.chambers!);
    expectClose(cheapTrench.best!.cost!, 5000 * cheapTrench.best!.sizes.chambers! + cheapTrench.best!.sizes.trenchLength! / 0.3048, {
      relative: 1e-12, because: "the sum by hand",
    });
  });

  test("says why when none of the designs will do", async () => {
    const result = await size(lane, { ...options, criteria: [{ storm: { ...HOUR, depth: "6 in" }, noFiring: true, emptyWithin: "10 h" }] });
    expect(result.best).toBeNull();
    expect(result.never.map(({ criterion }) => result.criteria[criterion]!.asks)).toEqual(["noFiring", "emptyWithin"]);
    expect(sizeAnswer(result)).toMatch(/^It cannot be met with the sizes tried, because in none of 18 designs the emitter stays shut in “6 in, 1 h, block” \(nearest: .* gal\) and the pit is empty 10 h after “6 in, 1 h, block” \(nearest: .* h\)\.$/);
  });

  test("with silt over the floors nothing is better, and the size may have to be larger", async () => {
    const [clean, sealed] = [await size(lane, options), await size(lane, { ...options, sidesOnly: true })];
    const by = (result: typeof clean): Map<string, readonly number[]> => (
      new Map(result.designs.map(({ sizes, reached }) => [JSON.stringify(sizes), reached]))
    );
    for (const [sizes, reached] of by(sealed)) {
      const worse = reached.map((value) => (Number.isNaN(value) ? Infinity : value));
      worse.forEach((value, c) => expect(value).toBeGreaterThanOrEqual(by(clean).get(sizes)![c]! - 1e-3));
    }
    expect(sealed.best === null || sealed.best.dug >= clean.best!.dug).toBe(true);
  });

  test("says all that is wrong with its options", () => {
    expect(() => sizePlan(lane, {
      criteria: [{ storm: "flood", noFiring: true }, { storm: "Ash Creek, June 1973, as recorded", emptyWithin: "2 ft" }, { storm: HOUR }],
      steps: { chambers: [0], pitWidth: ["wide"] },
    } as never)).toThrow([
      "The works cannot be sized:",
      '  size.criteria[0].storm: expected "2-year day", or "1-hour cloudburst", or a storm as designStorm takes it, got "flood"',
      '  size.criteria[1].storm: expected "2-year day", or "1-hour cloudburst", or a storm as designStorm takes it, '
        + 'got "Ash Creek, June 1973, as recorded", a recorded one',
      '  size.criteria[1].emptyWithin: expected a time such as "10 min", "24 h" or "3 day", got "2 ft", a length',
      "  size.criteria[2].noFiring: expected something that is asked: noFiring, noSpill, emitterVolumeAtMost, halfEmptyWithin, "
        + "emptyWithin or boxHeadroom, got nothing",
      "  size.steps.chambers[0]: expected a whole number from 1 to 10000, got 0",
      '  size.steps.pitWidth[0]: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "wide"',
    ].join("\n"));
    expect(() => sizePlan(lane, { ...options, steps: { chambers: [3], pitWidth: ["1 ft"] } })).toThrow("The works cannot have these sizes:");
  });
});

describe("what grows with the works", () => {
  // without an emitter nothing but the soil and the spill takes water: a larger pit spills no more
  const noEmitter = readSite({ ...JSON.parse(text("linden-row")) as object, emitter: undefined, overflowTrench: undefined });

  test("without an emitter a larger pit never spills more", () => {
    for (const depth of ["60 mm", "120 mm", "200 mm"]) {
      let before = Infinity;
      for (const chambers of [1, 2, 3, 4, 6, 8, 12]) {
        const { ledger } = simulate(resized(noEmitter, { chambers }), designStorm({ pattern: "block", depth, duration: "1 h" }));
        const spilled = ledger.boxSpill + ledger.bankSpill;
        expect(spilled, `${depth}, ${chambers} chambers`).toBeLessThanOrEqual(before + 1e-6);
        before = spilled;
      }
    }
  });

  test("with one, what it lets out never rises by more than the water between its opening and closing heads", () => {
    for (const name of ["copperbeech-lane", "linden-row"]) {
      const site = readSite(text(name));
      const { opensAtHead, closesAtHead } = site.emitter!;
      let before = Infinity;
      for (const chambers of [2, 3, 4, 5, 6, 8, 10]) {
        const larger = resized(site, { chambers });
        const { ledger } = simulate(larger, designStorm({ pattern: "nrcs-ii", depth: "90 mm" }));
        const { chamberBank: pit, overflowTrench: trench, settlingBoxes } = larger;
        const boxes = settlingBoxes.reduce((sum, { planArea }) => sum + planArea, 0);
        const plan = pit.length * pit.width + trench!.length * trench!.width + boxes;
        expect(ledger.emitter, `${name}, ${chambers} chambers`).toBeLessThanOrEqual(before + plan * (opensAtHead - closesAtHead));
        before = ledger.emitter;
      }
    }
  });
});
