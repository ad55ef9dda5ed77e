import { denseState, step } from "../../lib/numerics/rodas4p2.ts";
import { stepWork } from "../../lib/numerics/stepWork.ts";
import type { System } from "../../lib/numerics/system.ts";

/** y' = f(t, y) with its slopes; the first flow added up beside it is f itself, so that its sums can be held against y. */
export interface Problem {
  f(t: number, y: ArrayLike<number>): number[];
  /** df/dy, row by row */
  jacobian(t: number, y: ArrayLike<number>): number[];
  slopeInTime?(t: number, y: ArrayLike<number>): number[];
  event?(t: number, y: ArrayLike<number>): number;
  readonly scale?: readonly number[];
  readonly corners?: readonly number[];
  readonly settles?: boolean;
  readonly oneWay?: readonly number[];
}

/** A problem as the stepper wants it: as many flows as states, flow n is f_n. */
export function odeSystem(problem: Problem, size: number): System {
  let [time, state]: [number, number[]] = [0, []];
  let flow: number[] = [];
  let [kept, keptJacobian, keptSlope]: [number[], number[], number[]] = [[], [], []];
  const sum = new Float64Array(size);
  return {
    size,
    flows: size,
    scale: Float64Array.from(problem.scale ?? Array<number>(size).fill(1)),
    flowScale: problem.scale?.[0] ?? 1,
    lowest: new Float64Array(size).fill(-Infinity),
    keeps: new Float64Array(size).fill(-Infinity),
    corners: Array.from({ length: size }, () => Float64Array.from(problem.corners ?? [])),
    settles: () => problem.settles ?? false,
    oneWay: Int32Array.from(problem.oneWay ?? []),
    rates(t, y, rate, weight) {
      [time, state] = [t, Array.from(y).slice(0, size)];
      flow = problem.f(t, state);
      rate.set(flow);
      for (let n = 0; n < size; n++) sum[n]! += weight * flow[n]!;
    },
    linearise() {
      [kept, keptJacobian] = [flow, problem.jacobian(time, state)];
      keptSlope = problem.slopeInTime?.(time, state) ?? Array<number>(size).fill(0);
      stepWork.jacobian.set(keptJacobian);
      stepWork.timeSlope.set(keptSlope);
    },
    beginSums(weight) {
      for (let n = 0; n < size; n++) sum[n] = weight * kept[n]!;
    },
    endSums(timeWeight, h) {
      for (let n = 0; n < size; n++) {
        const bySlope = stepWork.direction.subarray(0, size).reduce((total, d, m) => total + keptJacobian[n * size + m]! * d, 0);
        stepWork.volume[n] = h * (sum[n]! + bySlope + timeWeight * keptSlope[n]!);
      }
    },
    event: (t, y) => problem.event?.(t, Array.from(y).slice(0, size)) ?? -1,
  };
}

/** What equal steps from `from` to `to` arrive at, and what the dense output says at shares of each step. */
export function equalSteps(
  problem: Problem, span: readonly [number, number], start: readonly number[], count: number,
  look: (time: number, state: Float64Array) => void = () => {},
): { readonly end: number[]; readonly estimate: number[]; readonly volume: number[] } {
  const size = start.length;
  const system = odeSystem(problem, size);
  const h = (span[1] - span[0]) / count;
  const between = new Float64Array(size);
  const volume = new Float64Array(size);
  stepWork.size = size;
  stepWork.start.set(start);
  for (let i = 0; i < count; i++) {
    const time = span[0] + i * h;
    system.rates(time, stepWork.start, stepWork.startRate, 0);
    system.linearise();
    step(system, time, h);
    for (const u of [0.2, 0.5, 0.8]) {
      denseState(u, between);
      look(time + u * h, between);
    }
    for (let n = 0; n < size; n++) volume[n]! += stepWork.volume[n]!;
    if (i < count - 1) stepWork.start.set(stepWork.end);
  }
  const first = (column: Float64Array): number[] => Array.from(column.subarray(0, size));
  return { end: first(stepWork.end), estimate: first(stepWork.k6), volume: Array.from(volume) };
}

/** Order from errors at n and 2n steps. */
export function orderSeen(coarse: number, fine: number): number {
  return Math.log2(coarse / fine);
}
