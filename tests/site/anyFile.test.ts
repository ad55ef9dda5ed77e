import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readSite, SiteError } from "../../lib/site/readSite.ts";
import { shareOf } from "../share.ts";
import { fixture, fixtureNames, type SiteJson } from "./siteFiles.ts";

/** Reads any source: a Site without a NaN in it, or a SiteError whose every problem has words. Anything else fails. */
function expectSiteOrSiteError(source: unknown): void {
  try {
    const site = readSite(source);
    expect(nanIn(site)).toEqual([]);
  } catch (error) {
    if (!(error instanceof SiteError)) throw error;
    expect(error.problems.length).toBeGreaterThan(0);
    for (const { where, expected, got } of error.problems) expect([where, expected, got].every((words) => words.trim() !== "")).toBe(true);
    expect(error.message).not.toMatch(/NaN m|NaN ft|NaN in|undefined|\[object/);
  }
}

function nanIn(value: unknown, path = "site"): string[] {
  if (typeof value === "number") return Number.isNaN(value) ? [path] : [];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => nanIn(inner, `${path}.${key}`));
}

/** Values that stand in place of a lawful one: of every kind, among them such as another key would take. */
const foreign = fc.oneof(
  fc.jsonValue({ maxDepth: 2 }),
  fc.constantFrom<unknown>(
    null, true, false, 0, -1, 1, 2, 0.5, 1e308, -1e-308, "", " ", "0 m", "-1 m", "1e-9 m", "9 km", "1 ft", "95 ft", "48 m", "100000 m",
    "1 h", "0 s", "5 in/hr", "0 mm/h", "20 degC", "30 m^2", "lowSpot", "chamberBank", "settlingBox", "__proto__", "constructor", [], {}, [[]], [{}],
  ),
  fc.tuple(fc.double({ min: -200, max: 200, noNaN: true }), fc.constantFrom("m", "ft", "in", "mm", "h", "mm/h", "m^2")).map((parts) => parts.join(" ")),
);

interface Change {
  readonly kind: "replace" | "remove" | "rename" | "add" | "swap";
  readonly at: number;
  readonly other: number;
  readonly value: unknown;
  readonly key: string;
}

const change: fc.Arbitrary<Change> = fc.record({
  kind: fc.constantFrom("replace", "remove", "rename", "add", "swap"),
  at: fc.nat(),
  other: fc.nat(),
  value: foreign,
  key: fc.oneof(fc.constantFrom("__proto__", "constructor", "toString", "length", "name", "floor", "grate", "mounding", "0"), fc.string()),
});

/** Every object and list in a file with each of its keys. */
function places(value: unknown): { readonly parent: Record<string, unknown>; readonly key: string }[] {
  if (typeof value !== "object" || value === null) return [];
  const parent = value as Record<string, unknown>;
  return Object.keys(parent).flatMap((key) => [{ parent, key }, ...places(parent[key])]);
}

function mutate(file: SiteJson, { kind, at, other, value, key: newKey }: Change): void {
  const all = places(file);
  if (all.length === 0) return;
  const { parent, key } = all[at % all.length]!;
  const old = parent[key];
  const set = (name: string, put: unknown): void => {
    // Define, not assign: as JSON.parse does, so that __proto__ becomes a key like others.
    Object.defineProperty(parent, name, { value: structuredClone(put), enumerable: true, configurable: true, writable: true });
  };
  if (kind === "replace") set(key, value);
  else if (kind === "remove") delete parent[key];
  else if (kind === "add") set(Array.isArray(parent) ? String(parent.length) : newKey, value);
  else if (kind === "swap") {
    const from = all[other % all.length]!;
    set(key, from.parent[from.key]);
  } else if (!Array.isArray(parent)) {
    delete parent[key];
    set(newKey, old);
  }
}

describe("whatever stands in a file, readSite gives a Site or a SiteError", () => {
  test("for a lawful file with one to six random changes", () => {
    const files = fixtureNames.map(fixture);
    fc.assert(fc.property(fc.nat(), fc.array(change, { minLength: 1, maxLength: 6 }), (which, changes) => {
      const file = structuredClone(files[which % files.length]!);
      for (const one of changes) mutate(file, one);
      expectSiteOrSiteError(file);
    }), { numRuns: shareOf(10_000) });
  });

  test("for a lawful file with one quantity changed, where most of what comes out is a Site", () => {
    const files = fixtureNames.map(fixture);
    let sites = 0;
    fc.assert(fc.property(fc.nat(), fc.nat(), fc.double({ min: 0.97, max: 1.03, noNaN: true }), (which, at, factor) => {
      const file = structuredClone(files[which % files.length]!);
      const quantities = places(file).filter(({ parent, key }) => /^[\d.]+ \S+$/.test(String(parent[key])));
      const { parent, key } = quantities[at % quantities.length]!;
      parent[key] = String(parent[key]).replace(/^[\d.]+/, (number) => String(Number(number) * factor));
      expectSiteOrSiteError(file);
      try {
        readSite(file);
        sites += 1;
      } catch { /* counted by not being counted */ }
    }), { numRuns: shareOf(4000) });
    // Else the generator would no longer reach what it is for.
    expect(sites).toBeGreaterThan(shareOf(1600));
  });

  test("for any JSON value, and any value at all", () => {
    fc.assert(fc.property(fc.oneof(fc.jsonValue(), fc.anything()), expectSiteOrSiteError), { numRuns: shareOf(10_000) });
  });

  test("for any text, and the text of a file cut off or with a piece put in", () => {
    const text = JSON.stringify(fixture("every-key"), null, 2);
    const broken = fc.tuple(fc.nat(text.length), fc.nat(30), fc.string({ maxLength: 4 })).map(([at, gap, piece]) =>
      text.slice(0, at) + piece + text.slice(at + gap));
    const cut = fc.nat(text.length - 2).map((at) => text.slice(0, at));
    fc.assert(fc.property(fc.oneof(fc.string(), broken, cut), expectSiteOrSiteError), { numRuns: shareOf(5000) });
  });

  test("for brackets within brackets without end", () => {
    const deep: unknown = JSON.parse(`${"[".repeat(5000)}${"]".repeat(5000)}`);
    const text = JSON.stringify(fixture("every-key"));
    const nested = `${'{"a":'.repeat(50_000)}1${"}".repeat(50_000)}`;
    for (const key of ["name", "catchments", "settlingBox", "soil", "storms", "groundwater"]) {
      expectSiteOrSiteError({ ...fixture("every-key"), [key]: deep });
    }
    expectSiteOrSiteError(text.replace('"34 mm"', nested));
    expectSiteOrSiteError(nested);
  });
});
