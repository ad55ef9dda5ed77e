import { readStudyFile, studyFile } from "../node/studyFile.ts";
import { LOT_COLUMNS, WHAT_IF, type LotsStudy } from "../study/lotCases.ts";
import { lotResults, type LotResult } from "../study/lotResults.ts";
import { LOT_YEAR_COLUMNS, lotYearResults, type LotYears, type LotYearsStudy } from "../study/lotYears.ts";
import { oftenPlan } from "../study/oftenCases.ts";
import { LostRows, makeStudy, ShareMade, type StudyOptions } from "../study/runStudy.ts";
import type { Study } from "../study/study.ts";
import type { Console } from "./console.ts";
import type { OpenPool } from "./manyMachines.ts";
import { progressBar } from "./progressBar.ts";

/** Makes a study, or a share of it, into its file; the rows that could not be made, all others being there. */
export async function madeInto(
  path: string,
  study: Study,
  how: StudyOptions,
  console: Console,
  pool: OpenPool,
  label: string,
): Promise<LostRows["lost"]> {
  const bar = progressBar(console, () => `${label}${pool.who()}`);
  const onOther = (): void => {
    console.err(`${path}: its rows came from another version of the table, of soakstep or of Node; they are replaced\n`);
  };
  try {
    await makeStudy(
      study,
      {
        ...how,
        store: (each) => studyFile(path, each, { onOther }),
        onRows: (_, made, count) => {
          bar.tell(made, count);
        },
      },
      () => undefined,
    );
    return [];
  } catch (error) {
    if (error instanceof ShareMade) return [];
    if (!(error instanceof LostRows)) throw error;
    return error.lost;
  } finally {
    bar.clear();
  }
}

/** Results from the file of runs, row by row; a lot with a run that is missing counts it as one that could not go on. */
export function runResults(path: string, study: LotsStudy): LotResult[] {
  const take = lotResults(study.options.soils);
  const found: LotResult[] = [];
  for (const rows of readStudyFile(path, study, missingRun(study))) for (const result of take(rows)) found.push(result);
  return found;
}

export function missingRun({ options: { soils, storms } }: LotsStudy): (row: number) => number[] {
  const states = soils + WHAT_IF.length;
  return (row) => [
    Math.floor(row / (states * storms.length)),
    Math.floor(row / states) % storms.length,
    row % states,
    NaN,
    ...LOT_COLUMNS.slice(4).map(({ name }) => (name === "stopped" ? 1 : NaN)),
  ];
}

/** What years of rain do, by lot, from the file of them; a run that is missing counts as one that could not go on. */
export function yearResults(path: string, study: LotYearsStudy): ReadonlyMap<number, LotYears> {
  const { often } = study.options;
  const take = lotYearResults(often);
  const { records, factors } = oftenPlan(often);
  const missing = (row: number): number[] => [
    Math.floor(row / (records * factors.length)),
    ...LOT_YEAR_COLUMNS.slice(1).map(({ name }) => (name === "stopped" ? 1 : NaN)),
  ];
  const found = new Map<number, LotYears>();
  for (const rows of readStudyFile(path, study, missing)) for (const years of take(rows)) found.set(years.lot, years);
  return found;
}
