import type { UnitSystem } from "../text/format.ts";
import { changedSite } from "./changedSite.ts";
import type { Site } from "./site.ts";

/**
 * The same site with every answer, note, table and picture in the other system: what a run, a study or a figure of it shows follows.
 * Its numbers are SI as before, and so is the country whose rules and sizes it goes by.
 *
 * @param units  "us": feet, inches and gallons; "si": metres, millimetres and litres
 */
export function shownIn(site: Site, units: UnitSystem): Site {
  return changedSite(site, { units });
}
