import { seriesLevel, type TimedLevel } from "../ground/seriesLevel.ts";
import { levelAt } from "../works/storageTable.ts";
import type { Top } from "./kernel.ts";
import { type Mound, riseAt } from "./mound.ts";
import type { Network } from "./network.ts";
import type { Run } from "./run.ts";
import { once } from "./once.ts";
import { stepAt, type Trajectory, valueAfter, volumeAt, volumeWithin } from "./trajectory.ts";

/** The pit's water over a run, for questions about its draining. */
export interface PitWater {
  readonly until: number;
  /** ends of the steps [s], 0 first */
  readonly times: ArrayLike<number>;
  /** its highest level [m], and when [s] */
  readonly top: { readonly level: number; readonly time: number };
  readonly drainDown: Run["drainDown"];
  /** its level at a time [m] */
  level(time: number): number;
  /** the groundwater round it, mound included [m]; -Infinity where it is far below */
  around(time: number): number;
}

/** What a march leaves of the pit. */
interface PitRecord {
  readonly network: Network;
  readonly trajectory: Trajectory;
  readonly tops: readonly Top[];
  readonly mound: Mound | null;
  readonly until: number;
}

/** The pit's water by the record of a march. */
export function pitWater(record: PitRecord): PitWater {
  const { network, trajectory, tops, mound, until } = record;
  const bank = bankOf(network);
  const { storage, groundwater } = network.bodies[bank]!;
  const drained = once(() => drainDown(record));
  return {
    until,
    times: trajectory.time,
    top: { level: levelAt(storage, tops[bank]!.volume), time: tops[bank]!.time },
    get drainDown() { return drained(); },
    level: (time) => levelAt(storage, Math.max(0, volumeAt(trajectory, bank, time))),
    around: (time) => groundwaterAround(groundwater, trajectory, mound, time),
  };
}

function bankOf({ bodies }: Network): number {
  return bodies.findIndex(({ kind }) => kind === "bank");
}

function groundwaterAround(groundwater: TimedLevel | null, trajectory: Trajectory, mound: Mound | null, time: number): number {
  return seriesLevel(groundwater, time) + (mound === null ? 0 : riseAt(trajectory, mound, mound.centre, time));
}

/**
 * How long the chamber bank takes to empty. The clock starts when it was last `full`: the last time its storage above its start
 * is within 1 % of the largest; `half` when half of that is left, `empty` when its depth above max(start level, groundwater with its mound)
 * is below 10 mm. A fill that is never that deep is empty when half of it is gone, and not before. No storage ever: both 0.
 * Not reached within the run: null; over groundwater that rises, `empty` may be reached where `half` is not, for what holds
 * the storage up is then groundwater.
 */
export function drainDown({ network, trajectory, tops, mound, until }: PitRecord): Run["drainDown"] {
  const b = bankOf(network);
  const bank = network.bodies[b]!;
  const start = valueAfter(trajectory, -1, b);
  const top = tops[b]!;
  const most = top.volume - start;
  if (!(most > NOTHING)) return { full: top.time, half: 0, empty: 0 };

  const clock = lastTime(trajectory, b, (volume) => volume - start >= 0.99 * most, top.time);
  const startLevel = levelAt(bank.storage, start);
  const depth = (volume: number, time: number): number => (
    levelAt(bank.storage, volume) - Math.max(startLevel, groundwaterAround(bank.groundwater, trajectory, mound, time)));
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

// ---- groundwater over the pit's water

/**
 * Half and empty as far as the run itself goes, for studies of many runs: null where not reached within it, and where groundwater stands
 * above all the pit's water, which is then back at nothing.
 */
export function drainedPit(pit: PitWater): Run["drainDown"] {
  const { drainDown: drained } = pit;
  if (isDrowned(pit)) return { ...drained, half: null, empty: null };
  return isUnder(pit, drained) ? { ...drained, empty: backAfter(pit, pit) } : drained;
}

/** Whether groundwater stands above all the water that the pit ever held. */
export function isDrowned(pit: PitWater): boolean {
  return pit.around(pit.until) > pit.top.level;
}

/** Whether the water table stands above all the pit's water when that is said to be back at it: a pit that still fills is not back. */
export function isUnder(pit: PitWater, { full, empty }: Run["drainDown"]): boolean {
  return empty !== null && full + empty <= pit.until && isBelowTable(pit, full + empty);
}

function isBelowTable(pit: PitWater, time: number): boolean {
  return pit.around(time) - pit.level(time) > EMPTY_DEPTH;
}

/** From when a run was last full until the water of the same run, watched for longer, is first back at its rest [s]; null: it is not. */
export function backAfter(pit: PitWater, longer: PitWater): number | null {
  const { full } = pit.drainDown;
  const start = longer.level(0);
  const { times } = longer;
  for (let i = 0; i < times.length; i++) {
    const time = times[i]!;
    if (time <= full || isBelowTable(longer, time)) continue;
    if (longer.level(time) - Math.max(start, longer.around(time)) < EMPTY_DEPTH) return time - full;
  }
  return null;
}
