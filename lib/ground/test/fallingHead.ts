import { exponential, logarithm } from "../../numerics/powers.ts";

/** Water in a hole that nobody refills: each reading a time [s] and what stands in the hole [m]. */
export interface Fill {
  readonly time: Float64Array;
  readonly depth: Float64Array;
}

/**
 * What a hole's shape makes of a conductivity: the water falls as
 *
 *   h(t) + offset = (h(0) + offset) exp(-K rate t)
 */
export interface FallingHeadLaw {
  /** floor over perimeter, the depth whose side takes as much as the floor does [m]; 0 where only the head drives */
  readonly offset: number;
  /** [1/m] */
  readonly rate: number;
}

/** A fill fitted by the law. */
export interface FallingHeadFit {
  /** below 0 where the water rose [m/s] */
  readonly hydraulicConductivity: number;
  /** of the conductivity [m/s]; null with two readings, which leave nothing over to judge by */
  readonly standardError: number | null;
  /** depth at the first reading by the fit [m] */
  readonly start: number;
  /** by the fit, at the readings [m] */
  readonly fitted: Float64Array;
  /** reading less fit [m] */
  readonly residual: Float64Array;
}

/**
 * The law of a hole that drains at gradient 1 through its floor and as much of its side as is wet (the inverse auger-hole
 * rule, after Porchet): n A dh/dt = -K (A + P h), so offset = A/P and rate = P/(n A).
 *
 * @param floor      plan area A [m2]
 * @param perimeter  P [m]
 * @param porosity   n, of what fills the hole; 1 for an open one
 * @source  the seepage law of this library's bodies with the water table far below; Darcy. As a field rule: ILRI Publication
 *          16, chapter 12, from memory
 */
export function drainingHoleLaw(floor: number, perimeter: number, porosity: number): FallingHeadLaw {
  return { offset: floor / perimeter, rate: perimeter / (porosity * floor) };
}

/**
 * Least squares on the depths: the start depth and the conductivity that leave the smallest sum of squared residuals, so
 * every reading is taken to be equally well read. The standard error is that of the fit linearised at its end, with n - 2
 * degrees of freedom.
 *
 * For a given K the best start is linear, so Gauss-Newton has one unknown to find, kept within a bracket. Two readings are met
 * exactly: K = ln((h1 + c)/(h2 + c))/(rate t).
 *
 * @param fill  two readings or more, times rising, depths above -offset
 * @throws Error  when 200 steps do not settle, which readings that are not finite bring about
 * @source  Gauss-Newton with the linear unknown projected out (Golub & Pereyra 1973, from memory)
 */
export function fitFallingHead({ time, depth }: Fill, { offset, rate }: FallingHeadLaw): FallingHeadFit {
  const count = time.length;
  const span = time[count - 1]! - time[0]!;
  const clock = time.map((moment) => (moment - time[0]!) / span);
  const value = depth.map((water) => water + offset);
  // decay over all the readings
  let decay = logarithm(value[0]! / value[count - 1]!);
  if (count > 2) decay = bestDecay(clock, value, decay);
  const { start, residual, leftOver, leverage } = project(clock, value, decay);
  const hydraulicConductivity = decay / (rate * span);
  return {
    hydraulicConductivity,
    standardError: count > 2 ? Math.sqrt(leftOver / (count - 2) / leverage) / (rate * span) : null,
    start: start - offset,
    fitted: clock.map((moment) => start * exponential(-decay * moment) - offset),
    residual,
  };
}

/** Depth by the fit a time after the first reading [m]. */
export function fittedDepth(fit: FallingHeadFit, { offset, rate }: FallingHeadLaw, sinceFirst: number): number {
  return (fit.start + offset) * exponential(-fit.hydraulicConductivity * rate * sinceFirst) - offset;
}

/** Longest step in the logarithm of what is left: far more than a fit ever wants, and no exponential overflows at once. */
const FARTHEST = 10;

/**
 * Gauss-Newton's step always points down the sum of squares, so two places whose steps point at each other hold a minimum
 * between them. Steps that shrink fast are taken; else they are stretched until there is such a bracket, and it is halved then.
 */
function bestDecay(clock: Float64Array, value: Float64Array, firstGuess: number): number {
  let decay = firstGuess;
  let [low, high] = [-Infinity, Infinity];
  let [lastChange, lastReach] = [Infinity, 0];
  for (let step = 0; step < 200; step++) {
    const { change } = project(clock, value, decay);
    const settled = 1e-13 * (1 + Math.abs(decay));
    // a change that is no number is left where no decay makes any difference
    if (!(Math.abs(change) > settled)) return decay;
    if (change > 0) low = decay;
    else high = decay;
    if (high - low <= settled) return decay;
    const shrinks = Math.abs(change) <= 0.3 * Math.abs(lastChange);
    const reach = Math.min(FARTHEST, shrinks ? Math.abs(change) : Math.max(Math.abs(change), 2 * lastReach));
    const next = decay + Math.sign(change) * reach;
    const bracketed = high - low < Infinity;
    decay = next > low && next < high && (shrinks || !bracketed) ? next : low + (high - low) / 2;
    [lastChange, lastReach] = [change, reach];
  }
  throw new Error(`fitFallingHead: expected a fit within 200 steps, got a decay of ${decay} still moving`);
}

interface Projected {
  readonly start: number;
  readonly residual: Float64Array;
  /** sum of the residuals' squares [m2] */
  readonly leftOver: number;
  /** square of the decay's own direction, what of it no change of the start can imitate [m2] */
  readonly leverage: number;
  /** Gauss-Newton's step in decay */
  readonly change: number;
}

/** Best start for a decay, and the step that would lower the rest. */
function project(clock: Float64Array, value: Float64Array, decay: number): Projected {
  const curve = clock.map((moment) => exponential(-decay * moment));
  const [curveSquare, curveValue] = [dot(curve, curve), dot(curve, value)];
  const start = curveValue / curveSquare;
  const residual = value.map((water, i) => water - start * curve[i]!);
  const slope = curve.map((share, i) => -start * clock[i]! * share);
  const shared = dot(slope, curve) / curveSquare;
  const own = slope.map((change, i) => change - shared * curve[i]!);
  const leverage = dot(own, own);
  return { start, residual, leftOver: dot(residual, residual), leverage, change: dot(own, residual) / leverage };
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
