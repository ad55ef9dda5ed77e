import { describe } from "../text/describe.ts";
import { orNone, withDefault, type Field } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { objectField } from "../schema/objectField.ts";
import { AREA_LOAD, CONCENTRATION, DEGREE_DAYS, ratedField, THERMAL_CONDUCTIVITY } from "../schema/ratedField.ts";
import { numberField, proseField, quantityField } from "../schema/scalarFields.ts";
import type { GrainClass, Upkeep, UpkeepKey } from "./upkeep.ts";
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
