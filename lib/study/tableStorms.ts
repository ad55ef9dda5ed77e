import { greatestOf } from "../numerics/extremes.ts";
import { straightThrough } from "../numerics/straightThrough.ts";
import { designStorm } from "../rain/storms/designStorm.ts";
import { hyetograph, type Hyetograph } from "../rain/hyetograph.ts";
import type { RainFrequency } from "../rain/storms/rainFrequency.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Site } from "../site/site.ts";

/** What single storms of the place's table do, by how many years lie between two such: what years of rain are held against. */
export interface TableStorms {
  readonly years: number;
  /** even rain, at the duration that is the worst for each answer [s] */
  readonly even: { readonly emitted: number; readonly emittedIn: number; readonly peak: number; readonly peakIn: number };
  /** the day, or the table's longest duration, that holds all its durations round its middle */
  readonly nested: { readonly emitted: number; readonly peak: number };
}

/**
 * Runs the storms that the largest of a year reaches once in N years, from works as empty as groundwater leaves them: even rain of
 * every duration of the table up to a day, and all of them nested in one storm.
 *
 * @param years  each above 1
 * @returns      one for each; null where a run stops
 */
export function tableStorms(site: Site, frequency: RainFrequency, years: readonly number[]): (TableStorms | null)[] {
  const { durations, depth } = frequency;
  return years.map((each) => {
    const depths = durations.map((_, which) => depth(which, -Math.log1p(-1 / each), Infinity));
    try {
      const even = durations.map((duration, k) => (
        { duration, ...answersOf(site, hyetograph({ time: [0, duration], depth: [depths[k]!] })) }));
      const most = (of: "emitted" | "peak"): { readonly value: number; readonly duration: number } => {
        const value = greatestOf(even.map((one) => one[of]));
        return { value, duration: even.find((one) => one[of] === value)!.duration };
      };
      const [emitted, peak] = [most("emitted"), most("peak")];
      return {
        years: each,
        even: { emitted: emitted.value, emittedIn: emitted.duration, peak: peak.value, peakIn: peak.duration },
        nested: answersOf(site, nestedOf(durations, depths)),
      };
    } catch (error) {
      if (error instanceof StoppedRun) return null;
      throw error;
    }
  });
}

function answersOf(site: Site, rain: Hyetograph): TableStorms["nested"] {
  const run = settledRun(site, rain);
  return { emitted: run.emitted, peak: run.peaks["chamberBank"]!.level };
}

function nestedOf(durations: readonly number[], depths: readonly number[]): Hyetograph {
  const [at, logs] = [durations.map(Math.log), depths.map(Math.log)];
  return designStorm({
    pattern: "nested", duration: `${durations.at(-1)!} s`, interval: `${durations[0]!} s`,
    rainfall: (time) => (time === 0 ? 0 : Math.exp(straightThrough(at, logs, Math.log(time)))),
  });
}
