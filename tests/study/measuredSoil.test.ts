import { describe, expect, test } from "vitest";
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
