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
  readonly bodies: readonly string[];
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
  readonly ledger: Ledger;
  readonly groundwaterIn: { readonly bank: number; readonly trench: number; readonly lowSpot: number };
  /** when the pit was last full, and how long from then to half empty and to empty [s]; null where not reached within the run */
  readonly drainDown: { readonly full: number; readonly half: number | null; readonly empty: number | null };
  readonly events: readonly RunEvent[];
  readonly notes: readonly string[];
  readonly work: { readonly steps: number; readonly rejections: number; readonly evaluations: number };
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
