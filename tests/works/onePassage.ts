import type { FlowLaw } from "../../lib/works/flowLaw.ts";

/** One passage by itself: its flow and slopes for the levels at its two ends. */
export function onePassage(law: FlowLaw, row: readonly number[]): (Ha: number, Hb: number) => [number, number, number] {
  // the row does not begin at 0, so that a law which forgets where it begins is found out
  const table = Float64Array.from([NaN, ...row]);
  const [level, flow, byFrom, byTo] = [new Float64Array(2), new Float64Array(1), new Float64Array(1), new Float64Array(1)];
  return (Ha, Hb) => {
    level.set([Ha, Hb]);
    law({ table, row: Int32Array.of(1), from: Int32Array.of(0), to: Int32Array.of(1), level, flow, byFrom, byTo }, 0, 1);
    return [flow[0]!, byFrom[0]!, byTo[0]!];
  };
}
