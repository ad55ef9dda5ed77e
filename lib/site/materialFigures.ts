import type { UnitSystem } from "../text/format.ts";
import { quantity, type Dimension } from "../text/quantity.ts";
import { loadOf } from "./loadField.ts";
import type { MaterialFigures, MaterialKey } from "./materials.ts";
import type { Site } from "./site.ts";

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
  workingSpace: practice("room to work on each side of a settling box", "12 in", "300 mm", measured("length")),
  boxWall: practice("thickness of a settling box's wall and floor", "3 in", "75 mm", measured("length")),
  boxBase: practice("bed of stone or sand under a settling box", "4 in", "100 mm", measured("length")),
  pipeTrenchWidth: practice("width of the trench of a pipe", "12 in", "300 mm", measured("length")),
  pipeBed: practice("bed of stone or sand under a pipe in its own trench", "4 in", "100 mm", measured("length")),
  pipeLength: practice("length in which pipes are sold", "10 ft", "3 m", measured("length")),
  turfThickness: practice("thickness of the turf over everything dug, 0 for none", "2 in", "50 mm", measured("length")),
});

/** The site's own figures, common practice where it has none, and which those are. */
export function materialFigures({ materials, units }: Pick<Site, "materials" | "units">): {
  readonly figures: MaterialFigures;
  readonly assumed: readonly AssumedFigure[];
} {
  const keys = Object.keys(materialPractice) as MaterialKey[];
  const figures = Object.fromEntries(keys.map((key) => [key, materials?.[key] ?? taken(key, units)]));
  return {
    figures: figures as unknown as MaterialFigures,
    assumed: keys.filter((key) => (materials?.[key] ?? null) === null).map((key) => {
      const { about, source, [units]: written } = materialPractice[key];
      return { key, about, written, source };
    }),
  };
}

function taken(key: MaterialKey, units: UnitSystem): unknown {
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
  if (read === null) throw new Error(`a load of common practice that is none: ${written}`);
  return read;
}
