import { sameAs, withDefault, type Field } from "../schema/field.ts";
import { levelField, lossField, sizeField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { numberField } from "../schema/scalarFields.ts";
import type { GivenPipe } from "./facts.ts";

/** A pipe between two bodies, from the higher body to the next. */
export function pipeField(about: string): Field<GivenPipe> {
  return objectField<GivenPipe>(about, {
    diameter: sizeField("inside diameter of the pipe"),
    invert: levelField("level of the pipe's inside bottom where water enters"),
    outletInvert: sameAs("invert", levelField("level of the pipe's inside bottom where water leaves")),
    length: withDefault(thicknessField("length of the pipe"), "0 m"),
    manningN: withDefault(manningField(), 0.01),
    entranceLoss: withDefault(lossField("entrance loss in velocity heads"), 0.5),
    exitLoss: withDefault(lossField("exit loss in velocity heads"), 1),
    bendLoss: withDefault(lossField("loss of all bends together in velocity heads"), 0),
  });
}

/** Manning's roughness; published values for pipes lie between 0.009 (plastic) and 0.03 (corrugated metal), from memory. */
export function manningField(): Field<number> {
  return numberField("Manning roughness n of the pipe", "from 0.001 to 1");
}
