import { soilTexture, textureNames, type SoilTexture } from "../ground/soilTexture.ts";
import { usedConductivity, type ConductivityFrom } from "../ground/test/usedConductivity.ts";
import { choiceField } from "../schema/choiceField.ts";
import { gathered, mapped, orNone, withDefault, type Field } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { conductivityField, levelField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { flagField, numberField, quantityField } from "../schema/scalarFields.ts";
import type { Soil, SoilLayer } from "./site.ts";
import { soilTestField, type ReadTest } from "./soilTestField.ts";

/** The soil as it is written: its layers' conductivities in one of three ways. */
interface SoilEntry extends Omit<Soil, "layers"> {
  readonly layers: readonly LayerEntry[];
}

/** The soil around the pit and the trench. */
export function soilField(): Field<Soil> {
  return mapped(objectField<SoilEntry>("the soil around pit and trench", {
    layers: listField("layers of soil from the top down", layerField(), 1),
    floor: withDefault(flagField("whether the floors of pit and trench take in water"), true),
    sides: withDefault(flagField("whether the sides of pit and trench take in water"), true),
    factorOfSafety: withDefault(
      numberField("every conductivity of the soil is divided by it", "from 0.01 to 1000"),
      1,
    ),
    conductivityFrom: withDefault(
      mapped(choiceField<ConductivityFrom>(CONDUCTIVITY_FROM, ["lower", "hole"]), (word) => word ?? "lower"),
      "lower",
    ),
    // 20 degC is the temperature at which conductivities are stated.
    temperature: withDefault(
      quantityField("temperature of the water in the soil", "temperature", "from 0 to 60 degC"),
      "20 degC",
    ),
  }), (soil) => ({ ...soil, layers: soil.layers.map((layer) => layerOf(layer, soil.conductivityFrom)) }));
}

const CONDUCTIVITY_FROM = "which figure of a percolation hole its layer takes: the lower, or the hole's own by gravity alone";

/** A layer as it is written: its conductivity in one of three ways. */
interface LayerEntry {
  readonly top: number | null;
  readonly conductivity: number | null;
  readonly test: ReadTest | null;
  readonly texture: SoilTexture | null;
}

/** The first layer also lies above its top, so that one without a top reaches up without end. */
function layerField(): Field<LayerEntry> {
  return objectField<LayerEntry>("a layer of soil, down to the next one's top", {
    top: orNone(levelField("level of the layer's top; only the first layer may do without")),
    conductivity: orNone(conductivityField("hydraulic conductivity of the layer, at 20 degC")),
    test: orNone(soilTestField()),
    texture: orNone(textureField()),
  }, [{ keys: ["conductivity"] }, { keys: ["test"] }, { keys: ["texture"] }]);
}

function layerOf({ top, conductivity, test, texture }: LayerEntry, from: ConductivityFrom): SoilLayer {
  const level = top ?? Infinity;
  if (test !== null) {
    const used = usedConductivity(test.result, from);
    return { top: level, conductivity: used.conductivity, origin: { kind: "test", ...test, band: used.band } };
  }
  if (texture !== null) return { top: level, conductivity: texture.hydraulicConductivity, origin: { kind: "texture", texture } };
  return { top: level, conductivity: conductivity ?? NaN, origin: null };
}

function textureField(): Field<SoilTexture | null> {
  const about = "texture of the layer, where nothing was measured: the published conductivity of soils of that name";
  return {
    about,
    hole: null,
    schema: { description: about, enum: textureNames() },
    read: (value, where, findings) => gathered(findings, () => soilTexture(value as string, where)),
  };
}
