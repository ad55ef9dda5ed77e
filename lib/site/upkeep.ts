import { type Field, orNone, withDefault } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { objectField } from "../schema/objectField.ts";
import { AREA_LOAD, CONCENTRATION, DEGREE_DAYS, ratedField, THERMAL_CONDUCTIVITY } from "../schema/ratedField.ts";
import { numberField, proseField, quantityField } from "../schema/scalarFields.ts";
import { describe } from "../text/describe.ts";
import { upkeepPractice } from "./upkeepFigures.ts";

/** What comes off the roof besides water, and who takes it out again. Every figure may be missing: a stated one stands in then. */
export function upkeepField(): Field<Upkeep | null> {
  return orNone(objectField<Upkeep>("what comes off the roof besides water, how often it is taken out, and the cold", {
    about: withDefault(proseField("what a reader should know of these figures"), ""),
    rainPerYear: orNone(quantityField(described("rainPerYear"), "length", "from 10 mm to 15 m")),
    fines: orNone(ratedField(described("fines"), CONCENTRATION, "from 0 to 10000 mg/L")),
    fineGrains: orNone(grainsField("fineGrains")),
    gritPerYear: orNone(ratedField(described("gritPerYear"), AREA_LOAD, YEARLY)),
    gritGrains: orNone(grainsField("gritGrains")),
    leavesPerYear: orNone(ratedField(described("leavesPerYear"), AREA_LOAD, YEARLY)),
    leafSettling: orNone(quantityField(described("leafSettling"), "speed", "from 0 to 1 m/s")),
    gutterGuard: share("gutterGuard"),
    fineDensity: density("fineDensity"),
    gritDensity: density("gritDensity"),
    leafDensity: density("leafDensity"),
    waterTemperature: temperature("waterTemperature"),
    basins: orNone(numberField(described("basins"), "from 1 to 1000")),
    fillingLimit: orNone(numberField(described("fillingLimit"), "from 0.05 to 0.95", { isShare: true })),
    washedOn: share("washedOn"),
    cleanEvery: orNone(quantityField("time between two cleanings of the boxes; where missing by the filling limit, once a year at least", "time", "from 1 week to 50 years")),
    cakeDensity: density("cakeDensity"),
    cakeConductivity: orNone(quantityField(described("cakeConductivity"), "speed", "from 1e-14 m/s to 1 m/s")),
    freezingIndex: orNone(ratedField("sum of the air's degree days of frost in a cold winter; where missing no frost is looked at", DEGREE_DAYS, "from 0 to 11000 degC day")),
    surfaceFactor: orNone(numberField(described("surfaceFactor"), "from 0 to 2")),
    frozenConductivity: orNone(ratedField(described("frozenConductivity"), THERMAL_CONDUCTIVITY, "from 0.01 to 20 W/m/K")),
    soilDryDensity: density("soilDryDensity"),
    soilMoisture: orNone(numberField(described("soilMoisture"), "from 0.01 to 5", { isShare: true })),
    coldWater: temperature("coldWater"),
  }));
}

const YEARLY = "from 0 to 100 kg/m^2";

function density(key: UpkeepKey): Field<number | null> {
  return orNone(quantityField(described(key), "density", "from 10 to 4000 kg/m^3"));
}

function share(key: UpkeepKey): Field<number | null> {
  return orNone(numberField(described(key), "from 0 to 1", { isShare: true }));
}

function temperature(key: UpkeepKey): Field<number | null> {
  return orNone(quantityField(described(key), "temperature", "from 0 to 40 degC"));
}

/** Grains of several diameters; their shares are those of one mass and add up to it. */
function grainsField(key: "fineGrains" | "gritGrains"): Field<readonly GrainClass[]> {
  const list = listField(described(key), objectField<GrainClass>("grains of one diameter", {
    diameter: quantityField("diameter of the grains", "length", "from 0.0001 mm to 50 mm"),
    share: numberField("their share of the mass", "from 0 to 1", { isShare: true }),
  }), 1);
  return {
    ...list,
    read: (value, where, findings) => {
      const classes = list.read(value, where, findings);
      const sum = classes.reduce((all, each) => all + each.share, 0);
      // NaN is a share that has been refused already
      if (classes.length > 0 && Math.abs(sum - 1) > 1e-6) findings.problems.push({ where, expected: "shares that add up to 1", got: describe(sum) });
      return classes;
    },
  };
}

/** What is taken where the key is missing stands in its description, with its source. */
function described(key: UpkeepKey): string {
  const { about, us, si, source } = upkeepPractice[key];
  const taken = us === si ? us : `${us}, or ${si} in a metric file`;
  return us === "" ? `${about}; where missing ${source}` : `${about}; where missing ${taken} (${source})`;
}

/**
 * What comes off the roof besides water, how it settles and clogs, how often it is taken out, and the cold; null where the file
 * does not say, and `upkeepFigures` puts a stated figure in its place.
 */
export interface Upkeep {
  /** what a reader should know of these figures */
  readonly about: string;
  /** rain of a year [m] */
  readonly rainPerYear: number | null;
  /** fine solids in the runoff, mean of all events [kg/m3] */
  readonly fines: number | null;
  /** grains of the fine solids by mass, shares of 1 */
  readonly fineGrains: readonly GrainClass[] | null;
  /** grit of a year on a plan area [kg/m2] */
  readonly gritPerYear: number | null;
  readonly gritGrains: readonly GrainClass[] | null;
  /** leaves of a year on a plan area, dry [kg/m2] */
  readonly leavesPerYear: number | null;
  /** speed at which soaked leaves sink [m/s] */
  readonly leafSettling: number | null;
  /** share of the leaves that a gutter guard keeps off the water */
  readonly gutterGuard: number | null;
  /** dry mass in a volume of what lies in the sump [kg/m3] */
  readonly fineDensity: number | null;
  readonly gritDensity: number | null;
  readonly leafDensity: number | null;
  /** of the water that settles [degC] */
  readonly waterTemperature: number | null;
  /** basins in series that a box mixes like, Hazen's n of 1 or more */
  readonly basins: number | null;
  /** share of the sump above which what lies there is stirred up */
  readonly fillingLimit: number | null;
  /** share of what lies above that limit which storms wash on in a year */
  readonly washedOn: number | null;
  /** time between two cleanings of the boxes [s]; null: by the filling limit */
  readonly cleanEvery: number | null;
  /** of the cake that fine solids and leaves lay on the pit's floor: dry mass in a volume [kg/m3], and conductivity [m/s] */
  readonly cakeDensity: number | null;
  readonly cakeConductivity: number | null;
  /** freezing index of the air, the sum of its degree days below 0 degC [degC s]; null: no frost is looked at */
  readonly freezingIndex: number | null;
  /** freezing index of the ground's surface over that of the air */
  readonly surfaceFactor: number | null;
  /** thermal conductivity of the frozen soil [W/(m K)], its dry density [kg/m3] and its water as a share of dry mass */
  readonly frozenConductivity: number | null;
  readonly soilDryDensity: number | null;
  readonly soilMoisture: number | null;
  /** of the water in the soil in the cold months [degC] */
  readonly coldWater: number | null;
}

/** Grains of one diameter [m], and their share of the mass. */
export interface GrainClass {
  readonly diameter: number;
  readonly share: number;
}

/** What a file alone can tell, for which nothing is taken where it is missing. */
type OwnKey = "about" | "cleanEvery" | "freezingIndex";

export type UpkeepKey = Exclude<keyof Upkeep, OwnKey>;

/** The figures of `Upkeep` with none missing but those that only the file can tell. */
export type UpkeepFigures = { readonly [Key in UpkeepKey]: NonNullable<Upkeep[Key]> };
