import { describe } from "../text/describe.ts";
import { featureField } from "./featureField.ts";
import { orNone, withDefault, type Field, type Findings } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { levelField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { lineField, pointField } from "./planFields.ts";
import { regionField } from "./region.ts";
import { ruleField } from "./ruleField.ts";
import { flagField, numberField, proseField } from "../schema/scalarFields.ts";
import type { Surroundings, WorksPlan } from "./surroundings.ts";

/** What stands on and around the lot: a plan in coordinates, plain distances from the pit, or both. */
export function surroundingsField(): Field<Surroundings | null> {
  const written = objectField<Surroundings>("what stands on and around the lot: a plan in coordinates, distances from the pit, or both", {
    about: withDefault(proseField("what a reader should know of this plan"), ""),
    works: orNone(worksField()),
    features: withDefault(listField("the things on and around the lot", featureField()), []),
    groundSlope: orNone(numberField("fall of the ground at the works over its length, a ratio", "from 0 to 10")),
    bedrock: orNone(levelField("level of the top of bedrock")),
    rules: withDefault(listField("setback rules of the file's own", ruleField()), []),
    publishedRules: withDefault(publishedField(), true),
  });
  return orNone<Surroundings>({
    ...written,
    read: (value, where, findings) => {
      const surroundings = written.read(value, where, findings);
      checkPlan(surroundings, where, findings);
      return surroundings;
    },
  });
}

/** True for the site's own country, false for none, or a list of countries. */
function publishedField(): Field<Surroundings["publishedRules"]> {
  const about = "whether the published rules of the site's own country are asked as well, or a list of the countries whose rules are";
  const [flag, list] = [flagField(about), listField(about, regionField("a country whose published rules are asked"), 1)];
  return {
    about,
    hole: true,
    schema: { description: about, anyOf: [flag.schema, list.schema] },
    read: (value, where, findings) => {
      if (Array.isArray(value)) return list.read(value, where, findings);
      if (typeof value === "boolean") return value;
      findings.problems.push({ where, expected: 'true, false or a list of countries such as ["US", "CA"]', got: describe(value) });
      return true;
    },
  };
}

function worksField(): Field<WorksPlan> {
  return objectField<WorksPlan>("where the works lie on the plan", {
    pit: objectField<WorksPlan["pit"]>("the pit", {
      at: pointField("its middle"),
      turnedDegrees: withDefault(
        numberField("direction of its length in degrees, counted from east to north", "from -360 to 360"), 0),
    }),
    boxes: withDefault(listField("the middle of each settling box, in the order of the boxes", pointField("a box's middle")), []),
    trench: orNone(lineField("the middle line of the overflow trench, from its high end on")),
    emitter: orNone(pointField("where the emitter stands; at the end of the trench's line where missing")),
  });
}

/** A place on the plan means nothing without the pit's, and a lot has one boundary. */
function checkPlan({ works, features }: Surroundings, where: string, findings: Findings): void {
  const placed = features.findIndex(({ shape }) => shape !== null);
  if (works === null && placed >= 0) {
    findings.problems.push({ where: `${where}.works`, expected: `the pit's place on the plan, which features[${placed}] is drawn on`, got: "nothing" });
  }
  const outlined = features.flatMap(({ kind, shape }, i) => (kind === "boundary" && shape?.closed === true ? [i] : []));
  for (const i of outlined.slice(1)) {
    findings.problems.push({ where: `${where}.features[${i}]`, expected: "one outlined boundary, the lot's", got: `a second one after features[${outlined[0]!}]` });
  }
}
