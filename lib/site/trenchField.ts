import { coverField } from "./coverField.ts";
import { orNone, sameAs, withDefault, type Field } from "../schema/field.ts";
import { levelSeriesField } from "./levelSeriesField.ts";
import { flowingConductivityField, levelField, porosityField, shareField, sizeField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { manningField, pipeField } from "./pipeField.ts";
import { countField, quantityField, wordField } from "../schema/scalarFields.ts";
import type { GivenTrench, GivenTrenchPipe } from "./facts.ts";
import type { TrenchGround } from "./site.ts";

/** The overflow trench from the pit towards the emitter. */
export function trenchField(): Field<GivenTrench | null> {
  return orNone(objectField<GivenTrench>("the stone trench that takes what the pit cannot", {
    floor: levelField("level of the trench's floor at its high end"),
    fall: withDefault(thicknessField("fall of the floor over the whole length, towards the emitter"), "0 m"),
    length: sizeField("length of the trench"),
    width: sizeField("width of the trench"),
    ground: groundField(),
    stone: objectField<GivenTrench["stone"]>("the stone of the trench", {
      depth: sizeField("depth of the stone"),
      porosity: withDefault(porosityField("share of voids in the stone"), 0.4, "The porosity of the trench's stone is not given: 0.4 is taken (common practice)."),
      hydraulicConductivity: withDefault(flowingConductivityField("hydraulic conductivity of the stone, between segments"), "0.15 m/s"),
    }),
    pipe: orNone(trenchPipeField()),
    inlet: pipeField("the pipe from the pit to the trench"),
    coverPorosity: withDefault(porosityField("share of voids between stone top and ground"), 0.05,
      "The share of voids in the soil over the trench's stone is not given: 0.05 is taken (common practice, no source)."),
    openFloorShare: withDefault(shareField("share of the floor still open to water: 1 clean, 0 sealed"), 1),
    groundwaterLevel: orNone(levelSeriesField("groundwater level at the trench, where it differs from the site's")),
    cover: coverField(),
    spillsTo: wordField("where water over the ground goes, if it stays on the site", "lowSpot"),
    // The stepper's work grows with the cube of the bodies; a trench in 50 pieces is past any use.
    segments: withDefault(countField("how many lengths in series the trench is reckoned in", 50), 1),
  }));
}

/** One level, or one at either end. */
function groundField(): Field<TrenchGround> {
  const about = "level of the ground over the trench";
  const level = levelField(about);
  const ends = objectField<TrenchGround>(`${about}, where it slopes: straight from one end to the other`, {
    high: levelField("level of the ground at the trench's high end"),
    low: levelField("level of the ground at the trench's low end"),
  });
  return {
    about,
    hole: { high: NaN, low: NaN },
    schema: { anyOf: [level.schema, ends.schema] },
    read: (value, where, findings) => {
      if (typeof value === "object" && value !== null) return ends.read(value, where, findings);
      const ground = level.read(value, where, findings);
      return { high: ground, low: ground };
    },
  };
}

function trenchPipeField(): Field<GivenTrenchPipe> {
  return objectField<GivenTrenchPipe>("the perforated pipe in the trench", {
    insideDiameter: sizeField("inside diameter of the pipe"),
    outsideDiameter: sameAs("insideDiameter", sizeField("outside diameter of the pipe")),
    bedding: withDefault(thicknessField("depth of stone under the pipe"), "0 m"),
    manningN: withDefault(manningField(), 0.01),
    openArea: orNone(quantityField("clear openings of the wall per length, which make the pipe a body of its own", "areaPerLength", "from 1e-5 cm^2/m to 100 m^2/m")),
  });
}
