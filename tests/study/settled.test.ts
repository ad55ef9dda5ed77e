import { describe, expect, test, vi } from "vitest";
import { sureAnswer } from "../../lib/figures/sureAnswer.ts";
import { oftenAnswer } from "../../lib/figures/exceedanceFigure.ts";
import { sweepAnswer } from "../../lib/figures/sweepAnswer.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { settledRun, settleTime } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { ensemble } from "../../lib/study/ensemble.ts";
import { asMeasured } from "../../lib/study/ensembleCases.ts";
import { howSure } from "../../lib/study/howSure.ts";
import { often } from "../../lib/study/often.ts";
import { placement } from "../../lib/study/placement.ts";
import { runSoilBand } from "../../lib/study/runSoilBand.ts";
import { columnOf } from "../../lib/study/runStudy.ts";
import { sidesOnly } from "../../lib/study/sidesOnly.ts";
import { size } from "../../lib/study/size.ts";
import { sweep } from "../../lib/study/sweep.ts";
import { years } from "../../lib/upkeep/years.ts";
import { expectClose } from "../closeTo.ts";
import { changed, demo } from "../site/siteFiles.ts";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

// the water table over the emitter's crest of 43.4 ft: without a dry day first, the pit begins full of groundwater to its stone's top
const site = readSite(changed(demo("sedge-hollow"), "groundwater.level", "45 ft"));
const STORM = { pattern: "block", depth: "0.1 in", duration: "1 h" } as const;
const rain = designStorm(STORM);
const settled = settledRun(site, rain);
const PEAK = { absolute: 1e-4, because: "the coarse tolerance of studies" };

describe("works under a water table over their emitter settle for a day", () => {
  test("or for as long as they are asked to, be it a second", () => {
    const start = (settle: number): number => simulate(site, rain, { settle }).level("chamberBank", 0);
    expect(start(1)).not.toBe(start(0));
  });

  test("and the pit is then lower than where a bare run begins", () => {
    expect(settleTime(site)).toBe(86_400);
    expect(settled.peaks["chamberBank"]!.level).toBeLessThan(simulate(site, rain).peaks["chamberBank"]!.level - 0.05);
  });

  test("in a sweep, a sizing, an ensemble and a study of doubt", async () => {
    const peak = settled.peaks["chamberBank"]!.level;
    const tables = [
      (await sweep(site, { rainfall: () => 0.1 * 0.0254, returnPeriods: ["2 year"], durations: ["1 h"] })).table,
      (await size(site, { criteria: [{ storm: STORM, noSpill: true }], steps: { chambers: [3] } })).table,
      await ensemble(site, { runs: 1, seed: 1, storm: STORM }),
    ];
    for (const table of tables) expectClose(columnOf(table, "pitPeak")[0]!, peak, PEAK);
    const sure = await howSure(site, { storm: STORM, conductivityWithin: 1.01, runs: 3 });
    expectClose(sure.run.peaks["chamberBank"]!.level, peak, { absolute: 1e-9, because: "the same run" });
    for (const pit of columnOf(sure.table, "pitPeak")) expectClose(pit, peak, { absolute: 5e-3, because: "its soil is drawn" });
  });

  test("in years of rain, on a slope, with a soil band, with floors sealed, and through the years", async () => {
    const days = hyetograph({ time: [0, 3600, 3 * 86_400], depth: [0.00254, 0] });
    const { table } = await often(site, { records: [days] });
    const run = settledRun(site, days, { until: 3 * 86_400 });
    // the soil as tested, then by the rule of design
    const tested = settledRun(asMeasured(site), days, { until: 3 * 86_400 });
    [tested, run].forEach(({ emitted }, i) => {
      expectClose(columnOf(table, "emitterVolume")[i]!, emitted, { relative: 1e-3, because: "the coarse tolerance of records" });
    });
    expect(columnOf(table, "emitterVolume")[1]!).toBeLessThan(0.99 * simulate(site, days, { until: 3 * 86_400 }).emitted);
    const { peaks } = settled;
    const same = { absolute: 1e-9, because: "the same run" };
    expectClose(placement(site, rain, [0]).positions[0]!.run.peaks["chamberBank"]!.level, peaks["chamberBank"]!.level, same);
    expectClose(runSoilBand(site, rain).best.peaks["chamberBank"]!.level, peaks["chamberBank"]!.level, same);
    const { open, sealed } = sidesOnly(site, rain);
    expectClose(open.peaks["chamberBank"]!.level, peaks["chamberBank"]!.level, same);
    expect([open.settled, sealed.settled]).toEqual([86_400, 86_400]);
    const [fresh] = years(site, { storms: [{ name: "shower", load: rain }], years: 1 }).cleaned.years;
    expectClose(fresh!.answers[0]!.pitPeak, peaks["chamberBank"]!.level, same);
  });

  test("and what the lid lets out before the rain is called groundwater, no firing", async () => {
    const swept = await sweep(site, { rainfall: () => 0.1 * 0.0254, returnPeriods: ["2 year"], durations: ["1 h"] });
    const days = hyetograph({ time: [0, 3600, 3 * 86_400], depth: [0.00254, 0] });
    const said = [
      sweepAnswer(swept), sureAnswer(await howSure(site, { storm: STORM, conductivityWithin: 1.5, runs: 20 })),
      oftenAnswer(await often(site, { records: [days] })),
    ];
    for (const words of said) {
      expect(words).toMatch(/groundwater/i);
      expect(words).not.toMatch(/fires/);
    }
  });
});
