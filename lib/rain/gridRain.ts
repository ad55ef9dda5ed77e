import { dryBetween } from "./dryBetween.ts";
import type { Hyetograph } from "./hyetograph.ts";

/** Rain summed up in equal cells, those without rain left out. */
export interface GriddedRain {
  /** start of cell 0 [s] */
  readonly start: number;
  /** length of a cell [s] */
  readonly step: number;
  /** rising numbers of the cells that have rain; cell k runs from start + k step to start + (k + 1) step */
  readonly cell: readonly number[];
  /** [m] */
  readonly depth: readonly number[];
}

/**
 * Rain summed up in equal cells from its first edge; the sum is kept. Rain split otherwise gives the same cells, to
 * round-off.
 *
 * @param step  [s], more than 0
 */
export function gridRain(rain: Hyetograph, step: number): GriddedRain {
  const start = rain.time[0]!;
  const cell: number[] = [];
  const depth: number[] = [];
  for (let i = 0; i < rain.depth.length; i++) {
    const fallen = rain.depth[i]!;
    if (fallen === 0) continue;
    const from = (rain.time[i]! - start) / step;
    const to = (rain.time[i + 1]! - start) / step;
    const first = Math.floor(from + NEAR);
    const last = Math.max(first, Math.ceil(to - NEAR) - 1);
    for (let k = first; k <= last; k++) {
      // The first and last cell take the interval's ends as they are, so that the shares add up to 1.
      const share = ((k === last ? to : k + 1) - (k === first ? from : k)) / (to - from);
      if (cell[cell.length - 1] === k) depth[depth.length - 1]! += fallen * share;
      else {
        cell.push(k);
        depth.push(fallen * share);
      }
    }
  }
  return { start, step, cell, depth };
}

/**
 * The cells as rain again.
 *
 * @param end  the last edge [s], where no cell ends later
 */
export function fromGrid({ start, step, cell, depth }: GriddedRain, end: number): Hyetograph {
  return dryBetween(start, end, (take) => cell.forEach((k, i) => take(start + k * step, start + (k + 1) * step, depth[i]!)));
}

/** Share of a step within which two edges are one. */
const NEAR = 1e-9;
