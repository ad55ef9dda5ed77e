import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { networkOf } from "./assemble.ts";
import { backAfter, drainedPit, isDrowned, isUnder, type PitWater } from "./pitWater.ts";
import { passagesOf, type Run } from "./run.ts";
import { simulate } from "./simulate.ts";
import { StoppedRun } from "./stoppedRun.ts";

/** How long the pit takes to drain, followed to its end however long that is. */
export interface DrainTime {
  /** when it was last full: the last time it held within 1 % of its most [s] */
  readonly full: number;
  /** from then until half of its most is left, and until the water above its rest is less than a centimetre deep [s]; null: never */
  readonly half: number | null;
  readonly empty: number | null;
  /** what it comes back to: its floor, the groundwater that stands in it, or the level it started from where that is higher */
  readonly rest: "floor" | "groundwater" | "start";
  /** level of that, where it is reached or would be [m] */
  readonly restLevel: number;
  /**
   * why it never gets there; null where it does. "feeding": water keeps coming in from the ground elsewhere; "drowned": groundwater
   * stands above all its water to the end
   */
  readonly never: "noSeepage" | "feeding" | "drowned" | "slow" | null;
  /** the level it stands at when it was last looked at, and when that was [s], at the run's end or later */
  readonly level: number;
  readonly looked: number;
}

/**
 * The time to drain after a run: that of the run itself where it is reached there, else of the same works left to themselves
 * without rain, ten days, then a year, then ten years longer, until the pit is back at its rest or stands still, or groundwater
 * opens the lid to the end.
 *
 * @returns  null where the pit's water never rises by a millimetre: there is nothing to drain
 */
export function drainTime(run: Run): DrainTime | null {
  const known = TIMES.get(run);
  if (known !== undefined) return known;
  const time = followed(run);
  TIMES.set(run, time);
  return time;
}

/**
 * The same as far as the run itself goes, for studies of many runs: null where not reached within it, and where groundwater stands
 * above all the pit's water, which is then back at nothing.
 */
export function drainedWithin(run: Run): Run["drainDown"] {
  return drainedPit(pitOf(run));
}

/** The pit's water in a run. */
export function pitOf(run: Run): PitWater {
  return {
    until: run.until, times: run.times, top: run.peaks["chamberBank"]!, drainDown: run.drainDown,
    level: (time) => run.level("chamberBank", time), around: (time) => waterAround(run, time),
  };
}

/** A run never changes, so what was made of it once is kept as long as the run itself. */
const TIMES = new WeakMap<Run, DrainTime | null>();

const DAY = 86_400;
/** How much longer than the run the works are watched [s]. */
const LONGER: readonly number[] = [10 * DAY, 365 * DAY, 3650 * DAY];
/** A pit that falls less than this in the last tenth of the time it is watched after the run stands still [m]. */
const STILL = 1e-4;
/** A rise of less is no filling [m]. */
const RISE = 1e-3;

function followed(run: Run): DrainTime | null {
  if (run.peaks["chamberBank"]!.level - run.level("chamberBank", 0) <= RISE) return null;
  let [last, drained]: [Run, Run["drainDown"]] = [run, drainedWithin(run)];
  if (isDrowned(pitOf(run))) return { ...timeOf(run, drained, "drowned"), rest: "start" };
  if (drained.empty !== null) return timeOf(run, drained, null);
  for (const next of leftAlone(run)) {
    last = next;
    // what rises later, with a water table, is not what the storm left
    drained = sinceFull(run, last);
    if (drained.empty !== null) return timeOf(last, drained, null);
    if (standsStill(run, last, "chamberBank") && whyNever(run, last) !== "slow") break;
  }
  return timeOf(last, drained, whyNever(run, last));
}

function timeOf(run: Run, { full, half, empty }: Run["drainDown"], never: DrainTime["never"]): DrainTime {
  const looked = empty === null ? run.until : Math.min(run.until, full + empty);
  const start = run.level("chamberBank", 0);
  const { floor } = run.site.chamberBank;
  const around = waterAround(run, looked);
  const restLevel = Math.max(floor, start, around);
  const rest = restLevel - floor <= RISE ? "floor" : around >= start - RISE ? "groundwater" : "start";
  return { full, half, empty, rest, restLevel, never, level: run.level("chamberBank", looked), looked };
}

/** The same run watched for longer and longer, no rain after its end; as far as it can be followed. */
function* leftAlone(run: Run): Generator<Run> {
  const known = LATER.get(run) ?? [];
  LATER.set(run, known);
  const inflows = Object.fromEntries(Object.entries(run.inflows).map(([body, flow]) => [body, endingAt(flow, run.until)]));
  for (const [i, longer] of LONGER.entries()) {
    try {
      known[i] ??= simulate(run.site, inflows, { ...run.options, until: run.until + longer });
    } catch (failure) {
      if (failure instanceof StoppedRun) return;
      throw failure;
    }
    yield known[i];
    if (lidMovesOn(known[i], longer)) return;
  }
}

/** Whether the lid still opens in the last tenth of the dry time: groundwater lifts it again and again; ten years of it take minutes. */
function lidMovesOn({ firings, until }: Run, longer: number): boolean {
  return (firings.at(-1)?.start ?? 0) > until - 0.1 * longer;
}

const LATER = new WeakMap<Run, Run[]>();

function endingAt({ time, flow }: Hydrograph, end: number): Hydrograph {
  const next = time.findIndex((each) => each > end);
  if (next < 0) return { time, flow };
  const before = Math.max(0, next - 1);
  const share = (end - time[before]!) / (time[next]! - time[before]! || 1);
  if (next > 0 && time[before] === end) return { time: time.slice(0, next), flow: flow.slice(0, next) };
  const last = next === 0 ? 0 : flow[before]! + share * (flow[next]! - flow[before]!);
  return { time: Float64Array.from([...time.subarray(0, next), end]), flow: Float64Array.from([...flow.subarray(0, next), last]) };
}

/** Half and empty of a run that was watched for longer, counted from when the run itself was last full. */
function sinceFull(run: Run, longer: Run): Run["drainDown"] {
  if (longer.drainDown.full <= run.until && !isUnder(pitOf(longer), longer.drainDown)) return { ...longer.drainDown };
  return { ...run.drainDown, empty: backAfter(pitOf(run), pitOf(longer)) };
}

/** Whether a body's water moves no more at the end of a run watched for longer: a record of years tells nothing of that. */
function standsStill(run: Run, { until, level }: Run, body: string): boolean {
  const since = until > run.until ? run.until : 0;
  return level(body, until - 0.1 * (until - since)) - level(body, until) < STILL;
}

function whyNever(run: Run, last: Run): DrainTime["never"] {
  if (!standsStill(run, last, "chamberBank")) return "slow";
  const soaks = passagesOf(last, "bankSeepage", "trenchSeepage").map((name) => last.flow(name, last.until));
  if (soaks.some((flow) => flow < -TRICKLE)) return "feeding";
  const hollow = last.site.lowSpot === null ? 0 : last.flow("lowSpotSeepage", last.until);
  if (hollow < -TRICKLE) return "feeding";
  // what lets through next to nothing empties a pit all the same, in a hundred years
  return passagesOf(last, "bankSeepage").some((name) => last.flow(name, last.until) > SEEPING) ? "slow" : "noSeepage";
}

/** What the pit comes back to, in a sentence that says it is there. */
export const REST_WORDS: Readonly<Record<DrainTime["rest"], string>> = Object.freeze({
  floor: "empty", groundwater: "back at its groundwater", start: "back at the level it started from",
});

/** Water that stands in the low spot, followed to its end. */
export interface Puddle {
  /** at its deepest [m] */
  readonly depth: number;
  /** when the last of it is less than a millimetre deep [s]; null: never */
  readonly until: number | null;
  /** why it never dries; null where it does. "fed": as much runs in, up out of the works, as soaks away */
  readonly never: "groundwater" | "noSeepage" | "fed" | "slow" | null;
  /** depth when it was last looked at [m] */
  readonly left: number;
}

/**
 * Until when water stands in the low spot after a run, which is followed without rain as `drainTime` follows it.
 *
 * @returns  null where there is no low spot, or never a millimetre of water in it
 */
export function puddle(run: Run): Puddle | null {
  const { lowSpot } = run.site;
  if (lowSpot === null) return null;
  const depth = run.peaks["lowSpot"]!.level - lowSpot.floor;
  if (depth <= RISE) return null;
  const { time: deepest } = run.peaks["lowSpot"]!;
  const over = (each: Run, time: number): boolean => each.level("lowSpot", time) - lowSpot.floor > RISE;
  let last = run;
  let until = over(run, run.until) ? null : lastOver(run, over, deepest);
  for (const next of until === null ? leftAlone(run) : []) {
    last = next;
    until = over(next, next.until) ? null : lastOver(next, over, deepest);
    if (until !== null || standsStill(run, next, "lowSpot")) break;
  }
  const left = last.level("lowSpot", last.until) - lowSpot.floor;
  if (until !== null) return { depth, until, never: null, left: 0 };
  // water that stands over its water table stands still for another reason
  const atTable = seriesLevel(lowSpot.groundwater, last.until) - last.level("lowSpot", last.until) > -RISE;
  const never = !standsStill(run, last, "lowSpot") ? "slow" : atTable ? "groundwater" : last.flow("lowSpotSeepage", last.until) > TRICKLE ? "fed" : "noSeepage";
  return { depth, until, never, left };
}

/** The end of the last time something holds that holds no more at the run's end [s]. */
function lastOver(run: Run, over: (run: Run, time: number) => boolean, known: number): number {
  const times = Array.from(run.times).filter((time) => time >= known);
  const i = times.findLastIndex((time) => over(run, time));
  let [low, high] = [times[i] ?? known, times[i + 1] ?? run.until];
  while (high - low > 1) {
    const middle = (low + high) / 2;
    if (over(run, middle)) low = middle;
    else high = middle;
  }
  return high;
}

/** A litre in eleven days is no flow [m3/s]. */
const TRICKLE = 1e-9;
/** Three litres in a hundred years: a pit that soaks away no more than that stands still [m3/s]. */
const SEEPING = 1e-12;

/** Groundwater round the pit with its mound [m]; -Infinity where it is far below. */
export function waterAround(run: Run, time: number): number {
  const bank = networkOf(run.site).bodies.find(({ kind }) => kind === "bank")!;
  return seriesLevel(bank.groundwater, time) + (run.rise(time)?.centre ?? 0);
}
