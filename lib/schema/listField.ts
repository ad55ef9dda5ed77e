import { describe } from "../text/describe.ts";
import type { Field } from "./field.ts";

/** A list of any number of one thing, or of at least `least` of them. */
export function listField<T>(about: string, item: Field<T>, least: 0 | 1 = 0): Field<readonly T[]> {
  return {
    about,
    hole: [],
    schema: { description: about, type: "array", items: item.schema, ...(least > 0 && { minItems: least }) },
    read: (value, where, findings) => {
      if (!Array.isArray(value) || value.length < least) {
        const expected = least > 0 ? "a list [ … ] of one or more" : "a list [ … ]";
        findings.problems.push({ where, expected, got: describe(value) });
        return [];
      }
      // Array.from visits the gaps of a list that has some, where map would leave them as they are.
      return Array.from<unknown, T>(value, (one, index) => item.read(one, `${where}[${index}]`, findings));
    },
  };
}
