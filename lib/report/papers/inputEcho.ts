import { SURE_DEFAULTS } from "../../study/howSure.ts";
import { CLIMATE_DEFAULTS } from "../../study/oftenCases.ts";

/** One input of a site file as it was written, or as it was taken where the file is silent. */
export interface Echo {
  readonly path: string;
  readonly written: string;
  readonly source: "file" | "assumed";
  /** where the file says that it has it from: the "about" or the "source" of the part it stands in; null where it says nothing */
  readonly from?: string | null;
}

/** Runs and seeds that a study takes where the file is silent; the file holds studies as they are written, without defaults. */
function studyDefaults(value: object, path: string): Echo[] {
  const taken = path === "studies.sure" ? SURE_DEFAULTS : path === "studies.often" && Object.hasOwn(value, "climate") ? CLIMATE_DEFAULTS : {};
  return Object.entries(taken).filter(([key]) => !Object.hasOwn(value, key)).map(([key, each]) => ({ path: `${path}.${key}`, written: String(each), source: "assumed" }));
}

/** Keys that say nothing without another. */
const BESIDE: Readonly<Record<string, readonly string[]>> = { initialAbstractionRatio: ["curveNumber"], peakRateFactor: ["curveNumber"] };

interface Schema {
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly items?: Schema;
  readonly default?: unknown;
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
}

/** Parts that no run of the package reads. */
const LEFT_OUT: ReadonlySet<string> = new Set(["$schema", "about", "papers", "variants", "diary"]);

/**
 * Every input of a site file in its order, and beside the keys of each object those that it leaves to a default.
 *
 * @param schema  of the site file, from which the defaults come
 */
export function inputEcho(file: unknown, schema: object): Echo[] {
  return walk(file, schema as Schema, "").filter(({ path }) => !LEFT_OUT.has(path.split(/[.[]/)[0]!))
    .map((echo) => (echo.source === "file" ? { ...echo, from: saidOf(file, echo.path) } : echo));
}

/** What the innermost part round an input says of where its figures come from; the file's own words on itself speak of no single one. */
function saidOf(file: unknown, path: string): string | null {
  let [part, said]: [unknown, string | null] = [file, null];
  for (const step of path.split(/[.[]/).slice(0, -1)) {
    const key = step.endsWith("]") ? Number(step.slice(0, -1)) - 1 : step;
    part = typeof part === "object" && part !== null ? (part as Readonly<Record<string | number, unknown>>)[key] : undefined;
    if (typeof part !== "object" || part === null) break;
    const { about, source } = part as { readonly about?: unknown; readonly source?: unknown };
    if (typeof source === "string") said = source;
    else if (typeof about === "string") said = about;
  }
  return said;
}

function walk(value: unknown, schema: Schema | undefined, path: string): Echo[] {
  if (Array.isArray(value)) {
    if (value.every((each) => typeof each !== "object" || each === null)) return [{ path, written: value.map(String).join(", "), source: "file" }];
    // points of a plan on one line
    if (value.every((each) => Array.isArray(each) && each.every((part) => typeof part !== "object"))) return [{ path, written: value.map((each) => (each as unknown[]).map(String).join(", ")).join("; "), source: "file" }];
    return value.flatMap((each, i) => walk(each, itemsOf(schema), `${path}[${i + 1}]`));
  }
  if (typeof value === "object" && value !== null) {
    const given = Object.entries(value).flatMap(([key, each]) => walk(each, propertiesOf(schema)?.[key], path === "" ? key : `${path}.${key}`));
    const missing = Object.entries(propertiesOf(schema) ?? {})
      .filter(([key, each]) => !Object.hasOwn(value, key) && isPlain(each.default))
      .filter(([key]) => (BESIDE[key] ?? []).every((other) => Object.hasOwn(value, other)))
      .map(([key, each]): Echo => ({ path: path === "" ? key : `${path}.${key}`, written: String(each.default), source: "assumed" }));
    return [...given, ...missing, ...studyDefaults(value, path)];
  }
  return [{ path, written: String(value), source: "file" }];
}

function isPlain(value: unknown): boolean {
  return (typeof value === "string" && value !== "") || typeof value === "number" || typeof value === "boolean";
}

/** Of a schema of several forms those of an object. */
function propertiesOf(schema: Schema | undefined): Schema["properties"] {
  return schema?.properties ?? [...schema?.anyOf ?? [], ...schema?.oneOf ?? []].find(({ properties }) =>
    properties !== undefined)?.properties;
}

function itemsOf(schema: Schema | undefined): Schema | undefined {
  const own = schema?.items ?? [...schema?.anyOf ?? [], ...schema?.oneOf ?? []].find(({ items }) => items !== undefined)?.items;
  // a list may stand where a single one is described too
  return own ?? schema;
}
