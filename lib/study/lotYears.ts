import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { variedSite } from "../simulate/variedSite.ts";
import type { Site } from "../site/site.ts";
import type { RecordRun } from "../simulate/simulateRecord.ts";
import type { Cases, Column } from "./cases.ts";
import { lotWorks, type LotsGiven } from "./lotCases.ts";
import type { Banded } from "./lotResults.ts";
import { oftenPlan, RECORD_ANSWERS, recordAnswers, recordRuns, type OftenOptions } from "./oftenCases.ts";
import type { Rows } from "./runStudy.ts";
import type { SizeOptions } from "./sizeCases.ts";

/** Years of rain on every lot, as plain data. */
export interface LotYearsStudy extends LotsGiven {
  readonly kind: "lotYears";
  readonly options: {
    /** which rain, and which soils: an odd number of them, so that the middle one is the lot's own */
    readonly often: OftenOptions;
    /** sizes every lot's works first, as `lotCases` does */
    readonly size?: SizeOptions;
  };
}

/** Of a row of `lotYearCases`. */
export const LOT_YEAR_COLUMNS: readonly Column[] = [
  { name: "lot", unit: "" },
  ...RECORD_ANSWERS.filter(({ name }) => name !== "byRule"),
  { name: "greatestStorm", unit: "m3" },
  { name: "pitPeak", unit: "m" },
];

/**
 * Years of rain through the works of every lot, the water of one storm carried over to the next: a case for every lot, record and soil, in
 * this order, the soil fastest. A row is the lot's number, `RECORD_ANSWERS`, the most that its emitter let out in one storm, and the pit's
 * highest level. A soil is that of the lot's works as designed, as in `lotCases`, times its factor. A run that cannot go on is a row with
 * `stopped` 1.
 *
 * @throws InputError  for years that cannot be run
 */
export function lotYearCases({ file, keys, values, options: { often, size } }: LotYearsStudy): Cases {
  const { records, recordOf, factors } = oftenPlan(often);
  const perLot = records * factors.length;
  const worksOf = lotWorks({ file, keys, values }, size);
  const rains = new Map<number, ReturnType<typeof recordOf>>();
  let known: KnownRuns | null = null;
  return {
    columns: LOT_YEAR_COLUMNS,
    count: values.length * perLot,
    chunk: factors.length,
    row(index) {
      const lot = Math.floor(index / perLot);
      const record = Math.floor((index % perLot) / factors.length);
      const factor = factors[index % factors.length]!;
      // one lot with all its soils comes in a row, and all lots have the same rain
      if (known?.lot !== lot || known.record !== record) {
        const rain = rains.get(record) ?? recordOf(record);
        if (rains.size < MOST_RAINS) rains.set(record, rain);
        const { site } = worksOf(lot);
        known = { lot, record, site, runOf: recordRuns(site, rain) };
      }
      try {
        const run = known.runOf(variedSite(known.site, { conductivityFactor: factor }));
        return [lot, record, factor, ...recordAnswers(run), ...extremesOf(run)];
      } catch (error) {
        if (!(error instanceof StoppedRun)) throw error;
        return [lot, record, factor, ...LOT_YEAR_COLUMNS.slice(3).map(({ name }) => (name === "stopped" ? 1 : NaN))];
      }
    },
  };
}

interface KnownRuns {
  readonly lot: number;
  readonly record: number;
  readonly site: Site;
  readonly runOf: ReturnType<typeof recordRuns>;
}

/** Records kept at a time: 30 years are a quarter of a megabyte. */
const MOST_RAINS = 20;

function extremesOf({ storms }: RecordRun): [number, number] {
  const most = (of: (storm: RecordRun["storms"][number]) => number): number => (storms.length === 0 ? NaN : greatestOf(storms.map(of)));
  return [most(({ emitted }) => emitted), most(({ peaks }) => peaks["chamberBank"]!.level)];
}

/** What years of rain do on one lot: with its own soil, and the least and most of all its soils; NaN where a run came to no end. */
export interface LotYears {
  readonly lot: number;
  /** storms a year in which the emitter lets out water, and in which water comes out elsewhere */
  readonly firingStorms: Banded;
  readonly spillStorms: Banded;
  /** let out by the emitter a year, and at most in one storm [m3] */
  readonly emitterVolume: Banded;
  readonly greatestStorm: Banded;
  /** share of the time with water in the pit */
  readonly wet: Banded;
  /** runs that could not go on */
  readonly stopped: number;
}

/**
 * Results of lots from the rows of their years, as `lotResults` has them of a storm: rows are taken in their order, and nothing of them is
 * kept.
 *
 * @throws InputError  for years that cannot be run
 */
export function lotYearResults(often: OftenOptions): (rows: Rows) => LotYears[] {
  const { records, factors } = oftenPlan(often);
  const width = LOT_YEAR_COLUMNS.length;
  let held: number[][] = [];
  return ({ values }) => {
    const found: LotYears[] = [];
    for (let at = 0; at < values.length; at += width) {
      held.push(Array.from(values.subarray(at, at + width)));
      if (held.length < records * factors.length) continue;
      found.push(yearsOf(held, factors.length));
      held = [];
    }
    return found;
  };
}

function yearsOf(rows: readonly (readonly number[])[], soils: number): LotYears {
  const at = (row: readonly number[], name: string): number => row[LOT_YEAR_COLUMNS.findIndex((column) => column.name === name)]!;
  const own = (soils - 1) / 2;
  const band = (of: (rows: readonly (readonly number[])[]) => number): Banded => {
    const values = Array.from({ length: soils }, (_, soil) => of(rows.filter((row, i) => i % soils === soil && at(row, "stopped") === 0)));
    const told = values.filter((value) => !Number.isNaN(value));
    return { own: values[own]!, least: told.length === 0 ? NaN : leastOf(told), most: told.length === 0 ? NaN : greatestOf(told) };
  };
  const sum = (its: readonly (readonly number[])[], of: (row: readonly number[]) => number): number =>
    its.reduce((all, row) => all + of(row), 0);
  const yearsIn = (its: readonly (readonly number[])[]): number => sum(its, (row) => at(row, "years"));
  const perYear = (name: string): Banded => band((its) => sum(its, (row) => at(row, name)) / yearsIn(its));
  return {
    lot: rows[0]![0]!,
    firingStorms: perYear("firingStorms"),
    spillStorms: perYear("spillStorms"),
    emitterVolume: perYear("emitterVolume"),
    greatestStorm: band((its) => (its.length === 0 ? NaN : greatestOf(its.map((row) => at(row, "greatestStorm"))))),
    wet: band((its) => sum(its, (row) => at(row, "wet") * at(row, "years")) / yearsIn(its)),
    stopped: sum(rows, (row) => at(row, "stopped")),
  };
}
