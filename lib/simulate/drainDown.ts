import { seriesLevel } from "../ground/seriesLevel.ts";
import { levelAt } from "../works/storageTable.ts";
import { riseAt, type Mound } from "./mound.ts";
import type { Top } from "./kernel.ts";
import type { Network } from "./network.ts";
import type { Run } from "./run.ts";
import { stepAt, valueAfter, volumeAt, volumeWithin, type Trajectory } from "./trajectory.ts";

/**
 * How long the chamber bank takes to empty. The clock starts when it was last `full`: the last time its storage above its start
 * is within 1 % of the largest; `half` when half of that is left, `empty` when its depth above max(start level, groundwater with its mound)
 * is below 10 mm. A fill that is never that deep is empty when half of it is gone, and not before. No storage ever: both 0.
 * Not reached within the run: null; over groundwater that rises, `empty` may be reached where `half` is not, for what holds
 * the storage up is then groundwater.
 */
export function drainDown(
  { bodies }: Network, trajectory: Trajectory, tops: readonly Top[], mound: Mound | null, until: number,
): Run["drainDown"] {
  const b = bodies.findIndex((body) => body.kind === "bank");
  const bank = bodies[b]!;
  const start = valueAfter(trajectory, -1, b);
  const top = tops[b]!;
  const most = top.volume - start;
  if (!(most > NOTHING)) return { full: top.time, half: 0, empty: 0 };

  const clock = lastTime(trajectory, b, (volume) => volume - start >= 0.99 * most, top.time);
  const startLevel = levelAt(bank.storage, start);
  const groundwater = (time: number): number =>
    seriesLevel(bank.groundwater, time) + (mound === null ? 0 : riseAt(trajectory, mound, mound.centre, time));
  const depth = (volume: number, time: number): number => levelAt(bank.storage, volume) - Math.max(startLevel, groundwater(time));
  const half = firstTime(trajectory, b, (volume) => volume - start <= 0.5 * most, clock, until);
  const shallow = firstTime(trajectory, b, (volume, time) => depth(volume, time) < EMPTY_DEPTH, clock, until);
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

/** Whether something holds for the volume of the bank at a time. */
type Condition = (volume: number, time: number) => boolean;

/** The last time a condition holds that holds at `known`, by the steps' ends and then by halving. */
function lastTime(trajectory: Trajectory, body: number, holds: Condition, known: number): number {
  const { time, steps } = trajectory;
  let last = known;
  let after: number | null = null;
  for (let i = steps; i >= 0 && time[i]! > known; i--) {
    if (holds(valueAfter(trajectory, i - 1, body), time[i]!)) {
      last = time[i]!;
      break;
    }
    after = time[i]!;
  }
  return after === null ? last : halveStep(trajectory, body, last, after, holds);
}

/** The first time from `from` on that a condition holds; null where it never does. */
function firstTime(trajectory: Trajectory, body: number, holds: Condition, from: number, until: number): number | null {
  const { time, steps } = trajectory;
  const holdsAt = (at: number): boolean => holds(volumeAt(trajectory, body, at), at);
  if (holdsAt(from)) return from;
  let before = from;
  for (let i = steps === 0 ? 0 : stepAt(trajectory, from) + 1; i <= steps; i++) {
    if (time[i]! <= from) continue;
    if (holds(valueAfter(trajectory, i - 1, body), time[i]!)) {
      return halveStep(trajectory, body, before, time[i]!, (volume, at) => !holds(volume, at));
    }
    before = time[i]!;
  }
  return holdsAt(until) ? until : null;
}

/** The border between a time at which a condition holds and a later one of the same step at which it does not. */
function halveStep(trajectory: Trajectory, body: number, from: number, to: number, holds: Condition): number {
  const volume = volumeWithin(trajectory, body, from);
  let [low, high] = [from, to];
  for (let i = 0; i < 60 && high - low > 1e-6; i++) {
    const middle = (low + high) / 2;
    if (holds(volume(middle), middle)) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
