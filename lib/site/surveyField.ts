import { greatestOf } from "../numerics/extremes.ts";
import { depthDuration } from "../rain/storms/depthDuration.ts";
import type { RainfallTable } from "../rain/storms/tableDepth.ts";
import type { UkRainfall } from "../rain/storms/ukDepth.ts";
import { InputError } from "../text/problem.ts";
import { quantity } from "../text/quantity.ts";
import { YEAR } from "../text/unitTable.ts";
import { textureNames, type TextureName } from "../ground/soilTexture.ts";
import { describe } from "../text/describe.ts";
import { choiceField } from "../schema/choiceField.ts";
import { orNone, withDefault, type Field } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { areaField, conductivityField, levelField, sizeField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { nameField } from "../schema/scalarFields.ts";
import { soilTestField, type ReadTest } from "./soilField.ts";

/**
 * What was measured and said on the lot before anything was drawn: the works of a file made by `soakstep new` follow from it, and the same
 * questions open it again. What is missing was not known. All SI.
 */
export interface Survey {
  /** depth of rain in an hour of a normal summer storm [m] */
  readonly rain: number | null;
  /** or the town's table with several return periods, or the UK's factors */
  readonly rainfall: RainfallTable | UkRainfall | null;
  /** plan area of all roofs that drain to the works [m2] */
  readonly roofArea: number | null;
  /** or as rectangles, a notch cut out of one corner [m] */
  readonly roof: readonly RoofPiece[];
  /** level that the benchmark is given [m] */
  readonly benchmark: number;
  /** readings of the staff from each place of the instrument, in their order [m] */
  readonly setUps: readonly (readonly Sight[])[];
  readonly distances: SurveyDistances;
  /** tape distances from two corners of the house */
  readonly tape: Tape | null;
  /** free ground for the pit [m] */
  readonly room: { readonly length: number; readonly width: number } | null;
  readonly soil: SurveySoil | null;
  /** depth below the ground at the pit at which water was seen, or to which none was [m] */
  readonly groundwater: { readonly seen: number | null; readonly noneTo: number | null } | null;
  readonly wanted: Wish;
}

export interface RoofPiece {
  readonly length: number;
  readonly width: number;
  readonly notchLength: number | null;
  readonly notchWidth: number | null;
}

/** One reading: at a point of `surveyPoints`, or at one of the surveyor's own, where the instrument turns. */
export interface Sight {
  readonly point: string;
  readonly reading: number;
}

/** Along the ground [m]. */
export interface SurveyDistances {
  readonly houseToPit: number | null;
  readonly boxToPit: number | null;
  readonly pitToLid: number | null;
  readonly lidToLowPoint: number | null;
}

export interface Tape {
  /** from corner A to corner B [m] */
  readonly corners: number;
  /** from A and from B to a point [m] */
  readonly points: readonly { readonly point: string; readonly fromA: number; readonly fromB: number }[];
}

export interface SurveySoil {
  readonly texture: TextureName | null;
  readonly conductivity: number | null;
  readonly test: ReadTest | null;
}

/** What the works are asked to do. */
export type Wish = (typeof WISHES)[number];

/** In the order of a growing work. */
const WISHES = ["out at the lid only", "dry lawn in a normal storm", "dry lawn in a bad storm"] as const;

/** The wishes, the least first. */
export const wishes: readonly Wish[] = WISHES;

/** Points that the questions ask for, in their order. */
export const surveyPoints: readonly string[] = Object.freeze(["benchmark", "house", "box", "pit", "trench", "lid", "low point", "neighbour"]);

/** The town's table of rain in a survey, which a form reads by itself too. */
export const surveyRain: Field<RainfallTable | UkRainfall> = townRainField();

/** The survey of a site file. */
export function surveyField(): Field<Survey | null> {
  return orNone(objectField<Survey>("what was measured and told on the lot before the works were drawn", {
    rain: orNone(thicknessField("rain in an hour of a normal summer storm")),
    rainfall: orNone(surveyRain),
    roofArea: orNone(areaField("plan area of the roofs that drain to the works")),
    roof: withDefault(listField("the roofs in plan as rectangles", roofField()), []),
    benchmark: levelField("level that the benchmark is given"),
    setUps: listField("readings from each place of the instrument, in their order", listField("readings from one place", sightField(), 1), 1),
    distances: objectField<SurveyDistances>("distances along the ground", {
      houseToPit: orNone(sizeField("from the house wall to the pit's edge")),
      boxToPit: orNone(sizeField("from the box to the pit's edge")),
      pitToLid: orNone(sizeField("from the pit's edge to the lid")),
      lidToLowPoint: orNone(sizeField("from the lid on to the low point")),
    }),
    tape: orNone(objectField<Tape>("tape distances from two corners of the house", {
      corners: sizeField("from corner A to corner B"),
      points: listField("points with their distances from A and from B", tapeField(), 1),
    })),
    room: orNone(objectField("free ground for the pit", { length: sizeField("its length"), width: sizeField("its width") })),
    soil: orNone(objectField<SurveySoil>("what is known of the soil", {
      texture: orNone(choiceField("its texture by name", textureNames())),
      conductivity: orNone(conductivityField("its conductivity, where it is known")),
      test: orNone(soilTestField()),
    }, [{ keys: ["texture"] }, { keys: ["conductivity"] }, { keys: ["test"] }])),
    groundwater: orNone(objectField("what is known of the groundwater, as depth below the ground at the pit", {
      seen: orNone(thicknessField("depth at which water was seen")),
      noneTo: orNone(sizeField("depth down to which there was none")),
    }, [{ keys: ["seen"] }, { keys: ["noneTo"] }])),
    wanted: {
      ...choiceField("what the works are asked to do", WISHES) as Field<Wish>,
    },
  }));
}

const HOUR = 3600;

/** Rain in an hour that comes about every second year, and about once in a hundred or in as many as a table goes to [m]. */
export function hoursOfRain(
  rainfall: RainfallTable | UkRainfall,
): { readonly normal: number; readonly bad: number; readonly badYears: number } {
  const periods = "rows" in rainfall ? rainfall.returnPeriods.map((text) => quantity(text, "time", "returnPeriods") / YEAR) : [100];
  const badYears = Math.min(100, greatestOf(periods));
  const hour = (years: number): number => depthDuration({ rainfall, returnPeriod: `${years} year` })(HOUR);
  return { normal: hour(2), bad: hour(badYears), badYears };
}

function townRainField(): Field<RainfallTable | UkRainfall> {
  const hole: UkRainfall = { m5_60: "20 mm", r: 0.4 };
  return {
    about: "the town's table of rain, of which an hour of 2 years is a normal storm and one of 100 years a bad one",
    hole,
    schema: {
      description: "the town's table of rain with 2 years and an hour in it, or the UK's factors", allOf: [{ $ref: "#/definitions/rainfall" }],
    },
    read: (value, where, findings) => {
      if (!isTownRain(value)) {
        findings.problems.push({ where, expected: 'a table (with "rows") or the UK method (with "m5_60")', got: describe(value) });
        return hole;
      }
      try {
        hoursOfRain(value);
        return value;
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        for (const problem of error.problems) findings.problems.push({ ...problem, where: `${where}: ${problem.where}` });
        return hole;
      }
    },
  };
}

function isTownRain(value: unknown): value is RainfallTable | UkRainfall {
  if (typeof value !== "object" || value === null) return false;
  return "m5_60" in value || ("rows" in value && "returnPeriods" in value && Array.isArray(value.returnPeriods));
}

function roofField(): Field<RoofPiece> {
  return objectField<RoofPiece>("a rectangle of roof in plan, eaves included", {
    length: sizeField("its length"), width: sizeField("its width"),
    notchLength: orNone(sizeField("length of a notch that makes it an L")), notchWidth: orNone(sizeField("width of that notch")),
  });
}

/** `["lid", "5.12 ft"]`. */
function sightField(): Field<Sight> {
  const [name, reading] = [nameField("the point"), levelField("reading of the staff; below 0 of one held upside down")];
  return {
    about: "a point and its reading",
    hole: { point: "", reading: NaN },
    schema: { description: 'a point and its reading, ["lid", "5.12 ft"]', type: "array", items: { type: "string" }, minItems: 2 },
    read: (value, where, findings) => {
      if (!Array.isArray(value) || value.length !== 2) {
        findings.problems.push({ where, expected: 'a point and its reading such as ["lid", "5.12 ft"]', got: describe(value) });
        return { point: "", reading: NaN };
      }
      return { point: name.read(value[0], `${where}[0]`, findings), reading: reading.read(value[1], `${where}[1]`, findings) };
    },
  };
}

function tapeField(): Field<Tape["points"][number]> {
  return objectField<Tape["points"][number]>("a point with its distances", {
    point: nameField("the point"), fromA: sizeField("from corner A"), fromB: sizeField("from corner B"),
  });
}
