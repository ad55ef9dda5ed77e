import { mapped, orNone, withDefault, type Field } from "./field.ts";
import { listField } from "./listField.ts";
import { conductivityField, levelField } from "./measureFields.ts";
import { objectField } from "./objectField.ts";
import { flagField, numberField, quantityField } from "./scalarFields.ts";
import type { Soil } from "./site.ts";

/** The soil around the pit and the trench. */
export function soilField(): Field<Soil> {
  return objectField<Soil>("the soil around pit and trench", {
    layers: listField("layers of soil from the top down", layerField(), 1),
    floor: withDefault(flagField("whether the floors of pit and trench take in water"), true),
    sides: withDefault(flagField("whether the sides of pit and trench take in water"), true),
    factorOfSafety: withDefault(
      numberField("every conductivity of the soil is divided by it", { least: 0.01, most: 1000, words: "from 0.01 to 1000" }),
      1,
    ),
    // 20 degC is the temperature at which conductivities are stated.
    temperature: withDefault(
      quantityField("temperature of the water in the soil", "temperature", { least: 0, most: 60, words: "from 0 to 60 degC" }),
      "20 degC",
    ),
  });
}

/** The first layer also lies above its top, so that one without a top reaches up without end. */
function layerField(): Field<Soil["layers"][number]> {
  return mapped(objectField<{ readonly top: number | null; readonly conductivity: number }>("a layer of soil, down to the next one's top", {
    top: orNone(levelField("level of the layer's top; only the first layer may do without")),
    conductivity: conductivityField("hydraulic conductivity of the layer, at 20 degC"),
  }), ({ top, conductivity }) => ({ top: top ?? Infinity, conductivity }));
}
