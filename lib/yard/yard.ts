import { usedConductivity } from "../ground/test/usedConductivity.ts";
import { soilTexture } from "../ground/soilTexture.ts";
import { withinSiteBand, WITHIN_SITE_FACTOR } from "../ground/test/withinSiteBand.ts";
import { emptyFindings } from "../schema/field.ts";
import { regionField } from "../site/region.ts";
import { nameField } from "../schema/scalarFields.ts";
import { BENCHMARK, READING_ERROR, reduced, type LevellingBook } from "../plan/levellingBook.ts";
import { hoursOfRain, surveyField, type Survey } from "../site/surveyField.ts";
import { depthText, intensityBandText, intensityText, lengthText, type UnitSystem } from "../text/format.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { quantity } from "../text/quantity.ts";

/** What a person says of a yard, in the words of the site file: name, country, and the file's `survey`. */
export interface Told {
  readonly name: string;
  readonly region: string;
  readonly survey: Readonly<Record<string, unknown>>;
}

/** A yard as it was described, in SI, with assumptions for what nobody knows yet. */
export interface Yard {
  readonly told: Told;
  readonly units: UnitSystem;
  readonly survey: Survey;
  readonly book: LevellingBook;
  /** level of each point that was read [m] */
  readonly levels: ReadonlyMap<string, number>;
  readonly roofArea: number;
  readonly boxToPit: number;
  /** null: there is no place for a lid */
  readonly pitToLid: number | null;
  readonly houseToPit: number | null;
  /** places of the points on the plan: A at the origin, B along x, the garden above; null without tape distances */
  readonly plan: ReadonlyMap<string, readonly [x: number, y: number]> | null;
  readonly rain: RainTaken;
  readonly soil: SoilTaken;
  /** depth below the ground at the pit [m]; null: not known */
  readonly groundwaterDepth: number | null;
  /** whether the groundwater was looked for */
  readonly isGroundwaterKnown: boolean;
  /** what was taken for what is not known, each a sentence */
  readonly assumed: readonly string[];
}

/** Rain in an hour [m]. */
export interface RainTaken {
  readonly normal: number;
  readonly bad: number;
  readonly isAssumed: boolean;
}

/** Conductivity of the ground [m/s]. */
export interface SoilTaken {
  readonly low: number;
  readonly middle: number;
  readonly high: number;
  readonly from: "test" | "texture" | "figure" | "nothing";
  readonly words: string;
}

/** A country that measures in feet: the United States, Liberia and Myanmar (from memory). */
export function unitsOf(region: string): UnitSystem {
  return ["US", "LR", "MM"].includes(region) ? "us" : "si";
}

/**
 * Reads the answers: levels from the readings, places from the tape, and what stands in for what is missing.
 *
 * @throws InputError  with all problems, a book that does not close among them
 */
export function yardOf(told: Told): Yard {
  const findings = emptyFindings();
  const { problems } = findings;
  nameField("name").read(told.name, "name", findings);
  regionField("country").read(told.region, "region", findings);
  const survey = surveyField().read(told.survey, "survey", findings);
  if (problems.length > 0 || survey === null) throw new InputError("What was told cannot be used:", problems);
  const units = unitsOf(told.region);
  const book = bookOf(survey, units, problems);
  const levels = new Map(book?.points.map(({ name, level }) => [name, level]) ?? []);
  for (const point of ["box", "pit"]) {
    if (book !== null && !levels.has(point))
      problems.push({ where: "survey.setUps", expected: `a reading at the ${point}`, got: "none", code: "missing" });
  }
  if (survey.rain !== null && survey.rainfall !== null)
    problems.push({ where: "survey.rain", expected: "a depth of rain or the town's table", got: "both", code: "conflict" });
  const plan = placesOf(survey, problems);
  const roofArea = roofOf(survey, problems);
  if (problems.length > 0) throw new InputError("What was told cannot be used:", problems);
  const assumed: string[] = [];
  const { boxToPit, pitToLid, houseToPit } = distancesOf(survey, plan, levels, units, assumed);
  const rain = rainOf(survey, told.region, units, assumed);
  const soil = soilOf(survey, units, assumed);
  const water = survey.groundwater;
  if (water === null)
    assumed.push(
      "Nobody has looked for groundwater yet: it is taken as far below, and the answers beside it as if it stood just under the pit.",
    );
  if (water !== null && water.noneTo !== null)
    assumed.push(`No water was seen down to ${lengthText(water.noneTo, units)}: it is taken to stand there, which is on the safe side.`);
  return {
    told,
    units,
    survey,
    book: book!,
    levels,
    roofArea,
    boxToPit,
    pitToLid,
    houseToPit,
    plan,
    rain,
    soil,
    assumed,
    groundwaterDepth: water === null ? null : (water.seen ?? water.noneTo),
    isGroundwaterKnown: water !== null,
  };
}

function bookOf({ benchmark, setUps }: Survey, units: UnitSystem, problems: Problem[]): LevellingBook | null {
  const seen = new Set([BENCHMARK]);
  for (const [s, sights] of setUps.entries()) {
    if (!sights.some(({ point }) => seen.has(point))) {
      problems.push({
        where: `survey.setUps[${s}]`,
        expected: `a reading of a point that is known by then (${[...seen].join(", ")})`,
        got: sights.map(({ point }) => point).join(", "),
      });
      return null;
    }
    sights.forEach(({ point }) => seen.add(point));
  }
  const book = reduced({ known: new Map([[BENCHMARK, benchmark]]), setUps, readingError: READING_ERROR }, units);
  if (book.closing?.isWithin === false)
    problems.push({ where: "survey.setUps", expected: "readings that close", got: book.note, code: "conflict" });
  return book;
}

/** From two circles: x = (a^2 - b^2 + c^2) / 2c along the house, y = sqrt(a^2 - x^2) away from it. */
function placesOf({ tape }: Survey, problems: Problem[]): Yard["plan"] {
  if (tape === null) return null;
  const c = tape.corners;
  const places = new Map<string, readonly [number, number]>([
    ["A", [0, 0]],
    ["B", [c, 0]],
  ]);
  tape.points.forEach(({ point, fromA, fromB }, i) => {
    const x = (fromA * fromA - fromB * fromB + c * c) / (2 * c);
    const square = fromA * fromA - x * x;
    // a tape sags: a point on the wall itself may miss it by a hand
    if (square < -0.02 * c * c) {
      problems.push({
        where: `survey.tape.points[${i}]`,
        expected: "two distances that meet: together more than from A to B, their difference less",
        got: `${fromA.toFixed(2)} m and ${fromB.toFixed(2)} m over ${c.toFixed(2)} m`,
      });
    }
    places.set(point, [x, Math.sqrt(Math.max(0, square))]);
  });
  return places;
}

function roofOf({ roofArea, roof }: Survey, problems: Problem[]): number {
  if ((roofArea === null) === (roof.length === 0)) {
    problems.push({
      where: "survey",
      expected: "roofArea, or roof with its rectangles",
      got: roofArea === null ? "none of them" : "both",
    });
    return NaN;
  }
  roof.forEach(({ length, width, notchLength, notchWidth }, i) => {
    if ((notchLength === null) !== (notchWidth === null))
      problems.push({ where: `survey.roof[${i}]`, expected: "a notch with its length and its width, or none", got: "one of them" });
    else if (notchLength !== null && (notchLength >= length || notchWidth! >= width))
      problems.push({ where: `survey.roof[${i}]`, expected: "a notch smaller than its roof", got: "one as large" });
  });
  return (
    roofArea ??
    roof.reduce((sum, { length, width, notchLength, notchWidth }) => sum + length * width - (notchLength ?? 0) * (notchWidth ?? 0), 0)
  );
}

/** Between two points of the plan [m]; null where one of them is not on it. */
function between(plan: Yard["plan"], from: string, to: string): number | null {
  const [a, b] = [plan?.get(from), plan?.get(to)];
  return a === undefined || b === undefined ? null : Math.hypot(a[0] - b[0], a[1] - b[1]);
}

function distancesOf(
  { distances, tape }: Survey,
  plan: Yard["plan"],
  levels: ReadonlyMap<string, number>,
  units: UnitSystem,
  assumed: string[],
): Pick<Yard, "boxToPit" | "pitToLid" | "houseToPit"> {
  const [box, lid] = units === "us" ? [3.048, 12.192] : [3, 12];
  const taken = (told: number | null, taped: number | null, stand: number, words: string): number => {
    if (told === null && taped === null) assumed.push(`${words} was not measured: ${lengthText(stand, units)} is taken.`);
    return told ?? taped ?? stand;
  };
  const boxToPit = taken(distances.boxToPit, between(plan, "box", "pit"), box, "The way from the box to the pit");
  const pitToLid = levels.has("lid")
    ? taken(distances.pitToLid, between(plan, "pit", "lid"), lid, "The way from the pit to the lid")
    : null;
  const pit = plan?.get("pit");
  const beside = pit === undefined ? null : Math.hypot(Math.max(0, -pit[0], pit[0] - tape!.corners), pit[1]);
  return { boxToPit, pitToLid, houseToPit: distances.houseToPit ?? beside };
}

/**
 * Of a place whose figures nobody has at hand: two hours that are common there, and a bad one twice as deep.
 *
 * A normal storm comes about every second year and a bad one about once in a hundred; the hour of a hundred years brings about twice that
 * of two
 * (derived from the hourly rows of published tables; tests/yard holds it against two of them). United Kingdom: M5-60 of 20 mm, from memory.
 */
function rainOf({ rain, rainfall }: Survey, region: string, units: UnitSystem, assumed: string[]): RainTaken {
  if (rainfall !== null) {
    const { normal, bad, badYears } = hoursOfRain(rainfall);
    const source = "rows" in rainfall ? [rainfall.source, rainfall.place].filter((each) => each !== undefined).join(", ") : "";
    assumed.push(
      `By the town’s table${source === "" ? "" : ` (${source})`} a normal storm is the hour of 2 years, ${depthText(normal, units)}, and a bad one that of ${badYears} years, ${depthText(bad, units)}.`,
    );
    return { normal, bad, isAssumed: false };
  }
  if (rain !== null) {
    assumed.push(
      `A bad storm is taken as twice the rain of the normal one, ${depthText(2 * rain, units)} of rain in an hour: the town’s own table says it better.`,
    );
    return { normal: rain, bad: 2 * rain, isAssumed: false };
  }
  const normal = quantity(region === "US" ? "1.5 in" : region === "GB" ? "16 mm" : "20 mm", "length", "rain");
  assumed.push(
    `The rain was not told: ${depthText(normal, units)} of rain in an hour is taken for a normal summer storm and ${depthText(2 * normal, units)} for a bad one. The town’s own table says it better.`,
  );
  return { normal, bad: 2 * normal, isAssumed: true };
}

function soilOf({ soil }: Survey, units: UnitSystem, assumed: string[]): SoilTaken {
  if (soil !== null && soil.test !== null) {
    const { conductivity, band } = usedConductivity(soil.test.result, "lower");
    return {
      low: band.low,
      middle: conductivity,
      high: band.high,
      from: "test",
      words: `${intensityText(conductivity, units)} by the test at the hole, ${intensityBandText(band.low, band.high, units)} on the lot`,
    };
  }
  if (soil !== null && soil.texture !== null) {
    const { hydraulicConductivity: middle } = soilTexture(soil.texture);
    const [low, high] = [middle / WITHIN_NAME, middle * WITHIN_NAME];
    assumed.push(
      `The soil is known by its name alone: ${soil.texture} is taken as ${intensityText(middle, units)}, and may be ${intensityBandText(low, high, units)}.`,
    );
    return { low, middle, high, from: "texture", words: `${soil.texture}, by its name ${intensityText(middle, units)}` };
  }
  if (soil !== null && soil.conductivity !== null) {
    const { low, high } = withinSiteBand(soil.conductivity);
    return { low, middle: soil.conductivity, high, from: "figure", words: `${intensityText(soil.conductivity, units)} as told` };
  }
  // lawns stand on anything; the middle of the classes is a silt loam
  const [high, middle, low] = [soilTexture("sand"), soilTexture("silt loam"), soilTexture("clay")].map(
    ({ hydraulicConductivity }) => hydraulicConductivity,
  ) as [number, number, number];
  assumed.push(
    `Nobody has tested the soil yet: anything from clay to sand is possible, ${intensityBandText(low, high, units)}, and ${intensityText(middle, units)} is taken.`,
  );
  return { low, middle, high, from: "nothing", words: `not tested, ${intensityText(middle, units)} taken` };
}

/**
 * Soils of one name differ by a factor of 5 (see `soilTexture`), and those of one lot by that of `withinSiteBand`: the squares of their
 * logarithms added.
 * So a name is worth less than a test, and a test less than several.
 */
const WITHIN_NAME = Math.exp(Math.hypot(Math.log(5), Math.log(WITHIN_SITE_FACTOR)));
