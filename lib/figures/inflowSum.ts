import type { Hydrograph } from "../runoff/hydrograph.ts";

/** A polyline of flow [m3/s] against time [s]; two points at one time are a jump. */
export interface FlowLine {
  readonly time: readonly number[];
  readonly flow: readonly number[];
}

/** The sum of hydrographs, exact: at every time that one of them has a point, with both sides of its jumps. */
export function inflowSum(inflows: readonly Hydrograph[]): FlowLine {
  const times = [...new Set(inflows.flatMap(({ time }) => Array.from(time)))].sort((a, b) => a - b);
  const line = { time: [] as number[], flow: [] as number[] };
  for (const at of times) {
    const before = sumBeside(inflows, at, "before");
    const after = sumBeside(inflows, at, "after");
    line.time.push(at);
    line.flow.push(before);
    if (after !== before) {
      line.time.push(at);
      line.flow.push(after);
    }
  }
  return line;
}

function sumBeside(inflows: readonly Hydrograph[], at: number, side: "before" | "after"): number {
  return inflows.reduce((sum, inflow) => sum + flowBeside(inflow, at, side), 0);
}

function flowBeside({ time, flow }: Hydrograph, at: number, side: "before" | "after"): number {
  const last = time.length - 1;
  const first = time.indexOf(at);
  if (first >= 0) {
    const point = side === "before" ? first : time.lastIndexOf(at);
    // Outside its points a hydrograph is zero, so its first and last are jumps where they are not.
    return (side === "before" && point === 0) || (side === "after" && point === last) ? 0 : flow[point]!;
  }
  const next = time.findIndex((each) => each > at);
  if (next <= 0) return 0;
  const share = (at - time[next - 1]!) / (time[next]! - time[next - 1]!);
  return flow[next - 1]! + share * (flow[next]! - flow[next - 1]!);
}
