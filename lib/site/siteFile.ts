import { type Field, orNone, withDefault } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { areaField, conductivityField, levelField, sizeField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { nameField, numberField, proseField } from "../schema/scalarFields.ts";
import { bankField } from "./bankField.ts";
import { type BoxesEntry, boxesField } from "./boxField.ts";
import { type CatchmentEntry, catchmentField } from "./catchmentField.ts";
import { asBuiltField, diaryField } from "./diaryField.ts";
import { type GivenLowSpot, type GivenWorks, withFacts } from "./facts.ts";
import { groundwaterField, levelSeriesField } from "./groundwaterField.ts";
import { materialsField } from "./materials.ts";
import { papersField } from "./papers.ts";
import { pricesField } from "./prices.ts";
import { regionField } from "./region.ts";
import type { Site } from "./site.ts";
import { soilField } from "./soilField.ts";
import { stormField } from "./stormField.ts";
import { studiesField } from "./studiesField.ts";
import { surroundingsField } from "./surroundingsField.ts";
import { surveyField } from "./surveyField.ts";
import { soilWithPlaces } from "./testHoles.ts";
import { emitterField, trenchField } from "./trenchField.ts";
import { upkeepField } from "./upkeep.ts";
import { variantsField } from "./variants.ts";

/** The site file as it is read: in SI, its defaults filled in, its facts not yet made and its rules of geometry not yet checked. */
export interface WrittenFile
  extends Omit<Site, "units" | "writtenIn" | "assumptions" | "notes" | "catchments" | keyof GivenWorks>, Omit<GivenWorks, "settlingBoxes"> {
  readonly $schema: string | null;
  readonly catchments: readonly CatchmentEntry[];
  readonly settlingBox: BoxesEntry;
}

/** The same with its facts, about which the rules speak. It differs from a Site only where a value depends on another part of the file. */
export interface SiteFile extends Omit<Site, "units" | "writtenIn" | "assumptions" | "notes" | "catchments"> {
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

/** The hollow of the lot, by one measured puddle. */
function lowSpotField(): Field<GivenLowSpot | null> {
  return orNone(objectField<GivenLowSpot>("the hollow of the lot, where water stands on the surface", {
    floor: levelField("level of the hollow's deepest point"),
    depth: sizeField("depth of a measured puddle at its deepest point"),
    area: areaField("surface area of that puddle"),
    // Hayashi & van der Kamp 2000 find shapes of about 0.6 to 6 in the field (from memory).
    shape: withDefault(numberField("shape p of the hollow: 2 a bowl, less a cone, more a pan", "from 0.1 to 20"), 2),
    lip: levelField("level at which the hollow runs over"),
    lipLength: sizeField("length of the lip that runs over"),
    conductivity: conductivityField("hydraulic conductivity of the hollow's soil, at 20 degC"),
    grate: orNone(objectField<NonNullable<GivenLowSpot["grate"]>>("a grate over the pit, standing in the hollow", {
      level: levelField("level of the grate"),
      perimeter: sizeField("perimeter of the grate"),
      area: areaField("clear area of the grate"),
    })),
    groundwaterLevel: orNone(levelSeriesField("groundwater level at the hollow, where it differs from the site's")),
  }));
}
