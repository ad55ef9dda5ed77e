import { describe, expect, test } from "vitest";
import { fillModel, type FilledPit } from "../../lib/dips/fillModel.ts";
import { withFoundSoil } from "../../lib/dips/pitLife.ts";
import { normalDraw } from "../../lib/numerics/draw.ts";
import { designPart } from "../../lib/report/designPart.ts";
import { oftenPart } from "../../lib/report/oftenPart.ts";
import { surePart } from "../../lib/report/surePart.ts";
import { measuredSoil } from "../../lib/site/measuredSoil.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { asMeasured, soilScatter } from "../../lib/study/ensembleCases.ts";
import { howSure } from "../../lib/study/howSure.ts";
import { often } from "../../lib/study/often.ts";
import { size } from "../../lib/study/size.ts";
import { quantity } from "../../lib/text/quantity.ts";
import { expectClose } from "../closeTo.ts";
import { changed, demo } from "../site/siteFiles.ts";

/** The lane's top layer is given as 0.25 in/h and divided by 2; a season found 0.4 times that. */
const FOUND = { soil: 0.4, low: 0.32, high: 0.5, since: "2026-01-01", countedOn: "0.125 in/hr" };
const diary = [{ date: "2025-03-01", found: { ...FOUND, soil: 0.45 } }, { date: "2026-03-02", found: FOUND }, { date: "2026-04-01", lid: "open" }];
const drawn = demo("copperbeech-lane");
const lane = readSite(changed(drawn, "diary", diary));
const exactly = { relative: 1e-12, because: "round-off" };

const top = ({ soil }: Site): number => soil.layers[0]!.conductivity;

/** Three evenings of dips on the lane's works as drawn, in soil that takes in 0.4 times what is counted on, read to 2 mm; invented. */
function evenings(soil = 0.4): Record<string, unknown> {
  const minutes = [90, 105, 120, 150, 180, 1440, 1470, 1500, 1560, 2880, 2910, 2970];
  const site = readSite(drawn);
  const { floor } = site.chamberBank;
  const pit: FilledPit = {
    site, filling: { by: "hose", into: "chamberBank", flow: 7.5e-4, duration: 4800, within: 0.1 },
    dips: { time: Float64Array.from(minutes, (each) => 60 * each), level: Float64Array.of(floor + 0.8) },
  };
  const levels = fillModel(pit, []).levels([0, soil], pit.dips.time);
  const read = Array.from(levels, (level, i) => (100 * (level - floor + 0.002 * normalDraw(3, 1, i))).toFixed(1));
  const dips = minutes.map((each, i) => ({ time: `${each} min`, depth: `${read[i]!} cm` }));
  return { date: "2026-06-01", inflow: { flow: "0.75 L/s", duration: "80 min" }, dips };
}

describe("the soil that a fill test of the diary found goes into what is decided", () => {
  const told = (diary: readonly unknown[], file = drawn) => {
    const whole = changed(file, "diary", diary);
    return withFoundSoil(whole, readSite(whole));
  };

  test("by its own dips, with a band that holds what was planted; the latest entry stands, a season or a fill test", () => {
    const { site, notes } = told([evenings(), { date: "2026-07-01", lid: "shut" }]);
    expect(notes).toEqual([]);
    const { by, date, factor, low, high } = measuredSoil(site)!;
    expect([by, date]).toEqual(["fill test", "2026-06-01"]);
    // 0.4 times what the design counts on, which is half of what was tested
    expect(low < 0.2 && 0.2 < high && high / low < 1.5).toBe(true);
    expectClose(top(asMeasured(site)), quantity("0.25 in/hr", "speed", "soil") * factor, exactly);
    expect(soilScatter(site)).toBeLessThan(1.25);
    expect(measuredSoil(told([evenings(), { date: "2027-03-02", found: FOUND }]).site)!.by).toBe("season");
    expect(measuredSoil(told([evenings(), { date: "2025-03-02", found: FOUND }]).site)!.by).toBe("fill test");
  });

  test("one that sets no bound, or fits no works, is left out and named; a wrong one is refused where it stands", () => {
    // a pit that loses hardly anything over its evenings: how slow the soil is stays open below
    const still = { date: "2026-06-01", dips: ["80.1", "79.2", "80", "77.9"].map((depth, i) => ({ time: `${i * 2} h`, depth: `${depth} cm` })) };
    const left = told([still]);
    expect(measuredSoil(left.site)).toBeNull();
    expect(left.site.diary).toEqual(readSite(changed(drawn, "diary", [still])).diary);
    expect(left.notes).toEqual(["The fill test of 2026-06-01 is not counted in what is decided: its dips set no bound on the soil."]);
    expect(() => told([{ date: "2026-06-01", lid: "shut" }, { date: "2026-06-02", dips: [{ time: "1 h", depth: "40 inn" }] }])).toThrow(/diary\[1\]\.dips/);
    // dips of works that fail are no fill test
    expect(told([{ ...evenings(), inflow: undefined, storm: "1-hour cloudburst", timesFrom: "end" }].map((each) => JSON.parse(JSON.stringify(each)) as object)).site.diary[0]).not.toHaveProperty("found");
  });

  test("answers change, and the page says whose figure it is", async () => {
    const { site } = told([evenings()]);
    const storm = { pattern: "block", depth: "1.8 in", duration: "1 h" } as const;
    const [before, now] = await Promise.all([readSite(drawn), site].map((each) => howSure(each, { storm, runs: 60, moments: 2 })));
    expect(now!.answers.half[2]!).toBeGreaterThan(3 * before!.answers.half[2]!);
    const sure = surePart(now!, "cloudburst").section.markup.replaceAll("\u00a0", " ");
    expect(sure).toMatch(/found by a fill test on 2026-06-01, 0\.(?:19\d?|2|20\d|21\d?) times what was tested or given \(0\.1\d+ to 0\.2\d+\)/);
    expect(sure).toMatch(/within a factor of 1\.\d+ of it, as far as that fill test tells/);
    const asked = surePart(await howSure(site, { storm, runs: 20, moments: 2, conductivityWithin: 3 }), "cloudburst").section.markup.replaceAll("\u00a0", " ");
    expect(asked).toMatch(/within a factor of 3 of it, as the file says; what was measured gives 1\.\d+, which is taken where the file leaves out “conductivityWithin”/);
    const sizing = await size(site, { criteria: [{ storm, noSpill: true }], steps: { chambers: [4] } });
    const words = designPart(sizing, site, null).section.markup.replaceAll("\u00a0", " ");
    expect(words).toMatch(/A fill test on 2026-06-01 found that the soil takes in 0\.\d+ times/);
  });
});

describe("the soil that a season of a logger found goes into what is decided", () => {
  test("draws centre on it, layer by layer, and are as wide as its own band", () => {
    // 0.4 times 0.125 in/h is 0.05 in/h: 0.2 times what was given (derived); the second layer goes with the first
    expectClose(top(asMeasured(lane)), quantity("0.05 in/hr", "speed", "soil"), exactly);
    expectClose(asMeasured(lane).soil.layers[1]!.conductivity, 0.2 * lane.soil.layers[1]!.conductivity, exactly);
    expect(asMeasured(lane).soil.factorOfSafety).toBe(1);
    expectClose(soilScatter(lane), Math.sqrt(0.5 / 0.32), exactly);
    expect(measuredSoil(readSite(drawn))).toBeNull();
  });

  test("it is not counted twice once the file has the measured figure", () => {
    const mended = readSite(changed(changed(changed(drawn, "diary", diary), "soil.layers.0.conductivity", "0.05 in/hr"), "soil.factorOfSafety", 1));
    expectClose(measuredSoil(mended)!.factor, 1, exactly);
    expectClose(top(asMeasured(mended)), quantity("0.05 in/hr", "speed", "soil"), exactly);
  });

  test("an entry without what the design then counted on is no figure for it; a wrong one is refused", () => {
    const { countedOn: _, ...told } = FOUND;
    expect(measuredSoil(readSite(changed(drawn, "diary", [{ date: "2026-03-02", found: told }])))).toBeNull();
    const wrong = readSite(changed(drawn, "diary", [{ date: "2026-03-02", found: { ...FOUND, low: 0.6, countedOn: "2 ft" } }]));
    expect(() => measuredSoil(wrong)).toThrow(/diary\[0\]\.found\.countedOn[^]*diary\[0\]\.found\.soil/);
  });

  test("answers change, and the page says whose figure it is", async () => {
    const storm = { pattern: "block", depth: "1.8 in", duration: "1 h" } as const;
    const [before, now] = await Promise.all([readSite(drawn), lane].map((site) => howSure(site, { storm, runs: 60, moments: 2 })));
    // five times slower: the middle of the time to half empty is later by more than three times, and the measured band is narrower
    expect(now!.answers.half[2]!).toBeGreaterThan(3 * before!.answers.half[2]!);
    const wide = ({ answers: { half } }: typeof now & object): number => half[4]! / half[0]!;
    expect(wide(now!)).toBeLessThan(wide(before!));
    const sure = surePart(now!, "cloudburst").section.markup.replaceAll("\u00a0", " ");
    expect(sure).toContain("found by a season of a logger until 2026-03-02, 0.2 times what was tested or given (0.16 to 0.25)");
    expect(sure).toContain("within a factor of 1.25 of it, as far as that season tells");
    expect(sure).toContain("With the soil as measured the emitter");

    const years = oftenPart(await often(lane, { climate: { stormsPerYear: 20, meanDepth: "0.5 in", meanDuration: "4 h" }, years: 6, soils: 3, conductivityWithin: 1.25 }));
    expect(years.section.markup).toContain("soil, times the one measured until 2026-03-02");
    expect(years.section.markup).toContain("as given, divided by 2, the rule of design");

    const sizing = await size(lane, { criteria: [{ storm, noSpill: true }], steps: { chambers: [4] } });
    const words = designPart(sizing, lane, null).section.markup.replaceAll("\u00a0", " ");
    expect(words).toContain("found that the soil takes in 0.4 times (0.32 to 0.5) what this design counts on");
    expect(words).toContain("It is slower than the design counts on");
  });
});
