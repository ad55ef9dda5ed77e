import { mapped, orNone, type Field } from "../schema/field.ts";
import { levelSeriesField } from "./levelSeriesField.ts";
import { flowingConductivityField, levelField, sizeField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { numberField } from "../schema/scalarFields.ts";
import type { Groundwater } from "./site.ts";

/** The groundwater under the site; where the file says nothing it is far below. */
export function groundwaterField(): Field<Groundwater> {
  const field = objectField<Omit<Groundwater, "ownLengths">>("the groundwater under the site", {
    level: orNone(levelSeriesField("groundwater level")),
    pathLength: orNone(sizeField("seepage path length; the width of each body where missing")),
    mounding: orNone(objectField<NonNullable<Groundwater["mounding"]>>("the mound that seepage of the pit builds", {
      conductivity: flowingConductivityField("lateral hydraulic conductivity of the aquifer"),
      thickness: sizeField("saturated thickness of the aquifer"),
      specificYield: numberField("specific yield of the aquifer", "from 0.001 to 1"),
      at: objectField("the point whose rise is asked for, from the pit's centre", {
        x: levelField("along the pit's length"),
        y: levelField("along the pit's width"),
      }),
    })),
  });
  const ofFile = mapped(field, (read): Groundwater => ({ ...read, ownLengths: 1 }));
  return { ...ofFile, absent: { value: { level: null, pathLength: null, ownLengths: 1, mounding: null } } };
}
