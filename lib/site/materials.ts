import { type Field, orNone, withDefault } from "../schema/field.ts";
import { objectField } from "../schema/objectField.ts";
import { numberField, proseField, quantityField } from "../schema/scalarFields.ts";
import { massPattern, readMass, type UnitSystem } from "../text/format.ts";
import { type Dimension, quantity, readQuantity } from "../text/quantity.ts";
import type { Site } from "./site.ts";
import { describe } from "../text/describe.ts";
import { quantityPattern } from "../text/quantityPattern.ts";

/** A figure that the file does not give, as it was taken: every one of them is common practice. */
export interface AssumedFigure {
  readonly key: MaterialKey;
  readonly about: string;
  /** as a file would hold it, in the system of the site */
  readonly written: string | number;
  readonly source: string;
}

interface Practice<T> {
  readonly about: string;
  readonly us: string | number;
  readonly si: string | number;
  readonly source: string;
  readonly read: (written: string | number) => T;
}

/**
 * What is taken where the file is silent, in round figures of each system: all common practice, of no authority, to be put
 * right by the yard that sells and the machine that digs.
 */
export const materialPractice: { readonly [Key in MaterialKey]: Practice<MaterialFigures[Key]> } = Object.freeze({
  stoneDensity: practice("density of the stone as it lies, voids included", "100 lb/ft^3", "1600 kg/m^3", measured("density"),
    "2700 lb a cubic yard of crushed stone in public tables"),
  stoneSpare: practice("stone ordered over what is measured, a ratio", 0.05, 0.05, Number),
  stoneLoad: practice("what one lorry brings of stone, a mass or a loose volume", "14 ton", "12 t", load),
  soilDensity: practice("density of the soil in the ground, as it is dug", "110 lb/ft^3", "1800 kg/m^3", measured("density")),
  bulking: practice("loose spoil over the same soil in the ground, a ratio of volumes", 1.25, 1.25, Number,
    "public tables give 1.25 for loam, 1.12 for sand, 1.4 for clay"),
  spoilLoad: practice("what one lorry takes of spoil, a mass or a loose volume", "14 ton", "12 t", load),
  fabricLap: practice("lap at each joint of the fabric", "12 in", "300 mm", measured("length")),
  fabricRoll: practice("width of a roll of fabric", "12.5 ft", "4 m", measured("length")),
  fabricRollLength: practice("length of fabric on a roll", "100 ft", "30 m", measured("length")),
  workingSpace: practice("room to work on each side of a settling box", "12 in", "300 mm", measured("length")),
  boxWall: practice("thickness of a settling box's wall and floor", "3 in", "75 mm", measured("length")),
  boxBase: practice("bed of stone or sand under a settling box", "4 in", "100 mm", measured("length")),
  pipeTrenchWidth: practice("width of the trench of a pipe", "12 in", "300 mm", measured("length")),
  pipeBed: practice("bed of stone or sand under a pipe in its own trench", "4 in", "100 mm", measured("length")),
  pipeLength: practice("length in which pipes are sold", "10 ft", "3 m", measured("length")),
  turfThickness: practice("thickness of the turf over everything dug, 0 for none", "2 in", "50 mm", measured("length")),
});

/** The site's own figures, common practice where it has none, and which those are. */
export function materialFigures({ materials, units: shownIn, writtenIn: units = shownIn }: Pick<Site, "materials" | "units"> & Partial<Pick<Site, "writtenIn">>): {
  readonly figures: MaterialFigures;
  readonly assumed: readonly AssumedFigure[];
} {
  const of = <Key extends MaterialKey>(key: Key): NonNullable<Materials[Key]> => materials?.[key] ?? taken(key, units);
  const figures: MaterialFigures = {
    stoneDensity: of("stoneDensity"), stoneSpare: of("stoneSpare"), stoneLoad: of("stoneLoad"), soilDensity: of("soilDensity"),
    bulking: of("bulking"), spoilLoad: of("spoilLoad"), fabricLap: of("fabricLap"), fabricRoll: of("fabricRoll"),
    fabricRollLength: of("fabricRollLength"), workingSpace: of("workingSpace"), boxWall: of("boxWall"), boxBase: of("boxBase"),
    pipeTrenchWidth: of("pipeTrenchWidth"), pipeBed: of("pipeBed"), pipeLength: of("pipeLength"),
    turfThickness: of("turfThickness"),
  };
  const keys = Object.keys(materialPractice) as MaterialKey[];
  return {
    figures,
    assumed: keys.filter((key) => (materials?.[key] ?? null) === null).map((key) => {
      const { about, source, [units]: written } = materialPractice[key];
      return { key, about, written, source };
    }),
  };
}

function taken<Key extends MaterialKey>(key: Key, units: UnitSystem): MaterialFigures[Key] {
  const { read, [units]: written } = materialPractice[key];
  return read(written);
}

function practice<T>(
  about: string, us: string | number, si: string | number, read: Practice<T>["read"], source: string = "common practice",
): Practice<T> {
  return Object.freeze({ about, us, si, source, read });
}

function measured(dimension: Dimension): (written: string | number) => number {
  return (written) => quantity(written, dimension, "materialPractice");
}

function load(written: string | number): MaterialFigures["stoneLoad"] {
  const read = loadOf(written);
  if (read === null) throw new Error(`expected a load of common practice, got ${written}`);
  return read;
}

/** Densities, bulking, loads and allowances for the order list. Every figure may be missing: common practice stands in then. */
export function materialsField(): Field<Materials | null> {
  return orNone(objectField<Materials>("densities, bulking, loads and allowances for the order list", {
    about: withDefault(proseField("what a reader should know of these figures"), ""),
    stoneDensity: density("stoneDensity"),
    stoneSpare: ratio("stoneSpare", "from 0 to 1"),
    stoneLoad: orNone(loadField(described("stoneLoad"))),
    soilDensity: density("soilDensity"),
    bulking: ratio("bulking", "from 1 to 3"),
    spoilLoad: orNone(loadField(described("spoilLoad"))),
    fabricLap: length("fabricLap", LAP),
    fabricRoll: length("fabricRoll", "from 1 m to 20 m"),
    fabricRollLength: length("fabricRollLength", "from 5 m to 500 m"),
    workingSpace: length("workingSpace", ROOM),
    boxWall: length("boxWall", THIN),
    boxBase: length("boxBase", THIN),
    pipeTrenchWidth: length("pipeTrenchWidth", "from 50 mm to 5 m"),
    pipeBed: length("pipeBed", THIN),
    pipeLength: length("pipeLength", "from 0.1 m to 50 m"),
    turfThickness: length("turfThickness", THIN),
  }));
}

const THIN = "from 0 to 500 mm";
const ROOM = "from 0 to 5 m";
/** Less than the narrowest roll, so that a strip covers something. */
const LAP = "from 0 to 0.9 m";

function density(key: MaterialKey): Field<number | null> {
  return orNone(quantityField(described(key), "density", "from 500 to 4000 kg/m^3"));
}

function length(key: MaterialKey, range: string): Field<number | null> {
  return orNone(quantityField(described(key), "length", range));
}

function ratio(key: MaterialKey, range: string): Field<number | null> {
  return orNone(numberField(described(key), range));
}

/** What is taken where the key is missing stands in its description, for it depends on the system of the file. */
function described(key: MaterialKey): string {
  const { about, us, si } = materialPractice[key];
  const taken = us === si ? String(us) : `${us}, or ${si} in a metric file`;
  return `${about}; where missing ${taken} (common practice)`;
}

/**
 * Densities, bulking, loads and allowances for the order list; null where the file does not say, and `materialFigures` puts
 * common practice in its place and says so.
 */
export interface Materials {
  /** what a reader should know of these figures */
  readonly about: string;
  /** of the stone as it lies, voids included [kg/m3] */
  readonly stoneDensity: number | null;
  /** ordered over what is measured, a ratio */
  readonly stoneSpare: number | null;
  readonly stoneLoad: Load | null;
  /** of the soil in the ground, as it is dug [kg/m3] */
  readonly soilDensity: number | null;
  /** loose spoil over the same soil in the ground, a ratio of volumes of 1 or more */
  readonly bulking: number | null;
  readonly spoilLoad: Load | null;
  /** lap at each joint of the fabric, and the width of its roll [m] */
  readonly fabricLap: number | null;
  readonly fabricRoll: number | null;
  /** length of fabric on a roll [m] */
  readonly fabricRollLength: number | null;
  /** room to work on each side of a settling box [m] */
  readonly workingSpace: number | null;
  /** thickness of a settling box's wall and floor, and of what it stands on [m] */
  readonly boxWall: number | null;
  readonly boxBase: number | null;
  /** width of the trench of a pipe, and thickness of the bed under the pipe [m] */
  readonly pipeTrenchWidth: number | null;
  readonly pipeBed: number | null;
  /** length in which pipes are sold [m] */
  readonly pipeLength: number | null;
  /** thickness of turf over everything dug [m], 0 for none */
  readonly turfThickness: number | null;
}

/** What one lorry brings or takes: weighed [kg], or measured loose [m3]. */
export type Load = { readonly mass: number } | { readonly volume: number };

/** The figures of `Materials` with none missing. */
export type MaterialFigures = { readonly [Key in MaterialKey]: NonNullable<Materials[Key]> };

export type MaterialKey = Exclude<keyof Materials, "about">;

/** A load as it is sold: text with a mass, `"14 ton"`, or with a loose volume, `"10 cu yd"`. */
export function loadField(about: string): Field<Load> {
  return {
    about,
    hole: { mass: NaN },
    schema: { description: `${about}; ${WANTED}`, type: "string", anyOf: [{ pattern: massPattern }, { pattern: quantityPattern("volume") }] },
    read: (value, where, findings) => {
      const load = loadOf(value);
      if (load !== null) return load;
      findings.problems.push({ where, expected: WANTED, got: describe(value) });
      return { mass: NaN };
    },
  };
}

/** A load of a text; null if it is not a load, or not one that a lorry brings. */
function loadOf(text: unknown): Load | null {
  const mass = readMass(text);
  if ("value" in mass) return isWithin(mass.value, 10, 1e5) ? { mass: mass.value } : null;
  const volume = readQuantity(text, "volume");
  return "value" in volume && isWithin(volume.value, 0.01, 100) ? { volume: volume.value } : null;
}

const WANTED = 'a mass from 10 kg to 100 t or a volume from 10 L to 100 m^3, such as "14 ton", "12 t" or "10 cu yd"';

function isWithin(value: number, least: number, most: number): boolean {
  return value >= least && value <= most;
}
