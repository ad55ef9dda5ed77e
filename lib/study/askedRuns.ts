import { depthDuration, type Rainfall } from "../rain/storms/depthDuration.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { UK_DURATIONS } from "../rain/storms/ukDepth.ts";
import { durationText } from "../text/format.ts";
import { InputError } from "../text/problem.ts";
import { quantity } from "../text/quantity.ts";

/** One run in which a criterion is tried. */
export interface AskedRun {
  readonly rain: Hyetograph;
  /** of the storm, where the criterion leaves it open; null where it names one */
  readonly duration: string | null;
  /** whether it is the shortest or the longest that the table has: a worse one may then lie outside */
  readonly edge: "shortest" | "longest" | null;
  /** the day of rain before the storm, with the same end of run alone; null where the works start empty */
  readonly dayBefore: Hyetograph | null;
}

const DAY = 86400;

/** Patterns that fall over any duration; nested ones hold all durations in one storm. */
const OF_A_DURATION: ReadonlySet<unknown> = new Set([
  "block", "triangular", "huff-1", "huff-2", "huff-3", "huff-4", "uk-summer", "uk-winter",
]);

/** Whether a criterion's storm names a return period and leaves its duration open. */
export function leavesDurationOpen(storm: Readonly<Record<string, unknown>>): boolean {
  return "returnPeriod" in storm && !("duration" in storm) && OF_A_DURATION.has(storm["pattern"]) && tableDurations(storm["rainfall"]) !== null;
}

/**
 * The runs of a storm of one return period whose duration is open: every duration of the table, from empty works and, where the table has
 * a 2-year day, right after that day of even rain.
 *
 * @param where    the storm's place, for errors
 * @param storm    options of designStorm without a duration
 * @throws InputError  with what is wrong with them
 * @source  every duration of the table is what published methods for soakaways run, from memory; the wet start is chosen
 */
export function runsOfAllDurations(where: string, storm: Readonly<Record<string, unknown>>): AskedRun[] {
  const durations = tableDurations(storm["rainfall"])!;
  const before = twoYearDay(storm["rainfall"] as Rainfall);
  return durations.flatMap((seconds, i) => {
    const rain = designStormAt(where, { ...storm, duration: `${seconds} s` });
    const dry: AskedRun = {
      rain, duration: durationText(seconds), dayBefore: null,
      edge: i === 0 ? "shortest" : i === durations.length - 1 ? "longest" : null,
    };
    return before === null ? [dry] : [dry, { ...dry, rain: after(before, rain), dayBefore: before }];
  });
}

function tableDurations(rainfall: unknown): readonly number[] | null {
  if (typeof rainfall !== "object" || rainfall === null) return null;
  if ("m5_60" in rainfall) return UK_DURATIONS;
  if (!("rows" in rainfall) || typeof rainfall.rows !== "object" || rainfall.rows === null) return null;
  try {
    return Object.keys(rainfall.rows).map((text) => quantity(text, "time", "rows")).sort((a, b) => a - b);
  } catch (error) {
    // a table that cannot be read is refused where its storm is made
    if (error instanceof InputError) return null;
    throw error;
  }
}

/** null where the table has no such day */
function twoYearDay(rainfall: Rainfall): Hyetograph | null {
  try {
    const depth = depthDuration({ rainfall, returnPeriod: "2 year" })(DAY);
    return { time: Float64Array.of(0, DAY), depth: Float64Array.of(depth) };
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}

function after(day: Hyetograph, storm: Hyetograph): Hyetograph {
  return {
    time: Float64Array.from([...day.time, ...storm.time.slice(1).map((time) => DAY + time)]),
    depth: Float64Array.from([...day.depth, ...storm.depth]),
  };
}
