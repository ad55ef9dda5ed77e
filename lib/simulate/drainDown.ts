import { seriesLevel } from "../ground/seriesLevel.ts";
import { levelAt } from "../works/storageTable.ts";
import { riseAt, type Mound } from "./mound.ts";
import type { Network } from "./network.ts";
import type { Run } from "./run.ts";
import { largestVolume, volumeAt, type Trajectory } from "./trajectory.ts";

/**
 * How long the chamber bank takes to empty. The clock starts when it was last `full`: the last time its storage above its start
 * is within 1 % of the largest; `half` when half of that is left, `empty` when its depth above max(start level, groundwater with its mound)
 * is below 10 mm. A fill that is never that deep is empty when half of it is gone, and not before. No storage ever: both 0.
 * Not reached within the run: null; over groundwater that rises, `empty` may be reached where `half` is not, for what holds
 * the storage up is then groundwater.
 */
export function drainDown({ bodies }: Network, trajectory: Trajectory, mound: Mound | null, until: number): Run["drainDown"] {
  const b = bodies.findIndex((body) => body.kind === "bank");
  const bank = bodies[b]!;
  const start = trajectory.volume[b]!;
  const stored = (time: number): number => volumeAt(trajectory, b, time) - start;
  const top = largestVolume(trajectory, b);
  const most = top.volume - start;
  if (!(most > NOTHING)) return { full: top.time, half: 0, empty: 0 };

  const clock = lastTime(trajectory, (time) => stored(time) >= 0.99 * most, top.time);
  const startLevel = levelAt(bank.storage, start);
  const groundwater = (time: number): number =>
    seriesLevel(bank.groundwater, time) + (mound === null ? 0 : riseAt(trajectory, mound, mound.centre, time));
  const depth = (time: number): number =>
    levelAt(bank.storage, volumeAt(trajectory, b, time)) - Math.max(startLevel, groundwater(time));
  const half = firstTime(trajectory, (time) => stored(time) <= 0.5 * most, clock, until);
  const shallow = firstTime(trajectory, (time) => depth(time) < EMPTY_DEPTH, clock, until);
  const empty = half === null || shallow === null ? shallow : Math.max(half, shallow);
  return { full: clock, half: since(clock, half), empty: since(clock, empty) };
}

/** water above the start [m3] that does not count as storage */
const NOTHING = 1e-9;

/** depth that counts as empty [m] */
const EMPTY_DEPTH = 0.01;

function since(clock: number, time: number | null): number | null {
  return time === null ? null : time - clock;
}

/** The last time a condition holds that holds at `known`, by the steps' ends and then by halving. */
function lastTime({ time, steps }: Trajectory, holds: (time: number) => boolean, known: number): number {
  let last = known;
  let after: number | null = null;
  for (let i = steps; i >= 0 && time[i]! > known; i--) {
    if (holds(time[i]!)) {
      last = time[i]!;
      break;
    }
    after = time[i]!;
  }
  return after === null ? last : halve(last, after, holds);
}

/** The first time from `from` on that a condition holds; null where it never does. */
function firstTime({ time, steps }: Trajectory, holds: (time: number) => boolean, from: number, until: number): number | null {
  if (holds(from)) return from;
  let before = from;
  for (let i = 0; i <= steps; i++) {
    if (time[i]! <= from) continue;
    if (holds(time[i]!)) return halve(before, time[i]!, (at) => !holds(at));
    before = time[i]!;
  }
  return holds(until) ? until : null;
}

/** The border between a time at which a condition holds and a later one at which it does not. */
function halve(low: number, high: number, holds: (time: number) => boolean): number {
  for (let i = 0; i < 60 && high - low > 1e-6; i++) {
    const middle = (low + high) / 2;
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
