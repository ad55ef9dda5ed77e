import { describe } from "../units/describe.ts";
import { copiedObject } from "./copiedObject.ts";
import { orNone, type Field } from "./field.ts";
import { objectField } from "./objectField.ts";
import type { Studies } from "./site.ts";

/** What is to be studied of the works. Each study's own options are checked by those who make it, and stay as they are written. */
export function studiesField(): Field<Studies | null> {
  return orNone(objectField<Studies>("what is to be studied of these works", {
    rainfall: optionsField("the rain of the place, as designStorm takes it, for all studies; or a file of the US precipitation-frequency server"),
    sweep: optionsField("storms of many durations and return periods: options of sweep"),
    size: optionsField("the smallest works that do: options of size"),
    sure: optionsField("how sure the answers are: options of sure"),
    often: optionsField("how often in the years: options of often"),
  }));
}

function optionsField(about: string): Field<Readonly<Record<string, unknown>> | null> {
  return orNone({
    about,
    hole: null,
    schema: { description: about, type: "object" },
    read: (value, where, findings) => {
      if (typeof value === "object" && value !== null && !Array.isArray(value)) {
        return copiedObject(value as Readonly<Record<string, unknown>>, where, 1, findings);
      }
      findings.problems.push({ where, expected: "an object { … }", got: describe(value) });
      return null;
    },
  });
}
