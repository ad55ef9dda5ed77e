import { copiedValue } from "../schema/copiedObject.ts";
import { type Field, mapped, orNone, withDefault } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { objectField } from "../schema/objectField.ts";
import { nameField, proseField } from "../schema/scalarFields.ts";
import { BUILT_PARTS } from "./diaryField.ts";

/** Another design of the same lot, named: what differs, in the file's own keys. */
export interface Variant {
  readonly name: string;
  /** what a reader should know of it; null where the file does not say */
  readonly about: string | null;
  /** parts of the file in place of its own, as they are written; null takes a part or a key out */
  readonly parts: Readonly<Record<string, unknown>>;
}

/** Designs that are set beside the file's own. */
export function variantsField(): Field<readonly Variant[]> {
  const about = "other designs of the same lot, each with what differs, in the file's own keys; a list stands in place of the whole list, null takes a key out";
  const parts = Object.fromEntries(BUILT_PARTS.map((part) => [part, orNone(asWritten(`what differs of ${part}`))]));
  const variant = objectField<Entry>("a design beside the file's own", {
    name: nameField("what it is called"), about: orNone(proseField("what a reader should know of it")), ...parts,
  });
  return withDefault(listField(about, {
    ...mapped(variant, variantOf),
    read: (value, where, findings) => {
      const before = findings.problems.length;
      const read = variantOf(variant.read(value, where, findings));
      if (Object.keys(read.parts).length === 0 && findings.problems.length === before) {
        findings.problems.push({ where, expected: `something that differs: ${BUILT_PARTS.join(", ")}`, got: "a name alone" });
      }
      return read;
    },
  }), []);
}

type Entry = Readonly<Record<string, unknown>> & { readonly name: string; readonly about: string | null };

/** A part left out is not there; one that is null was written so, and takes the file's out. */
function variantOf({ name, about, ...parts }: Entry): Variant {
  const given = Object.entries(parts).filter(([, value]) => value !== null);
  return { name, about, parts: Object.fromEntries(given.map(([key, value]) => [key, value === OUT ? null : value])) };
}

/** Stands for a part that is written as null, which is not the same as one that is not written. */
const OUT = Object.freeze({ out: true });

function asWritten(about: string): Field<unknown> {
  return {
    about, hole: null, schema: { type: ["object", "array", "null"], description: about },
    read: (value, where, findings) => (value === null ? OUT : copiedValue(value, where, 1, findings)),
  };
}

type Data = Readonly<Record<string, unknown>>;

/**
 * A file with parts of it put over its own: objects key by key, a list in place of the whole list; null takes a key out. A file with
 * them has no variants.
 */
export function fileOfVariant(file: unknown, { name, parts }: Variant): Data {
  const { variants: _, ...own } = isPlain(file) ? file : {};
  return overlaid({ ...own, name: `${typeof own["name"] === "string" ? own["name"] : ""}, ${name}` }, parts);
}

/** @returns  a new object; what is not touched is shared */
export function overlaid(file: Data, parts: Data): Data {
  const out: Record<string, unknown> = { ...file };
  for (const [key, value] of Object.entries(parts)) {
    const before = file[key];
    if (value === null) delete out[key];
    else out[key] = isPlain(value) ? overlaid(isPlain(before) ? before : {}, value) : value;
  }
  return out;
}

function isPlain(value: unknown): value is Data {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
