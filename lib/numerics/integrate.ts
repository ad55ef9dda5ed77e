import type { RosenbrockMethod } from "./rosenbrockMethod.ts";
import { denseOutput, denseState, step, stepWork, type StepWork } from "./step.ts";
import type { System } from "./system.ts";

/** One integration under way: where it stands, its step size, its counters and its work arrays. */
export interface Integration {
  readonly system: System;
  readonly method: RosenbrockMethod;
  readonly work: StepWork;
  /** error allowed in one step, relative to |state| + scale */
  readonly tolerance: number;
  /** most trial steps before the run is given up */
  readonly maxSteps: number;
  time: number;
  /** length of the step just taken, 0 before the first */
  taken: number;
  /** length the next step will try */
  next: number;
  steps: number;
  rejections: number;
  evaluations: number;
}

/** Why a run cannot go on; the states are those of the last good step. */
export class StepFailure extends Error {
  readonly time: number;
  readonly stepSize: number;
  readonly state: readonly number[];

  constructor(reason: string, integration: Integration) {
    super(`the integration stopped at ${integration.time} s with a step of ${integration.next} s: ${reason}`);
    this.name = "StepFailure";
    this.time = integration.time;
    this.stepSize = integration.next;
    this.state = Array.from(integration.work.start);
  }
}

/**
 * Sets up an integration at a time and state.
 *
 * @param options.tolerance  relative error allowed in a step, above 0
 * @param options.firstStep  [s] tried first
 */
export function startIntegration(
  system: System,
  method: RosenbrockMethod,
  time: number,
  state: ArrayLike<number>,
  options: { tolerance: number; firstStep: number; maxSteps?: number },
): Integration {
  const work = stepWork(system.size, system.flows, method);
  work.start.set(state);
  return {
    system, method, work, time,
    tolerance: options.tolerance,
    maxSteps: options.maxSteps ?? 5_000_000,
    taken: 0,
    next: options.firstStep,
    steps: 0,
    rejections: 0,
    evaluations: 0,
  };
}

/**
 * Steps on until `until` or until the system's event comes to pass, whichever is first; each accepted step is handed to
 * `onStep` while its work arrays still hold it. Call again to go on, after changing in the system what changes there.
 *
 * Error control: the larger of the embedded error and the defect at the end of the step, h f(y1) against the slope of
 * the dense output there. The embedded error alone does not see a kink, such as a crest that is crossed inside a step.
 *
 * @returns true when the event stopped it
 * @throws StepFailure  when the step size vanishes, a state is not a number or the work has no end
 */
export function integrate(integration: Integration, until: number, onStep: (integration: Integration) => void): boolean {
  const { system, work } = integration;
  let fresh = true;
  while (integration.time < until) {
    if (fresh) {
      system.rates(integration.time, work.start, work.startRate, work.startFlow);
      integration.evaluations++;
    }
    system.linearise(work.jacobian, work.timeSlope);
    const event = acceptedStep(integration, until);
    const reached = integration.time + integration.taken;
    integration.time = until - reached <= 1e-12 * Math.abs(until) ? until : reached;
    integration.steps++;
    onStep(integration);
    work.start.set(work.end);
    if (event) return true;
    work.startRate.set(work.endRate);
    work.startFlow.set(work.endFlow);
    fresh = false;
  }
  return false;
}

/** Tries until a step is good; leaves it in `work` and its length in `taken`. True when it ends in the event. */
function acceptedStep(integration: Integration, until: number): boolean {
  const { system, method, work, tolerance } = integration;
  let rejected = false;
  for (;;) {
    const rest = until - integration.time;
    const whole = integration.next >= rest * (1 - 1e-9);
    const h = whole ? rest : Math.min(integration.next, rest > 2 * integration.next ? rest : rest / 2);
    if (!(h > 1e-12 * Math.max(1, Math.abs(integration.time)))) throw new StepFailure("the step size vanishes", integration);
    if (integration.steps + integration.rejections >= integration.maxSteps) {
      throw new StepFailure(`more than ${integration.maxSteps} steps`, integration);
    }
    attempt(integration, h);
    const error = stepError(integration, h) / tolerance;
    if (error <= 1) {
      const crossing = firstCrossing(integration, h);
      const wanted = h * growth(error, method.order, rejected);
      if (crossing < 1) {
        landOnEvent(integration, h, crossing);
        // the event changes the equations: begin again with a share of the step, the error control finds the rest
        integration.next = Math.min(wanted, Math.max(integration.taken, 0.05 * h));
        return true;
      }
      integration.taken = h;
      // a step cut short to land says little about the size the next may have
      integration.next = whole ? Math.max(wanted, integration.next) : wanted;
      return false;
    }
    integration.rejections++;
    rejected = true;
    integration.next = h * (Number.isFinite(error) ? Math.max(0.1, Math.min(0.7, 0.8 * error ** (-1 / method.order))) : 0.1);
  }
}

function attempt(integration: Integration, h: number): void {
  const { system, method, work, time } = integration;
  step(system, method, work, time, h);
  denseOutput(method, work, system.size);
  system.rates(time + h, work.end, work.endRate, work.endFlow);
  integration.evaluations += method.stages;
}

/** Largest error of a state in the trial step, relative to |state| + scale; Infinity where a state is too low. */
function stepError({ system, method, work }: Integration, h: number): number {
  const { size, scale, lowest } = system;
  const { start, end, k, dense, endRate } = work;
  const last = (method.stages - 1) * size;
  let worst = 0;
  for (let n = 0; n < size; n++) {
    if (!(end[n]! >= lowest[n]!)) return Infinity;
    let slope = end[n]! - start[n]!;
    for (let r = 0; r < method.denseRows; r++) slope -= dense[r * size + n]!;
    const defect = DEFECT_WEIGHT * Math.abs(h * endRate[n]! - slope);
    const error = Math.max(Math.abs(k[last + n]!), defect) / (Math.abs(start[n]!) + scale[n]!);
    if (!(error <= worst)) worst = error;
  }
  return worst;
}

/** share of the end-of-step defect that counts as error */
const DEFECT_WEIGHT = 0.1;

function growth(error: number, order: number, afterRejection: boolean): number {
  const most = afterRejection ? 1 : 5;
  return Math.min(most, 0.9 * Math.max(error, 1e-8) ** (-1 / order));
}

/**
 * Where in the trial step, as a share of it, the event first comes to pass; 1 or more where it does not. Looks at the
 * ends, at three points between and at the top of the parabola through the highest of them, so that a level that rises
 * over the threshold and falls again within one step is seen.
 */
function firstCrossing({ system, method, work, time }: Integration, h: number): number {
  const value = (u: number): number => {
    denseState(work, method.denseRows, u, work.argument);
    return system.event(time + u * h, work.argument);
  };
  return crossing(value, system.event(time, work.start), system.event(time + h, work.end));
}

function crossing(value: (u: number) => number, atStart: number, atEnd: number): number {
  const v = [atStart, value(0.25), value(0.5), value(0.75), atEnd];
  for (let i = 1; i < 5; i++) {
    if (v[i]! >= 0) return rootBetween(value, 0.25 * (i - 1), v[i - 1]!, 0.25 * i, v[i]!);
  }
  let top = 1;
  for (let i = 2; i < 4; i++) if (v[i]! > v[top]!) top = i;
  const [before, at, after] = [v[top - 1]!, v[top]!, v[top + 1]!];
  if (at < before || at < after) return 1;
  const bend = before - 2 * at + after;
  const u = 0.25 * (top + (bend < 0 ? (0.5 * (before - after)) / bend : 0));
  const peak = value(u);
  return peak >= 0 ? rootBetween(value, 0.25 * (top - 1), before, u, peak) : 1;
}

/** Root of a rising crossing: a is below 0, b at or above. Bisection with a secant guess inside the bracket. */
function rootBetween(value: (u: number) => number, a: number, va: number, b: number, vb: number): number {
  for (let i = 0; i < 100 && b - a > 1e-14; i++) {
    const secant = vb > va ? a - (va * (b - a)) / (vb - va) : (a + b) / 2;
    const guess = i % 3 === 2 ? (a + b) / 2 : Math.min(Math.max(secant, a + 0.01 * (b - a)), b - 0.01 * (b - a));
    const v = value(guess);
    if (v >= 0) [b, vb] = [guess, v];
    else [a, va] = [guess, v];
  }
  return b;
}

/**
 * Repeats the step cut short at the event, so that clock, states and volumes all come from one step of the method, and
 * corrects its length by the secant rule until the event's value there is nothing.
 */
function landOnEvent(integration: Integration, h: number, u: number): void {
  const { system, work, time } = integration;
  let length = u * h;
  let [lastLength, lastValue] = [0, system.event(time, work.start)];
  for (let i = 0; ; i++) {
    attempt(integration, length);
    integration.taken = length;
    const value = system.event(time + length, work.end);
    const slope = (value - lastValue) / (length - lastLength);
    const correction = slope > 0 ? -value / slope : 0;
    const target = length + correction;
    if (i === 4 || Math.abs(correction) < 1e-3 || target <= 0 || target > h) return;
    [lastLength, lastValue] = [length, value];
    length = target;
  }
}
