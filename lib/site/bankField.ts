import { coverField } from "./coverField.ts";
import { mapped, orNone, sameAs, withDefault, type Field } from "../schema/field.ts";
import { levelSeriesField } from "./levelSeriesField.ts";
import { listField } from "../schema/listField.ts";
import { levelField, porosityField, shareField, sizeField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { countField, wordField } from "../schema/scalarFields.ts";
import type { GivenBank } from "./facts.ts";
import type { Chamber } from "./site.ts";

/** The pit with its stone and chambers. */
export function bankField(): Field<GivenBank> {
  return objectField<GivenBank>("the pit: chambers in stone, all at one level", {
    floor: levelField("level of the pit's floor, under the stone"),
    length: sizeField("length of the pit"),
    width: sizeField("width of the pit"),
    ground: levelField("level of the ground over the pit"),
    stone: objectField<GivenBank["stone"]>("the stone of the pit", {
      depth: sizeField("depth of the stone from the pit's floor to its top"),
      porosity: withDefault(porosityField("share of voids in the stone"), 0.4, "The porosity of the pit's stone is not given: 0.4 is taken (common practice)."),
      base: withDefault(thicknessField("depth of stone under the chambers"), "0 m"),
    }),
    chambers: withDefault(listField("upright perforated chambers standing in the stone", chamberField()), []),
    coverPorosity: withDefault(porosityField("share of voids between stone top and ground"), 0.05,
      "The share of voids in the soil over the pit's stone is not given: 0.05 is taken (common practice, no source)."),
    openFloorShare: withDefault(shareField("share of the floor still open to water: 1 clean, 0 sealed"), 1),
    groundwaterLevel: orNone(levelSeriesField("groundwater level at the pit, where it differs from the site's")),
    cover: coverField(),
    spillsTo: wordField("where water over the ground goes, if it stays on the site", "lowSpot"),
  });
}

function chamberField(): Field<Chamber> {
  return objectField<Chamber>("upright chambers of one size", {
    count: withDefault(countField("how many of this size", 10_000), 1),
    insideDiameter: sizeField("inside diameter of a chamber"),
    outsideDiameter: sameAs("insideDiameter", sizeField("outside diameter of a chamber")),
    height: sizeField("height of a chamber"),
    wallOpenings: orNone(openingsField()),
    gap: orNone(thicknessField("clear gap to the next chamber")),
  });
}

/** Openings as they are written, one way or the other. */
interface OpeningsEntry {
  readonly share: number | null;
  readonly count: number | null;
  readonly diameter: number | null;
}

function openingsField(): Field<Chamber["wallOpenings"]> {
  const entry = objectField<OpeningsEntry>("the holes in a chamber's wall", {
    share: orNone(shareField("clear share of the wall")),
    count: orNone(countField("number of holes in one chamber", 1_000_000)),
    diameter: orNone(sizeField("diameter of a hole")),
  }, [{ keys: ["share"] }, { keys: ["count", "diameter"] }]);
  return mapped(entry, ({ share, count, diameter }) =>
    share === null ? { count: count ?? NaN, diameter: diameter ?? NaN } : { share });
}
