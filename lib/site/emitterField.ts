import { orNone, withDefault, type Field } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { areaField, levelField, sizeField, thicknessField, timeField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { wordField } from "../schema/scalarFields.ts";
import type { GivenEmitter } from "./facts.ts";

/** The surface emitter at the trench's low end. */
export function emitterField(): Field<GivenEmitter | null> {
  return orNone(objectField<GivenEmitter>("the lid at the trench's low end through which water comes up", {
    crest: levelField("level the water has to rise over"),
    diameter: sizeField("diameter of the opening"),
    opensAtHead: withDefault(sizeField("head over the crest at which the lid opens"), "12 mm",
      "The head that lifts the emitter's lid is not given: 12 mm, half an inch, is taken (common practice, no source)."),
    closesAtHead: withDefault(thicknessField("head over the crest at which the lid falls shut"), "3 mm",
      "The head at which the emitter's lid falls shut is not given: 3 mm, an eighth of an inch, is taken (common practice, no source)."),
    tailwater: orNone(levelField("level of the water outside the lid")),
    weepHole: orNone(objectField<NonNullable<GivenEmitter["weepHole"]>>("a hole through which the emitter drains into the soil", {
      diameter: sizeField("diameter of the hole"),
      elevation: levelField("level of the hole"),
      soakArea: withDefault(areaField("area of soil that the pocket round the hole wets"), "0.1 m^2",
        "The area of soil that the weep hole's pocket wets is not given: 0.1 m², about a square foot, is taken (common practice, no source)."),
    })),
    dischargesTo: wordField("where the emitter's water goes, if it stays on the site", "lowSpot"),
    heldShut: withDefault(listField("when the lid cannot open (ice, roots)", shutField()), []),
  }));
}

function shutField(): Field<GivenEmitter["heldShut"][number]> {
  return objectField("a time the lid is held shut", {
    from: timeField("from, counted from the start of the run"),
    to: timeField("to, counted from the start of the run"),
  });
}
