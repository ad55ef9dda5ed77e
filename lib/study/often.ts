import type { RainFrequency } from "../rain/storms/rainFrequency.ts";
import type { Site } from "../site/site.ts";
import { wholeYears, YEAR } from "../text/unitTable.ts";
import { ranked, returnPeriodOf, type Exceeded } from "./exceeded.ts";
import { oftenPlan, type OftenOptions } from "./oftenCases.ts";
import { onceIn, tellableYears, type Banded } from "./onceIn.ts";
import { stoppedRuns } from "./quantiles.ts";
import { rainTold, type RainTold } from "./rainTold.ts";
import { columnOf, runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";
import { tableStorms, type TableStorms } from "./tableStorms.ts";

/** How often, in the years. */
export interface HowOften {
  readonly site: Site;
  readonly table: StudyTable;
  readonly stopped: number;
  /** years of rain, all records together; each is run with every soil */
  readonly years: number;
  /** averages over all of them, with the soils round the one that was tested or given */
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
  /** what one of a number of years reaches, a third of the years of rain at most, with the band that other years would make */
  readonly once: readonly OnceIn[];
  /** the same years with the soil by the rule of design, divided by the factor of safety; null where that is 1 */
  readonly byRule: { readonly firingStorms: number; readonly emitterVolume: number; readonly once: readonly OnceIn[] } | null;
  /**
   * single storms of the table, with the soil by the rule of design where there is one: as the sweep and the sizes of a page have it; of
   * those of `once` up to the table's longest return period, none where there is no table
   */
  readonly tableStorms: readonly TableStorms[];
  readonly rain: RainTold;
}

/** What the largest of a year reaches once in a number of years. */
export interface OnceIn {
  readonly years: number;
  readonly stormVolume: Banded;
  readonly peak: Banded;
}

/**
 * How often things happen in years of rain, the water of one storm carried over to the next: firings and what they let out, how
 * long the pit stands above half, the longest wet spell, and what is exceeded once in N years. The soils lie round the one that was
 * tested or given, as those of `howSure` do; the soil by the rule of design, which sizes and storms are judged in, stands beside.
 *
 * Where the options name a climate and the place's rainfall has several return periods, the years are those of `placeRain`, whose extremes
 * are the table's; without one they have no cloudbursts in them, and `rain.notes` says so.
 *
 * @throws InputError  with all problems; RangeError when every case was stopped
 */
export async function often(site: Site, options: OftenOptions, how: StudyOptions = {}): Promise<HowOften> {
  const table = await runStudy({ kind: "often", site, options }, how);
  const [stopped, byRule] = [columnOf(table, "stopped"), columnOf(table, "byRule")];
  const sum = (name: string, of: (i: number) => boolean): number => (
    columnOf(table, name).reduce((total, value, i) => total + (stopped[i] === 0 && of(i) ? value : 0), 0)
  );
  const likely = (i: number): boolean => byRule[i] === 0;
  const soilYears = sum("years", likely);
  if (soilYears === 0) throw new RangeError("often: expected a case that came to its end, got only stopped ones");
  const all = (name: string): number => sum(name, likely);
  const inflow = all("inflow");
  const factor = columnOf(table, "conductivityFactor");
  const factors = [...new Set(factor.filter((_, i) => likely(i)))];
  const yearsOf = columnOf(table, "years");
  const years = soilYears / factors.length;
  const overTime = (name: string): number => (
    columnOf(table, name).reduce((total, value, i) => total + (stopped[i] === 0 && likely(i) ? value * yearsOf[i]! : 0), 0) / soilYears
  );
  const [volumes, peaks] = [yearly(table, "storm volume", likely), yearly(table, "peak", likely)];
  const asked = tellableYears(years);
  const once = onceOf(volumes, peaks, asked);
  const plan = oftenPlan(options);
  const told = plan.frequency === null ? [] : once.filter((each) => isInTable(each.years, plan.frequency!)).map((each) => each.years);
  return {
    site, table, years, once,
    stopped: stoppedRuns(table),
    average: {
      firingStorms: all("firingStorms") / soilYears,
      spillStorms: all("spillStorms") / soilYears,
      emitterVolume: all("emitterVolume") / soilYears,
      spilled: all("spilled") / soilYears,
      inflow: inflow / soilYears,
      emitterShare: inflow === 0 ? 0 : all("emitterVolume") / inflow,
      spilledShare: inflow === 0 ? 0 : all("spilled") / inflow,
      open: all("openTime") / (soilYears * YEAR),
      aboveHalf: overTime("aboveHalf"),
      wet: overTime("wet"),
    },
    longestWet: columnOf(table, "longestWet").reduce((longest, value, i) => Math.max(longest, stopped[i] === 0 && likely(i) ? value : 0), 0),
    soils: factors.map((conductivityFactor) => {
      const its = (i: number): boolean => likely(i) && factor[i] === conductivityFactor;
      const itsYears = sum("years", its);
      return { conductivityFactor, firingStorms: sum("firingStorms", its) / itsYears, emitterVolume: sum("emitterVolume", its) / itsYears };
    }),
    stormVolume: exceeded(volumes, years),
    peak: exceeded(peaks, years),
    byRule: ruleOf(table, asked, sum),
    tableStorms: plan.frequency === null ? [] : tableStorms(site, plan.frequency, told).filter((each) => each !== null),
    rain: rainTold(plan, options.rainfall !== undefined),
  };
}

/** null where no case has the soil by the rule of design, or none came to its end */
function ruleOf(table: StudyTable, asked: readonly number[], sum: (name: string, of: (i: number) => boolean) => number): HowOften["byRule"] {
  const byRule = columnOf(table, "byRule");
  const its = (i: number): boolean => byRule[i] === 1;
  const years = sum("years", its);
  if (years === 0) return null;
  return {
    firingStorms: sum("firingStorms", its) / years, emitterVolume: sum("emitterVolume", its) / years,
    once: onceOf(yearly(table, "storm volume", its), yearly(table, "peak", its), asked),
  };
}

function onceOf(volumes: readonly (readonly number[])[], peaks: readonly (readonly number[])[], asked: readonly number[]): OnceIn[] {
  const [volume, peak] = [onceIn(volumes, asked), onceIn(peaks, asked)];
  return asked.flatMap((years, i) => (volume[i] === null || peak[i] === null ? [] : [{ years, stormVolume: volume[i]!, peak: peak[i]! }]));
}

/** Whether the table tells of what the largest of a year reaches once in a number of years. */
function isInTable(years: number, { rateOf, returnPeriods }: RainFrequency): boolean {
  const rate = -Math.log1p(-1 / years);
  return rate >= rateOf(returnPeriods.at(-1)!) * (1 - 1e-9) && rate <= rateOf(returnPeriods[0]!) * (1 + 1e-9);
}

/** The values of each year of each record, one for each soil of rows that count. */
function yearly(table: StudyTable, name: string, counts: (i: number) => boolean): number[][] {
  const { columns, count, values } = table;
  const its = columns.flatMap((column, c) => (new RegExp(`^${name} \\d+$`).test(column.name) ? [c] : []));
  const records = columnOf(table, "record");
  return [...new Set(records)].flatMap((record) => {
    const rows = Array.from({ length: count }, (_, i) => i).filter((i) => records[i] === record && counts(i));
    return its.map((c) => rows.map((i) => values[i * columns.length + c]!));
  });
}

function exceeded(years: readonly (readonly number[])[], rainYears: number): Exceeded[] {
  const longest = returnPeriodOf(1, Math.max(1, wholeYears(rainYears * YEAR)));
  return ranked(years.flat()).filter(({ returnPeriod }) => returnPeriod <= longest * (1 + 1e-12));
}
