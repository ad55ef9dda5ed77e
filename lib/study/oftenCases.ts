import { greatestOf } from "../numerics/extremes.ts";
import { wholeYears, YEAR } from "../text/unitTable.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Rainfall } from "../rain/storms/depthDuration.ts";
import { placeRain } from "../rain/storms/placeRain.ts";
import { rainFrequency, type RainFrequency } from "../rain/storms/rainFrequency.ts";
import { stochasticRain, type Climate } from "../rain/storms/stochasticRain.ts";
import { inflowHydrographs } from "../simulate/inflowHydrographs.ts";
import { networkOf } from "../simulate/assemble.ts";
import { settleTime } from "../simulate/settledRun.ts";
import { simulateRecord, type RecordRun } from "../simulate/simulateRecord.ts";
import { variedSite } from "../simulate/variedSite.ts";
import { measuredSoil } from "../site/measuredSoil.ts";
import { overflowCrest } from "../site/overflowCrest.ts";
import type { Site } from "../site/site.ts";
import { optionReader } from "../text/optionReader.ts";
import { levelAt } from "../works/storageTable.ts";
import type { Cases, Column } from "./cases.ts";
import { asMeasured } from "./ensembleCases.ts";
import { soilFactors } from "./soilFactors.ts";

/** Years of rain, and what is in doubt of the soil. */
export interface OftenOptions {
  /** records of rain, each run with every soil; or the climate of the place */
  readonly records?: readonly Hyetograph[];
  readonly climate?: Climate;
  /** the rain of the place: where it is a table with several return periods, or the UK's factors, a climate's years keep to it */
  readonly rainfall?: Rainfall;
  /** of a climate: how many years a record has, 30 where missing, and how many records are made, 1 */
  readonly years?: number;
  readonly count?: number;
  readonly seed?: number;
  /** the soil's conductivities: 95 of 100 within this factor, log-normal; 1 where missing */
  readonly conductivityWithin?: number;
  /** soils round the one that was tested or given, at the middles of as many equal shares of what is likely; 1 where missing */
  readonly soils?: number;
}

export interface OftenStudy {
  readonly kind: "often";
  readonly site: Site;
  readonly options: OftenOptions;
}

/** Of a record as a whole. */
export const RECORD_ANSWERS: readonly Column[] = [
  { name: "record", unit: "" },
  { name: "conductivityFactor", unit: "" },
  { name: "byRule", unit: "" },
  { name: "years", unit: "" },
  { name: "firingStorms", unit: "" },
  { name: "emitterVolume", unit: "m3" },
  { name: "openTime", unit: "s" },
  { name: "spillStorms", unit: "" },
  { name: "spilled", unit: "m3" },
  { name: "inflow", unit: "m3" },
  { name: "seeped", unit: "m3" },
  { name: "aboveHalf", unit: "" },
  { name: "wet", unit: "" },
  { name: "longestWet", unit: "s" },
  { name: "stopped", unit: "" },
];

/**
 * Years of rain through the works, the water of one storm carried over to the next: a case for every record and soil. The soils lie round
 * the one that was tested or given; where the file divides it by a factor of safety, a rule of design and no knowledge of the soil, a last
 * case of every record has the soil by that rule. Beside the answers of the record a row has, year by year, the most that the emitter let
 * out in one storm and the pit's highest level.
 *
 * | column | what |
 * | --- | --- |
 * | `conductivityFactor` | on the soil as tested or given, or as measured since |
 * | `byRule` | 1 where that is 1 over the factor of safety, and no soil that is likely |
 * | `firingStorms` | storms (parted by 6 dry hours) in which, or after which, the emitter let out water |
 * | `spillStorms`, `spilled` | the same elsewhere at the surface, a tenth of a litre or more: `Run.spilled` |
 * | `aboveHalf` | share of the time in which the pit's storage is above half of that below the crest at which it runs over |
 * | `wet`, `longestWet` | share of the time, and longest time at one stretch, with more than 10 mm over its floor or its groundwater |
 *
 * @throws InputError  with all problems
 */
export function oftenCases({ site, options }: OftenStudy): Cases {
  const { recordOf, records, years, factors } = oftenPlan(options);
  const measured = asMeasured(site);
  const soils: readonly Soil[] = [
    ...factors.map((factor) => ({ factor, byRule: 0, site: () => variedSite(measured, { conductivityFactor: factor }) })),
    ...(measured === site ? []
      : [{ factor: 1 / site.soil.factorOfSafety / (measuredSoil(site)?.factor ?? 1), byRule: 1, site: () => site }]),
  ];
  const yearly = (name: string, unit: string): Column[] => Array.from({ length: years }, (_, y) => ({ name: `${name} ${y + 1}`, unit }));
  let known: { readonly record: number; readonly runOf: ReturnType<typeof recordRuns> } | null = null;
  const columns = [...RECORD_ANSWERS, ...yearly("storm volume", "m3"), ...yearly("peak", "m")];
  return {
    columns,
    count: records * soils.length,
    chunk: 1,
    row(index) {
      const record = Math.floor(index / soils.length);
      const { factor, byRule, site: siteIn } = soils[index % soils.length]!;
      // one record with all its soils comes in a row
      if (known?.record !== record) known = { record, runOf: recordRuns(site, recordOf(record)) };
      try {
        const run = known.runOf(siteIn());
        return [record, factor, byRule, ...recordAnswers(run), ...yearlyOf(run, years)];
      } catch (error) {
        if (!(error instanceof StoppedRun)) throw error;
        return [record, factor, byRule, ...columns.slice(3).map(({ name }) => (name === "stopped" ? 1 : NaN))];
      }
    },
  };
}

/** A soil the years are run in. */
interface Soil {
  readonly factor: number;
  readonly byRule: number;
  readonly site: () => Site;
}

/**
 * Runs of one record through the works of a site, for sites that differ from it in their soil alone.
 *
 * @throws StoppedRun  from a run that cannot go on
 */
export function recordRuns(site: Site, rain: Hyetograph): (varied: Site) => RecordRun {
  const inflows = inflowHydrographs(site, rain);
  const watch = watchesOf(site);
  return (varied) => simulateRecord(varied, rain, { inflows, until: rain.time.at(-1)!, settle: settleTime(varied), watch });
}

/** Less water than this in the pit does not count [m]. */
const WET = 0.01;

function watchesOf(site: Site): { readonly body: string; readonly level: number }[] {
  const bank = networkOf(site).bodies.find(({ kind }) => kind === "bank")!;
  const { floor } = bank.storage;
  const rest = Math.max(floor, seriesLevel(bank.groundwater, 0));
  const half = levelAt(bank.storage, 0.5 * bank.volume(Math.max(overflowCrest(site), floor)));
  return [{ body: bank.name, level: half }, { body: bank.name, level: rest + WET }];
}

/** A row of `RECORD_ANSWERS` behind those that say which run it is. */
export function recordAnswers({ until, openTime, emitted, spilled, seeped, ledger, storms, watched: [half, wet] }: RecordRun): number[] {
  return [
    until / YEAR,
    storms.filter((storm) => storm.emitted > 0).length,
    emitted,
    openTime,
    storms.filter((storm) => storm.spilled > NOTHING).length,
    spilled,
    ledger.inflow,
    seeped,
    half!.time / until,
    wet!.time / until,
    wet!.longest,
    0,
  ];
}

/** Less than a tenth of a litre is no water [m3]. */
const NOTHING = 1e-4;

/** The largest of each whole year: what the emitter let out in a storm, and the pit's peak; a dry year's are 0 and NaN. */
function yearlyOf({ storms, until }: RecordRun, years: number): number[] {
  const most = Array.from({ length: years }, (_, y) => (y < wholeYears(until) ? 0 : NaN));
  const peaks = most.map(() => NaN);
  for (const { start, emitted, peaks: { chamberBank } } of storms) {
    const year = Math.floor(start / YEAR);
    if (year >= years || Number.isNaN(most[year]!)) continue;
    most[year] = Math.max(most[year]!, emitted);
    peaks[year] = Number.isNaN(peaks[year]!) ? chamberBank!.level : Math.max(peaks[year]!, chamberBank!.level);
  }
  return [...most, ...peaks];
}

/** Which rain the years have, and which soils. */
export interface OftenPlan {
  readonly records: number;
  readonly recordOf: (record: number) => Hyetograph;
  /** of the longest record, whole ones */
  readonly years: number;
  readonly factors: readonly number[];
  /** what makes the years: a record, averages of the place alone, or those and its table */
  readonly from: "record" | "climate" | "table";
  /** the table's rates, where it has several return periods */
  readonly frequency: RainFrequency | null;
}

/** What years of a climate are taken as where nothing is said. */
export const CLIMATE_DEFAULTS: { readonly years: number; readonly count: number; readonly seed: number } = Object.freeze({
  years: 30, count: 1, seed: 1,
});

/** @throws InputError  with all problems */
export function oftenPlan(options: OftenOptions): OftenPlan {
  const read = optionReader("often", options, "The years cannot be run:");
  const given = (read.raw("records") ?? []) as readonly Hyetograph[];
  if (given.length > 0 === read.has("climate")) read.problem("records", "records or a climate", given.length > 0 ? "both" : "neither");
  const years = read.number("years", { least: 1, most: 1000, missing: CLIMATE_DEFAULTS.years });
  const count = read.number("count", { least: 1, most: 10_000, missing: CLIMATE_DEFAULTS.count });
  const seed = read.number("seed", { least: 0, most: 4294967295, missing: CLIMATE_DEFAULTS.seed });
  const soils = read.number("soils", { least: 1, most: 10_000, missing: 1 });
  const within = read.number("conductivityWithin", { least: 1, most: 1000, missing: 1 });
  for (const [key, value] of Object.entries({ years, count, seed, soils })) {
    if (Number.isFinite(value) && !Number.isInteger(value)) read.problem(key, "a whole number");
  }
  if (soils > 1 && within === 1) read.problem("soils", "1, or a conductivityWithin above 1 for the soils to lie in");
  const rainfall = read.raw("rainfall") as Rainfall | undefined;
  read.done();
  const frequency = rainfall === undefined ? null : rainFrequency(rainfall);
  const factors = soilFactors(soils, within);
  if (options.climate === undefined) {
    const longest = greatestOf(given.map(({ time }) => wholeYears(time.at(-1)!)));
    return { records: given.length, recordOf: (record) => given[record]!, years: longest, factors, from: "record", frequency };
  }
  const climate = options.climate;
  const recordOf = (record: number): Hyetograph => {
    const asked = { ...climate, years, seed, record };
    return frequency === null ? stochasticRain(asked) : placeRain({ ...asked, rainfall: rainfall! });
  };
  return { records: count, recordOf, years, factors, from: frequency === null ? "climate" : "table", frequency };
}
