import { describe } from "../text/describe.ts";
import { nearest } from "../text/nearest.ts";
import type { Field } from "./field.ts";

/** One of several words; null stands for what could not be read. */
export function choiceField<W extends string>(about: string, words: readonly W[]): Field<W | null> {
  return {
    about,
    hole: null,
    schema: { description: about, enum: words },
    read: (value, where, findings) => {
      const found = words.find((word) => word === value);
      if (found !== undefined) return found;
      const meant = typeof value === "string" ? nearest(value, words) : null;
      const expected = meant === null ? `one of ${words.map((word) => `"${word}"`).join(", ")}` : `a known word (did you mean "${meant}"?)`;
      findings.problems.push({ where, expected, got: describe(value), ...(typeof value === "string" && { code: "unknown" }) });
      return null;
    },
  };
}
