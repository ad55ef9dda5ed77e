import type { PlanPoint, PlanShape } from "../plane/planShape.ts";
import { choiceField } from "../schema/choiceField.ts";
import { type Field, type Findings, mapped, orNone, withDefault } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { levelField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { flagField, nameField, numberField, proseField } from "../schema/scalarFields.ts";
import { describe } from "../text/describe.ts";
import { readQuantity } from "../text/quantity.ts";
import { lineField, outlineField, pointField } from "./planFields.ts";
import { regionField } from "./region.ts";
import {
  type Feature, type FeatureKind, featureKinds, type RuleFrom, type RuleStatus, type SetbackRule, type Surroundings, type WorksPlan,
} from "./surroundings.ts";

/** A setback rule of the file's own. */
function ruleField(): Field<SetbackRule> {
  const froms: readonly RuleFrom[] = [...Object.keys(featureKinds) as FeatureKind[], "groundwater", "bedrock"];
  return mapped(objectField<RuleEntry>("a distance that somebody asks for", {
    name: orNone(nameField("the rule in short; what it is kept from where missing")),
    from: choiceField("what the distance is kept from", froms),
    distance: distanceField(),
    says: nameField("who asks for it"),
    source: withDefault(nameField("the document, and its year or the day it was read"), "not given"),
    status: withDefault(choiceField("whether the figure was read there or is remembered", STATUSES), "given with the site"),
    steeperThan: orNone(numberField("for slopes: the least steepness it speaks of, a ratio", "from 0 to 10")),
    only: orNone(nameField("a condition that no plan tells, in words")),
  }), ruleOf);
}

const STATUSES: readonly RuleStatus[] = ["read", "from memory", "given with the site"];

interface RuleEntry {
  readonly name: string | null;
  readonly from: RuleFrom | null;
  readonly distance: string;
  readonly says: string;
  readonly source: string;
  readonly status: RuleStatus | null;
  readonly steeperThan: number | null;
  readonly only: string | null;
}

/** A length of 0 or more that stays as it is written, for a rule is quoted. */
function distanceField(): Field<string> {
  const about = "the distance it asks for";
  return {
    about,
    hole: "",
    schema: { description: `${about}; a length of 0 or more`, allOf: [{ $ref: "#/definitions/length" }] },
    read: (value, where, findings) => {
      const reading = readQuantity(value, "length");
      if ("value" in reading && reading.value >= 0) return (value as string).trim();
      findings.problems.push({
        where, expected: "value" in reading ? "a length of 0 or more" : reading.expected, got: "value" in reading ? JSON.stringify(value) : reading.got,
      });
      return "";
    },
  };
}

function ruleOf({ name, from, distance, says, source, status, steeperThan, only }: RuleEntry): SetbackRule {
  return {
    name: name ?? wordsOf(from), from: from ?? "boundary", distance, says, source, status: status ?? "given with the site",
    ...(steeperThan === null ? {} : { steeperThan }), ...(only === null ? {} : { only }),
  };
}

function wordsOf(from: RuleFrom | null): string {
  if (from === null || from === "groundwater" || from === "bedrock") return `base to ${from ?? ""}`;
  return featureKinds[from];
}

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

/** One thing on or around the lot, its place given in one of four ways. */
function featureField(): Field<Feature> {
  const written = objectField<FeatureEntry>("a thing on or around the lot", {
    kind: choiceField("what it is", Object.keys(featureKinds) as FeatureKind[]),
    name: orNone(nameField("its name")),
    at: orNone(pointField("the point where it stands")),
    line: orNone(lineField("the line along which it runs")),
    outline: orNone(outlineField("the outline of its area")),
    distance: orNone(thicknessField("its distance from the pit's edge, where it is on no plan")),
    gradient: orNone(numberField("steepness of a slope, a ratio", "from 0 to 10")),
    slab: orNone(levelField("level of a building's lowest floor slab")),
  }, [{ keys: ["at"] }, { keys: ["line"] }, { keys: ["outline"] }, { keys: ["distance"] }]);
  return {
    about: written.about,
    schema: written.schema,
    hole: featureOf(written.hole),
    read: (value, where, findings) => {
      const entry = written.read(value, where, findings);
      checkBelonging(entry, where, findings);
      return featureOf(entry);
    },
  };
}

/** A feature as it is written. */
interface FeatureEntry {
  readonly kind: FeatureKind | null;
  readonly name: string | null;
  readonly at: PlanPoint | null;
  readonly line: readonly PlanPoint[] | null;
  readonly outline: readonly PlanPoint[] | null;
  readonly distance: number | null;
  readonly gradient: number | null;
  readonly slab: number | null;
}

/** Some keys mean something for one kind only; on another they are a slip that would go unseen. */
function checkBelonging({ kind, gradient, slab }: FeatureEntry, where: string, findings: Findings): void {
  if (kind === null) return;
  for (const [key, value, owner] of [["gradient", gradient, "slope"], ["slab", slab, "building"]] as const) {
    if (value === null || kind === owner) continue;
    findings.problems.push({ where: `${where}.${key}`, expected: `a feature of kind "${owner}", or the key left out`, got: `one of kind "${kind}"` });
  }
}

/** A kind that could not be read makes no Site; any stands in for it until then. */
function featureOf({ kind, name, at, line, outline, distance, gradient, slab }: FeatureEntry): Feature {
  return { kind: kind ?? "boundary", name, shape: shapeOf(at, line, outline), distance, gradient, slab };
}

function shapeOf(at: PlanPoint | null, line: readonly PlanPoint[] | null, outline: readonly PlanPoint[] | null): PlanShape | null {
  if (at !== null) return { points: [at], closed: false };
  if (line !== null) return { points: line, closed: false };
  return outline === null ? null : { points: outline, closed: true };
}
