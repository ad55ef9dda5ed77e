import { bankField } from "./bankField.ts";
import { boxesField, type BoxesEntry } from "./boxField.ts";
import { catchmentField, type CatchmentEntry } from "./catchmentField.ts";
import { asBuiltField, diaryField } from "./diaryField.ts";
import { emitterField, trenchField } from "./trenchField.ts";
import { withFacts, type GivenWorks } from "./facts.ts";
import { orNone, withDefault, type Field } from "../schema/field.ts";
import { groundwaterField } from "./groundwaterField.ts";
import { listField } from "../schema/listField.ts";
import { lowSpotField } from "./lowSpotField.ts";
import { materialsField } from "./materials.ts";
import { levelField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { papersField } from "./papers.ts";
import { pricesField } from "./prices.ts";
import { regionField } from "./region.ts";
import { nameField, proseField } from "../schema/scalarFields.ts";
import type { Site } from "./site.ts";
import { soilField } from "./soilField.ts";
import { soilWithPlaces } from "./testHoles.ts";
import { stormField } from "./stormField.ts";
import { studiesField } from "./studiesField.ts";
import { surveyField } from "./surveyField.ts";
import { surroundingsField } from "./surroundingsField.ts";
import { variantsField } from "./variants.ts";
import { upkeepField } from "./upkeep.ts";

/** The site file as it is read: in SI, its defaults filled in, its facts not yet made and its rules of geometry not yet checked. */
export interface WrittenFile
  extends Omit<Site, "units" | "assumptions" | "notes" | "catchments" | keyof GivenWorks>, Omit<GivenWorks, "settlingBoxes"> {
  readonly $schema: string | null;
  readonly catchments: readonly CatchmentEntry[];
  readonly settlingBox: BoxesEntry;
}

/** The same with its facts, about which the rules speak. It differs from a Site only where a value depends on another part of the file. */
export interface SiteFile extends Omit<Site, "units" | "assumptions" | "notes" | "catchments"> {
  readonly catchments: readonly CatchmentEntry[];
  /** whether the boxes stand in a list, each with its own name */
  readonly boxesInList: boolean;
}

/** @param file  holes of what could not be read are NaN or null, and so are the facts that follow from them */
export function fileWithFacts({ $schema: _, settlingBox: { inList, boxes }, ...file }: WrittenFile): SiteFile {
  return { ...withFacts({ ...file, soil: soilWithPlaces(file), settlingBoxes: boxes }), boxesInList: inList };
}

/**
 * The one description of the site file, from which it is read (`readSite`) and from which its JSON Schema is made
 * (`siteSchema`). A new part of the library adds one key here, and its field in a file of its own.
 */
export const siteFile: Field<WrittenFile> = objectField<WrittenFile>("a soakaway on its lot", {
  $schema: orNone(proseField("where an editor finds the schema of this file")),
  name: nameField("name of the site"),
  about: withDefault(proseField("what a reader should know of this file"), ""),
  region: orNone(regionField("the country the site lies in, whose published rules it is asked by")),
  catchments: listField("the areas whose rain runs into the works", catchmentField(), 1),
  settlingBox: boxesField(),
  chamberBank: bankField(),
  overflowTrench: trenchField(),
  emitter: emitterField(),
  lowSpot: lowSpotField(),
  soil: soilField(),
  groundwater: groundwaterField(),
  storms: withDefault(listField("storms by name", stormField()), []),
  watchLevels: withDefault(listField("levels to watch: a slab, a window well, a gutter connection", watchLevelField()), []),
  surveyError: withDefault(thicknessField("what one surveyed level may be off; a quarter of an inch is common practice"), "6 mm"),
  survey: surveyField(),
  surroundings: surroundingsField(),
  materials: materialsField(),
  upkeep: upkeepField(),
  studies: studiesField(),
  papers: papersField(),
  prices: pricesField(),
  variants: variantsField(),
  asBuilt: asBuiltField(),
  diary: diaryField(),
});

function watchLevelField(): Field<Site["watchLevels"][number]> {
  return objectField("a level to watch", { name: nameField("what lies there"), level: levelField("its level") });
}
