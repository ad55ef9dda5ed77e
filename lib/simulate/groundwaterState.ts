import { leastOf } from "../numerics/extremes.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { waterAround } from "./drainTime.ts";
import { exits } from "./exits.ts";
import type { Run } from "./run.ts";
import { simulate } from "./simulate.ts";

/** Where the water table stands to the works in the course of a run, at its highest. */
export interface GroundwaterState {
  /** below the pit's floor, in the pit, or so high that it would come out of the works by itself */
  readonly state: "below" | "in the pit" | "over the opening";
  /** over the pit's floor, its mound included [m]; negative below it, -Infinity where none is given */
  readonly overFloor: number;
  /** over the level at which water comes out of the emitter, or without one out of the lowest other place [m] */
  readonly overOpening: number;
}

/** The state of the water table over a whole run: its highest moment decides. */
export function groundwaterState(run: Run): GroundwaterState {
  const { site } = run;
  const { chamberBank, overflowTrench, emitter, lowSpot } = site;
  const moments = [...run.times, ...series(site).filter((time) => time <= run.until)];
  const highest = (level: (time: number) => number): number => moments.reduce((most, time) => Math.max(most, level(time)), -Infinity);
  const overFloor = highest((time) => waterAround(run, time)) - chamberBank.floor;
  const outside = (time: number): number => (emitter?.dischargesTo === null || lowSpot === null ? -Infinity : run.level("lowSpot", time));
  const overOpening = emitter !== null && overflowTrench !== null
    ? highest((time) => seriesLevel(overflowTrench.groundwater, time) - Math.max(emitter.sill, outside(time)) - emitter.opensAtHead)
    : highest((time) => waterAround(run, time)) - lowestEdge(run);
  const state = overOpening >= 0 ? "over the opening" : overFloor > RISE ? "in the pit" : "below";
  return { state, overFloor, overOpening };
}

/** Groundwater no higher above a floor than the model's own smoothing does not count as standing in the pit [m]. */
const RISE = 1e-3;

function series({ chamberBank, overflowTrench }: Run["site"]): number[] {
  return [...chamberBank.groundwater?.time ?? [], ...overflowTrench?.groundwater?.time ?? []];
}

function lowestEdge({ site }: Run): number {
  return leastOf(exits(site).filter(({ kind }) => kind === "trenchGround" || kind === "pitGround" || kind === "grate").map(({ level }) => level));
}

/** Whether groundwater alone lifts the emitter's lid in a run, whether it rains or not. */
export function groundwaterLiftsLid(run: Run): boolean {
  return run.firings.length > 0 && (run.firings[0]!.start === 0 || groundwaterState(run).state === "over the opening");
}

/** The same works over the same time without any inflow: what groundwater alone does. Kept as long as the run. */
export function withoutInflow(run: Run): Run {
  const known = DRY_RUNS.get(run);
  if (known !== undefined) return known;
  const dry = simulate(run.site, {}, { ...run.options, until: run.until });
  DRY_RUNS.set(run, dry);
  return dry;
}

/** A run never changes, so what was made of it once is kept as long as the run itself. */
const DRY_RUNS = new WeakMap<Run, Run>();
