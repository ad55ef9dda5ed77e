import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readSite, SiteError } from "../../lib/site/readSite.ts";
import { shareOf } from "../share.ts";
import { change, mutate, places } from "./changedFiles.ts";
import { fixture, fixtureNames } from "./siteFiles.ts";

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
