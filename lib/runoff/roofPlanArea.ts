import { optionReader } from "../text/optionReader.ts";

/** A rectangle of roof in plan, eaves included; a notch cut out of a corner makes it an L. */
export interface RoofShape {
  readonly length: string;
  readonly width: string;
  readonly notchLength?: string;
  readonly notchWidth?: string;
}

/**
 * Plan area of a roof out of rectangles and L-shapes. The slope does not come into it: rain falls on the plan, and a
 * steeper roof over the same plan sheds the same volume (wind-driven rain left aside); only its time of concentration is
 * shorter.
 *
 * @param shapes  in any units of length
 * @returns       [m2]
 * @throws InputError  with all problems, a notch as large as its roof among them
 * @example roofPlanArea([{ length: "12 m", width: "9 m", notchLength: "5 m", notchWidth: "4 m" }]); // => 88
 */
export function roofPlanArea(shapes: readonly RoofShape[]): number {
  const read = optionReader("roofPlanArea", { shapes }, "The roof's area cannot be computed:");
  const areas = read.children("shapes").map((shape) => {
    const length = shape.quantity("length", "length", { above: 0 });
    const width = shape.quantity("width", "length", { above: 0 });
    const isNotched = shape.has("notchLength") || shape.has("notchWidth");
    if (!isNotched) return length * width;
    const notchLength = shape.quantity("notchLength", "length", { above: 0, below: length });
    const notchWidth = shape.quantity("notchWidth", "length", { above: 0, below: width });
    return length * width - notchLength * notchWidth;
  });
  read.done();
  return areas.reduce((sum, area) => sum + area, 0);
}
