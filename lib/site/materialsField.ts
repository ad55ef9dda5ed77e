import { orNone, withDefault, type Field } from "../schema/field.ts";
import { loadField } from "./loadField.ts";
import { materialPractice } from "./materialFigures.ts";
import type { MaterialKey, Materials } from "./materials.ts";
import { objectField } from "../schema/objectField.ts";
import { numberField, proseField, quantityField } from "../schema/scalarFields.ts";

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
