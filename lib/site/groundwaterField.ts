import { mapped, type Field, orNone } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { levelField, timeField, flowingConductivityField, sizeField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import type { LevelSeries, Groundwater } from "./site.ts";
import { numberField } from "../schema/scalarFields.ts";

/** A level, or a list of levels at times from the run's start. */
export function levelSeriesField(about: string): Field<LevelSeries> {
  const fixed = levelField(about);
  const point = objectField<{ readonly time: number; readonly level: number }>("a level at a time", {
    time: timeField("time from the start of the run"),
    level: levelField("level at that time"),
  });
  const series = mapped(listField(`${about}, in time: straight lines between, constant outside`, point, 1), (points) => ({
    time: points.map(({ time }) => time),
    level: points.map(({ level }) => level),
  }));
  return {
    about,
    hole: { time: [], level: [] },
    schema: { anyOf: [fixed.schema, series.schema] },
    read: (value, where, findings) => Array.isArray(value)
      ? series.read(value, where, findings)
      : { time: [0], level: [fixed.read(value, where, findings)] },
  };
}

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
