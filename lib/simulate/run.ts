import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import type { Site } from "../site/site.ts";
import type { SimulateOptions } from "./runOptions.ts";

/**
 * What a simulation returns: the water level of every body at any time, and the answers. All numbers SI.
 */
export interface Run {
  readonly site: Site;
  /** the rain that was run, where rain was given */
  readonly rain: Hyetograph | null;
  /** as the run was asked for; its end, filled in, is `until` */
  readonly options: SimulateOptions;
  /** what ran into each body */
  readonly inflows: Readonly<Record<string, Hydrograph>>;
  /** end of the run [s]; it starts at 0 */
  readonly until: number;
  /** how long the works ran without inflow before it, groundwater as at its start [s]; 0: not */
  readonly settled: number;
  /** in the water's way; with segments the trench's from the high end down */
  readonly bodies: readonly RunBody[];
  /** the emitter's opening level and the like are in the site; passages are named as in `flow` */
  readonly passages: readonly string[];
  /** level of a body [m] at a time [s], from the dense output; RangeError outside 0 to until */
  level(body: string, time: number): number;
  levels(body: string, times: ArrayLike<number>): Float64Array;
  /** flow through a passage [m3/s] at a time [s], forward positive (seepage: into the soil) */
  flow(passage: string, time: number): number;
  /** rise of the water table at a time [s] under the bank's centre and at the place the site names [m]; null without mounding */
  rise(time: number): { readonly centre: number; readonly offset: number } | null;
  /** ends of the accepted steps [s], 0 first */
  readonly times: Float64Array;
  readonly peaks: Readonly<Record<string, { readonly level: number; readonly time: number }>>;
  readonly firings: readonly Firing[];
  /** how long the emitter stood open in all [s], to the run's end where it is open then */
  readonly openTime: number;
  /** what the emitter let out in all [m3], off the site or into the low spot */
  readonly emitted: number;
  /**
   * what came to the surface elsewhere than at the emitter [m3]: over rims and the low spot's lip, up through grounds and their cover
   * and up the grate, off the site or into the low spot; what came back over such an edge is not taken off. The sum of what
   * `exitsReached` gives for all exits but the emitter's, so that water which comes up a grate and then goes over the lip is in it twice
   */
  readonly spilled: number;
  /** what went into the soil [m3], through the weep hole too; net, less than 0 where more groundwater came in */
  readonly seeped: number;
  readonly ledger: Ledger;
  readonly groundwaterIn: { readonly bank: number; readonly trench: number; readonly lowSpot: number };
  /** when the pit was last full, and how long from then to half empty and to empty [s]; null where not reached within the run */
  readonly drainDown: { readonly full: number; readonly half: number | null; readonly empty: number | null };
  readonly events: readonly RunEvent[];
  readonly notes: readonly string[];
  readonly work: { readonly steps: number; readonly rejections: number; readonly evaluations: number };
}

/** What a body of the works is, whatever its name: each settling box, the pit, the trench's stone, its slit pipe, the low spot. */
export type BodyKind = "box" | "bank" | "trench" | "pipe" | "lowSpot";

export interface RunBody {
  /** as in `level`, `peaks` and the loads */
  readonly name: string;
  readonly kind: BodyKind;
}

/** The names of a run's bodies of some kinds, in the water's way. */
export function bodiesOf({ bodies }: Pick<Run, "bodies">, ...kinds: readonly BodyKind[]): string[] {
  return bodies.filter(({ kind }) => kinds.includes(kind)).map(({ name }) => name);
}

/** What a passage is, by its name: all before the box or the stretch that it is of, `boxOutlet` for `boxOutlet west`. */
export function passageKind(passage: string): string {
  const end = passage.indexOf(" ");
  return end < 0 ? passage : passage.slice(0, end);
}

/** The names of a run's passages of some kinds, in the water's way. */
export function passagesOf({ passages }: Pick<Run, "passages">, ...kinds: readonly string[]): string[] {
  return passages.filter((passage) => kinds.includes(passageKind(passage)));
}

/** What all the passages of a kind bring at a time [m3/s]. */
export function flowOfKind(run: Pick<Run, "passages" | "flow">, kind: string, time: number): number {
  return passagesOf(run, kind).reduce((sum, passage) => sum + run.flow(passage, time), 0);
}

/** The body whose water the emitter lets out: the trench's last, or its pipe's where that is a body of its own. */
export function emitterBody(run: Pick<Run, "bodies">): string {
  return (bodiesOf(run, "pipe").at(-1) ?? bodiesOf(run, "trench").at(-1))!;
}

/** One opening of the emitter: [s], [m3], [m3/s]; `end` is null while it is still open at the run's end. */
export interface Firing {
  readonly start: number;
  readonly end: number | null;
  readonly volume: number;
  readonly peakFlow: number;
}

/** Where the water went [m3]; `error` = inflow + storedStart - storedEnd - all others. */
export interface Ledger {
  readonly inflow: number;
  readonly storedStart: number;
  readonly storedEnd: number;
  readonly error: number;
  readonly boxSpill: number;
  readonly bankSeepage: number;
  readonly bankSpill: number;
  readonly trenchSeepage: number;
  readonly trenchSpill: number;
  readonly emitter: number;
  readonly weep: number;
  readonly lowSpotSeepage?: number;
  readonly lowSpotOverflow?: number;
}

export interface RunEvent {
  readonly kind: string;
  readonly time: number;
  readonly body: string;
  readonly value?: number;
}
