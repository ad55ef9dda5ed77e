import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { sizeAnswer, sizeReason } from "../../lib/figures/sizeAnswer.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import type { AskedRun } from "../../lib/study/askedRuns.ts";
import { columnOf } from "../../lib/study/runStudy.ts";
import { size } from "../../lib/study/size.ts";
import { sizePlan, type SizeOptions } from "../../lib/study/sizeCases.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import type { Prices } from "../../lib/site/prices.ts";
import { expectClose } from "../closeTo.ts";
import { demo } from "../site/siteFiles.ts";

const text = (name: string): string => readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8");
const lane = readSite(text("copperbeech-lane"));
/** A lot of which nothing is said, so that there is room for everything; and nothing has a price. */
const wide = (name: string): Site => readSite({ ...JSON.parse(text(name)) as object, surroundings: undefined, prices: undefined });
const open = wide("copperbeech-lane");
const HOUR = { pattern: "block", depth: "1.6 in", duration: "1 h" } as const;

const NO_PRICES: Prices = {
  about: "", currency: "USD", dig: null, cartAway: null, stone: null, fabric: null, pipe: null, perforatedPipe: null, fitting: null, settlingBox: null,
  chamber: null, emitter: null, turf: null, lumpSums: [],
};

describe("against a pit sized by hand", () => {
  // A trench of 10 m, voids 0.35, 1e-5 m/s through floor and sides, filled with 2 L/s for an hour: 144 m2 of roof and 50 mm of rain.
  const prism = readSite({
    name: "Prism", catchments: [{ name: "roof", area: "144 m^2", runoffCoefficient: 1, timeOfConcentration: "1 s" }],
    settlingBox: { diameter: "0.1 m", floor: "9.9 m", rim: "12 m", outlet: { diameter: "1 m", invert: "10 m" } },
    chamberBank: { floor: "10 m", length: "10 m", width: "2 m", ground: "10.9 m", stone: { depth: "0.9 m", porosity: 0.35 } },
    soil: { layers: [{ conductivity: "1e-5 m/s" }], factorOfSafety: 1 },
  });
  // h(D) = a (e^(-b D) - 1), a = A/P - Q/(P q), b = P q/(n A): the filling form of floor and sides in the Ontario guidance (read)
  const risen = (width: number, box: number): number => {
    const [Q, q, D, A, P] = [0.002, 1e-5, 3600, 10 * width, 2 * (10 + width)];
    return (A / P - Q / (P * q)) * (Math.exp((-P * q * D) / (0.35 * A + box)) - 1);
  };
  // the box stands as full as the pit
  const BOX = (Math.PI / 4) * 0.1 ** 2;

  test("the formula has the figure that was worked out elsewhere", () => {
    expectClose(risen(2, 0), 0.8708641978799189, { relative: 1e-12, because: "derived, closed-forms.json of the checks: fill_constant_inflow" });
  });

  test("the least width whose water stays under the stone's top is the one of the formula, to the step", async () => {
    const widths = Array.from({ length: 31 }, (_, i) => Number((1.2 + 0.05 * i).toFixed(2)));
    const byHand = widths.find((width) => risen(width, BOX) <= 0.9)!;
    const { best, ofSteps, designs, table, binding } = await size(prism, {
      criteria: [{ storm: { depth: "50 mm", duration: "1 h" }, noSpill: true }], steps: { pitWidth: widths.map((width) => `${width} m`) },
    });
    expectClose(ofSteps!.sizes.pitWidth!, byHand, { absolute: 1e-9, because: "a step of the widths tried" });
    expect(designs.indexOf(ofSteps!)).toBeGreaterThan(5);
    // between the steps the least there is, to the centimetre
    expect([risen(best!.sizes.pitWidth!, BOX) <= 0.9 + 1e-4, risen(best!.sizes.pitWidth! - 0.01, BOX) > 0.9 - 1e-4]).toEqual([true, true]);
    expect(binding).toMatchObject([{ size: "pitWidth", misses: [0] }]);
    columnOf(table, "pitPeak").forEach((peak, i) => {
      const expected = risen(widths[i]!, BOX);
      if (expected > 0.9) expect(peak - 10).toBeGreaterThan(0.9 - 1e-4);
      else expectClose(peak - 10, expected, { relative: 5e-4, because: "losses of the way in, and the coarse tolerance of studies" }, `${widths[i]} m`);
    });
  });
});

describe("a criterion that names a return period and no duration", () => {
  const rainfall = { unit: "in", returnPeriods: ["2 year", "10 year"], rows: { "15 min": [0.85, 1.2], "1 h": [1.5, 2.3], "6 h": [2.3, 3.5], "24 h": [3.3, 5] } };
  const steps = { chambers: [4] };
  const of = async (storm: object, more: object = { emitterVolumeAtMost: "1000 gal" }): Promise<{ reached: number; decided: AskedRun }> => {
    const { designs } = await size(lane, { rainfall, criteria: [{ storm: { returnPeriod: "10 year", ...storm }, ...more }], steps });
    return { reached: designs[0]!.reached[0]!, decided: designs[0]!.decided[0]! };
  };

  test("is as bad as the worst of the table's durations, each alone, or worse after the 2-year day", async () => {
    const alone = await Promise.all(["15 min", "1 h", "6 h", "24 h"].map(async (duration) => (await of({ duration })).reached));
    const { reached, decided } = await of({});
    expect(reached).toBeGreaterThanOrEqual(Math.max(...alone));
    expect(decided.dayBefore!.depth[0]).toBeCloseTo(3.3 * 0.0254, 12);
    // what the storm adds after that day, by two runs
    const day = { time: [0, 86400], depth: [3.3 * 0.0254] };
    const both = simulate(lane, hyetograph({ time: decided.rain.time, depth: decided.rain.depth }));
    const before = simulate(lane, hyetograph(day), { until: 86400 });
    expectClose(reached, both.emitted - before.emitted, { absolute: 2e-3, because: "the coarse tolerance of studies" });
  });

  test("without a 2-year day in the table starts empty only, and says when the table's end decides", async () => {
    const rare = { unit: "in", returnPeriods: ["10 year"], rows: { "1 h": [2.3], "6 h": [3.5] } };
    const { designs, storms } = await size(lane, { rainfall: rare, criteria: [{ storm: { returnPeriod: "10 year" }, emitterVolumeAtMost: "1 gal" }], steps });
    expect(storms).toEqual(["10 year, block, any duration"]);
    const { duration, edge, dayBefore } = designs[0]!.decided[0]!;
    expect([dayBefore, ["shortest", "longest"].includes(edge!), ["1 h", "6 h"].includes(duration!)]).toEqual([null, true, true]);
  });

  test("keeps a duration that it names, and a nested storm is not one of these", async () => {
    expect((await of({ duration: "1 h" })).decided.duration).toBeNull();
    const nested = await size(lane, {
      rainfall: { ...rainfall, rows: { "5 min": [0.42, 0.58], ...rainfall.rows } },
      criteria: [{ storm: { pattern: "nested", returnPeriod: "10 year" }, noSpill: true }], steps,
    });
    expect(nested.designs[0]!.decided[0]!.duration).toBeNull();
  });
});

describe("a sizing", () => {
  const options: SizeOptions = {
    criteria: [{ storm: HOUR, noFiring: true, emptyWithin: "72 h" }],
    steps: { chambers: [2, 3, 4, 5, 6, 7], trenchLength: ["30 ft", "45 ft", "60 ft"] },
  };

  test("names the least dug design that does it, and what binds", async () => {
    const result = await size(open, options);
    const { best, ofSteps, designs, binding, criteria } = result;
    expect(designs).toHaveLength(18);
    expect([best!.met, best!.dug <= ofSteps!.dug]).toEqual([[true, true], true]);
    for (const smaller of designs.filter(({ dug }) => dug < best!.dug)) expect(smaller.met).toContain(false);
    for (const { size: name, misses } of binding) expect([name, misses.map((c) => criteria[c]!.asks)]).toEqual([name, ["noFiring"]]);
    expect(binding.map(({ size: name }) => name)).toContain("chambers");
    for (const { reached, margins, met } of designs) {
      margins.forEach((margin, c) => expect(margin).toBe(criteria[c]!.limit - reached[c]!));
      margins.forEach((margin, c) => expect(met[c]).toBe(margin >= (c === 0 ? -1e-4 : 0)));
    }
    const run = simulate(best!.site, designStorm(HOUR));
    expect(run.firings).toEqual([]);
    expect(sizeAnswer(result)).toMatch(
      /^\d chambers in a pit .* by 8 ft, 6 ft 1 in deep, and .* of trench: the least dug that does what is asked, of 18 designs and what lies between their steps\.$/,
    );
    expect(sizeReason(result)).toMatch(/^One step down, all else equal: with fewer chambers.* the emitter does not stay shut in “1\.6 in, 1 h, block”; once silt has sealed the floors none of the sizes tried does all that is asked\.$/);
  });

  test("says which sizes bind by which criteria, the next smaller of each having been run", async () => {
    const result = await size(open, {
      criteria: [{ storm: HOUR, noFiring: true }], steps: { chambers: [3, 4, 5], pitWidth: ["8 ft", "10 ft"], trenchLength: ["30 ft", "60 ft"] },
    });
    const { best, binding } = result;
    for (const { size: key, design, misses } of binding) {
      expect(best!.sizes[key]! - design.sizes[key]!).toBeCloseTo(key === "chambers" ? 1 : 0.0127, 9);
      expect([design.met, misses]).toEqual([[false], [0]]);
    }
    const least = await size(open, { criteria: [{ storm: { ...HOUR, depth: "0.1 in" }, noFiring: true }], steps: { chambers: [2, 3], pitWidth: ["8 ft"] } });
    expect(least.binding).toEqual([]);
    expect(sizeAnswer(least)).toBe("2 chambers in a pit 6 ft 9 in by 8 ft, 6 ft 1 in deep, and 45 ft of trench: the least dug that does what is asked, of 2 designs and what lies between their steps.");
    expect(sizeReason(least)).toBe("None smaller was tried; it does so too once silt has sealed the floors.");
  });

  test("a time that is asked is waited for, however long", async () => {
    const slow = readSite({ ...JSON.parse(text("copperbeech-lane")) as object, surroundings: undefined, soil: { layers: [{ conductivity: "0.06 in/hr" }], factorOfSafety: 2 } });
    const storm = { depth: "1.2 in", duration: "1 h" };
    const { drainDown } = simulate(slow, designStorm({ pattern: "block", ...storm }), { until: "900 h" });
    const asked = (hours: number): SizeOptions => ({ criteria: [{ storm, emptyWithin: `${hours} h` }], steps: { chambers: [4] } });
    const hours = Math.ceil(drainDown.empty! / 3600);
    expect(hours).toBeGreaterThan(300);
    const [met, missed] = [await size(slow, asked(hours)), await size(slow, asked(hours - 1))];
    expectClose(met.best!.reached[0]!, drainDown.empty!, { relative: 1e-3, because: "the coarse tolerance of studies" });
    expect(missed.best).toBeNull();
  });

  test("by the user's prices another may be best", async () => {
    const steps = { ...options.steps, trenchLength: ["30 ft", "60 ft", "120 ft"] };
    const by = (chamber: number, pipe: number): typeof open => changedSite(open, { prices: {
      ...NO_PRICES, chamber: { from: chamber, to: chamber }, perforatedPipe: { from: pipe, to: 3 * pipe },
    } });
    const cheapTrench = await size(by(5000, 1), { ...options, steps });
    const cheapChambers = await size(by(1, 500), { ...options, steps });
    const { chambers, trenchLength } = cheapTrench.best!.sizes;
    expect(chambers).toBeLessThan(cheapChambers.best!.sizes.chambers!);
    // whole lengths of 10 ft, half-way between the two prices
    expectClose(cheapTrench.best!.cost!, 5000 * chambers! + 2 * 3.048 * Math.ceil(trenchLength! / 3.048 - 1e-9), { relative: 1e-12, because: "the sum by hand" });
  });

  test("says why when none of the designs will do", async () => {
    const result = await size(open, { ...options, criteria: [{ storm: { ...HOUR, depth: "6 in" }, noFiring: true, emptyWithin: "10 h" }] });
    expect(result.best).toBeNull();
    expect(result.never.map(({ criterion }) => result.criteria[criterion]!.asks)).toEqual(["noFiring", "emptyWithin"]);
    expect(sizeAnswer(result)).toMatch(/^It cannot be met with the sizes tried, because in none of 18 designs the emitter stays shut in “6 in, 1 h, block” \(nearest: .* gal\) or the pit is empty within 10 h of being last full in “6 in, 1 h, block” \(nearest: .* h\)\.$/);
  });

  test("says which two things are never done at once, where each is done by some", async () => {
    // More water kept behind a shut lid takes longer to soak away: a time between the quickest of all and the quickest that stays shut.
    const linden = wide("linden-row");
    const storm = { depth: "50 mm", duration: "1 h" };
    const steps = { chambers: [2, 3, 4, 5], trenchLength: ["10 m", "14 m"] };
    const asked = (time: string): SizeOptions => ({ criteria: [{ storm, noFiring: true, noSpill: true, halfEmptyWithin: time }], steps });
    const { designs } = await size(linden, asked("100 h"));
    const halves = designs.map(({ reached }) => reached[2]!);
    const halvesShut = halves.filter((_, i) => designs[i]!.met[0]);
    const [quickest, quickestShut] = [Math.min(...halves), Math.min(...halvesShut)];
    expect(quickestShut).toBeGreaterThan(quickest + 60);
    // half a minute more than the quickest of all, so that nothing between the steps does both either
    const result = await size(linden, asked(`${quickest + 30} s`));
    expect([result.best, result.never, result.apart]).toEqual([null, [], [[0, 2]]]);
    expect(sizeAnswer(result)).toMatch(new RegExp("^It cannot be met with the sizes tried, because none of 8 designs does both: the emitter stays shut in "
      + "“50 mm, 1 h, block”, and the pit is half empty within .* of being last full in “50 mm, 1 h, block”\\.$"));
  });

  test("holds rules of thumb beside it: the first design with such room, or that number of chambers", async () => {
    const roof = lane.catchments.reduce((sum, { area }) => sum + area, 0);
    const result = await size(lane, { ...options, rulesOfThumb: [{ roofPerChamber: `${roof / 4.5} m^2` }, { rainStored: "0.2 in" }, { rainStored: "9 in" }] });
    const [five, little, much] = result.rulesOfThumb;
    expect(five!.design!.sizes).toEqual({ chambers: 5, trenchLength: expect.closeTo(30 * 0.3048, 9) as number });
    expect(little!.design).toBe(result.designs[0]);
    expect(much!.design).toBeNull();
    expect((await size(lane, options)).rulesOfThumb.map(({ kind, amount }) => [kind, amount])).toEqual([["rainStored", 0.0254], ["rainStored", 0.0381]]);
  });

  test("with silt over the floors nothing is better, and the size may have to be larger", async () => {
    const [clean, sealed] = [await size(open, options), await size(open, { ...options, sidesOnly: true })];
    const by = (result: typeof clean): Map<string, readonly number[]> => (
      new Map(result.designs.map(({ sizes, reached }) => [JSON.stringify(sizes), reached]))
    );
    for (const [sizes, reached] of by(sealed)) {
      const worse = reached.map((value) => (Number.isNaN(value) ? Infinity : value));
      worse.forEach((value, c) => expect(value).toBeGreaterThanOrEqual(by(clean).get(sizes)![c]! - 1e-3));
    }
    const shut = { ...options, criteria: [{ storm: { ...HOUR, depth: "1.7 in" }, noFiring: true }] as const };
    const [first, later] = [await size(open, shut), await size(open, { ...shut, sidesOnly: true })];
    expect(later.best!.dug).toBeGreaterThan(first.best!.dug);
    expect([clean.sidesOnly, sealed.sidesOnly]).toEqual([false, true]);
    // beside the clean ones the same is found without being asked
    expect([first.sealedToo, first.sealed!.sizes, later.sealedToo]).toEqual([true, later.best!.sizes, false]);
    expect(sizeReason(first)).toMatch(/; for floors sealed by silt it would have to be \d chambers in a pit .*\.$/);
    expect(sizeAnswer(later)).toContain(" that does what is asked with silt over the floors, of ");
    expect(sizeAnswer(first)).not.toContain("silt");
  });

  test("says all that is wrong with its options", () => {
    expect(() => sizePlan(lane, {
      criteria: [{ storm: "flood", noFiring: true }, { storm: "Ash Creek, June 1973, as recorded", emptyWithin: "2 ft" }, { storm: HOUR }],
      steps: { chambers: [0], pitWidth: ["wide"] },
    })).toThrow([
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
    expect(() => sizePlan(lane, { ...options, criteria: [{ storm: { pattern: "block", depth: "2 in", duration: "0 h" }, noFiring: true }] }))
      .toThrow("size.criteria[0].storm.duration: expected a time above 0 s");
    expect(() => sizePlan(readSite({ ...demo("copperbeech-lane"), prices: { file: "yard.json" } }), options))
      .toThrow(/^The works cannot be sized:\n {2}size\.prices: expected prices as they are read, in the site itself, got the name of a file$/);
    expect(() => sizePlan(lane, {
      ...options, steps: { chambers: [3, 4, 5], pitWidth: ["1 ft", "9 ft"], trenchLength: ["0 ft"] }, rulesOfThumb: [{ rainStored: "5 gal" }],
    })).toThrow([
      "The works cannot be sized:",
      "  size.steps.trenchLength[0]: expected a length of 0.001 m or more and of 10000 m or less, got \"0 ft\"",
      "  size.steps.pitWidth: expected a pit at least as long and wide as a chamber, 2.46 ft, got 1 ft",
      '  size.rulesOfThumb[0].rainStored: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "5 gal", a volume',
    ].join("\n"));
    expect(() => sizePlan(lane, { ...options, steps: { chambers: Array.from({ length: 80 }, (_, i) => i + 1), pitWidth: Array.from({ length: 80 }, (_, i) => `${8 + i} ft`) } }))
      .toThrow("size.steps: expected no more than 5000 designs, got 6400");
  });
});
