import { readQuantity } from "../text/quantity.ts";
import { choiceField } from "../schema/choiceField.ts";
import { mapped, orNone, withDefault, type Field } from "../schema/field.ts";
import { objectField } from "../schema/objectField.ts";
import { nameField, numberField } from "../schema/scalarFields.ts";
import type { RuleFrom, RuleStatus, SetbackRule } from "../plan/setbackRules.ts";
import { featureKinds, type FeatureKind } from "./surroundings.ts";

/** A setback rule of the file's own. */
export function ruleField(): Field<SetbackRule> {
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
