import { YEAR } from "../../lib/text/unitTable.ts";
import fc from "fast-check";
import { describe, expect, test, vi } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { oneLevel } from "../../lib/simulate/oneLevel.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { upkeepFigures } from "../../lib/site/upkeepFigures.ts";
import { MONTH, cleaningOf } from "../../lib/upkeep/cleaning.ts";
import { openingsToSpare, years } from "../../lib/upkeep/years.ts";
import { massOf, solidsBook, sumOfBooks } from "../../lib/upkeep/solidsBook.ts";
import { solidsIn, yearlyShowers, type SolidsPlace } from "../../lib/upkeep/solidsIn.ts";
import { everyText, intervalText, slowYear, upkeepCalendar } from "../../lib/upkeep/upkeepCalendar.ts";
import { basinCapture } from "../../lib/works/basinCapture.ts";
import { expectClose } from "../closeTo.ts";
import { changed, demo, fixture } from "../site/siteFiles.ts";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

const storms = [{ name: "2-year day", load: designStorm({ pattern: "nrcs-ii", depth: "3.3 in" }) }];
const house = readSite(demo("copperbeech-lane"));
const metric = readSite({ ...fixture("orchard-depot"), upkeep: { freezingIndex: "400 degC day" } });
const looked = years(house, { storms, years: 6 });

function placesOf(upkeep: object = {}): SolidsPlace[] {
  const site = readSite({ ...fixture("orchard-depot"), upkeep });
  return solidsIn(site, upkeepFigures(site).figures);
}

describe("solids that come to a box", () => {
  test("are 9 g of fines a year on a square metre that sends down 900 mm at 10 mg/L (derived)", () => {
    const [box] = placesOf({ rainPerYear: "1000 mm", fines: "10 mg/L" });
    // the shed's roof of 210 m2 sends down 0.9 of its rain
    expectClose((box!.inflow.fines * YEAR) / 210, 0.009, { relative: 1e-12, because: "round-off" });
    expectClose(box!.inflow.grit * YEAR, 210 * 0.05, { relative: 1e-12, because: "round-off" });
  });

  test("are held back as Hazen says, over flows weighed by their water", () => {
    expectClose(yearlyShowers.reduce((sum, { share }) => sum + share, 0), 1, { absolute: 1e-12, because: "round-off" });
    const [box] = placesOf({ leafSettling: "3 mm/s", basins: 2 });
    const sum = yearlyShowers.reduce((all, { intensity, share }) => (
      all + share * basinCapture({ settling: 0.003, planArea: 0.7 * 0.6, flow: intensity * 0.9 * 210, basins: 2 })
    ), 0);
    expectClose(box!.capture.leaves, sum, { relative: 1e-12, because: "round-off" });
    expect(box!.capture.grit).toBeGreaterThan(box!.capture.fines);
  });

  test("are weighed over a record's flows where there is one: steady rain is one flow", () => {
    const rain = hyetograph({ time: [0, 1e6], depth: [1e6 * 2e-6] });
    const [box] = solidsIn(metric, upkeepFigures(metric).figures, rain);
    // the rise and fall of 7 minutes are a part in two thousand of the record
    const steady = basinCapture({ settling: 0.005, planArea: 0.7 * 0.6, flow: 2e-6 * 0.9 * 210 });
    expectClose(box!.capture.leaves, steady, { relative: 1e-3, because: "the storm's two ends" });
    expectClose(box!.inflow.fines * YEAR, 0.01 * 0.9 * 0.9 * 210, { relative: 1e-9, because: "round-off" });
  });

  test("pass a gutter guard in part, and a catchment that drains to the pit sends all of it there", () => {
    const [open, guarded] = [placesOf()[0]!, placesOf({ gutterGuard: 0.75 })[0]!];
    expectClose(guarded.inflow.leaves, open.inflow.leaves / 4, { relative: 1e-12, because: "round-off" });
    expect(guarded.inflow.grit).toBe(open.inflow.grit);
    const yard = readSite(fixture("every-key"));
    const places = solidsIn(yard, upkeepFigures(yard).figures);
    expect(places.map(({ name }) => name)).toEqual(["east", "west", "chamberBank"]);
    const book = solidsBook(places[2]!, YEAR, 3.5 * YEAR);
    expect(book.toPit).toEqual(book.inflow);
    // nothing drains to the box in the west
    expect(massOf(solidsBook(places[1]!, null, YEAR).inflow)).toBe(0);
  });
});

describe("the book of solids", () => {
  const load = fc.record({
    gritPerYear: fc.integer({ min: 0, max: 2000 }).map((grams) => `${grams} g/m^2`),
    leavesPerYear: fc.integer({ min: 0, max: 2000 }).map((grams) => `${grams} g/m^2`),
    fines: fc.integer({ min: 0, max: 500 }).map((each) => `${each} mg/L`), basins: fc.integer({ min: 1, max: 6 }),
    fillingLimit: fc.integer({ min: 1, max: 18 }).map((each) => each / 20),
    washedOn: fc.integer({ min: 0, max: 10 }).map((each) => each / 10),
  });
  const kinds = ["fines", "grit", "leaves"] as const;

  test("closes: what came in is held, taken out or gone on to the pit, and none of them below nothing", () => {
    const interval = fc.option(fc.double({ min: 0.02, max: 5, noNaN: true }));
    fc.assert(fc.property(load, interval, fc.double({ min: 0, max: 60, noNaN: true }), (upkeep, every, after) => {
      const book = sumOfBooks(placesOf(upkeep).map((place) => solidsBook(place, every === null ? null : every * YEAR, after * YEAR)));
      for (const kind of kinds) {
        const { inflow, held, removed, toPit } = book;
        expectClose(held[kind] + removed[kind] + toPit[kind], inflow[kind], { relative: 1e-9, absolute: 1e-9, because: "round-off" }, kind);
        expect(Math.min(held[kind], removed[kind], toPit[kind])).toBeGreaterThanOrEqual(0);
      }
      expect(book.filling).toBeLessThanOrEqual(1);
    }), { numRuns: 60 });
  });

  test("with the box cleaned two, three or five times as often has never more in the pit, at any time", () => {
    const [interval, when] = [fc.double({ min: 0.1, max: 4, noNaN: true }), fc.double({ min: 0, max: 30, noNaN: true })];
    fc.assert(fc.property(load, interval, fc.constantFrom(2, 3, 5), when, (upkeep, every, times, after) => {
      for (const place of placesOf(upkeep)) {
        const [often, seldom, never] = [every / times, every, null].map((interval) => (
          solidsBook(place, interval === null ? null : interval * YEAR, after * YEAR)
        ));
        for (const kind of kinds) {
          const round = 1e-9 * (1 + seldom!.inflow[kind]);
          expect(often!.toPit[kind]).toBeLessThanOrEqual(seldom!.toPit[kind] + round);
          expect(seldom!.toPit[kind]).toBeLessThanOrEqual(never!.toPit[kind] + round);
        }
      }
    }), { numRuns: 60 });
  });

  test("is the same in the pit for every interval within which the limit is not passed", () => {
    const places = placesOf();
    const { first } = cleaningOf(places, null);
    const pit = (every: number): number => massOf(solidsBook(places[0]!, every, 12 * YEAR).toPit);
    expectClose(pit(first!.after * 0.3), pit(first!.after), { relative: 1e-9, because: "all that settles stays" });
    expect(pit(first!.after * 2)).toBeGreaterThan(pit(first!.after) * 1.01);
  });

  test("refuses what are not times", () => {
    expect(() => solidsBook(placesOf()[0]!, null, -1)).toThrow("time: expected 0 s or more, got -1");
    expect(() => solidsBook(placesOf()[0]!, 0, 1)).toThrow("cleanEvery: expected more than 0 s, got 0");
  });
});

describe("the interval between cleanings", () => {
  test("is whole months that keep every sump within its limit, a month at least, a year at most, or the file's own", () => {
    const usual = cleaningOf(placesOf(), null);
    // by hand from the book: half the sump over what settles in it
    expect(usual.by === "filling" ? usual.every <= usual.first!.after : usual.first!.after >= 12 * MONTH).toBe(true);
    expect(cleaningOf(placesOf({ leavesPerYear: "5 kg/m^2" }), null)).toMatchObject({ every: MONTH, by: "filling" });
    expect(cleaningOf(placesOf({ leavesPerYear: "0 kg/m^2", gritPerYear: "0 kg/m^2" }), null)).toMatchObject({ every: 12 * MONTH, by: "yearly" });
    expect(cleaningOf(placesOf(), 2 * YEAR)).toMatchObject({ every: 2 * YEAR, by: "file" });
    const clean = placesOf({ leavesPerYear: "0 kg/m^2", gritPerYear: "0 kg/m^2", fines: "0 mg/L" });
    expect(cleaningOf(clean, null)).toMatchObject({ first: null, volume: 0, mass: 0 });
  });

  test("is worded as a calendar has it", () => {
    expect([10 * 86_400, MONTH, 5 * MONTH, YEAR, 18 * MONTH, 2 * YEAR, 2.5 * YEAR].map(intervalText))
      .toEqual(["10 days", "1 month", "5 months", "1 year", "18 months", "2 years", "2.5 years"]);
    expect([MONTH, 5 * MONTH, YEAR].map(everyText)).toEqual(["every month", "every 5 months", "every year"]);
  });
});

describe("holes to spare", () => {
  const runOf = (share: number): Run => simulate(readSite(changed(demo("copperbeech-lane"), "chamberBank.chambers[0].wallOpenings", { share })), storms[0]!.load);

  test("are what oneLevel says may close, fewer where there are fewer", () => {
    const [many, few] = [runOf(0.2), runOf(0.05)].map((run) => ({ run, spare: openingsToSpare(run)! }));
    expect(many!.spare).toBeGreaterThan(few!.spare);
    expect(oneLevel(few!.run, { clogged: few!.spare })!.clogged.matters).toBe(false);
    expect(oneLevel(few!.run, { clogged: Math.min(0.9999, few!.spare + 0.002) })!.clogged.matters).toBe(true);
  });

  test("are missing where the holes are too few when clean, and not known where the file does not tell them", () => {
    expect(openingsToSpare(runOf(1e-5))).toBe(0);
    expect(looked.holesToSpare).toBeNull();
  });
});

describe("the years of a site", () => {
  test("begin with the works as given, by a run of their own", () => {
    const run = simulate(house, storms[0]!.load, { until: looked.cleaned.years[0]!.answers[0]!.until });
    for (const course of [looked.cleaned, looked.left]) {
      expect(course.years.map(({ year }) => year)).toEqual([0, 1, 2, 3, 4, 5, 6]);
      expect(course.years[0]).toMatchObject({ cake: 0, openFloorShare: 1 });
      expect(course.years[0]!.answers[0]).toMatchObject({ ...run.drainDown, pitPeak: run.peaks.chamberBank!.level, storm: "2-year day" });
    }
  });

  test("are our own runs on a floor that clogs", () => {
    const { openFloorShare, answers } = looked.left.years[4]!;
    const clogged = changedSite(house, { chamberBank: { ...house.chamberBank, openFloorShare } });
    const run = simulate(clogged, storms[0]!.load, { until: answers[0]!.until });
    expect(answers[0]).toMatchObject(run.drainDown);
    expectClose(answers[0]!.emitter, run.ledger.emitter, { absolute: 1e-9, because: "round-off" });
  });

  test("only ever clog and drain slower, fire more in the end, and upkeep never makes it worse", () => {
    for (const { years: states } of [looked.cleaned, looked.left]) {
      for (let i = 1; i < states.length; i++) {
        expect(states[i]!.openFloorShare).toBeLessThan(states[i - 1]!.openFloorShare);
        expect(states[i]!.answers[0]!.empty!).toBeGreaterThan(states[i - 1]!.answers[0]!.empty!);
        expect(states[i]!.shareBand.low).toBeLessThan(states[i]!.openFloorShare);
        expect(states[i]!.shareBand.high).toBeGreaterThan(states[i]!.openFloorShare);
      }
    }
    looked.cleaned.years.forEach(({ openFloorShare, answers: [answer] }, i) => {
      expect(openFloorShare).toBeGreaterThanOrEqual(looked.left.years[i]!.openFloorShare);
      expect(answer!.empty!).toBeLessThanOrEqual(looked.left.years[i]!.answers[0]!.empty! + 1);
    });
    expect(looked.left.years[6]!.answers[0]!.emitter).toBeGreaterThan(looked.left.years[0]!.answers[0]!.emitter);
  });

  test("name what to do, when, and where that comes from", () => {
    expect(looked.calendar.map(({ what, source }) => [what, source])).toEqual([
      ["Settling box: take out what has settled", "computed"], ["Gutters and their guards", "common practice"],
      ["Emitter: lift the lid by hand", "common practice"], ["After a heavy storm: look", "common practice"], ["Time the pit's draining", "computed"],
    ]);
    expect(looked.calendar[0]!.when).toBe(everyText(looked.cleaning.every));
    const seldom = years(readSite({ ...demo("copperbeech-lane"), upkeep: { cleanEvery: "3 year" } }), { storms, years: 1 });
    expect(seldom.calendar[0]).toMatchObject({ when: "every 3 years", source: "the site file" });
    expect(seldom.calendar[0]!.words).toContain("That is sooner than it is cleaned: what lies above the limit goes on to the pit.");
    expect([slowYear(seldom.cleaned), slowYear(seldom.left)]).toEqual([null, null]);
    // a pit that stays quick is not said to take twice as long in no year
    expect(seldom.calendar.at(-1)!.words)
      .toBe("It does not come to take twice as long as new within 1 year, with the box cleaned or left alone; if it does all the same, the floor has to be opened up.");
    const late = seldom.left.years.map((state) => ({
      ...state, answers: state.answers.map((answer) => ({ ...answer, empty: answer.empty! * (state.year > 0 ? 3 : 1) })),
    }));
    expect(upkeepCalendar(seldom.site, seldom.cleaning, seldom.cleaned, { ...seldom.left, years: late }, seldom.cold).at(-1)!.words)
      .toBe("With the box cleaned it does not come to take twice as long as new within 1 year; left alone it does in year 1: then the floor has to be opened up.");
  });

  test("have a cold side: frost beside the depths of the works, and each step of the cold on top of the last", () => {
    const { cold } = years(metric, { storms, years: 1 });
    // 400 degC day, 1.8 W/m/K, 15 percent of 1600 kg/m3: sqrt(124.416e6/80.16e6) (by hand)
    expectClose(cold.frost!.depth, 1.24583, { absolute: 1e-5, because: "six digits" });
    expect(cold.frost!.places.map(({ name, reach }) => [name, reach])).toEqual([
      // outlet 0.74 m under the rim, pipe 0.736 m under the ground, stone from 0.65 to 2.1 m
      ["emitter", "below"], ["box outlet", "below"], ["trench pipe", "below"], ["stone of the pit", "into"],
    ]);
    const [{ asGiven, coldWater, frozenGround, lidIced }] = cold.storms as [typeof cold.storms[number]];
    expect(coldWater.empty!).toBeGreaterThan(asGiven.empty!);
    expect(frozenGround!.empty!).toBeGreaterThan(coldWater.empty!);
    expect(lidIced).toMatchObject({ emitter: 0 });
    expect(lidIced!.pitPeak).toBeGreaterThan(frozenGround!.pitPeak);
    const mild = changedSite(house, { upkeep: null });
    expect(years(mild, { storms, years: 1 }).cold.frost).toBeNull();
  });

  test("go without an emitter, over groundwater, and with boxes by name", () => {
    const bare = years(readSite(changed(fixture("tested-soil"), "groundwater", undefined)), { storms, years: 2 });
    expect(bare.cold.storms[0]!.lidIced).toBeNull();
    expect(bare.calendar.some(({ what }) => what.startsWith("Emitter"))).toBe(false);
    const low = years(readSite(demo("sedge-hollow")), { storms, years: 2 });
    expect(low.cleaned.years[0]!.openFloorShare).toBe(0.5);
    expect(low.cleaned.years[0]!.answers[0]).toMatchObject({ rest: "groundwater" });
    expect(years(readSite(fixture("two-boxes")), { storms, years: 1 }).calendar[0]!.what).toBe("Settling boxes: take out what has settled");
  });

  test("say all that is wrong with their options", () => {
    const wrong = { storms: [{ name: 1, load: storms[0]!.load }], years: 2.5, rain: hyetograph({ time: [0, 60], depth: [0] }), year: 3 };
    expect(() => years(house, wrong as never)).toThrow([
      "The years cannot be run:",
      "  years.years: expected a whole number of years, got 2.5",
      "  years.storms[0].name: expected the storm's name, a text, got 1",
      "  years.rain: expected a record in which it rains, such as readRain makes, got none",
      '  years.year: expected no such key (did you mean "years"?), got 3',
    ].join("\n"));
    expect(() => years(house, { storms: [] })).toThrow("years.storms: expected a list of one or more, got");
  });
});
