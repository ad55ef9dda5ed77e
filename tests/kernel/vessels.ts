import type { Kernel, Segments, StepRows, Works } from "../../lib/simulate/kernel.ts";
import { LAW, OUT, SOIL, type Law, type Network } from "../../lib/simulate/network.ts";
import { prismStorage } from "../../lib/works/prismStorage.ts";
import { storageTable, volumeOf } from "../../lib/works/storageTable.ts";

/** Upright vessels, and what flows between them: works so simple that what they do is known. */
export interface Vessels {
  /** plan area [m2], floor and top [m] of each, and the levels at which its laws have a corner */
  readonly bodies: readonly {
    readonly area: number; readonly floor?: number; readonly top?: number; readonly corners?: readonly number[];
  }[];
  /** in the order of their laws; without a second body out of the works */
  readonly passages: readonly { readonly law: Law; readonly from: number; readonly to?: number; readonly row: readonly number[] }[];
  /** the heads at which the lid of the last passage, an emitter, moves */
  readonly lid?: { readonly opensAtHead: number; readonly closesAtHead: number };
}

export function worksOf({ bodies, passages, lid }: Vessels): Works {
  const table: number[] = [];
  const network: Network = {
    bodies: bodies.map(({ area, floor = 0, top = 100, corners = [] }, b) => {
      const curve = prismStorage([{ level: floor, area }, { level: top, area }]);
      return {
        name: `vessel ${b + 1}`, kind: "box", storage: storageTable(curve), stoneTop: null, turf: null, groundwater: null, ownCorners: [],
        cornerLevels: Float64Array.of(floor, ...corners),
        corners: Float64Array.from(corners, (level) => area * (level - floor)),
        volume: (level) => volumeOf(curve, level), start: () => floor,
      };
    }),
    passages: passages.map(({ law, from, to, row }, p) => {
      const at = table.length;
      table.push(...row);
      const ends: readonly Law[] = [LAW.seepage, LAW.hollowSeepage, LAW.weepHole];
      return { name: `passage ${p + 1}`, law, from, to: to ?? (ends.includes(law) ? SOIL : OUT), ledger: null, row: at };
    }),
    table: Float64Array.from(table),
    emitter: lid === undefined ? null : { passage: passages.length - 1, ...lid, heldShut: [] },
  };
  return { network: { ...network, table: Float64Array.from(table) }, blocked: new Set(), mound: null };
}

/** A law of the soil far above any water table: what flows out is `points` of [level, flow], straight between them and on beyond. */
export function ratingRow(points: readonly (readonly [level: number, flow: number])[]): number[] {
  const pieces = points.slice(0, -1).flatMap(([level, flow], i) => {
    const [next, nextFlow] = points[i + 1]!;
    return [level, flow, (nextFlow - flow) / (next - level), 0];
  });
  return [points[0]![0], points[0]![0], 1, 1, 1, 1, 1, 0, 0, 0, 0, 12 + pieces.length + 1, ...pieces, Infinity];
}

type Flow = readonly [inflow: number, slope: number];
type Line = readonly [from: number, until: number, ...flows: Flow[]];

/** Inflows as straight lines: for each segment its ends [s] and, for every body, the inflow at its start and its slope. */
export function segmentsOf(lines: readonly Line[]): Segments {
  const drive = ([inflow, slope]: Flow): number[] => [inflow, slope, -Infinity, 0];
  const numbers = lines.flatMap(([from, until, ...flows]) => [from, until, 0, ...flows.flatMap(drive)]);
  return { numbers: Float64Array.from(numbers), count: lines.length };
}

/** A step of the first body: its ends [s], and its volume at a share of it [m3]. */
export interface Step {
  readonly from: number;
  readonly until: number;
  at(u: number): number;
}

/** Runs works from given volumes, and tells the steps of the first body. */
export function run(kernel: Kernel, works: Works, segments: Segments, states: readonly number[], tolerance: number): Step[] {
  const steps: Step[] = [];
  let [from, y0]: [number, number] = [segments.numbers[0]!, states[0]!];
  kernel.load(works);
  kernel.start({ time: from, states, tolerance });
  kernel.march(segments, ({ numbers, count }: StepRows) => {
    const size = numbers.length / count;
    for (let row = 0; row < count; row++) {
      const [until, y1, e1, e2] = numbers.slice(row * size, row * size + 4) as unknown as [number, number, number, number];
      const start = y0;
      steps.push({ from, until, at: (u) => start + u * (y1 - start + (1 - u) * (e1 + u * e2)) });
      [from, y0] = [until, y1];
    }
  });
  return steps;
}
