import { makeStudy, runStudy, type StudyOptions, type StudyTable } from "../study/runStudy.ts";
import type { Study } from "../study/study.ts";
import { studyFile } from "./studyFile.ts";

/**
 * As `runStudy`, with every row written to a CSV file as soon as it is made (`studyFile` says how). Called again after it was
 * stopped, or its process killed, it continues from there and makes no finished row again; the result is the same to the last bit.
 *
 * @throws UserFault  when the file holds rows of another study or build, or another process writes it
 */
export function runStudyInto(path: string, study: Study, how: Omit<StudyOptions, "store"> = {}): Promise<StudyTable> {
  return runStudy(study, { ...how, store: (each) => studyFile(path, each) });
}

/**
 * As `runStudyInto`, for a study whose rows are more than memory holds: they are in the file alone, in the order of their cases.
 *
 * @throws UserFault  as `runStudyInto`
 */
export function fillStudyFile(path: string, study: Study, how: Omit<StudyOptions, "store"> = {}): Promise<void> {
  return makeStudy(study, { ...how, store: (each) => studyFile(path, each) }, () => undefined);
}
