import { copiedObject } from "../schema/copiedObject.ts";
import { type Field, type JsonSchema, orNone } from "../schema/field.ts";
import { checkKeysOf, objectField } from "../schema/objectField.ts";
import { describe } from "../text/describe.ts";
import type { Studies } from "./site.ts";
import {
  fileSchema, listSchema, numberSchema, objectSchema, quantitySchema, rainfallSchema, STORM_WAYS, stormSchema, textSchema,
} from "./stormField.ts";

// What an editor completes from. The readers of the studies decide what passes; tests/site/siteSchema.test.ts holds both together.

const YES: JsonSchema = { enum: [true] };
const sizes = {
  chambers: { description: "chambers in all; the pit's length grows with them", type: "integer", minimum: 1, maximum: 10_000 },
  pitLength: quantitySchema("length", "length of the pit, in place of one that grows with the chambers"),
  pitWidth: quantitySchema("length", "width of the pit"),
  stoneBase: quantitySchema("length", "stone under the chambers"),
  pitDepth: quantitySchema("length", "from the ground to the pit's floor, in place of stoneBase"),
  trenchLength: quantitySchema("length", "length of the trench"),
  trenchWidth: quantitySchema("length", "width of the trench"),
  boxOutlet: quantitySchema("length", "inside diameter of the pipe from every box"),
  trenchInlet: quantitySchema("length", "inside diameter of the pipe to the trench"),
};
const until: JsonSchema = { description: "end of each run", anyOf: [{ $ref: "#/definitions/time" }, { type: "number", minimum: 0 }] };
const within = {
  conductivityWithin: numberSchema("the soil's conductivities: 95 of 100 within this factor", 1, 1000),
};

/** A storm in which something is asked: a name of the site's storms, or a pattern, whose rainfall and pattern may be left out. */
const askedStorm: JsonSchema = {
  description: "a storm of the site by its name, or options of a storm; the rainfall is that of the studies where it is missing, and the pattern a block",
  anyOf: [
    { type: "string" },
    objectSchema("a storm; with a returnPeriod and no duration every duration of the table is run, and the worst decides", {
      pattern: { description: "how the rain falls in time", enum: [...new Set(STORM_WAYS.flatMap(({ patterns }) => patterns))] },
      ...Object.assign({}, ...STORM_WAYS.map(({ keys }) => keys)) as Readonly<Record<string, JsonSchema>>,
    }),
  ],
};

/** The options of every study, by its key. */
const STUDY_SCHEMAS: Readonly<Record<"rainfall" | "sweep" | "size" | "sure" | "often", JsonSchema>> = {
  rainfall: {
    description: "the rain of the place for all studies: a table, an equation, the UK's factors, or a table as published, looked for beside the site file",
    oneOf: [
      { $ref: "#/definitions/rainfall" },
      objectSchema("the CSV of the US precipitation-frequency server, or one cell of the German weather service's open grid", {
        file: textSchema('name of the file; of the grid with * for the minutes, "StatRR_KOSTRA-DWD-2020_D*.csv"'),
        cell: { description: "the grid's cell, its INDEX_RC", type: "integer", minimum: 0 },
      }, ["file"]),
    ],
  },
  sweep: objectSchema("storms of many durations and return periods", {
    rainfall: rainfallSchema,
    returnPeriods: listSchema('such as "10 year"', { $ref: "#/definitions/time" }),
    durations: listSchema('such as "30 min"', { $ref: "#/definitions/time" }),
    pattern: { description: "a pattern that takes a rainfall; block where missing", enum: [...new Set(STORM_WAYS.filter(({ keys }) => "rainfall" in keys).flatMap(({ patterns }) => patterns))] },
    interval: quantitySchema("time", "of patterns that ask for one"),
    climateFactor: numberSchema("multiplies every depth", 0, 10),
    until,
    designs: listSchema("other sizes of the same works beside those of the file", objectSchema("a design", { name: textSchema("what it is called"), ...sizes }, ["name"])),
  }, ["returnPeriods", "durations"]),
  size: objectSchema("the smallest works that do what is asked", {
    rainfall: rainfallSchema,
    criteria: listSchema("what is asked of the works", objectSchema("what is asked in one storm", {
      storm: askedStorm,
      noFiring: { description: "the emitter stays shut", ...YES },
      noSpill: { description: "nothing over rims or through the ground", ...YES },
      emitterVolumeAtMost: quantitySchema("volume", "what the emitter may let out"),
      halfEmptyWithin: quantitySchema("time", "since the pit was last full"),
      emptyWithin: quantitySchema("time", "since the pit was last full"),
      boxHeadroom: quantitySchema("length", "from the highest water of a box to its rim, at least"),
    }, ["storm"])),
    steps: objectSchema("sizes to try, in every combination; what is missing stays as it is", Object.fromEntries(
      Object.entries(sizes).map(([key, { description, ...one }]) => [key, listSchema(description as string, one)]))),
    sidesOnly: { description: "judges every design with silt over its floors", type: "boolean" },
    rulesOfThumb: listSchema("sizes by rule of thumb to be shown beside", {
      oneOf: [
        objectSchema("room for so much rain", { rainStored: quantitySchema("length", "room for so much rain on all that drains to the works") }, ["rainStored"]),
        objectSchema("roof for each chamber", { roofPerChamber: quantitySchema("area", "a chamber for so much roof") }, ["roofPerChamber"]),
      ],
    }),
  }, ["criteria", "steps"]),
  sure: objectSchema("how sure the answers are", {
    storm: { description: "a storm of the site by its name, or a storm; the first of the site where missing", anyOf: [{ type: "string" }, stormSchema("a storm of its own")] },
    ...within,
    soils: { description: "whether the soil of the trench is drawn with that of the pit, or on its own", enum: ["together", "apart"] },
    depthWithin: numberSchema("the storm's depth: 95 of 100 within this factor", 1, 1000),
    groundwaterWithin: quantitySchema("length", "every groundwater level: 95 of 100 within this length up and down"),
    porosityWithin: numberSchema("the stone's porosity: 95 of 100 within this number up and down", 0, 1),
    levelsWithin: quantitySchema("length", "the emitter's crest, box outlets and the trench's inlet, each for itself: 95 of 100 within this length"),
    runs: { description: "how many cases are run", type: "integer", minimum: 1 },
    seed: { description: "the same seed gives the same runs", type: "integer", minimum: 0 },
    moments: { description: "levels of the pit to record of each run", type: "integer", minimum: 2 },
    until,
  }),
  often: objectSchema("how often in the years", {
    rainfall: rainfallSchema,
    record: { description: "rain of years: a recorded storm of the site by its name, or a file", anyOf: [{ type: "string" }, fileSchema()] },
    climate: objectSchema("of invented years of storms", {
      stormsPerYear: numberSchema("storms in a year", 0, 10_000),
      meanDepth: quantitySchema("length", "mean depth of a storm"),
      meanDuration: quantitySchema("time", "mean time of a storm"),
    }, ["stormsPerYear", "meanDepth", "meanDuration"]),
    years: { description: "of a climate: years of a record; 30 where missing", type: "integer", minimum: 1 },
    count: { description: "of a climate: how many records are made; 1 where missing", type: "integer", minimum: 1 },
    seed: { description: "the same seed gives the same years", type: "integer", minimum: 0 },
    ...within,
    soils: { description: "number of soils, at the middles of equal shares of what is likely; 1 where missing", type: "integer", minimum: 1 },
  }),
};

/**
 * What is to be studied of the works. A key that a study does not know is refused here; what its options say is checked by those who make
 * it, and they stay as they are written.
 */
export function studiesField(): Field<Studies | null> {
  return orNone(objectField<Studies>("what is to be studied of these works", {
    rainfall: optionsField("rainfall"),
    sweep: optionsField("sweep"),
    size: optionsField("size"),
    sure: optionsField("sure"),
    often: optionsField("often"),
  }));
}

function optionsField(study: keyof typeof STUDY_SCHEMAS): Field<Readonly<Record<string, unknown>> | null> {
  const schema = STUDY_SCHEMAS[study];
  return orNone({
    about: schema["description"] as string,
    hole: null,
    schema,
    read: (value, where, findings) => {
      if (typeof value === "object" && value !== null && !Array.isArray(value)) {
        checkKeysOf(schema, value, where, findings);
        return copiedObject(value as Readonly<Record<string, unknown>>, where, 1, findings);
      }
      findings.problems.push({ where, expected: "an object { … }", got: describe(value) });
      return null;
    },
  });
}
