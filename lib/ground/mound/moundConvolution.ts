import { gaussLegendre } from "../../numerics/gaussLegendre.ts";
import { describe } from "../../text/describe.ts";
import { optionReader } from "../../text/optionReader.ts";
import { readMoundPit, readMoundPoint, type MoundPit, type MoundPoint } from "./moundPit.ts";
import { moundResponse } from "./moundResponse.ts";

/** A recharge in time, a place, and the times its rise is wanted at; all SI numbers. */
export interface MoundConvolutionOptions extends MoundPit, MoundPoint {
  /** rate of recharge at each of `time` [m/s]: straight between, nothing before and after, equal times are a jump */
  readonly rechargeRate: ArrayLike<number>;
  /** not falling [s] */
  readonly time: ArrayLike<number>;
  /** when the rise is wanted [s] */
  readonly at: ArrayLike<number>;
}

/**
 * Rise under a recharge that varies, by the convolution itself:
 *
 *   s(t) = integral of w(t - lag) u(lag) over lag
 *
 * It is the slow check of `moundModes`: its cost grows with the product of both lists. Each piece of w is integrated in parts
 * whose lag at most doubles, since u bends on the scale of the lag.
 *
 * @returns  rise at each of `at` [m]
 * @throws InputError  with all problems
 * @source  response of `moundResponse`; quadrature
 */
export function moundConvolution(options: MoundConvolutionOptions): Float64Array {
  const read = optionReader("moundConvolution", options, "The mound cannot be computed:");
  const pit = readMoundPit(read);
  const point = readMoundPoint(read);
  const [rate, time, at] = [readSeries("rechargeRate"), readSeries("time"), readSeries("at")];
  if (rate.length !== time.length) read.problem("rechargeRate", `one for each time (${time.length})`, String(rate.length));
  const falls = time.findIndex((moment, i) => i > 0 && moment < time[i - 1]!);
  if (falls > 0) read.problem(`time[${falls}]`, `${time[falls - 1]!} s or more, the time before`, String(time[falls]));
  read.done();
  const response = (lag: number): number => moundResponse(pit, point, lag);
  return Float64Array.from(at, (moment) => {
    let rise = 0;
    for (let i = 1; i < time.length && time[i - 1]! < moment; i++) {
      rise += pieceRise(response, [time[i - 1]!, rate[i - 1]!], [time[i]!, rate[i]!], moment);
    }
    return rise;
  });

  function readSeries(key: "rechargeRate" | "time" | "at"): Float64Array {
    const given = read.raw(key);
    if (!Array.isArray(given) && !ArrayBuffer.isView(given)) {
      read.problem(key, "a list of numbers");
      return new Float64Array();
    }
    const series = Array.from(given as ArrayLike<unknown>);
    const wrong = series.findIndex((value) => !Number.isFinite(value));
    if (wrong >= 0) read.problem(`${key}[${wrong}]`, "a number", describe(series[wrong]));
    return Float64Array.from(series, Number);
  }
}

type Knot = readonly [time: number, rate: number];

function pieceRise(response: (lag: number) => number, [from, first]: Knot, [to, last]: Knot, moment: number): number {
  if (to === from) return 0;
  const slope = (last - first) / (to - from);
  const answer = (lag: number): number => (first + slope * (moment - lag - from)) * response(lag);
  const nearest = Math.max(0, moment - to);
  let lag = moment - from;
  let sum = 0;
  // A lag of a 2^60th of the piece adds less than round-off.
  for (let part = 0; lag > nearest && part < 60; part++) {
    const next = Math.max(nearest, lag / 2);
    sum += gaussLegendre(answer, next, lag);
    lag = next;
  }
  return sum;
}
