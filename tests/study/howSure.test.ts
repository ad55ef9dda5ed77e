import { describe, expect, test, vi } from "vitest";
import { readFileSync } from "node:fs";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { variedSite } from "../../lib/simulate/variedSite.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { answerRow } from "../../lib/study/answerRow.ts";
import { normalQuantile } from "../../lib/numerics/normalQuantile.ts";
import { sobolDraw } from "../../lib/numerics/draw.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { howSure, worthOf, mainEffect, type HowSure } from "../../lib/study/howSure.ts";
import { quantiles } from "../../lib/study/quantiles.ts";
import { columnOf, type StudyTable } from "../../lib/study/runStudy.ts";
import { sureAnswer } from "../../lib/figures/sureAnswer.ts";
import { expectClose } from "../closeTo.ts";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

const site = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
/** The soil as it was given, on which the cases centre. */
const measured = changedSite(site, { soil: { ...site.soil, factorOfSafety: 1 } });
const STORM = { pattern: "block", depth: "1.6 in", duration: "1 h" } as const;

/** Normal quantiles at 0.05, 0.25, 0.75 and 0.95, scipy 1.17.1. */
const DEVIATES = [-1.6448536269514722, -0.6744897501960817, 0, 0.6744897501960817, 1.6448536269514722];
const SIGMA = Math.log(3) / 1.959963984540054;

describe("quantiles against what can be worked out by hand", () => {
  test("a prism of stone that empties through floor and sides takes the time of its formula at every quantile of the soil", async () => {
    // invented: no chambers, no trench, a cloudburst of a minute; K so low that hardly any water is lost while it fills
    const prism = readSite({
      name: "Prism", catchments: [{ name: "roof", area: "100 m^2", runoffCoefficient: 1, timeOfConcentration: "1 min" }],
      settlingBox: { diameter: "0.6 m", floor: "8.6 m", rim: "12 m", outlet: { diameter: "300 mm", invert: "9.6 m", length: "1 m" } },
      chamberBank: { floor: "7.5 m", length: "4 m", width: "2 m", ground: "12 m", stone: { depth: "3 m", porosity: 0.4 } },
      soil: { layers: [{ conductivity: "2e-6 m/s" }], factorOfSafety: 1 },
    });
    const { answers } = await howSure(prism, {
      storm: { pattern: "block", depth: "32 mm", duration: "1 min" }, conductivityWithin: 3, runs: 400, until: "60 day",
    });
    const [n, area, perimeter, h0] = [0.4, 8, 12, 3.2 / (0.4 * 8)];
    // t = (n A/(K P)) ln[(h1 + A/P)/(h2 + A/P)], derived; the clock starts at 99 % of the most and stops at 10 mm (model.md section 8)
    const ratio = area / perimeter;
    const time = (K: number): number => ((n * ratio) / K) * Math.log((0.99 * h0 + ratio) / (0.01 + ratio));
    DEVIATES.forEach((deviate, i) => {
      expectClose(answers.empty[4 - i]!, time(2e-6 * Math.exp(SIGMA * deviate)), {
        relative: 0.02, because: "400 even draws, and a share of the water lost while it fills",
      });
    });
  });

  test("what runs in has the quantiles of the storm's depth", async () => {
    const { answers, run } = await howSure(site, { storm: STORM, depthWithin: 1.5, runs: 400 });
    const sigma = Math.log(1.5) / 1.959963984540054;
    DEVIATES.forEach((deviate, i) => {
      expectClose(answers.inflow[i]!, run.ledger.inflow * Math.exp(sigma * deviate), { relative: 0.005, because: "400 even draws" });
    });
  });

  test("the emitter fires in the share of the cases whose soil is slower than the slowest that keeps it shut", async () => {
    const storm = { ...STORM, depth: "1.45 in" } as const;
    const fires = (conductivityFactor: number): boolean => (
      simulate(variedSite(measured, { conductivityFactor }), designStorm(storm)).firings.length > 0
    );
    let [slow, fast] = [0.1, 10];
    expect([fires(slow), fires(fast)]).toEqual([true, false]);
    for (let halving = 0; halving < 25; halving++) {
      const middle = Math.sqrt(slow * fast);
      if (fires(middle)) slow = middle;
      else fast = middle;
    }
    const { firing } = await howSure(site, { storm, conductivityWithin: 3, runs: 500 });
    expectClose(firing.share, phi(Math.log(slow) / SIGMA), { absolute: 0.004, because: "500 even draws miss a share by a run or two" });
    expect(firing.standardError).toBeGreaterThan(0.004);
  });
});

/** Normal distribution function by its series, Abramowitz & Stegun 26.2.10, from memory. */
function phi(z: number): number {
  let [term, sum] = [z, z];
  for (let n = 1; n < 60; n++) {
    term *= -(z * z) / (2 * n);
    sum += term / (2 * n + 1);
  }
  return 0.5 + sum / Math.sqrt(2 * Math.PI);
}

test("a swing is the answers at both ends of one doubt, all others as the file says", async () => {
  const { swings } = await howSure(site, { storm: STORM, conductivityWithin: 3, groundwaterWithin: "1 ft", runs: 10 });
  expect(swings.map(({ drawn }) => drawn)).toEqual(["conductivityFactor", "groundwaterShift"]);
  const slow = simulate(variedSite(measured, { conductivityFactor: Math.exp(SIGMA * DEVIATES[0]!) }), designStorm(STORM));
  expectClose(swings[0]!.low.emitterVolume, slow.ledger.emitter, { absolute: 1e-4, because: "runs by the thousand have a coarser tolerance" });
  expect(swings[0]!.low.seeped).toBeLessThan(swings[0]!.high.seeped);
});

test("the bands of the fan are quantiles of levels, one inside the other", async () => {
  const { fan, table } = await howSure(site, { storm: STORM, conductivityWithin: 3, depthWithin: 1.3, runs: 80, moments: 25 });
  expect(fan.time.at(-1)).toBe(73 * 3600 + 7 * 60);
  for (let i = 0; i < 25; i++) {
    const levels = fan.levels.map((each) => each[i]!);
    expect([...levels].sort((a, b) => a - b)).toEqual(levels);
    expect(levels[2]).toBe(quantiles(table, `level ${i + 1}`, [0.5])[0]);
  }
});

test("the answer is a sentence, whether the emitter fires or not", async () => {
  expect(sureAnswer(await howSure(site, { storm: STORM, conductivityWithin: 3, runs: 50 }))).toMatch(
    /^The emitter fires in .* cases and lets out .* gal in 90 of 100; only the soil was taken to be in doubt\.$/,
  );
  expect(sureAnswer(await howSure(site, { storm: { ...STORM, depth: "0.4 in" }, conductivityWithin: 1.2, runs: 50 }))).toMatch(
    /^The emitter stays shut in every one of 50 cases; the pit rises to .* ft in 90 of 100; only the soil was taken to be in doubt\.$/,
  );
});

test("nothing in doubt is refused", async () => {
  await expect(howSure(site, { storm: STORM, conductivityWithin: 1 })).rejects.toThrow(
    "sure.conductivityWithin: expected something in doubt: conductivityWithin, depthWithin, groundwaterWithin, porosityWithin or levelsWithin, got none",
  );
});

test("of the soil the scatter of its tests is taken where nothing is said, and the factor of safety stands apart", async () => {
  const of = (factorOfSafety: number): Promise<HowSure> => (
    howSure(changedSite(site, { soil: { ...site.soil, factorOfSafety } }), { storm: { ...STORM, depth: "1.8 in" }, runs: 60 })
  );
  const [one, two, three] = [await of(1), await of(2), await of(3)];
  // a bare figure: a standard deviation as large as the mean within a site, exp(1.96 sqrt(ln 2)) (Warrick & Nielsen 1980, from memory)
  expectClose(one.soil.within, Math.exp(1.959963984540054 * Math.sqrt(Math.LN2)), { relative: 1e-9, because: "the formula" });
  expect([one.soil.from, one.soil.drawn]).toEqual(["tests and textures", "together"]);
  // one storm does not fire in 3, 24 or 51 of 100 cases for factors of 1, 2 and 3
  expect([two.firing, three.firing]).toEqual([one.firing, one.firing]);
  expect(two.asMeasured.emitted).toBe(one.asMeasured.emitted);
  expect([two.run.emitted > one.run.emitted, three.run.emitted > two.run.emitted]).toEqual([true, true]);
});

describe("what one measurement is worth", () => {
  /** Cases made by hand: columns of their own, none stopped. */
  const tableOf = (columns: Readonly<Record<string, (i: number) => number>>, count: number): StudyTable => {
    const names = [...Object.keys(columns), "stopped"];
    const values = Float64Array.from({ length: count * names.length }, (_,
      k) => (columns[names[k % names.length]!] ?? (() => 0))(Math.floor(k / names.length)));
    return { columns: names.map((name) => ({ name, unit: "" })), count, values };
  };

  test("is the share of the variance that goes with it: 9, 1 and 0 of 10 for y = 3 a + b", () => {
    const draw = (which: number) => (i: number): number => normalQuantile(sobolDraw(1, i, which));
    const [a, b, c] = [draw(0), draw(1), draw(2)];
    const table = tableOf({ a, b, c, y: (i) => 3 * a(i) + b(i) }, 2000);
    const because = "a twentieth of the cases to a mean: within a bin of the outermost 5 of 100 a still moves by half a deviation";
    expectClose(mainEffect(table, "a", "y"), 0.9, { absolute: 0.02, because });
    expectClose(mainEffect(table, "b", "y"), 0.1, { absolute: 0.01, because });
    expectClose(mainEffect(table, "c", "y"), 0, { absolute: 0.005, because });
  });

  test("of one more hole is what it takes of the doubt about the soil", () => {
    // half the variance, a soil within a factor of 3: s = ln 3/1.96 = 0.5605, s^2/(s^2 + ln 2) = 0.3119, 1 - sqrt(1 - 0.156) = 0.0813
    const { narrows, byOne } = worthOf("conductivityFactor", 0.5, Math.log(3) / 1.959963984540054);
    expectClose(narrows, 1 - Math.SQRT1_2, { relative: 1e-12, because: "round-off" });
    expectClose(byOne!, 0.0813, { absolute: 5e-5, because: "digits by hand" });
    expect(worthOf("porosityShift", 0.5, 0.02).byOne).toBeNull();
  });

  test("names the soil where the soil alone is in doubt, and the storm never", async () => {
    const { worth } = await howSure(site, { storm: STORM, conductivityWithin: 3, depthWithin: 1.3, levelsWithin: "6 mm", runs: 300 });
    expect(worth[0]!.drawn).toBe("conductivityFactor");
    expect(worth.map(({ drawn }) => drawn)).not.toContain("stormFactor");
    for (const { narrows } of worth) expect(narrows >= 0 && narrows < 1).toBe(true);
  });
});

test("a moment of the fan has the highest level from half-way since the one before to half-way to the next", () => {
  const run = settledRun(site, designStorm(STORM), {});
  const moments = 25;
  const row = answerRow(site, designStorm(STORM), {}, moments).slice(-moments);
  const between = run.until / (moments - 1);
  row.forEach((highest, i) => {
    const [from, to] = [Math.max(0, (i - 0.5) * between), Math.min(run.until, (i + 0.5) * between)];
    const within = Array.from({ length: 501 }, (_, k) => run.level("chamberBank", from + ((to - from) * k) / 500));
    expectClose(highest, Math.max(...within), { absolute: 2e-4, because: "a level between two of five hundred looks" }, `moment ${i}`);
  });
});

test("no peak falls between the moments of the fan: of every case the highest of them is its peak", async () => {
  const { fan, table, answers } = await howSure(site, { storm: STORM, conductivityWithin: 3, runs: 40, moments: 25 });
  const peaks = columnOf(table, "pitPeak");
  const moments = Array.from({ length: 25 }, (_, i) => columnOf(table, `level ${i + 1}`));
  peaks.forEach((peak, run) => {
    expectClose(Math.max(...moments.map((each) => each[run]!)), peak, { absolute: 1e-9, because: "the same water, looked up twice" });
  });
  // and what 95 of 100 cases stay below at every moment is no more than what they stay below at all of them
  expect(Math.max(...fan.levels[4]!)).toBeLessThanOrEqual(answers.pitPeak[4]! + 1e-9);
});
