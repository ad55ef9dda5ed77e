import { choiceField } from "../schema/choiceField.ts";
import { orNone, type Field, type Findings } from "../schema/field.ts";
import { levelField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { lineField, outlineField, pointField } from "./planFields.ts";
import type { PlanPoint, PlanShape } from "../plane/planShape.ts";
import { nameField, numberField } from "../schema/scalarFields.ts";
import { featureKinds, type Feature, type FeatureKind } from "./surroundings.ts";

/** One thing on or around the lot, its place given in one of four ways. */
export function featureField(): Field<Feature> {
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
