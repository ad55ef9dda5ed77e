import { GRAVITY, rest, passages } from "./flowLaw.ts";
import { smoothRoot, smoothRootSlope } from "./smoothRoot.ts";

const columns = passages;

/** [level it drains down to, 0.6 pi/4 d^2 sqrt(2g)] */
export function weepHoleRow(elevation: number, floor: number, diameter: number): number[] {
  return [Math.max(elevation, floor), 0.6 * (Math.PI / 4) * diameter ** 2 * Math.sqrt(2 * GRAVITY)];
}

/**
 * A small hole that drains to the soil: Q = 0.6 pi/4 d^2 sqrt(2g) x / (x^2 + e^2)^(1/4), x = max(0, Ha - z).
 *
 * @source sharp-edged orifice, coefficient 0.6, hydraulics texts
 */
export function weepHoleFlows(first: number, end: number): void {
  const { table, row, from, level, flow, byFrom, byTo } = columns;
  for (let p = first; p < end; p++) {
    const x = level[from[p]!]! - table[row[p]!]!;
    if (x <= 0) {
      rest(p);
      continue;
    }
    flow[p] = table[row[p]! + 1]! * smoothRoot(x);
    byFrom[p] = table[row[p]! + 1]! * smoothRootSlope(x);
    byTo[p] = 0;
  }
}
