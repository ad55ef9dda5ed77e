import { flowOfKind, passagesOf, type Run } from "../simulate/run.ts";
import { DRY } from "./bodyViews.ts";
import { NO_FLOW } from "./flowRows.ts";

/** The third day begins, when most works are asked to be empty again [s]. */
export const DAY_3: number = 48 * 3600;

/** The states of a site, in the order in which a storm brings them. */
export type SiteState = "dry" | "filling" | "trench running" | "emitter firing" | "out at the surface";

/** A moment at which a run shows a state. */
export interface StateMoment {
  readonly state: SiteState;
  /** [s] */
  readonly time: number;
}

/**
 * A telling moment of each state that a run goes through, in the order of a storm: the start where it is dry; the pit half as
 * high as where it first runs over or stands highest; the trench running with the emitter shut; the emitter's greatest flow; and
 * the greatest flow out at the surface elsewhere, the grate's and over the low spot's lip among it.
 */
export function stateMoments(run: Run): StateMoment[] {
  const { times } = run;
  const moments: StateMoment[] = [];
  const add = (state: SiteState, time: number | null): void => {
    if (time !== null) moments.push({ state, time });
  };
  const running = times.find((time) => flowOfKind(run, "trenchInlet", time) > NO_FLOW) ?? null;
  const firing = run.firings.reduce<Run["firings"][number] | null>((most, each) => (most === null || each.peakFlow > most.peakFlow ? each : most), null);
  add("dry", isDry(run, 0) ? 0 : null);
  add("filling", fillingAt(run, running ?? run.peaks["chamberBank"]!.time));
  add("trench running", running === null ? null : greatestOf(run, "trenchInlet", running, firing === null ? run.until : run.firings[0]!.start));
  add("emitter firing", firing === null ? null : greatestOf(run, "emitter", firing.start, firing.end ?? run.until));
  const out = (time: number): number => {
    const { up, lip } = surfaceFlow(run, time);
    return Math.max(up, lip);
  };
  const spilling = greatest(run, out, 0, run.until);
  add("out at the surface", spilling !== null && out(spilling) > NO_FLOW ? spilling : null);
  return moments;
}

/**
 * What comes out at the surface at a moment but through the emitter [m3/s]: up over rims, through grounds and out of the grate,
 * whether off the site or into the low spot, and over the low spot's lip.
 */
export function surfaceFlow(run: Run, time: number): { readonly up: number; readonly lip: number } {
  const sum = (kinds: readonly string[], sign: 1 | -1): number => passagesOf(run, ...kinds)
    .reduce((flow, passage) => flow + Math.max(0, sign * run.flow(passage, time)), 0);
  return { up: sum(["boxSpill", "bankSpill", "trenchSpill"], 1) + sum(["grate"], -1), lip: sum(["lowSpotOverflow"], 1) };
}

function isDry(run: Run, time: number): boolean {
  return run.level("chamberBank", time) - run.site.chamberBank.floor <= DRY;
}

/** When the pit stands half way between its start and where it is at a time; null where it never rises. */
function fillingAt(run: Run, until: number): number | null {
  const [low, high] = [run.level("chamberBank", 0), run.level("chamberBank", until)];
  if (high - low <= DRY) return null;
  return run.times.find((time) => run.level("chamberBank", time) >= (low + high) / 2) ?? null;
}

/** The end of the step with the greatest flow between two times; null where no step ends between them. */
function greatestOf(run: Run, kind: string, from: number, to: number): number | null {
  return greatest(run, (time) => flowOfKind(run, kind, time), from, to);
}

function greatest(run: Run, flowAt: (time: number) => number, from: number, to: number): number | null {
  let best: { time: number; flow: number } | null = null;
  for (const time of run.times) {
    if (time < from || time >= to) continue;
    const flow = flowAt(time);
    if (best === null || flow > best.flow) best = { time, flow };
  }
  return best?.time ?? null;
}
