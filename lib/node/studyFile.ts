import { createHash } from "node:crypto";
import type { Column } from "../study/cases.ts";
import type { Rows, RowStore } from "../study/runStudy.ts";
import { casesOf, type Study } from "../study/study.ts";
import { rowFile, type RowFileOptions } from "./rowFile.ts";
import { thisBuild } from "./thisBuild.ts";

/**
 * Opens the CSV file that the rows of a study stream into as soon as they are made (`rowFile` says how it is kept whole). The
 * fingerprint beside it is of the study, of the library's build and of the runtime, so that an interrupted study goes on where it
 * was, and rows of another one, or of another build, are never taken for its own.
 *
 * @param how.onOther  called before rows of another study at that place are replaced; they are refused where it is missing
 * @throws UserFault  when there are other rows at that place, another process writes them, or they cannot be written
 */
export function studyFile(path: string, study: Study, how: Pick<RowFileOptions, "onOther"> = {}): RowStore {
  const { columns, count } = casesOf(study);
  return rowFile(path, { heads: columns.map(headOf), count, fingerprint: fingerprintOf(study), ...how });
}

/**
 * The rows of a study from its file, a stretch at a time in the order of their numbers; memory does not grow with them.
 *
 * @param missing  makes a row that the file does not have, by its number
 * @throws UserFault  when the file is another's, or is not there to be read
 */
export function* readStudyFile(path: string, study: Study, missing: (row: number) => readonly number[]): Generator<Rows> {
  const { columns, count } = casesOf(study);
  const store = studyFile(path, study);
  try {
    let next = 0;
    for (const rows of store.made) {
      if (rows.from > next) yield gap(next, rows.from);
      yield rows;
      next = rows.from + rows.values.length / columns.length;
    }
    if (next < count) yield gap(next, count);
  } finally {
    store.close();
  }

  function gap(from: number, to: number): Rows {
    return { from, values: Float64Array.from(Array.from({ length: to - from }, (_, i) => missing(from + i)).flat()) };
  }
}

/** `emitterVolume [m3]`, `stopped` */
function headOf({ name, unit }: Column): string {
  return unit === "" ? name : `${name} [${unit}]`;
}

/** Of everything a row depends on, in 64 letters. JSON has no word for the endless numbers of a site. */
export function fingerprintOf(study: Study): string {
  const words = JSON.stringify([thisBuild(), study, casesOf(study).columns], (_, value: unknown) => {
    if (typeof value === "number" && !Number.isFinite(value)) return String(value);
    return value instanceof Float64Array ? Array.from(value) : value;
  });
  return createHash("sha256").update(words).digest("hex");
}
