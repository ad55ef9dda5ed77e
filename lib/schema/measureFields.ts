import type { Field } from "./field.ts";
import { numberField, quantityField } from "./scalarFields.ts";


// The measures a site file is made of, with bounds that no lawful site comes near: they catch slips of a unit or of the
// exponent, and keep sizes away from zero, where a body could hold no water. Below 1 mm the model itself ends: its
// smoothing heads (epsilon and delta of the flow laws) are 1 mm.

/** A dimension of a thing that is there: 1 mm or more. */
export function sizeField(about: string): Field<number> {
  return quantityField(about, "length", "from 1 mm to 10000 m");
}

/** A length that may be nothing. */
export function thicknessField(about: string): Field<number> {
  return quantityField(about, "length", "from 0 to 10000 m");
}

/** An elevation above the site's own datum, or an offset from a point: of either sign. */
export function levelField(about: string): Field<number> {
  return quantityField(about, "length", "from -10000 m to 10000 m");
}

/** A plan or clear area of something that is there. */
export function areaField(about: string): Field<number> {
  return quantityField(about, "area", "from 1 mm^2 to 10000 ha");
}

/** A hydraulic conductivity that may be nothing: a sealed face. */
export function conductivityField(about: string): Field<number> {
  return quantityField(about, "speed", "from 0 to 10 m/s");
}

/** A hydraulic conductivity by which something is divided. The least is below the tightest clay, 1e-12 m/s from memory. */
export function flowingConductivityField(about: string): Field<number> {
  return quantityField(about, "speed", "from 1e-14 m/s to 10 m/s");
}

/** A time that has passed or a moment from the run's start. */
export function timeField(about: string): Field<number> {
  return quantityField(about, "time", "from 0 to 300 years");
}

/** A duration by which something is divided: 1 s or more. */
export function durationField(about: string): Field<number> {
  return quantityField(about, "time", "from 1 s to 1 year");
}

/** A ratio of a part to the whole. */
export function shareField(about: string): Field<number> {
  return numberField(about, "from 0 to 1", { isShare: true });
}

/** The share of voids: not zero, for what holds no water has no level. */
export function porosityField(about: string): Field<number> {
  return numberField(about, "from 0.001 to 1", { isShare: true });
}

/** A loss coefficient of a pipe, in velocity heads. */
export function lossField(about: string): Field<number> {
  return numberField(about, "from 0 to 1000");
}
