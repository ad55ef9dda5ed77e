import { exitsReached, type ExitReached } from "./exits.ts";
import type { Run } from "./run.ts";
import { simulate } from "./simulate.ts";
import { StoppedRun } from "./stoppedRun.ts";

/** Where a storm's water comes out, as the works are built or with a part of them failing. */
export interface WayOut {
  readonly when: "asRun" | "lidShut" | "boxOutletBlocked";
  /** as `exitsReached`; null where the run could not be made to its end */
  readonly exits: readonly ExitReached[] | null;
}

/**
 * Where the same storm's water comes out as it was run, with the emitter's lid stuck shut for all of it (roots, ice; left out
 * where it never opened anyway), and with the boxes' outlets choked with leaves. Two further runs of what ran into the works.
 */
export function waysOut(run: Run): readonly WayOut[] {
  const known = WAYS.get(run);
  if (known !== undefined) return known;
  const ways: WayOut[] = [
    { when: "asRun", exits: exitsReached(run) },
    ...(run.firings.length === 0 ? [] : [{ when: "lidShut" as const, exits: failing(run, "emitter") }]),
    { when: "boxOutletBlocked", exits: failing(run, "boxOutlet") },
  ];
  WAYS.set(run, ways);
  return ways;
}

/** A run never changes, so what was made of it once is kept as long as the run itself. */
const WAYS = new WeakMap<Run, readonly WayOut[]>();

function failing({ site, inflows, until, settled: settle }: Run, part: string): ExitReached[] | null {
  try {
    return exitsReached(simulate(site, inflows, { until, settle, blocked: [part] }));
  } catch (error) {
    if (error instanceof StoppedRun) return null;
    throw error;
  }
}
