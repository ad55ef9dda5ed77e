import { mapped, type Field } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { levelField, timeField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import type { LevelSeries } from "./site.ts";

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
