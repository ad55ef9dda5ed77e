import type { UnitSystem } from "../text/format.ts";
import type { Catchment, Site } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";
import { siteNotes } from "./siteNotes.ts";

/**
 * The Site of a file that has passed all checks.
 *
 * @param assumptions  what was taken for keys that are missing, as the notes say it
 */
export function toSite(file: SiteFile, units: UnitSystem, assumptions: readonly string[]): Site {
  const onlyBox = file.settlingBoxes[0]!.name;
  const site: Omit<Site, "notes"> = {
    name: file.name,
    about: file.about,
    units,
    region: file.region,
    catchments: file.catchments.map((entry): Catchment => ({ ...entry, drainsTo: entry.drainsTo ?? onlyBox })),
    settlingBoxes: file.settlingBoxes,
    chamberBank: file.chamberBank,
    overflowTrench: file.overflowTrench,
    emitter: file.emitter,
    lowSpot: file.lowSpot,
    soil: file.soil,
    groundwater: file.groundwater,
    storms: file.storms,
    watchLevels: file.watchLevels,
    surveyError: file.surveyError,
    surroundings: file.surroundings,
    materials: file.materials,
    upkeep: file.upkeep,
    studies: file.studies,
    assumptions,
  };
  return { ...site, notes: siteNotes(site) };
}
