import { describe, expect, test } from "vitest";
import { integrate, startIntegration, StepFailure, type Integration } from "../../lib/numerics/integrate.ts";
import { denseState } from "../../lib/numerics/rodas4p2.ts";
import { stepWork } from "../../lib/numerics/stepWork.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";
import { odeSystem, type Problem } from "./odeSystem.ts";

/** Robertson's problem; y2 is some 1e-5, so it is weighed against 1e-8 and not against 1. */
const ROBERTSON: Problem = {
  f: (_t, y) => {
    const [slow, fast, back] = [0.04 * y[0]!, 3e7 * y[1]! ** 2, 1e4 * y[1]! * y[2]!];
    return [back - slow, slow - back - fast, fast];
  },
  jacobian: (_t, y) => [-0.04, 1e4 * y[2]!, 1e4 * y[1]!, 0.04, -1e4 * y[2]! - 6e7 * y[1]!, -1e4 * y[1]!, 0, 6e7 * y[1]!, 0],
  scale: [1e-6, 1e-10, 1e-6],
};

describe("Robertson's problem", () => {
  test("has the values of Hairer & Wanner II at t = 40 (from memory)", () => {
    const { state } = solved(ROBERTSON, [1, 0, 0], 40, 1e-8);
    const expected = [0.7158271, 9.185535e-6, 0.2841637];
    expectAllClose(expected.map((y, n) => ({ what: `y${n + 1}`, value: state[n]!, expected: y })), { relative: 2e-7, because: "seven digits" });
  });

  test("has the values of the SUNDIALS example cvRoberts_dns at t = 4e10", () => {
    const { state, evaluations } = solved({ ...ROBERTSON, scale: [1e-12, 1e-17, 1e-6] }, [1, 0, 0], 4e10, 1e-7);
    const expected = [5.2083495894337328e-8, 2.0833399429795671e-13, 0.99999994791629776];
    expectAllClose(expected.map((y, n) => ({ what: `y${n + 1}`, value: state[n]!, expected: y })), { relative: 1e-5, because: "the tolerance of a step, added up over steps" });
    expect(evaluations).toBeLessThan(12_000);
  });

  test("keeps y1 + y2 + y3 to round-off, and its flows add up to the changes", () => {
    const added = [0, 0, 0];
    const { state } = solved(ROBERTSON, [1, 0, 0], 1e5, 1e-6, () => added.forEach((_, n) => (added[n]! += stepWork.volume[n]!)));
    expectClose(state[0]! + state[1]! + state[2]!, 1, { absolute: 1e-11, because: "round-off of some hundred steps" });
    added.forEach((value, n) => expectClose(value, state[n]! - (n === 0 ? 1 : 0), { absolute: 1e-9, because: "round-off of flows that cancel" }));
  });

  test("takes work that is bounded", () => {
    const { steps, rejections, evaluations } = solved(ROBERTSON, [1, 0, 0], 40, 1e-6);
    expect(steps + rejections).toBeLessThan(250);
    expect(evaluations).toBeLessThanOrEqual(6 * (steps + rejections) + 1);
  });
});

test("the error of a run follows its tolerance", () => {
  const oscillator: Problem = { f: (_t, y) => [y[1]!, -y[0]!], jacobian: () => [0, 1, -1, 0] };
  const errors = [1e-4, 1e-6, 1e-8].map((tolerance) => {
    const { state } = solved(oscillator, [1, 0], 20, tolerance);
    return Math.hypot(state[0]! - Math.cos(20), state[1]! + Math.sin(20));
  });
  // errors of steps add up over 20 radians, but each stays some times below its tolerance
  errors.forEach((error, i) => expect(error).toBeLessThan(20 * [1e-4, 1e-6, 1e-8][i]!));
  expect(errors[0]! / errors[2]!).toBeGreaterThan(100);
});

test("a kink inside a step is not stepped over: the error stays that of the tolerance", () => {
  // a tank that fills until water runs over a crest at 0.5
  const crest: Problem = { f: (_t, y) => [1 - 3 * Math.max(0, y[0]! - 0.5)], jacobian: (_t, y) => [y[0]! > 0.5 ? -3 : 0], corners: [0.5] };
  const exact = (t: number): number => (t < 0.5 ? t : 0.5 + (1 - Math.exp(-3 * (t - 0.5))) / 3);
  let worst = 0;
  const between = new Float64Array(1);
  solved(crest, [0], 3, 1e-6, ({ time, taken }) => {
    for (const u of [0.25, 0.5, 0.75, 1]) {
      denseState(u, between);
      worst = Math.max(worst, Math.abs(between[0]! - exact(time - taken + u * taken)));
    }
  });
  expect(worst).toBeLessThan(1e-5);
});

test("water over a rim is not taken below it by one long step, though nothing beneath would show the error", () => {
  // h' = -8 h^1.5 over a rim at 1, from h = 5 mm: h = (h0^-0.5 + 4 t)^-2
  const over = (y: number): number => Math.max(0, y - 1);
  const rim: Problem = { f: (_t, y) => [-8 * over(y[0]!) ** 1.5], jacobian: (_t, y) => [-12 * Math.sqrt(over(y[0]!))], corners: [1] };
  const integration = started(rim, [1.005], 1e-6, 5000);
  integrate(integration, 15_000, () => {});
  expectClose(stepWork.start[0]!, 1 + (0.005 ** -0.5 + 4 * 15_000) ** -2, { absolute: 2e-5, because: "twice the distance from a corner that counts as being on it" });
});

describe("a system that settles", () => {
  const draining: Problem = { f: (_t, y) => [-y[0]! / 100], jacobian: () => [-0.01], settles: true };

  test("takes the time left in one step once next to nothing is to come, and stays within the error of a step", () => {
    const [patient, plain] = [draining, { ...draining, settles: false }].map((problem) => solved(problem, [1], 1e6, 1e-6));
    expect(patient!.steps).toBeLessThan(plain!.steps);
    expect(Math.abs(patient!.state[0]!)).toBeLessThan(1e-8);
  });

  test("still adds up what flows through it: a vessel at its steady level passes on what comes in", () => {
    const steady: Problem = { f: (_t, y) => [2 - y[0]! / 100], jacobian: () => [-0.01], settles: true };
    const { steps, state } = solved(steady, [200], 1e6, 1e-6);
    expect(steps).toBe(1);
    expectClose(state[0]! - 200, stepWork.volume[0]!, { absolute: 1e-9, because: "round-off" });
  });
});

describe("the event", () => {
  const filling: Problem = { f: (_t, y) => [(10 - y[0]!) / 1000], jacobian: () => [-1e-3], event: (_t, y) => y[0]! - 6 };

  test("is found to a thousandth of a second where the time is known", () => {
    const integration = started(filling, [0], 1e-5, 100);
    expect(integrate(integration, 7200, () => {})).toBe(true);
    expectClose(integration.time, 1000 * Math.log(2.5), { absolute: 0.05, because: "the tolerance of 1e-5 over a slope of 0.004 a second" });
    expect(Math.abs(stepWork.start[0]! - 6)).toBeLessThan(1e-6);
  });

  test("is found where the state passes it and comes back within one step", () => {
    // y = 1 - (t - top)^2 / 1000, of which the method's dense output is exact: over 0.999 for a second before and after the
    // top, which lies at, near and between the quarters of the one step of 100 s
    for (const top of [13, 25, 37, 50, 62, 88]) {
      const arch: Problem = {
        f: (t) => [-(t - top) / 500], jacobian: () => [0], slopeInTime: () => [-1 / 500], event: (_t, y) => y[0]! - 0.999,
      };
      const integration = started(arch, [1 - top ** 2 / 1000], 1e-3, 100);
      expect(integrate(integration, 100, () => {}), `top at ${top} s`).toBe(true);
      expectClose(integration.time, top - 1, { absolute: 0.1, because: "what the model asks of switch times" });
    }
  });

  test("that never comes does not stop the run", () => {
    const integration = started({ ...filling, event: (_t, y) => y[0]! - 10.5 }, [0], 1e-5, 100);
    expect(integrate(integration, 7200, () => {})).toBe(false);
    expect(integration.time).toBe(7200);
  });
});

describe("a run that cannot go on", () => {
  test("throws with time, step size and state when the solution blows up: y' = y^2 from 1 has no value at 1 s", () => {
    const integration = started({ f: (_t, y) => [y[0]! ** 2], jacobian: (_t, y) => [2 * y[0]!] }, [1], 1e-6, 0.1);
    const failure = caught(() => integrate(integration, 2, () => {}));
    expect(failure).toBeInstanceOf(StepFailure);
    expectClose(failure.time, 1, { absolute: 1e-4, because: "1/(1 - t) with the error of the run" });
    expect(failure.stepSize).toBeLessThan(1e-3);
    expect(failure.state[0]!).toBeGreaterThan(1e4);
    expect(failure.message).toBe(`the integration stopped at ${failure.time} s with a step of ${failure.stepSize} s: the step size vanishes`);
  });

  test("throws when a rate is not a number", () => {
    const integration = started({ f: (t) => [t > 1 ? NaN : 1], jacobian: () => [0] }, [0], 1e-6, 0.1);
    const failure = caught(() => integrate(integration, 2, () => {}));
    expectClose(failure.time, 1, { absolute: 1e-6, because: "steps shrink towards where the rate ends" });
    expect(Number.isFinite(failure.state[0]!)).toBe(true);
  });

  test("throws when its work has no end", () => {
    const system = odeSystem({ f: (t) => [Math.sin(1e4 * t)], jacobian: () => [0], slopeInTime: (t) => [1e4 * Math.cos(1e4 * t)] }, 1);
    const integration = startIntegration(system, 0, [0], { tolerance: 1e-12, firstStep: 1, maxTrials: 300 });
    expect(caught(() => integrate(integration, 1e4, () => {})).message).toMatch(/: more than 300 /);
  });

  test("throws when events without end make its work in all too much", () => {
    let next = 0.1;
    const system = odeSystem({ f: () => [1], jacobian: () => [0], event: (t) => t - next }, 1);
    const integration = startIntegration(system, 0, [0], { tolerance: 1e-6, firstStep: 0.01, maxTotal: 200 });
    const failure = caught(() => {
      while (integrate(integration, 1e4, () => {})) next += 0.1;
    });
    expect(failure.message).toMatch(/: more than 200 trial steps in all$/);
  });
});

function started(problem: Problem, start: readonly number[], tolerance: number, firstStep: number): Integration {
  return startIntegration(odeSystem(problem, start.length), 0, start, { tolerance, firstStep });
}

function solved(
  problem: Problem, start: readonly number[], until: number, tolerance: number, onStep: (integration: Integration) => void = () => {},
): Integration & { readonly state: readonly number[] } {
  const integration = started(problem, start, tolerance, 1e-6);
  integrate(integration, until, onStep);
  return { ...integration, state: Array.from(stepWork.start.subarray(0, start.length)) };
}

function caught(run: () => unknown): StepFailure {
  try {
    run();
  } catch (error) {
    if (error instanceof StepFailure) return error;
    throw error;
  }
  throw new Error("expected a StepFailure, got none");
}
