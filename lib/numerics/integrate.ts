import { factorise, substitute } from "./lu.ts";
import { denseComponent, denseState, endDefect, STAGES, step } from "./rodas4p2.ts";
import { DENSE_ROWS, MOST_FLOWS, MOST_STATES, stepWork } from "./stepWork.ts";
import type { System } from "./system.ts";

const work = stepWork;

/** One integration under way: where it stands, its step size and its counters; its states are those of `stepWork`. */
export interface Integration {
  readonly system: System;
  /** error allowed in one step, relative to |state| + scale */
  readonly tolerance: number;
  /** most trial steps from one corner or event to the next before the run is given up */
  readonly maxTrials: number;
  /** most trial steps in all */
  readonly maxTotal: number;
  time: number;
  /** value of the event at the start and, where the trial was good, at the end of the step */
  eventAtStart: number;
  eventAtEnd: number;
  /** length of the step just taken, 0 before the first */
  taken: number;
  /** length and error of the last step the error control chose freely; length 0 where the run has changed course since */
  freeLength: number;
  freeError: number;
  /** length the next step will try */
  next: number;
  /** trial steps since the last corner or event */
  trials: number;
  steps: number;
  rejections: number;
  evaluations: number;
}

/** trial steps from one corner or event to the next after which a run is given up */
export const MOST_TRIALS = 20_000;

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
    this.state = Array.from(work.start.subarray(0, work.size));
  }
}

/**
 * Sets up an integration at a time and state. The one before it has had its time: there is one set of work arrays.
 *
 * @param options.tolerance  relative error allowed in a step, above 0
 * @param options.firstStep  [s] tried first
 */
export function startIntegration(
  system: System,
  time: number,
  state: ArrayLike<number>,
  options: { tolerance: number; firstStep: number; maxTrials?: number; maxTotal?: number },
): Integration {
  const { start, above, below, scale, lowest, keeps } = work;
  const { size, flows } = system;
  if (size > MOST_STATES || flows > MOST_FLOWS) {
    throw new RangeError(`an integration: expected at most ${MOST_STATES} states and ${MOST_FLOWS} flows, got ${size} and ${flows}`);
  }
  work.size = size;
  start.set(state);
  scale.set(system.scale);
  lowest.set(system.lowest);
  keeps.set(system.keeps);
  // so that the corners about the start are looked for at once
  above.fill(-Infinity, 0, size);
  below.fill(Infinity, 0, size);
  return {
    system, time,
    eventAtStart: -1,
    eventAtEnd: -1,
    tolerance: options.tolerance,
    maxTrials: options.maxTrials ?? MOST_TRIALS,
    maxTotal: options.maxTotal ?? Infinity,
    trials: 0,
    taken: 0,
    freeLength: 0,
    freeError: 1,
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
  const { start, startRate } = work;
  const { system } = integration;
  let fresh = true;
  integration.trials = 0;
  integration.freeLength = 0;
  while (integration.time < until) {
    if (fresh) {
      system.rates(integration.time, start, startRate, 0);
      integration.evaluations++;
      integration.eventAtStart = system.event(integration.time, start);
    }
    lookAround(integration);
    system.linearise();
    const event = settled(integration, until) ? restUntil(integration, until) : acceptedStep(integration, until);
    const reached = integration.time + integration.taken;
    integration.time = until - reached <= 1e-12 * Math.abs(until) ? until : reached;
    integration.steps++;
    onStep(integration);
    takeOver();
    if (event) return true;
    integration.eventAtStart = integration.eventAtEnd;
    fresh = false;
  }
  return false;
}

/** What stood at the end of the step stands at the start of the next: for a handful of numbers quicker than TypedArray.set. */
function takeOver(): void {
  const { start, end, startRate, endRate } = work;
  for (let n = 0; n < work.size; n++) {
    start[n] = end[n]!;
    startRate[n] = endRate[n]!;
  }
}

/** Whether all that is still to come before `until` is far below the error of a single step. */
function settled({ system, tolerance, time }: Integration, until: number): boolean {
  const { startRate, timeSlope } = work;
  if (!system.settles()) return false;
  let sum = 0;
  for (let n = 0; n < work.size; n++) {
    if (timeSlope[n] !== 0) return false;
    sum += Math.abs(startRate[n]!);
  }
  return sum * (until - time) < STILL * tolerance * system.flowScale;
}

/** share of the error allowed in one step that counts as nothing */
const STILL = 1e-2;

/** The last step of a settled system, by the implicit Euler rule: next to nothing moves, and sums still agree with states. */
function restUntil(integration: Integration, until: number): boolean {
  const { size, start, end, startRate, endRate, dense, direction } = work;
  const { system, time } = integration;
  const h = until - time;
  factorise(1 / h);
  for (let n = 0; n < size; n++) direction[n] = endRate[n] = startRate[n]!;
  substitute(direction);
  for (let n = 0; n < size; n++) end[n] = start[n]! + direction[n]!;
  system.beginSums(1);
  system.endSums(0, h);
  dense.fill(0, 0, DENSE_ROWS * size);
  integration.taken = h;
  integration.eventAtEnd = integration.eventAtStart;
  return false;
}

/** Tries until a step is good; leaves it in `work` and its length in `taken`. True when it ends in the event. */
function acceptedStep(integration: Integration, until: number): boolean {
  const { tolerance } = integration;
  const corner = cornerAhead(integration);
  let cut = corner;
  let cuts = 0;
  let refusedLength = 0;
  let refusedError = 0;
  for (;;) {
    const rest = until - integration.time;
    const whole = integration.next >= rest * (1 - 1e-9);
    const h = Math.min(cut, whole ? rest : Math.min(integration.next, rest > 2 * integration.next ? rest : rest / 2));
    if (!(h > SHORTEST * Math.max(1, Math.abs(integration.time)))) {
      integration.next = h;
      throw new StepFailure("the step size vanishes", integration);
    }
    if (++integration.trials > integration.maxTrials) {
      throw new StepFailure(`more than ${integration.maxTrials} trial steps since the last corner or event`, integration);
    }
    if (integration.steps + integration.rejections > integration.maxTotal) {
      throw new StepFailure(`more than ${integration.maxTotal} trial steps in all`, integration);
    }
    attempt(integration, h);
    const error = stepError(integration) / tolerance;
    const share = cuts < MOST_CUTS ? cornerInside(integration) : 1;
    // the dense output of a trial that is no good says nothing of its first moments
    if (share < LONGEST_CUT && (error <= 1 || share > SHORTEST_CUT)) {
      cuts++;
      integration.rejections++;
      cut = Math.max(share, 0.01 * SHORTEST_CUT) * h;
      continue;
    }
    if (error <= 1) {
      const crossing = firstCrossing(integration, h);
      const wanted = h * growth(integration, error, h, refusedLength > 0);
      if (crossing <= 1) {
        landOnEvent(integration, h, crossing);
        // the event changes the equations: begin again with a share of the step, the error control finds the rest
        integration.next = Math.min(wanted, Math.max(integration.taken, 0.05 * h));
        return true;
      }
      integration.taken = h;
      const free = !(whole || h === cut);
      integration.freeLength = free ? h : 0;
      integration.freeError = error;
      // a step cut short to land where it was meant to says little about the size the next may have
      integration.next = free || cuts > 0 ? wanted : Math.max(wanted, integration.next);
      return false;
    }
    integration.rejections++;
    cut = corner;
    integration.next = h * shrinkage(error, h, refusedError, refusedLength);
    refusedLength = h;
    refusedError = error;
  }
}

/** Keeps for each state the corners next above and next below its start. */
function lookAround({ system: { size, corners } }: Integration): void {
  const { start, above, below } = work;
  for (let n = 0; n < size; n++) {
    const from = start[n]!;
    if (from < above[n]! && from > below[n]!) continue;
    above[n] = Infinity;
    below[n] = -Infinity;
    for (const corner of corners[n]!) {
      if (corner < from) below[n] = corner;
      if (corner > from && corner < above[n]!) above[n] = corner;
    }
  }
}

/**
 * In what time a state will be just behind the next corner on its way, by its rate of change and the rate's own, which
 * J f + df/dt tells; the first of all states, Infinity where none is seen. A step that ends there need not be tried twice.
 */
function cornerAhead({ next }: Integration): number {
  const { size, start, startRate, jacobian, timeSlope, above, below, scale } = work;
  let first = Infinity;
  for (let n = 0; n < size; n++) {
    const rate = startRate[n]!;
    const behind = BEHIND * scale[n]!;
    const way = (rate > 0 ? above[n]! + behind : below[n]! - behind) - start[n]!;
    // far out of reach, or at rest
    if (!(Math.abs(way) < Math.abs(rate) * 3 * next)) continue;
    let bend = timeSlope[n]!;
    for (let m = 0; m < size; m++) bend += jacobian[n * size + m]! * startRate[m]!;
    const root = rate * rate + 2 * bend * way;
    if (root < 0) continue;
    const time = (2 * way) / (rate + Math.sign(rate) * Math.sqrt(root));
    if (time > NEAREST * next && time < first) first = time;
  }
  return first * (1 + OVERSHOOT);
}

/**
 * Share of the step below which a corner ahead counts as passed. Even a short hop to it is worth its while: a step from just
 * before a corner takes the wrong slopes along all its way.
 */
const NEAREST = 1e-4;

/** by how much of its length a step reaches over the corner it is meant to end at */
const OVERSHOOT = 0.003;

/** share of the time reached below which a step counts as vanished: some fifty roundings of the clock */
const SHORTEST = 1e-14;

/** how often one step is cut at corners it did not see coming */
const MOST_CUTS = 3;

/** share of a refused trial from which the corner found in it is believed */
const SHORTEST_CUT = 1e-2;

/** share of the trial step from which a corner is near enough to its end */
const LONGEST_CUT = 0.98;

/**
 * Where the trial step, as a share of it, first has a state just behind one of its corners; 1 where none is passed. On a
 * corner the method loses its order and its error estimate can miss what happens there: of a body that falls back to its rim
 * it can miss all, since beneath it nothing flows. A corner that the step begins at does not count.
 */
function cornerInside({ system: { size, corners } }: Integration): number {
  const { start, end, above, below, scale } = work;
  let first = 1;
  for (let n = 0; n < size; n++) {
    const behind = BEHIND * scale[n]!;
    if (end[n]! < above[n]! + behind && end[n]! > below[n]! - behind) continue;
    const rising = end[n]! > start[n]!;
    const low = Math.min(start[n]!, end[n]!);
    const high = Math.max(start[n]!, end[n]!);
    for (const corner of corners[n]!) {
      if (corner - behind > low && corner + behind < high) first = passing(n, rising ? corner + behind : corner - behind, first);
    }
  }
  return first;
}

/** Where before `first` a state passes a value on its way from start to end, as a share of the step; else `first`. */
function passing(n: number, value: number, first: number): number {
  const { start, end } = work;
  const rising = end[n]! > start[n]!;
  if (denseComponent(n, first) < value === rising) return first;
  let low = 0;
  let high = first;
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2;
    if (denseComponent(n, middle) < value === rising) low = middle;
    else high = middle;
  }
  return high;
}

/** how far behind a corner a cut step aims to end, in units of the scale */
const BEHIND = 1e-5;

/**
 * By how much to shorten a refused step. The error of a step over a kink or a fresh transient falls far slower than the
 * method's order promises, so the second refusal in a row goes by the order the first two tell.
 */
function shrinkage(error: number, h: number, refusedError: number, refusedLength: number): number {
  if (!Number.isFinite(error)) return 0.2;
  const seen = refusedLength > 0 && refusedError < Infinity ? Math.log(refusedError / error) / Math.log(refusedLength / h) : FIRST_GUESS;
  const order = Math.max(0.7, Math.min(4, seen));
  return Math.max(0.1, Math.min(0.7, (0.5 / error) ** (1 / order)));
}

/** order with which the error of a refused step is taken to fall until a second one tells */
const FIRST_GUESS = 4;

function attempt(integration: Integration, h: number): void {
  const { end, endRate } = work;
  const { system, time } = integration;
  step(system, time, h);
  system.rates(time + h, end, endRate, 0);
  integration.evaluations += STAGES;
}

/** Largest error of a state, relative to |state| + scale; Infinity where a state is too low or a one-way flow runs backwards. */
function stepError({ system: { size, oneWay, flowScale } }: Integration): number {
  const { start, end, k6, volume, scale, lowest, keeps, defect } = work;
  endDefect();
  let worst = 0;
  for (let n = 0; n < size; n++) {
    if (!(end[n]! >= lowest[n]!) || (end[n]! < keeps[n]! && end[n]! < start[n]!)) return Infinity;
    const error = Math.max(Math.abs(k6[n]!), DEFECT_WEIGHT * Math.abs(defect[n]!)) / (Math.abs(start[n]!) + scale[n]!);
    if (!(error <= worst)) worst = error;
  }
  for (let i = 0; i < oneWay.length; i++) if (volume[oneWay[i]!]! < -ONE_WAY * flowScale) return Infinity;
  return worst;
}

/** by how much a flow that runs one way may come out below nothing, in units of the scale: half a millilitre or so */
const ONE_WAY = 1e-7;

/** share of the end-of-step defect that counts as error */
const DEFECT_WEIGHT = 1;

/**
 * By how much to lengthen a step: by what its error leaves, and by how errors have changed from the step before to this
 * one, whichever is less (Gustafsson 1994; Hairer & Wanner II, sec. IV.8).
 */
function growth({ freeLength, freeError }: Integration, error: number, h: number, afterRejection: boolean): number {
  const most = afterRejection ? 1 : 4;
  const byError = 0.85 / rootOf(Math.max(error, 1e-8));
  if (freeLength === 0) return Math.min(most, byError);
  const trend = (h / freeLength) * rootOf(Math.max(freeError, 1e-2) / Math.max(error, 1e-8));
  return Math.min(most, byError, Math.max(0.3, byError * trend));
}

/** The root of the method's order, 4: two square roots are ten times faster than a power. */
function rootOf(x: number): number {
  return Math.sqrt(Math.sqrt(x));
}

/**
 * Where in the trial step, as a share of it, the event first comes to pass; NEVER where it does not. Looks at
 * the ends, at the middle, and, where these come near, at the quarters and at the top of the parabola through the
 * highest, so that a level that rises over the threshold and falls again within one step is seen.
 */
function firstCrossing(integration: Integration, h: number): number {
  const { end } = work;
  const { system, time } = integration;
  const first = integration.eventAtStart;
  const last = system.event(time + h, end);
  integration.eventAtEnd = last;
  const middle = eventAt(integration, h, 0.5);
  const spread = Math.max(first, middle, last) - Math.min(first, middle, last);
  if (Math.max(first, middle, last) + spread < 0) return NEVER;
  const early = eventAt(integration, h, 0.25);
  const late = eventAt(integration, h, 0.75);
  if (early >= 0) return rootBetween(integration, h, 0, first, 0.25, early);
  if (middle >= 0) return rootBetween(integration, h, 0.25, early, 0.5, middle);
  if (late >= 0) return rootBetween(integration, h, 0.5, middle, 0.75, late);
  if (last >= 0) return rootBetween(integration, h, 0.75, late, 1, last);
  if (Math.max(first, early) >= Math.max(middle, late, last)) return crossingAtTop(integration, h, 0, first, early, middle);
  if (middle >= Math.max(late, last)) return crossingAtTop(integration, h, 0.25, early, middle, late);
  return crossingAtTop(integration, h, 0.5, middle, late, last);
}

const NEVER = 2;

/** Looks at the top of the parabola through three values a quarter of the step apart, where it lies between them. */
function crossingAtTop(integration: Integration, h: number, from: number, before: number, at: number, after: number): number {
  const bend = before - 2 * at + after;
  const offset = bend < 0 ? (0.125 * (before - after)) / bend : 0;
  if (Math.abs(offset) > 0.25) return NEVER;
  const u = from + 0.25 + offset;
  const top = eventAt(integration, h, u);
  if (top < 0) return NEVER;
  return offset > 0 ? rootBetween(integration, h, from + 0.25, at, u, top) : rootBetween(integration, h, from, before, u, top);
}

function eventAt({ system, time }: Integration, h: number, u: number): number {
  const { argument } = work;
  denseState(u, argument);
  return system.event(time + u * h, argument);
}

/** Root of a rising crossing: a is below 0, b at or above. A secant guess kept inside the bracket, every third a halving. */
function rootBetween(integration: Integration, h: number, a: number, va: number, b: number, vb: number): number {
  for (let i = 0; i < 100 && b - a > 1e-14; i++) {
    const secant = vb > va ? a - (va * (b - a)) / (vb - va) : (a + b) / 2;
    const guess = i % 3 === 2 ? (a + b) / 2 : Math.min(Math.max(secant, a + 0.01 * (b - a)), b - 0.01 * (b - a));
    const v = eventAt(integration, h, guess);
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
  const { start, end } = work;
  const { system, time } = integration;
  let length = u * h;
  let [lastLength, lastValue] = [0, system.event(time, start)];
  for (let i = 0; ; i++) {
    attempt(integration, length);
    integration.taken = length;
    const value = system.event(time + length, end);
    const slope = (value - lastValue) / (length - lastLength);
    const correction = slope > 0 ? -value / slope : 0;
    const target = length + correction;
    if (i === 4 || Math.abs(correction) < 1e-3 || target <= 0 || target > h) return;
    [lastLength, lastValue] = [length, value];
    length = target;
  }
}
