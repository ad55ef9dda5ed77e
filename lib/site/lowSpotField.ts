import { orNone, withDefault, type Field } from "../schema/field.ts";
import { levelSeriesField } from "./groundwaterField.ts";
import { areaField, conductivityField, levelField, sizeField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { numberField } from "../schema/scalarFields.ts";
import type { GivenLowSpot } from "./facts.ts";

/** The hollow of the lot, by one measured puddle. */
export function lowSpotField(): Field<GivenLowSpot | null> {
  return orNone(objectField<GivenLowSpot>("the hollow of the lot, where water stands on the surface", {
    floor: levelField("level of the hollow's deepest point"),
    depth: sizeField("depth of a measured puddle at its deepest point"),
    area: areaField("surface area of that puddle"),
    // Hayashi & van der Kamp 2000 find shapes of about 0.6 to 6 in the field (from memory).
    shape: withDefault(numberField("shape p of the hollow: 2 a bowl, less a cone, more a pan", "from 0.1 to 20"), 2),
    lip: levelField("level at which the hollow runs over"),
    lipLength: sizeField("length of the lip that runs over"),
    conductivity: conductivityField("hydraulic conductivity of the hollow's soil, at 20 degC"),
    grate: orNone(objectField<NonNullable<GivenLowSpot["grate"]>>("a grate over the pit, standing in the hollow", {
      level: levelField("level of the grate"),
      perimeter: sizeField("perimeter of the grate"),
      area: areaField("clear area of the grate"),
    })),
    groundwaterLevel: orNone(levelSeriesField("groundwater level at the hollow, where it differs from the site's")),
  }));
}
