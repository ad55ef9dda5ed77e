import { describe } from "../text/describe.ts";
import { copiedObject } from "../schema/copiedObject.ts";
import { orNone, type Field } from "../schema/field.ts";
import { objectField } from "../schema/objectField.ts";
import type { Studies } from "./site.ts";
import { STUDY_SCHEMAS } from "./studiesSchema.ts";

/** What is to be studied of the works. Each study's own options are checked by those who make it, and stay as they are written. */
export function studiesField(): Field<Studies | null> {
  return orNone(objectField<Studies>("what is to be studied of these works", {
    rainfall: optionsField("rainfall"),
    sweep: optionsField("sweep"),
    size: optionsField("size"),
    sure: optionsField("sure"),
    often: optionsField("often"),
  }));
}

function optionsField(study: keyof typeof STUDY_SCHEMAS): Field<Readonly<Record<string, unknown>> | null> {
  const schema = STUDY_SCHEMAS[study];
  return orNone({
    about: schema["description"] as string,
    hole: null,
    schema,
    read: (value, where, findings) => {
      if (typeof value === "object" && value !== null && !Array.isArray(value)) {
        return copiedObject(value as Readonly<Record<string, unknown>>, where, 1, findings);
      }
      findings.problems.push({ where, expected: "an object { … }", got: describe(value) });
      return null;
    },
  });
}
