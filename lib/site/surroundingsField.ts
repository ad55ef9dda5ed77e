import { orNone, type Field } from "./field.ts";
import type { Surroundings } from "./surroundings.ts";
import { objectField } from "./objectField.ts";
import { proseField } from "./scalarFields.ts";

/** Stub: filled in by its owner. */
export function surroundingsField(): Field<Surroundings | null> {
  return orNone(objectField<Surroundings>("surroundings", { about: proseField("words") }));
}
