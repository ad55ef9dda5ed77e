import { levellingBook, type WrittenBook } from "../plan/levellingBook.ts";
import { InputError } from "../text/problem.ts";
import type { UnitSystem } from "../text/format.ts";

/**
 * What the readings so far say of themselves, as soon as a second place or a second reading gives something to say: closed or not, and
 * the slip that it looks like. "" before that.
 *
 * @param draft  the survey so far
 */
export function bookNote({ benchmark, setUps }: Readonly<Record<string, unknown>>, units: UnitSystem): string {
  const book = { benchmark, setUps } as WrittenBook;
  if (book.setUps.length === 0) return "";
  try {
    const { closing, note } = levellingBook(book, units);
    return closing === null && book.setUps.length === 1 ? "" : note;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.problems.map(({ expected, got }) => `Expected ${expected}, got ${got}.`).join(" ");
  }
}
