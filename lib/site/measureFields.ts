import { YEAR } from "../units/year.ts";
import type { Field } from "./field.ts";
import { numberField, quantityField } from "./scalarFields.ts";


// The measures a site file is made of, with bounds that no lawful site comes near: they catch slips of a unit or of the
// exponent, and keep sizes away from zero, where a body could hold no water. Below 1 mm the model itself ends: its
// smoothing heads (epsilon and delta of the flow laws) are 1 mm.

/** A dimension of a thing that is there: 1 mm or more. */
export function sizeField(about: string): Field<number> {
  return quantityField(about, "length", { least: 0.001, most: 10_000, words: "from 1 mm to 10 km" });
}

/** A length that may be nothing. */
export function thicknessField(about: string): Field<number> {
  return quantityField(about, "length", { least: 0, most: 10_000, words: "from 0 to 10 km" });
}

/** An elevation above the site's own datum, or an offset from a point: of either sign. */
export function levelField(about: string): Field<number> {
  return quantityField(about, "length", { least: -10_000, most: 10_000, words: "from -10 km to 10 km" });
}

/** A plan or clear area of something that is there. */
export function areaField(about: string): Field<number> {
  return quantityField(about, "area", { least: 1e-6, most: 1e8, words: "from 1 mm^2 to 10000 ha" });
}

/** A hydraulic conductivity that may be nothing: a sealed face. */
export function conductivityField(about: string): Field<number> {
  return quantityField(about, "speed", { least: 0, most: 10, words: "from 0 to 10 m/s" });
}

/** A hydraulic conductivity by which something is divided. The least is below the tightest clay, 1e-12 m/s from memory. */
export function flowingConductivityField(about: string): Field<number> {
  return quantityField(about, "speed", { least: 1e-14, most: 10, words: "from 1e-14 m/s to 10 m/s" });
}

/** A time that has passed or a moment from the run's start. */
export function timeField(about: string): Field<number> {
  return quantityField(about, "time", { least: 0, most: 300 * YEAR, words: "from 0 to 300 years" });
}

/** A duration by which something is divided: 1 s or more. */
export function durationField(about: string): Field<number> {
  return quantityField(about, "time", { least: 1, most: YEAR, words: "from 1 s to 1 year" });
}

/** A ratio of a part to the whole. */
export function shareField(about: string): Field<number> {
  return numberField(about, { least: 0, most: 1, words: "from 0 to 1", isShare: true });
}

/** The share of voids: not zero, for what holds no water has no level. */
export function porosityField(about: string): Field<number> {
  return numberField(about, { least: 0.001, most: 1, words: "from 0.001 to 1", isShare: true });
}

/** A loss coefficient of a pipe, in velocity heads. */
export function lossField(about: string): Field<number> {
  return numberField(about, { least: 0, most: 1000, words: "from 0 to 1000" });
}
