import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { newKernel, StepFailure } from "../../lib/simulate/kernel.ts";
import { begin, driving, marched, marchOn, setOut } from "../../lib/simulate/march.ts";
import { LAW } from "../../lib/simulate/network.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";
import { ratingRow, run, segmentsOf, worksOf } from "./vessels.ts";

const kernel = newKernel();

describe("the error control", () => {
  // h' = -8 h^1.5 over a rim at 1: h = (h0^-0.5 + 4 t)^-2
  const rim = worksOf({ bodies: [{ area: 1, corners: [1] }], passages: [{ law: LAW.weir, from: 0, row: [1, 8] }] });
  const exact = (h0: number, t: number): number => 1 + (h0 ** -0.5 + 4 * t) ** -2;

  test("follows the tolerance", () => {
    const errors = [1e-4, 1e-6, 1e-8].map((tolerance) => {
      const steps = run(kernel, rim, segmentsOf([[0, 20, [0, 0]]]), [1.5], tolerance);
      return Math.max(...steps.map((step) => Math.abs(step.at(1) - exact(0.5, step.until))));
    });
    errors.forEach((error, i) => expect(error).toBeLessThan(10 * [1e-4, 1e-6, 1e-8][i]!));
    expect(errors[0]! / errors[2]!).toBeGreaterThan(100);
  });

  test("does not take water over a rim below it by one long step, though nothing beneath would show the error", () => {
    const steps = run(kernel, rim, segmentsOf([[0, 15_000, [0, 0]]]), [1.005], 1e-6);
    expectClose(steps.at(-1)!.at(1), exact(0.005, 15_000), { absolute: 2e-5, because: "twice the distance from a corner that counts as being on it" });
  });

  test("does not step over a kink inside a step: the error stays that of the tolerance", () => {
    // a vessel that fills until water runs over an edge at 0.5, 3 (y - 0.5) of it
    const edge = worksOf({ bodies: [{ area: 1, corners: [0.5] }], passages: [{ law: LAW.cover, from: 0, row: [0.5, 3] }] });
    const level = (t: number): number => (t < 0.5 ? t : 0.5 + (1 - Math.exp(-3 * (t - 0.5))) / 3);
    const steps = run(kernel, edge, segmentsOf([[0, 3, [1, 0]]]), [0], 1e-6);
    const misses = steps.flatMap(({ from, until, at }) => (
      [0.25, 0.5, 0.75, 1].map((u) => Math.abs(at(u) - level(from + u * (until - from))))));
    expect(Math.max(...misses)).toBeLessThan(1e-5);
    expect(steps.length).toBeLessThan(60);
  });

  test("sees a crest that is crossed within a step and not known as a corner, by the defect at the step's end", () => {
    const edge = worksOf({ bodies: [{ area: 1 }], passages: [{ law: LAW.cover, from: 0, row: [0.5, 3] }] });
    const level = (t: number): number => (t < 0.5 ? t : 0.5 + (1 - Math.exp(-3 * (t - 0.5))) / 3);
    const steps = run(kernel, edge, segmentsOf([[0, 3, [1, 0]]]), [0], 1e-6);
    const told = steps.map(({ until, at }) => ({ what: `level at ${until} s`, value: at(1), expected: level(until) }));
    expectAllClose(told, { absolute: 2e-5, because: "the tolerance of a step, added up" });
  });
});

describe("the lid", () => {
  // no flow to speak of: an emitter of a tenth of a millimetre
  const works = worksOf({
    bodies: [{ area: 1 }],
    passages: [{ law: LAW.seepage, from: 0, row: ratingRow([[0, 0], [10, 0.01]]) }, { law: LAW.emitter, from: 0, row: [5.9, 1e-9, 1e-9] }],
    lid: { opensAtHead: 0.1, closesAtHead: 0.05 },
  });

  test("opens to a thousandth of a second where the time is known", () => {
    // y = 10 (1 - exp(-t/1000)) reaches 6 at 1000 ln 2.5
    run(kernel, works, segmentsOf([[0, 7200, [0.01, 0]]]), [0], 1e-6);
    expectClose(kernel.firings()[0]!.start, 1000 * Math.log(2.5), { absolute: 0.05, because: "the tolerance over a slope of 0.004 a second" });
  });

  test("opens where the water passes its head and comes back within one step", () => {
    const still = worksOf({
      bodies: [{ area: 1 }], passages: [{ law: LAW.emitter, from: 0, row: [25.9, 1e-9, 1e-9] }],
      lid: { opensAtHead: 0.1, closesAtHead: 0.05 },
    });
    // y = 26.001 - (t - top)^2 / 1000, of which the dense output is exact: over 26 for a second before and after the top, which lies at,
    // near and between the quarters of one step of 100 s; the first second of a run takes the steps to that length
    for (const top of [13, 25, 37, 50, 62, 88]) {
      const segments = segmentsOf([[-1000, 0, [0, 0]], [0, 100, [top / 500, -1 / 500]]]);
      run(kernel, still, segments, [26.001 - top ** 2 / 1000], 1e3);
      expectClose(kernel.firings()[0]?.start ?? NaN, top - 1, { absolute: 0.1, because: "what the model asks of switch times" });
    }
  });

  test("does not move again within a second of its last move, and moves at its end where it is due", () => {
    // a tenth of a litre a second, through a lid that would shut within a few tenths of a second
    const flutter = worksOf({
      bodies: [{ area: 0.01 }], passages: [{ law: LAW.emitter, from: 0, row: [0.5, 1, 1] }],
      lid: { opensAtHead: 0.012, closesAtHead: 0.003 },
    });
    run(kernel, flutter, segmentsOf([[0, 600, [1e-4, 0]]]), [0], 1e-6);
    const moves = kernel.firings().flatMap(({ start, end }) => (end === null ? [start] : [start, end]));
    expect(moves.length).toBeGreaterThan(20);
    moves.slice(1).forEach((time, i) => expect(time - moves[i]!).toBeGreaterThanOrEqual(1 - 1e-9));
  });

  test("does not stop a run whose water never comes so high", () => {
    run(kernel, works, segmentsOf([[0, 7200, [0.005, 0]]]), [0], 1e-5);
    expect(kernel.firings()).toEqual([]);
    expect(kernel.time).toBe(7200);
  });
});

describe("sums", () => {
  test("of a flow that turns within a step are parted where it turned", () => {
    // two vessels of 1 m2 joined by stone that passes 0.01 x: x' = -0.02 x + 0.002 - 2e-5 t from 0.1, in long steps
    const works = worksOf({ bodies: [{ area: 1 }, { area: 1 }], passages: [{ law: LAW.stone, from: 0, to: 1, row: [0, 0.01, 1] }] });
    run(kernel, works, segmentsOf([[0, 2000, [1e-3, -2e-6], [0, 0]]]), [3, 3], 1e-3);
    const { forth, back, entered } = kernel.sums();
    const { 0: coarse } = forth;
    expectClose(entered[0]!, 1e-3 * 2000 - 1e-6 * 2000 ** 2, { absolute: 1e-9, because: "round-off" });
    run(kernel, works, segmentsOf([[0, 2000, [1e-3, -2e-6], [0, 0]]]), [3, 3], 1e-10);
    const fine = kernel.sums();
    expectClose(coarse!, fine.forth[0]!, { absolute: 2e-2, because: "a step in which the flow turns" });
    expect(back[0]!).toBeGreaterThan(0.1);
    expectClose(coarse! - back[0]!, fine.forth[0]! - fine.back[0]!, { absolute: 5e-3, because: "the tolerance" });
  });

  test("agree with what is stored to round-off", () => {
    const works = worksOf({ bodies: [{ area: 2 }], passages: [{ law: LAW.weir, from: 0, row: [1, 0.3] }] });
    run(kernel, works, segmentsOf([[0, 500, [0.01, 2e-5]], [500, 4000, [0.02, 0]]]), [0.5], 1e-5);
    const { forth, entered } = kernel.sums();
    expectClose(entered[0]! - forth[0]!, kernel.states()[0]! - 0.5, { absolute: 1e-12, because: "round-off" });
  });
});

describe("a run that cannot go on", () => {
  const works = worksOf({ bodies: [{ area: 1 }], passages: [{ law: LAW.weir, from: 0, row: [1, 8] }] });

  test("says when, with what step and from what state, and leaves nothing behind", () => {
    const good = segmentsOf([[0, 10, [0.01, 0]]]);
    const before = run(newKernel(), works, good, [1.2], 1e-6).map((step) => step.at(1));
    const bad = segmentsOf([[0, 1, [0.01, 0]], [1, 2, [NaN, 0]]]);
    const failure = caught(() => run(kernel, works, bad, [1.2], 1e-6));
    expect(failure.time).toBe(1);
    expect(failure.stepSize).toBeLessThan(1e-9);
    expectClose(failure.state[0]!, before.at(-1)!, { absolute: 0.5, because: "the same vessel nine seconds before" });
    expect(failure.message).toMatch(/^the integration stopped at 1 s with a step of .* s: the step size vanishes$/);
    expect(run(kernel, works, good, [1.2], 1e-6).map((step) => step.at(1))).toEqual(before);
  });

  test("is given up when a lid that never rests makes its work in all too much", () => {
    const flutter = worksOf({
      bodies: [{ area: 0.01 }], passages: [{ law: LAW.emitter, from: 0, row: [0.5, 1, 1] }],
      lid: { opensAtHead: 0.012, closesAtHead: 0.003 },
    });
    kernel.load(flutter);
    kernel.start({ time: 0, states: [0], tolerance: 1e-6, mostTrials: 200 });
    const failure = caught(() => { kernel.march(segmentsOf([[0, 6000, [1e-4, 0]]])); });
    expect(failure.message).toMatch(/: more than 200 trial steps in all$/);
    expect(kernel.work.steps + kernel.work.rejections).toBe(201);
  });
});

describe("instances are independent", () => {
  const sites = ["copperbeech-lane", "linden-row", "sedge-hollow"].map((name) => readSite(readFileSync(`data/${name}.json`, "utf8")));
  const storm = designStorm({ pattern: "block", depth: "2 in", duration: "1 h" });
  const options = { until: "6 h" };

  test("runs that take turns, corner by corner, are what they are alone", () => {
    const alone = sites.map((site) => {
      const own = newKernel();
      const outset = setOut(site, storm, options);
      const line = driving(outset);
      begin(own, outset, line);
      marchOn(own, line, 0, line.corners.length - 1);
      return marched(own);
    });
    const runs = sites.map((site) => {
      const outset = setOut(site, storm, options);
      return { own: newKernel(), outset, line: driving(outset), corner: 0 };
    });
    runs.forEach(({ own, outset, line }) => begin(own, outset, line));
    for (let going = true; going;) {
      going = false;
      for (const each of runs) {
        if (each.corner + 1 >= each.line.corners.length) continue;
        marchOn(each.own, each.line, each.corner, each.corner + 1);
        each.corner++;
        going = true;
      }
    }
    expect(runs.map(({ own }) => marched(own))).toEqual(alone);
  });

  test("while one is under way another site may be simulated", () => {
    const alone = simulate(sites[1]!, storm, options).ledger;
    const outset = setOut(sites[0]!, storm, options);
    const line = driving(outset);
    const quiet = newKernel();
    begin(quiet, outset, line);
    marchOn(quiet, line, 0, line.corners.length - 1, () => {});
    const own = newKernel();
    begin(own, outset, line);
    marchOn(own, line, 0, line.corners.length - 1, () => {
      expect(simulate(sites[1]!, storm, options).ledger).toEqual(alone);
    });
    expect(marched(own)).toEqual(marched(quiet));
  });

  test("answers stay what they were, whatever was run since", () => {
    const times = [600, 3000, 4000, 20_000];
    const asked = (site: (typeof sites)[number]): (() => unknown) => {
      const made = simulate(site, storm, options);
      return () => [made.peaks, made.ledger, made.passages.map((passage) => times.map((time) => made.flow(passage, time)))];
    };
    const alone = sites.map((site) => asked(site)());
    const together = sites.map(asked);
    expect([...together, ...together].map((ask) => ask())).toEqual([...alone, ...alone]);
  });

  test("segments handed over in one go or one by one make the same run", () => {
    const outset = setOut(sites[0]!, storm, options);
    const ends = [1, 7, Infinity].map((most) => {
      const line = driving(outset);
      begin(kernel, outset, line);
      const last = line.corners.length - 1;
      for (let corner = 0; corner < last; corner += most) marchOn(kernel, line, corner, Math.min(last, corner + most));
      return marched(kernel);
    });
    expect(ends[1]).toEqual(ends[0]);
    expect(ends[2]).toEqual(ends[0]);
  });
});

function caught(make: () => unknown): StepFailure {
  try {
    make();
  } catch (error) {
    if (error instanceof StepFailure) return error;
    throw error;
  }
  throw new Error("expected a StepFailure, got none");
}

