import { passages, type FlowLaw } from "../../lib/works/flowLaw.ts";

/** One passage by itself: its flow and slopes for the levels at its two ends. */
export function onePassage(law: FlowLaw, row: readonly number[]): (Ha: number, Hb: number) => [number, number, number] {
  const { table, level, flow, byFrom, byTo } = passages;
  return (Ha, Hb) => {
    // the row does not begin at 0, so that a law which forgets where it begins is found out
    table.set([NaN, ...row]);
    passages.row[0] = 1;
    passages.from[0] = 0;
    passages.to[0] = 1;
    level.set([Ha, Hb]);
    law(0, 1);
    return [flow[0]!, byFrom[0]!, byTo[0]!];
  };
}
