import { choiceField } from "../schema/choiceField.ts";
import { orNone, withDefault, type Field } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { levelField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import type { PlanPoint } from "../plane/planShape.ts";
import { pointField } from "./planFields.ts";
import { nameField } from "../schema/scalarFields.ts";

/** What stands at the head of a site's papers, and what they are set out from. */
export interface Papers {
  /** "" where not given: a blank on paper */
  readonly revision: string;
  readonly prepared: string;
  readonly checked: string;
  /** null: that of the site's region */
  readonly language: PaperLanguage | null;
  /** a level that stands before the work and after it; null: the first level to watch */
  readonly benchmark: { readonly name: string; readonly level: number; readonly at: PlanPoint | null } | null;
  /** two points of the plan that pegs are taped from; null: two corners of a building */
  readonly fixedPoints: readonly { readonly name: string; readonly at: PlanPoint }[] | null;
}

export type PaperLanguage = "en-US" | "en-GB" | "de" | "es";

export function papersField(): Field<Papers | null> {
  const points = listField("two points of the plan to tape the pegs from", objectField<NonNullable<Papers["fixedPoints"]>[number]>("a fixed point", {
    name: nameField("what it is, as a person finds it"), at: pointField("its place on the plan"),
  }), 1);
  return orNone(objectField<Papers>("what stands on the papers of this site", {
    revision: withDefault(named("the revision of the papers, such as B"), ""),
    prepared: withDefault(named("who prepared them"), ""),
    checked: withDefault(named("who checked them"), ""),
    language: orNone(choiceField("the language of the papers for crew, owner, inspector and quote; where missing that of the region", ["en-US", "en-GB", "de", "es"] as const)),
    benchmark: orNone(objectField<NonNullable<Papers["benchmark"]>>("a level that stands before the work and after it", {
      name: nameField("where it is"), level: levelField("its level"), at: orNone(pointField("its place on the plan")),
    })),
    fixedPoints: orNone({
      ...points,
      schema: { ...points.schema, minItems: 2 },
      read: (value, where, findings) => {
        const read = points.read(value, where, findings);
        if (Array.isArray(value) && value.length > 0 && value.length !== 2) findings.problems.push({ where, expected: "two fixed points", got: `${value.length} of them` });
        const [a, b] = read;
        if (a !== undefined && b !== undefined && Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]) < 1) {
          findings.problems.push({ where, expected: "two fixed points a metre apart or more", got: "two at one place" });
        }
        return read;
      },
    }),
  }));
}

/** A name that may be left out. */
function named(about: string): Field<string> {
  const field = nameField(about);
  return { ...field, read: (value, where, findings) => (value === "" ? "" : field.read(value, where, findings)) };
}
