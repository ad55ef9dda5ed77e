import { orNone, type Field } from "./field.ts";
import type { Materials } from "./materials.ts";
import { objectField } from "./objectField.ts";
import { proseField } from "./scalarFields.ts";

/** Stub: filled in by its owner. */
export function materialsField(): Field<Materials | null> {
  return orNone(objectField<Materials>("materials", { about: proseField("words") }));
}
