import { depthText, type UnitSystem } from "../text/format.ts";
import { quantity, readQuantity, type Dimension } from "../text/quantity.ts";
import { AREA_LOAD, CONCENTRATION, readRated, THERMAL_CONDUCTIVITY, type RatedUnits } from "../schema/ratedField.ts";
import type { Site } from "./site.ts";
import type { GrainClass, Upkeep, UpkeepFigures, UpkeepKey } from "./upkeep.ts";

/** A figure that the file does not give, as it was taken, and where it comes from. */
export interface AssumedUpkeep {
  readonly key: UpkeepKey;
  readonly about: string;
  /** as a file would hold it, in the system of the site */
  readonly written: string;
  readonly source: string;
}

interface Practice<T> {
  readonly about: string;
  readonly us: string;
  readonly si: string;
  readonly source: string;
  readonly read: (written: string) => T;
}

const ASSUMED = "assumption of ours, no agency gives a figure";
const PRACTICE = "common practice";
const MEMORY = "from memory";

/**
 * What is taken where the file is silent. The one published figure is that of the fine solids; loads of grit and leaves, the
 * speed at which leaves sink and what a cake lets through are guesses that a site may miss by several times, and say so.
 */
export const upkeepPractice: { readonly [Key in UpkeepKey]: Practice<UpkeepFigures[Key]> } = Object.freeze({
  rainPerYear: practice("rain of a year", "36 in", "900 mm", "assumption of ours: a temperate, humid place", measured("length")),
  fines: practice("fine solids in the runoff, mean of all events", "10 mg/L", "10 mg/L",
    "Minnesota Stormwater Manual: conventional roof below 10 mg/L, read; its upper end", rated(CONCENTRATION)),
  fineGrains: practice("grains of the fine solids", "", "",
    "Brodie: particles of roof runoff are mainly below 63 um, read; the split is an assumption of ours", () => FINE_GRAINS),
  gritPerYear: practice("grit of a year on a plan area", "10 lb/1000 sq ft", "0.05 kg/m^2", ASSUMED, rated(AREA_LOAD)),
  gritGrains: practice("grains of the grit", "", "", "assumption of ours: fine to coarse sand", () => GRIT_GRAINS),
  leavesPerYear: practice("leaves of a year on a plan area, dry", "10 lb/1000 sq ft", "0.05 kg/m^2",
    "assumption of ours: some trees near; under a closed crown some 0.3 kg/m2 fall, from memory", rated(AREA_LOAD)),
  leafSettling: practice("speed at which soaked leaves sink", "0.2 in/s", "5 mm/s", ASSUMED, measured("speed")),
  gutterGuard: practice("share of the leaves that a gutter guard keeps off", "0", "0", "no guard", Number),
  fineDensity: practice("dry mass in a volume of settled fine solids", "37 lb/ft^3", "600 kg/m^3", PRACTICE, measured("density")),
  gritDensity: practice("dry mass in a volume of settled grit", "94 lb/ft^3", "1500 kg/m^3", PRACTICE, measured("density")),
  leafDensity: practice("dry mass in a volume of settled leaves", "6 lb/ft^3", "100 kg/m^3", PRACTICE, measured("density")),
  waterTemperature: practice("temperature of the water that settles", "50 degF", "10 degC", "assumption of ours", measured("temperature")),
  basins: practice("basins in series that a box mixes like, Hazen's n", "1", "1", "no baffles, poorest of the usual 1 to 5, from memory", Number),
  fillingLimit: practice("share of the sump above which what lies there is stirred up", "0.5", "0.5", PRACTICE, Number),
  washedOn: practice("share of what lies above that limit which storms wash on in a year", "0.5", "0.5", "assumption of ours", Number),
  cakeDensity: practice("dry mass in a volume of the cake on the pit's floor", "37 lb/ft^3", "600 kg/m^3", PRACTICE, measured("density")),
  cakeConductivity: practice("conductivity of that cake", "0.0014 in/hr", "0.036 mm/h",
    "assumption of ours, 1e-8 m/s: within the 1e-9 to 2e-5 m/s of silts, from memory; right to a factor of ten at best", measured("speed")),
  surfaceFactor: practice("freezing index of the ground's surface over that of the air", "1", "1",
    "bare ground, on the safe side; turf is some 0.5, from memory", Number),
  frozenConductivity: practice("thermal conductivity of the frozen soil", "1.04 BTU/h/ft/degF", "1.8 W/m/K", MEMORY, rated(THERMAL_CONDUCTIVITY)),
  soilDryDensity: practice("dry density of the soil", "100 lb/ft^3", "1600 kg/m^3", PRACTICE, measured("density")),
  soilMoisture: practice("water of the soil as a share of its dry mass", "0.15", "0.15", PRACTICE, Number),
  coldWater: practice("temperature of the water in the soil in the cold months", "39 degF", "4 degC", PRACTICE, measured("temperature")),
});

const FINE_GRAINS: readonly GrainClass[] = grains([[5e-6, 0.25], [1.5e-5, 0.35], [3e-5, 0.25], [5e-5, 0.15]]);
const GRIT_GRAINS: readonly GrainClass[] = grains([[1.25e-4, 0.15], [2.5e-4, 0.25], [5e-4, 0.3], [1e-3, 0.3]]);

/** The site's own figures, a stated one where it has none, and which those are. */
export function upkeepFigures({ upkeep, units, studies = null }: Pick<Site, "upkeep" | "units"> & Partial<Pick<Site, "studies">>): {
  readonly figures: UpkeepFigures;
  readonly assumed: readonly AssumedUpkeep[];
} {
  const of = <Key extends UpkeepKey>(key: Key): NonNullable<Upkeep[Key]> => upkeep?.[key] ?? taken(key, units);
  const climate = climateRain(studies);
  const figures: UpkeepFigures = {
    rainPerYear: upkeep?.rainPerYear ?? climate ?? of("rainPerYear"), fines: of("fines"), fineGrains: of("fineGrains"), gritPerYear: of("gritPerYear"),
    gritGrains: of("gritGrains"), leavesPerYear: of("leavesPerYear"), leafSettling: of("leafSettling"),
    gutterGuard: of("gutterGuard"), fineDensity: of("fineDensity"), gritDensity: of("gritDensity"),
    leafDensity: of("leafDensity"), waterTemperature: of("waterTemperature"), basins: of("basins"),
    fillingLimit: of("fillingLimit"), washedOn: of("washedOn"), cakeDensity: of("cakeDensity"),
    cakeConductivity: of("cakeConductivity"), surfaceFactor: of("surfaceFactor"), frozenConductivity: of("frozenConductivity"),
    soilDryDensity: of("soilDryDensity"), soilMoisture: of("soilMoisture"), coldWater: of("coldWater"),
  };
  const keys = Object.keys(upkeepPractice) as UpkeepKey[];
  return {
    figures,
    assumed: keys.filter((key) => (upkeep?.[key] ?? null) === null).map((key) => {
      const { about, source, [units]: written } = upkeepPractice[key];
      if (key === "rainPerYear" && climate !== null) return { key, about, source: "its own climate: storms a year times their mean depth", written: depthText(climate, units) };
      return { key, about, source, written: written === "" ? grainsText(taken(key, units) as readonly GrainClass[]) : written };
    }),
  };
}

/** The rain of a year that the file's climate for its years of rain has, its one other word on it [m]; null where it has none. */
function climateRain(studies: Site["studies"]): number | null {
  const climate = studies?.often?.["climate"];
  if (typeof climate !== "object" || climate === null) return null;
  const { stormsPerYear, meanDepth } = climate as { readonly stormsPerYear?: unknown; readonly meanDepth?: unknown };
  if (typeof stormsPerYear !== "number" || typeof meanDepth !== "string") return null;
  const read = readQuantity(meanDepth, "length");
  return "value" in read ? stormsPerYear * read.value : null;
}

function taken<Key extends UpkeepKey>(key: Key, units: UnitSystem): UpkeepFigures[Key] {
  const { read, [units]: written } = upkeepPractice[key];
  return read(written);
}

/** Grains as `15 % of 0.125 mm, ...`, which is how a sieve is read in either system. */
function grainsText(classes: readonly GrainClass[]): string {
  return classes.map(({ diameter, share }) => `${Math.round(100 * share)} % of ${Number((1000 * diameter).toPrecision(3))} mm`).join(", ");
}

function practice<T>(about: string, us: string, si: string, source: string, read: Practice<T>["read"]): Practice<T> {
  return Object.freeze({ about, us, si, source, read });
}

function measured(dimension: Dimension): (written: string) => number {
  return (written) => quantity(written, dimension, "upkeepPractice");
}

function rated(units: RatedUnits): (written: string) => number {
  return (written) => {
    const reading = readRated(written, units);
    if ("value" in reading) return reading.value;
    throw new Error(`expected a figure of upkeep, got ${written}`);
  };
}

function grains(pairs: readonly (readonly [diameter: number, share: number])[]): readonly GrainClass[] {
  return Object.freeze(pairs.map(([diameter, share]) => Object.freeze({ diameter, share })));
}
