import { orNone, type Field } from "./field.ts";
import type { Upkeep } from "./upkeep.ts";
import { objectField } from "./objectField.ts";
import { proseField } from "./scalarFields.ts";

/** Stub: filled in by its owner. */
export function upkeepField(): Field<Upkeep | null> {
  return orNone(objectField<Upkeep>("upkeep", { about: proseField("words") }));
}
