import { designStormAt } from "../rain/storms/designStorm.ts";
import { recordOptions } from "../rain/record/recordOptions.ts";
import { unheardOf } from "../rain/storms/worldsGreatest.ts";
import { describe } from "../text/describe.ts";
import { InputError } from "../text/problem.ts";
import { pathTo } from "../text/pathTo.ts";
import { copiedObject } from "../schema/copiedObject.ts";
import { keptReading } from "../schema/lastingData.ts";
import { gathered, type Field, type Findings, type JsonSchema } from "../schema/field.ts";
import { nameField } from "../schema/scalarFields.ts";
import type { StormChoice } from "./site.ts";
import { REGIONAL_RATIOS } from "../rain/storms/regionalRatios.ts";
import type { Dimension } from "../text/quantity.ts";

/**
 * A named storm. Its options are checked here, by those who will make the storm (`designStorm`) or read the file it names
 * (`readRain`), and stay as they are written.
 */
export function stormField(): Field<StormChoice> {
  const about = "a storm by name: the options of designStorm, or the name of a file of rain";
  const name = nameField("name of the storm");
  const reading = keptReading<StormChoice>();
  return {
    about,
    hole: { name: "", options: {} },
    schema: stormSchema(about, { name: name.schema }),
    read: (value, where, findings) => {
      if (typeof value !== "object" || value === null || Array.isArray(value)) {
        findings.problems.push({ where, expected: "an object { … }", got: describe(value) });
        return { name: "", options: {} };
      }
      const { name: given, ...written } = value as Record<string, unknown>;
      return reading(value, where, findings, (found) => {
        const read = name.read(given, pathTo(where, "name"), found);
        const before = found.problems.length;
        checkKind(written, where, found);
        const options = copiedObject(written, where, 1, found);
        if (found.problems.length === before) gathered(found, () => checkOptions(options, where));
        return { name: read, options };
      });
    },
  };
}

function checkKind(options: Readonly<Record<string, unknown>>, where: string, findings: Findings): void {
  const kinds = ["pattern", "file"].filter((key) => Object.hasOwn(options, key) && options[key] !== undefined);
  if (kinds.length !== 1) {
    findings.problems.push({ where, expected: "exactly one of: pattern; file", got: kinds.length === 0 ? "none of them" : "pattern and file", code: kinds.length === 0 ? "missing" : "conflict" });
    return;
  }
  const kind = kinds[0]!;
  const text = options[kind];
  if (typeof text === "string" && text.trim() !== "") return;
  findings.problems.push({
    where: pathTo(where, kind),
    expected: kind === "file" ? "the name of a file of rain" : 'the name of a pattern such as "block" or "nrcs-ii"',
    got: describe(text),
  });
}

function checkOptions({ file, ...options }: Readonly<Record<string, unknown>>, where: string): void {
  if (file !== undefined) {
    recordOptions(options, where);
    return;
  }
  const { time, depth } = designStormAt(where, options);
  const fault = unheardOf(depth.reduce((sum, each) => sum + each, 0), time.at(-1)! - time[0]!);
  if (fault !== null) throw new InputError("The design storm cannot be made:", [{ where, ...fault }]);
}

// What an editor completes from. The readers of storms and records decide what passes; tests/site/siteSchema.test.ts holds both together.

/** A text with a unit, and what it is. */
export function quantitySchema(dimension: Dimension, description: string): JsonSchema {
  return { description, allOf: [{ $ref: `#/definitions/${dimension}` }] };
}

export function numberSchema(description: string, minimum: number, maximum: number): JsonSchema {
  return { description, type: "number", minimum, maximum };
}

export function objectSchema(
  description: string, properties: Readonly<Record<string, JsonSchema>>, required: readonly string[] = [],
): JsonSchema {
  return { description, type: "object", properties, ...(required.length > 0 && { required }), additionalProperties: false };
}

export function textSchema(description: string): JsonSchema {
  return { description, type: "string" };
}

export function listSchema(description: string, items: JsonSchema): JsonSchema {
  return { description, type: "array", items, minItems: 1 };
}

const returnPeriod = quantitySchema("time", 'such as "10 year"; not needed with an equation, or a table of one');
const climateFactor = numberSchema("multiplies every depth; 1 where missing", 0, 10);
const duration = quantitySchema("time", "how long it rains");
const interval = quantitySchema("time", "length of the storm's intervals");
const peakAt = numberSchema("where in the storm its peak lies, as a share of its duration", 0, 1);

const numbers = (description: string): JsonSchema => listSchema(description, { type: "number" });

/** The rain of a place: a table, an equation or the UK's factors. It stands once, in the definitions of the whole schema. */
export const rainfallWays: readonly JsonSchema[] = [
  objectSchema("a table as it was published", {
    unit: textSchema('of every number in the rows: an intensity such as "in/hr", or a depth such as "mm"'),
    series: { description: "what its return periods are of; annual-maximum where missing", enum: ["annual-maximum", "partial-duration"] },
    returnPeriods: listSchema('such as "2 year"', { $ref: "#/definitions/time" }),
    rows: {
      description: "by duration, a number for each return period",
      type: "object", additionalProperties: { type: "array", items: { type: "number", minimum: 0 }, minItems: 1 },
    },
    extrapolate: { description: "whether the first and last straight piece go on beyond the table; they do not where missing", type: "boolean" },
    source: textSchema("who published it"),
    place: textSchema("what place it is for"),
    date: textSchema("when it was read"),
  }, ["unit", "returnPeriods", "rows"]),
  objectSchema("an equation of intensity by duration, for one return period", {
    form: { description: "i by t", enum: ["a/(t+b)^c", "c/(t^e+f)"] },
    intensityUnit: textSchema('such as "in/hr"'),
    timeUnit: textSchema('such as "min"'),
    ...Object.fromEntries(["a", "b", "c", "e", "f"].map((key) => [key, { description: "constant of the equation", type: "number", minimum: 0 }])),
  }, ["form", "intensityUnit", "timeUnit"]),
  objectSchema("England and Wales, from memory", {
    m5_60: quantitySchema("length", "depth of 60 minutes at a return period of 5 years"),
    r: numberSchema("ratio of the 60-minute to the 2-day depth at 5 years", 0.12, 0.45),
  }, ["m5_60", "r"]),
];

export const rainfallSchema: JsonSchema = {
  description: "the rain of the place: a table as it was published, an equation, or the UK's M5-60 and r", allOf: [{ $ref: "#/definitions/rainfall" }],
};

const depth = {
  depth: quantitySchema("length", "depth of rain"), rainfall: rainfallSchema, returnPeriod, climateFactor,
};
const ofPlace = { rainfall: rainfallSchema, returnPeriod, climateFactor };

/** One way to say a storm: the patterns that ask for these keys, and which of them have to stand. */
interface Way {
  readonly patterns: readonly string[];
  readonly keys: Readonly<Record<string, JsonSchema>>;
  readonly required: readonly string[];
  /** keys of which exactly one has to stand */
  readonly one?: readonly string[];
}

const EITHER = ["depth", "rainfall"];

/** Every pattern of `designStorm` with its keys. */
export const STORM_WAYS: readonly Way[] = [
  {
    patterns: ["block"], required: ["duration"], one: ["intensity", ...EITHER],
    keys: { duration, intensity: quantitySchema("speed", "even intensity, in place of a depth"), ...depth },
  },
  { patterns: ["nrcs-i", "nrcs-ia", "nrcs-ii", "nrcs-iii"], required: [], one: EITHER, keys: { duration: quantitySchema("time", "24 h where missing; the nested storm of a shorter one"), ...depth } },
  { patterns: ["huff-1", "huff-2", "huff-3", "huff-4"], required: ["duration"], one: EITHER, keys: { duration, ...depth } },
  { patterns: ["triangular"], required: ["duration"], one: EITHER, keys: { duration, interval, peakAt, ...depth } },
  { patterns: ["alternating-block", "keifer-chu"], required: ["rainfall", "duration", "interval"], keys: { duration, interval, peakAt, ...ofPlace } },
  { patterns: ["euler-2"], required: ["rainfall", "duration"], keys: { duration, interval, ...ofPlace } },
  { patterns: ["nested"], required: ["rainfall"], keys: { duration, interval, ...ofPlace } },
  {
    patterns: ["nested"], required: ["ratios"], one: EITHER,
    keys: {
      duration, interval, ...depth,
      ratios: {
        description: "of a region: a published set by its name, or by duration the share of the depth that falls in it",
        anyOf: [{ enum: REGIONAL_RATIOS }, { type: "object", additionalProperties: numberSchema("a share", 0, 1) }],
      },
    },
  },
  { patterns: ["uk-summer", "uk-winter"], required: ["duration"], one: EITHER, keys: { duration, interval, ...depth } },
  {
    patterns: ["mass-curve"], required: ["duration", "times", "shares"], one: EITHER,
    keys: { duration, times: numbers("shares of the duration, from 0 to 1, rising"), shares: numbers("shares of the depth fallen by then, from 0 to 1"), ...depth },
  },
  {
    patterns: ["mass-curve"], required: ["points"],
    keys: { points: listSchema("each a time and what has fallen by then", { type: "array", items: { type: "string" }, minItems: 2 }), climateFactor },
  },
];

/** What a record's header leaves open. */
const RECORD_SCHEMA: Readonly<Record<string, JsonSchema>> = {
  time: textSchema("a file's column of time"),
  clock: textSchema("a file's column of the time of day, where it stands apart"),
  rain: textSchema("a file's column of rain"),
  unit: textSchema("unit of a file's column of rain"),
  kind: { description: "what a file's column of rain holds", enum: ["interval", "total", "intensity", "tip"] },
  stamp: { description: "the end of its interval that a file's stamp marks", enum: ["start", "end"] },
  interval: quantitySchema("time", "length of the intervals"),
  tip: quantitySchema("length", "depth of one tip of a file's bucket"),
  restarts: { description: "whether a file's counter restarts from 0 at times", type: "boolean" },
  largest: quantitySchema("speed", "highest intensity that is believed of a file"),
  dateOrder: { description: "order of a file's dates", enum: ["year-month-day", "month/day/year", "day/month/year"] },
  missing: listSchema("words of a file that stand for no value", { type: "string" }),
  decimalComma: { description: "whether 0,2 is a fifth in a file", type: "boolean" },
  separator: { description: "what parts a file's cells", enum: [",", ";", "\t"] },
};

/** A file of rain, with the options of its reader. */
export function fileSchema(named: Readonly<Record<string, JsonSchema>> = {}): JsonSchema {
  const file = textSchema("name of a file of rain, which is looked for beside the site file");
  return objectSchema("rain from a file", { ...named, file, ...RECORD_SCHEMA }, [...Object.keys(named), "file"]);
}

/**
 * A storm: of a pattern, or from a file.
 *
 * @param named  keys that every storm has besides; all of them have to stand
 */
export function stormSchema(description: string, named: Readonly<Record<string, JsonSchema>> = {}): JsonSchema {
  const ways = STORM_WAYS.map(({ patterns, keys, required, one }) => ({
    ...objectSchema("a storm by its pattern", { ...named, pattern: { description: "how the rain falls in time", enum: patterns }, ...keys },
      [...Object.keys(named), "pattern", ...required]),
    ...(one && { oneOf: one.map((key) => ({ required: [key] })) }),
  }));
  return { description, oneOf: [...ways, fileSchema(named)] };
}
