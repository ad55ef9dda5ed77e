import { emptyFindings, type Findings } from "./field.ts";

/** Data that nothing can change any more, with all that it holds. */
const LASTING = new WeakSet<object>();

/**
 * Freezes data as JSON.parse makes it, throughout, and gives it back. What is read of it, or of a file that holds parts of it, is read
 * once: a page reads its file again at every step of a pull, in which all parts but one are unchanged.
 */
export function lastingData<T>(data: T): T {
  if (typeof data !== "object" || data === null || LASTING.has(data)) return data;
  Object.values(data).forEach(lastingData);
  LASTING.add(Object.freeze(data));
  return data;
}

/** Reads a value at a place of the file, or knows what was read of it there, its findings too. */
export type KeptReading<T> = (value: unknown, where: string, findings: Findings, read: (findings: Findings) => T) => T;

/** What a field has read of data that lasts. */
export function keptReading<T>(): KeptReading<T> {
  const known = new WeakMap<object, { readonly where: string; readonly value: T; readonly found: Findings }>();
  return (value, where, findings, read) => {
    if (typeof value !== "object" || value === null || !LASTING.has(value)) return read(findings);
    let kept = known.get(value);
    if (kept?.where !== where) {
      const found = emptyFindings(findings.placesOf);
      kept = { where, value: read(found), found };
      known.set(value, kept);
    }
    const { problems, lengths, assumptions } = kept.found;
    for (const problem of problems) findings.problems.push(problem);
    for (const assumption of assumptions) findings.assumptions.push(assumption);
    findings.lengths.us += lengths.us;
    findings.lengths.si += lengths.si;
    return kept.value;
  };
}
