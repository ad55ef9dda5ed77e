import { orNone, withDefault, type Field } from "../schema/field.ts";
import { conductivityField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { quantityField } from "../schema/scalarFields.ts";
import type { Cover } from "./site.ts";

/** Soil and turf over a body, through which its water has to rise. */
export function coverField(): Field<Cover | null> {
  return orNone(objectField<Cover>("soil and turf over the stone; without it the ground is an open rim", {
    conductivity: conductivityField("hydraulic conductivity of soil and turf, at 20 degC"),
    submergedDensity: withDefault(
      quantityField("density of the cover under water, for the note on uplift", "density", "from 1 kg/m^3 to 10000 kg/m^3"),
      "1000 kg/m^3",
    ),
  }));
}
