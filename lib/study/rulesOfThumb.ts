import type { Site } from "../site/site.ts";
import type { OptionReader } from "../text/optionReader.ts";
import { chamberCount } from "./resized.ts";

/** A size by rule of thumb: room for so much rain on all that drains to the works, or a chamber for so much of it. */
export interface Thumb {
  readonly kind: "rainStored" | "roofPerChamber";
  /** [m] of rain, or [m2] of roof */
  readonly amount: number;
}

/** A rule of thumb as a person writes it, one key each: `{ "rainStored": "1 in" }` or `{ "roofPerChamber": "500 sq ft" }`. */
export type WrittenThumb = { readonly rainStored: string } | { readonly roofPerChamber: string };

/** Room for an inch, and for an inch and a half, of rain: common practice, without a source. */
const USUAL: readonly Thumb[] = Object.freeze([
  Object.freeze({ kind: "rainStored", amount: 0.0254 }), Object.freeze({ kind: "rainStored", amount: 0.0381 }),
]);

/** The key `rulesOfThumb`; the usual ones where it is missing. */
export function readThumbs(read: OptionReader): readonly Thumb[] {
  if (!read.has("rulesOfThumb")) return USUAL;
  return read.children("rulesOfThumb").map((rule): Thumb => {
    if (rule.has("roofPerChamber")) return { kind: "roofPerChamber", amount: rule.quantity("roofPerChamber", "area", { above: 0 }) };
    return { kind: "rainStored", amount: rule.quantity("rainStored", "length", { above: 0 }) };
  });
}

/** Whether works are as large as a rule of thumb asks, on the plan area of all that drains to them. */
export function servesThumb({ kind, amount }: Thumb, site: Site): boolean {
  const area = site.catchments.filter(({ drainsTo }) => drainsTo !== "lowSpot").reduce((sum, each) => sum + each.area, 0);
  if (kind === "roofPerChamber") return chamberCount(site) * amount >= area * (1 - ROUND_OFF);
  return roomOf(site) >= area * amount * (1 - ROUND_OFF);
}

/** Feet and metres of one roof miss each other by so little. */
const ROUND_OFF = 1e-9;

/** Clear room in chambers and stone of pit and trench [m3], as a rule of thumb counts it. */
function roomOf({ chamberBank: { length, width, stone, chambers }, overflowTrench: trench }: Site): number {
  const circle = (diameter: number): number => (Math.PI / 4) * diameter * diameter;
  const inside = chambers.reduce((sum, each) => sum + each.count * circle(each.insideDiameter) * each.height, 0);
  const outside = chambers.reduce((sum, each) => sum + each.count * circle(each.outsideDiameter) * each.height, 0);
  const pit = inside + stone.porosity * (length * width * stone.depth - outside);
  return pit + (trench === null ? 0 : trench.stone.porosity * trench.length * trench.width * trench.stone.depth);
}
