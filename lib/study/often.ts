import type { Site } from "../site/site.ts";
import { wholeYears, YEAR } from "../text/unitTable.ts";
import { ranked, returnPeriodOf, type Exceeded } from "./exceeded.ts";
import { oftenPlan, type OftenOptions } from "./oftenCases.ts";
import { onceIn, tellableYears, type Banded } from "./onceIn.ts";
import { stoppedRuns } from "./quantiles.ts";
import { rainTold, type RainTold } from "./rainTold.ts";
import { columnOf, runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";

/** How often, in the years. */
export interface HowOften {
  readonly site: Site;
  readonly table: StudyTable;
  readonly stopped: number;
  /** years of rain, all records together; each is run with every soil */
  readonly years: number;
  /** averages over all of them */
  readonly average: {
    /** storms in a year in which the emitter lets out water */
    readonly firingStorms: number;
    /** storms in a year in which water comes to the surface elsewhere than at the emitter, as `Run.spilled` has it */
    readonly spillStorms: number;
    /** a year [m3] */
    readonly emitterVolume: number;
    readonly spilled: number;
    readonly inflow: number;
    /** of what runs in: through the emitter, and elsewhere; what comes up a grate and goes over the lip is in it twice */
    readonly emitterShare: number;
    readonly spilledShare: number;
    /** of the time: the emitter open, the pit above half, water in the pit */
    readonly open: number;
    readonly aboveHalf: number;
    readonly wet: number;
  };
  /** longest wet time at one stretch, of all cases [s] */
  readonly longestWet: number;
  /** the same for each soil alone */
  readonly soils: readonly { readonly conductivityFactor: number; readonly firingStorms: number; readonly emitterVolume: number }[];
  /**
   * the largest of every year with every soil, from the largest down, with the return period of its place among them; none beyond
   * what the years of rain can tell, however many the soils; empty where the rain has no whole year, or no storm in one
   */
  readonly stormVolume: readonly Exceeded[];
  readonly peak: readonly Exceeded[];
  /** what one of so many years reaches, a third of the years of rain at most, with the band that other years would make */
  readonly once: readonly { readonly years: number; readonly stormVolume: Banded; readonly peak: Banded }[];
  readonly rain: RainTold;
}

/**
 * How often things happen in years of rain, the water of one storm carried over to the next: firings and what they let out, how
 * long the pit stands above half, the longest wet spell, and what is exceeded once in so many years.
 *
 * Where the options name a climate and the place's rainfall has several return periods, the years are those of `placeRain`, whose extremes
 * are the table's; without one they have no cloudbursts in them, and `rain.notes` says so.
 *
 * @throws InputError  with all problems; RangeError when every case was stopped
 */
export async function often(site: Site, options: OftenOptions, how: StudyOptions = {}): Promise<HowOften> {
  const table = await runStudy({ kind: "often", site, options }, how);
  const finished = columnOf(table, "stopped").map((stopped) => 1 - stopped);
  const sum = (name: string, of: (i: number) => boolean = () => true): number => (
    columnOf(table, name).reduce((total, value, i) => total + (finished[i] === 1 && of(i) ? value : 0), 0)
  );
  const soilYears = sum("years");
  if (soilYears === 0) throw new RangeError("often: expected a case that came to its end, got only stopped ones");
  const inflow = sum("inflow");
  const factor = columnOf(table, "conductivityFactor");
  const yearsOf = columnOf(table, "years");
  const years = soilYears / new Set(factor).size;
  const overTime = (name: string): number => (
    columnOf(table, name).reduce((total, value, i) => total + (finished[i] === 1 ? value * yearsOf[i]! : 0), 0) / soilYears
  );
  const [volumes, peaks] = [yearly(table, "storm volume"), yearly(table, "peak")];
  const asked = tellableYears(years);
  const [volume, peak] = [onceIn(volumes, asked), onceIn(peaks, asked)];
  return {
    site, table, years,
    stopped: stoppedRuns(table),
    average: {
      firingStorms: sum("firingStorms") / soilYears,
      spillStorms: sum("spillStorms") / soilYears,
      emitterVolume: sum("emitterVolume") / soilYears,
      spilled: sum("spilled") / soilYears,
      inflow: inflow / soilYears,
      emitterShare: inflow === 0 ? 0 : sum("emitterVolume") / inflow,
      spilledShare: inflow === 0 ? 0 : sum("spilled") / inflow,
      open: sum("openTime") / (soilYears * YEAR),
      aboveHalf: overTime("aboveHalf"),
      wet: overTime("wet"),
    },
    longestWet: columnOf(table, "longestWet").reduce((longest, value, i) => Math.max(longest, finished[i] === 1 ? value : 0), 0),
    soils: [...new Set(factor)].map((conductivityFactor) => {
      const its = (i: number): boolean => factor[i] === conductivityFactor;
      const itsYears = sum("years", its);
      return { conductivityFactor, firingStorms: sum("firingStorms", its) / itsYears, emitterVolume: sum("emitterVolume", its) / itsYears };
    }),
    stormVolume: exceeded(volumes, years),
    peak: exceeded(peaks, years),
    once: asked.flatMap((each, i) => (
      volume[i] === null || peak[i] === null ? [] : [{ years: each, stormVolume: volume[i]!, peak: peak[i]! }])),
    rain: rainTold(oftenPlan(options), options.rainfall !== undefined),
  };
}

/** The values of each year of each record, one for each soil. */
function yearly(table: StudyTable, name: string): number[][] {
  const { columns, count, values } = table;
  const its = columns.flatMap((column, c) => (new RegExp(`^${name} \\d+$`).test(column.name) ? [c] : []));
  const records = columnOf(table, "record");
  return [...new Set(records)].flatMap((record) => {
    const rows = Array.from({ length: count }, (_, i) => i).filter((i) => records[i] === record);
    return its.map((c) => rows.map((i) => values[i * columns.length + c]!));
  });
}

function exceeded(years: readonly (readonly number[])[], rainYears: number): Exceeded[] {
  const longest = returnPeriodOf(1, Math.max(1, wholeYears(rainYears * YEAR)));
  return ranked(years.flat()).filter(({ returnPeriod }) => returnPeriod <= longest * (1 + 1e-12));
}
