import { readSite } from "../site/readSite.ts";
import { siteSchema } from "../site/siteSchema.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { sizeProblems, type Sizes } from "./resized.ts";
import { setOut } from "./sizeCases.ts";
import type { LotValue } from "./lotTable.ts";

/**
 * What a column may stand for beside the keys of the site file:
 *
 * | word | what |
 * | --- | --- |
 * | `roofArea` | area of all catchments together; each keeps its share of it |
 * | `soil` | conductivity of every layer of the soil |
 * | `waterTable`, `depthToWater` | groundwater level; its depth below the ground over the pit |
 * | `chambers`, `pitWidth`, `stoneBase`, `trenchLength` | sizes as in a study of them: more chambers stand in a longer pit |
 */
export const LOT_WORDS = ["roofArea", "soil", "waterTable", "depthToWater", "chambers", "pitWidth", "stoneBase", "trenchLength"] as const;

const SIZES = ["chambers", "pitWidth", "stoneBase", "trenchLength"] as const;

/** The site that every lot of a table varies. */
export interface LotPattern {
  /** its file without what belongs to one lot alone: studies, surroundings, storms */
  readonly file: Readonly<Record<string, unknown>>;
  readonly name: string;
  readonly site: Site;
  /** whether it has room for a value at a key of the site file: its parent stands there, and the key is known */
  knows(key: string): boolean;
}

/** Parts of a file that say something of its own lot, of no other. */
const OF_ONE_LOT: ReadonlySet<string> = new Set([
  "$schema",
  "name",
  "about",
  "region",
  "storms",
  "studies",
  "surroundings",
  "materials",
  "upkeep",
  "variants",
  "asBuilt",
  "diary",
  "prices",
]);

/**
 * The pattern of a table of lots.
 *
 * @param source  a site file, as JSON.parse made it
 * @throws InputError  as `readSite`
 */
export function lotPattern(source: unknown): LotPattern {
  const { name } = readSite(source);
  const file = Object.fromEntries(Object.entries(source as Readonly<Record<string, unknown>>).filter(([key]) => !OF_ONE_LOT.has(key)));
  const schema = siteSchema() as SchemaPart;
  return {
    file,
    name,
    site: readSite({ ...file, name: "pattern" }),
    knows: (key) => stepsOf(key) !== null && knownPlace(file, schema, stepsOf(key)!),
  };
}

/**
 * The works of one lot: the pattern with the lot's own values in their places, read and checked like any site file.
 *
 * @param keys    of the table
 * @param values  of the lot, one a key
 * @throws InputError  with every problem, `where` the key of the site file, or the word
 */
export function lotSite(
  pattern: Pick<LotPattern, "file" | "site">,
  keys: readonly string[],
  values: readonly LotValue[],
  name: string,
): Site {
  const { file, problems, sizes } = changesOf(pattern, keys, values);
  if (problems.length > 0) throw new InputError("The lot cannot be run:", problems);
  const site = readSite({ ...file, name });
  const wrong = sizeProblems(site, sizes);
  if (wrong.length > 0) throw new InputError("The lot cannot be run:", wrong);
  return Object.keys(sizes).length === 0 ? site : setOut(site, sizes);
}

/**
 * The site file of one lot, whole: what `readSite` reads as the works of `lotSite`, with the storms of the pattern that do not stand in
 * files of their own.
 *
 * @param source  the pattern's file as it is
 */
export function lotFile(
  source: Readonly<Record<string, unknown>>,
  pattern: LotPattern,
  keys: readonly string[],
  values: readonly LotValue[],
  name: string,
): Readonly<Record<string, unknown>> {
  const { file, sizes } = changesOf(pattern, keys, values);
  const { chamberBank: bank, overflowTrench: trench } = lotSite(pattern, keys, values, name);
  const storms = ((source["storms"] as readonly Readonly<Record<string, unknown>>[] | undefined) ?? []).filter(
    (storm) => !("file" in storm),
  );
  const written = structuredClone(file) as Record<string, Record<string, unknown>>;
  if (sizes.chambers !== undefined || sizes.pitWidth !== undefined || sizes.stoneBase !== undefined) {
    const chambers = written["chamberBank"]!["chambers"] as readonly Readonly<Record<string, unknown>>[] | undefined;
    Object.assign(written["chamberBank"]!, {
      floor: `${bank.floor} m`,
      length: `${bank.length} m`,
      width: `${bank.width} m`,
      stone: { ...(written["chamberBank"]!["stone"] as object), depth: `${bank.stone.depth} m`, base: `${bank.stone.base} m` },
      ...(chambers === undefined ? {} : { chambers: bank.chambers.map(({ count }, i) => ({ ...chambers[i]!, count })) }),
    });
  }
  if (sizes.trenchLength !== undefined) written["overflowTrench"]!["length"] = `${trench!.length} m`;
  return { name, about: `One lot of a table, each the works of "${pattern.name}" with its own values.`, ...written, storms };
}

/**
 * The file of one lot, which its values have changed.
 *
 * @returns  the file without sizes, the sizes, what is wrong with values that no site file holds, and which places come from which key
 */
export function changesOf(
  { file: pattern, site }: Pick<LotPattern, "file" | "site">,
  keys: readonly string[],
  values: readonly LotValue[],
): {
  readonly file: Readonly<Record<string, unknown>>;
  readonly sizes: Sizes;
  readonly problems: readonly Problem[];
  readonly from: readonly { readonly path: string; readonly key: string }[];
} {
  const file = structuredClone(pattern) as Record<string, unknown>;
  const sizes: Record<string, number> = {};
  const problems: Problem[] = [];
  const from: { path: string; key: string }[] = [];
  const put = (key: string, path: string, value: LotValue): void => {
    for (const each of setAll(file, stepsOf(path)!, value)) from.push({ path: each, key });
  };
  keys.forEach((key, i) => {
    const value = values[i] ?? null;
    if (value === null) return;
    if (isSize(key)) {
      const size = sizeOf(key, value, problems);
      if (size !== null) sizes[key] = size;
    } else if (key === "roofArea") putRoof(value);
    else if (key === "soil") put(key, "soil.layers[*].conductivity", value);
    else if (key === "waterTable") put(key, "groundwater.level", value);
    else if (key !== "depthToWater") put(key, key, value);
  });
  const depth = values[keys.indexOf("depthToWater")] ?? null;
  if (depth !== null) putDepth(depth);
  return { file, sizes, problems, from };

  function putRoof(value: LotValue): void {
    const reading = readQuantity(value, "area");
    if (!("value" in reading)) {
      problems.push({ where: "roofArea", ...reading });
      return;
    }
    const now = site.catchments.reduce((sum, { area }) => sum + area, 0);
    site.catchments.forEach(({ area }, i) => {
      put("roofArea", `catchments[${i}].area`, `${(reading.value * area) / now} m^2`);
    });
  }

  function putDepth(value: LotValue): void {
    if (keys.includes("waterTable")) {
      problems.push({ where: "depthToWater", expected: "one of depthToWater and waterTable", got: "both", code: "conflict" });
      return;
    }
    const [reading, ground] = [
      readQuantity(value, "length"),
      readQuantity((file["chamberBank"] as { readonly ground?: unknown }).ground, "length"),
    ];
    if (!("value" in reading)) problems.push({ where: "depthToWater", ...reading });
    else if ("value" in ground) put("depthToWater", "groundwater.level", `${ground.value - reading.value} m`);
  }
}

function isSize(key: string): key is (typeof SIZES)[number] {
  return (SIZES as readonly string[]).includes(key);
}

function sizeOf(key: (typeof SIZES)[number], value: LotValue, problems: Problem[]): number | null {
  if (key === "chambers") {
    const count = Number(value);
    if (Number.isInteger(count) && count >= 1 && count <= 10_000) return count;
    problems.push({ where: key, expected: "a whole number from 1 to 10000", got: describe(value) });
    return null;
  }
  const reading = readQuantity(value, "length");
  if ("value" in reading) return reading.value;
  problems.push({ where: key, ...reading });
  return null;
}

/** A step of a path: a key, an index, or "*" for every item of a list. */
type Step = string | number;

/** `soil.layers[*].top` as its steps; null for what is no path. */
function stepsOf(path: string): Step[] | null {
  const steps: Step[] = [];
  const step = /(?:^|\.)([A-Za-z]\w*)|\[(\d{1,4}|\*)\]/y;
  while (step.lastIndex < path.length) {
    const found = step.exec(path);
    if (found === null) return null;
    steps.push(found[1] ?? (found[2] === "*" ? "*" : Number(found[2])));
  }
  return steps.length === 0 ? null : steps;
}

/** Puts a value at a place, at all its places where the path has a "*". Returns the places. */
function setAll(root: Record<string, unknown>, steps: readonly Step[], value: LotValue): string[] {
  let parents: { readonly at: Record<Step, unknown>; readonly path: string }[] = [{ at: root, path: "" }];
  for (const step of steps.slice(0, -1)) {
    parents = parents.flatMap(({ at, path }) =>
      placesIn(at, step, path).map(([key, place]) => {
        at[key] ??= {};
        return { at: at[key] as Record<Step, unknown>, path: place };
      }),
    );
  }
  const last = steps.at(-1)!;
  return parents.flatMap(({ at, path }) =>
    placesIn(at, last, path).map(([key, place]) => {
      at[key] = value;
      return place;
    }),
  );
}

function placesIn(at: Record<Step, unknown>, step: Step, path: string): (readonly [Step, string])[] {
  if (step === "*") return Array.isArray(at) ? at.map((_, i) => [i, `${path}[${i}]`] as const) : [];
  return [[step, typeof step === "number" ? `${path}[${step}]` : path === "" ? step : `${path}.${step}`]];
}

interface SchemaPart {
  readonly properties?: Readonly<Record<string, SchemaPart>>;
  readonly items?: SchemaPart;
  readonly anyOf?: readonly SchemaPart[];
  readonly oneOf?: readonly SchemaPart[];
  readonly allOf?: readonly SchemaPart[];
}

/** Whether the schema has a place for the path and the pattern has what it lies in. */
function knownPlace(at: unknown, part: SchemaPart, [step, ...rest]: readonly Step[]): boolean {
  const kinds = kindsOf(part);
  if (step === "*" || typeof step === "number") {
    if (!Array.isArray(at) || at.length === 0 || (typeof step === "number" && step >= at.length)) return false;
    return kinds.some(({ items }) => items !== undefined && (rest.length === 0 || knownPlace(at[step === "*" ? 0 : step], items, rest)));
  }
  const inside = typeof at === "object" && at !== null ? (at as Readonly<Record<string, unknown>>)[step!] : undefined;
  return kinds.some(({ properties }) => {
    const next = properties?.[step!];
    if (next === undefined) return false;
    // groundwater may be missing in the pattern and come with the lot
    return rest.length === 0 || ((inside !== undefined || step === "groundwater") && knownPlace(inside ?? {}, next, rest));
  });
}

/** A part of a schema, and what it may be in its stead. */
function kindsOf(part: SchemaPart): SchemaPart[] {
  return [part, ...[...(part.anyOf ?? []), ...(part.oneOf ?? []), ...(part.allOf ?? [])].flatMap(kindsOf)];
}
