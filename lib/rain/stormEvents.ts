import type { Hyetograph } from "./hyetograph.ts";
import { separateStorms } from "./separateStorms.ts";

/** One storm of a record, in figures. */
export interface StormEvent {
  /** first and last moment of rain [s] */
  readonly start: number;
  readonly end: number;
  /** [m] */
  readonly depth: number;
  /** depth over the whole storm's duration, dry spells inside it too [m/s] */
  readonly meanIntensity: number;
  /** of the heaviest interval [m/s]; the longer the record's intervals, the flatter */
  readonly peakIntensity: number;
  /** dry spell before it [s]; for the first the record's own start */
  readonly dryBefore: number;
}

/**
 * The storms of a record, as `separateStorms` parts them, in figures.
 *
 * @param record   rain
 * @param dryTime  dry spell that parts two storms [s], more than 0
 * @returns        in order of time
 * @throws RangeError  when `dryTime` is not more than 0
 * @example stormEvents(hyetograph({ time: [0, 600, 1200], depth: [0, 0.003] }), 3600)[0].depth; // => 0.003
 */
export function stormEvents(record: Hyetograph, dryTime: number): StormEvent[] {
  let dryFrom = record.time[0]!;
  return separateStorms(record, dryTime).map(({ first, last }) => {
    const [start, end] = [record.time[first]!, record.time[last + 1]!];
    let depth = 0;
    let peakIntensity = 0;
    for (let i = first; i <= last; i++) {
      depth += record.depth[i]!;
      peakIntensity = Math.max(peakIntensity, record.depth[i]! / (record.time[i + 1]! - record.time[i]!));
    }
    const dryBefore = start - dryFrom;
    dryFrom = end;
    return { start, end, depth, meanIntensity: depth / (end - start), peakIntensity, dryBefore };
  });
}
