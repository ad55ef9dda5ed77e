import { describe } from "../text/describe.ts";
import { nearest } from "../text/nearest.ts";
import { pathTo } from "../text/pathTo.ts";
import type { Field, Findings, JsonSchema } from "./field.ts";
import { keptReading } from "./lastingData.ts";

/** One of several ways to say a thing: keys that belong together, and keys that may stand beside them. */
export interface Alternative {
  readonly keys: readonly string[];
  readonly beside?: readonly string[];
}

/** The fields of an object by key, in the order they are read: a key that takes its value from another comes after it. */
export type FieldsOf<T> = { readonly [K in keyof T]-?: Field<T[K]> };

/**
 * An object with these keys and no others. With `alternatives`, exactly one of them has to be there, whole; its keys are
 * then fields that may be missing (`orNone`) or have a default.
 */
export function objectField<T extends object>(
  about: string,
  fields: FieldsOf<T>,
  alternatives: readonly Alternative[] = [],
): Field<T> {
  const entries = Object.entries<Field<unknown>>(fields);
  const keys = entries.map(([key]) => key);
  const hole = Object.fromEntries(entries.map(([key, field]) => [key, field.hole])) as T;
  const reading = keptReading<T>();
  const readObject = (value: Given, where: string, findings: Findings): T => {
    checkKeys(value, keys, where, findings);
    checkAlternatives(value, alternatives, where, findings);
    const read: Record<string, unknown> = {};
    for (const [key, field] of entries) {
      const path = pathTo(where, key);
      read[key] = has(value, key) ? field.read(value[key], path, findings) : absentValue(field, read, path, findings);
    }
    return read as T;
  };
  return {
    about,
    hole,
    schema: objectSchema(about, entries, alternatives),
    read: (value, where, findings) => {
      if (isObject(value)) return reading(value, where, findings, (found) => readObject(value, where, found));
      findings.problems.push({ where: where || "the site", expected: "an object { … }", got: describe(value) });
      return hole;
    },
  };
}

type Given = Readonly<Record<string, unknown>>;

function isObject(value: unknown): value is Given {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** A key set to undefined is a key left out, as it is once written as JSON. */
function has(value: Given, key: string): boolean {
  return Object.hasOwn(value, key) && value[key] !== undefined;
}

function absentValue(field: Field<unknown>, siblings: Given, where: string, findings: Findings): unknown {
  // What is wrong with nothing at all are the very words for a missing key.
  if (field.absent === undefined) return field.read(undefined, where, findings);
  if ("sameAs" in field.absent) return siblings[field.absent.sameAs];
  if (field.absent.said !== undefined) findings.assumptions.push(field.absent.said);
  return field.absent.value;
}

/**
 * Refuses keys that a schema does not know, in objects within objects and lists too, as far as it gives one way alone to write
 * them. What the keys hold is for the reader of those options, who knows what they mean together.
 */
export function checkKeysOf(schema: JsonSchema, value: unknown, where: string, findings: Findings): void {
  const { properties, items } = schema as { readonly properties?: Readonly<Record<string, JsonSchema>>; readonly items?: JsonSchema };
  if (Array.isArray(value)) {
    if (items !== undefined) value.forEach((each, i) => { checkKeysOf(items, each, `${where}[${i}]`, findings); });
  } else if (isObject(value) && properties !== undefined) {
    checkKeys(value, Object.keys(properties), where, findings);
    for (const [key, inner] of Object.entries(properties)) {
      if (has(value, key)) checkKeysOf(inner, value[key], pathTo(where, key), findings);
    }
  }
}

function checkKeys(value: Given, known: readonly string[], where: string, findings: Findings): void {
  for (const key of Object.keys(value)) {
    if (known.includes(key)) continue;
    findings.problems.push({ where: pathTo(where, key), expected: keyMeant(key, known, findings.placesOf(key)), got: "an unknown key", code: "unknown" });
  }
}

function keyMeant(key: string, known: readonly string[], places: readonly string[]): string {
  const meant = nearest(key, known);
  if (meant !== null) return `a known key (did you mean "${meant}"?)`;
  if (places.length === 0 || places.length > MOST_PLACES) return `one of the keys ${known.join(", ")}`;
  const [top, inside] = [places.includes(""), places.filter((place) => place !== "")];
  const belongs = [...(top ? ["at the top of the file"] : []), ...(inside.length > 0 ? [`in ${inside.join(" or ")}`] : [])].join(" or ");
  return `a key that is known here (${key} belongs ${belongs})`;
}

/** A key that has its place in more objects than these, as a name or a length has, says nothing of what was meant. */
const MOST_PLACES = 4;

function checkAlternatives(value: Given, alternatives: readonly Alternative[], where: string, findings: Findings): void {
  if (alternatives.length === 0) return;
  const begun = alternatives.filter(({ keys, beside = [] }) => [...keys, ...beside].some((key) => has(value, key)));
  if (begun.length !== 1) {
    const given = begun.flatMap(({ keys, beside = [] }) => [...keys, ...beside].filter((key) => has(value, key)));
    const got = given.length === 0 ? "none of them" : given.join(" and ");
    findings.problems.push({ where, expected: `exactly one of: ${alternatives.map(({ keys }) => keys.join(" and ")).join("; ")}`, got, code: given.length === 0 ? "missing" : "conflict" });
    return;
  }
  for (const key of begun[0]!.keys) {
    if (has(value, key)) continue;
    const others = Object.keys(value).filter((other) => [...begun[0]!.keys, ...begun[0]!.beside ?? []].includes(other));
    findings.problems.push({ where: pathTo(where, key), expected: `a value, as ${others.join(" and ")} needs it`, got: "nothing" });
  }
}

function objectSchema(
  about: string,
  entries: readonly (readonly [string, Field<unknown>])[],
  alternatives: readonly Alternative[],
): JsonSchema {
  const required = entries.filter(([, field]) => field.absent === undefined).map(([key]) => key);
  return {
    description: about,
    type: "object",
    properties: Object.fromEntries(entries.map(([key, field]) => [key, field.schema])),
    ...(required.length > 0 && { required }),
    additionalProperties: false,
    ...(alternatives.length > 0 && { oneOf: alternatives.map((one) => alternativeSchema(one, alternatives)) }),
  };
}

/** All keys of this one, and no key of another. */
function alternativeSchema(one: Alternative, all: readonly Alternative[]): JsonSchema {
  const others = all.filter((other) => other !== one).flatMap(({ keys, beside = [] }) => [...keys, ...beside]);
  return { required: one.keys, not: { anyOf: others.map((key) => ({ required: [key] })) } };
}
