import { InputError, type Problem } from "../text/problem.ts";
import type { UnitSystem } from "../text/format.ts";

/**
 * One value of the site file, described once: how it is read and checked, and what the JSON Schema says of it. The tree
 * of fields in siteFile.ts is the whole description of the file.
 */
export interface Field<T> {
  /** what it is, for a person who hovers over the key in an editor */
  readonly about: string;
  /** Never throws: what is wrong goes into `findings`, and the hole takes its place. */
  readonly read: (value: unknown, where: string, findings: Findings) => T;
  /**
   * Stands for a value that could not be read, so that the rest is still checked: NaN, "" or an empty list, about which
   * no rule of geometry has anything to say (a comparison with NaN is false). It never reaches a Site.
   */
  readonly hole: T;
  readonly schema: JsonSchema;
  /** what a missing key stands for; a field without it is required */
  readonly absent?: Absent<T>;
}

/** A value and what the site's notes say of it, or that of another key of the same object, which is declared before it. */
export type Absent<T> = { readonly value: T; readonly said?: string } | { readonly sameAs: string };

export type JsonSchema = Readonly<Record<string, unknown>>;

/** What one reading of a file gathers besides the values. */
export interface Findings {
  readonly problems: Problem[];
  /** how many lengths are written in each system */
  readonly lengths: Record<UnitSystem, number>;
  /** what was taken for keys that are missing, where that is worth saying */
  readonly assumptions: string[];
  /** the objects of the whole file in which a key has its place: `chamberBank.stone`; "" for the top */
  readonly placesOf: (key: string) => readonly string[];
}

export function emptyFindings(placesOf: Findings["placesOf"] = () => []): Findings {
  return { problems: [], lengths: { us: 0, si: 0 }, assumptions: [], placesOf };
}

/**
 * A key that may be missing, and stands for `written` then: a value as the file would hold it.
 *
 * @param said  what the site's notes say where that is done
 */
export function withDefault<T>(field: Field<T>, written: string | number | boolean | readonly never[], said?: string): Field<T> {
  const findings = emptyFindings();
  const value = field.read(written, field.about, findings);
  if (findings.problems.length > 0) throw new Error(`the default of "${field.about}" is not lawful: ${String(written)}`);
  return { ...field, absent: { value, ...(said !== undefined && { said }) }, schema: { ...field.schema, default: written } };
}

/** A key that may be missing, for something the site then does not have. */
export function orNone<T>(field: Field<T>): Field<T | null> {
  return { ...field, absent: { value: null } };
}

/** A key that may be missing, and takes the value of the key `sibling` then. */
export function sameAs<T>(sibling: string, field: Field<T>): Field<T> {
  return {
    ...field,
    absent: { sameAs: sibling },
    schema: { ...field.schema, description: `${field.about}; where missing, the same as ${sibling}` },
  };
}

/** A field written in one shape and held in another. `shape` has to take the hole as well. */
export function mapped<A, B>(field: Field<A>, shape: (read: A) => B): Field<B> {
  return {
    about: field.about,
    schema: field.schema,
    hole: shape(field.hole),
    read: (value, where, findings) => shape(field.read(value, where, findings)),
  };
}

/** What `make` gives, or null where it cannot read what it was given, whose problems are then found here. */
export function gathered<T>(findings: Findings, make: () => T): T | null {
  try {
    return make();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    for (const problem of error.problems) findings.problems.push(problem);
    return null;
  }
}

