import { unit } from "mathjs";
import { expect, test } from "vitest";
import { readSite, SiteError } from "../../lib/site/readSite.ts";
import { changed, fixture, type SiteJson } from "./siteFiles.ts";

// What the site file refuses, all of it in one table: every value of a file of every key in turn is put out of its kind, its sign and its
// size. And the bounds, which are those that the messages name.

/** Every text, number and flag in a file, by its path. */
function leaves(value: unknown, path = ""): [string, string | number | boolean][] {
  if (typeof value === "string" || typeof value === "number" || typeof value === "boolean") return [[path, value]];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => leaves(inner, Array.isArray(value) ? `${path}[${key}]` : `${path}${path === "" ? "" : "."}${key}`));
}

const isPlaced = (path: string): boolean => /^[\w.[\]]+$/.test(path);

function problemsOf(file: SiteJson): readonly { readonly where: string; readonly expected: string; readonly got: string }[] {
  try {
    readSite(file);
    return [];
  } catch (error) {
    if (error instanceof SiteError) return error.problems;
    throw error;
  }
}

/** A value and what is no such value. */
function others(value: string | number | boolean): unknown[] {
  if (typeof value === "boolean") return ["yes"];
  if (typeof value === "number") return [String(value), -1, 0, 0.5, 1e6];
  const quantity = /^(-?[\d.]+(?:e-?\d+)?) (\S.*)$/.exec(value);
  return quantity ? [Number(quantity[1]), `-1e9 ${quantity[2]}`, `0 ${quantity[2]}`, `${1000 * Number(quantity[1])} ${quantity[2]}`, `1e9 ${quantity[2]}`] : [7, ""];
}

test("what a site file refuses is one table", async () => {
  const file = fixture("every-key");
  const table = leaves(file).filter(([path]) => isPlaced(path)).flatMap(([path, value]) => [
    `${path}: ${JSON.stringify(value)}`,
    ...others(value).map((other) => `  ${JSON.stringify(other)}: ${problemsOf(changed(file, path, other)).map(({ where, expected, got }) => (
      `${where === path ? "" : `${where}: `}expected ${expected}, got ${got}`)).join(" | ") || "taken"}`),
  ]);
  await expect(`${table.join("\n")}\n`).toMatchFileSnapshot("__snapshots__/refusals.txt");
});

/** `from 1 mm to 10000 m` in SI, by mathjs. */
function boundsIn(words: string): readonly [number, number] | null {
  const [, from, to] = /\bfrom (-?[\d.e-]+(?: [^\s,]+)?) to (-?[\d.e-]+(?: [^\s,]+)?)/.exec(words) ?? [];
  if (from === undefined || to === undefined) return null;
  const given = / (\S+)$/.exec(to)?.[1] ?? "";
  const si = (text: string): number => {
    const [number, own = given] = text.split(" ");
    return own === "" ? Number(number) : unit(Number(number), MATH_UNITS[own] ?? own).toSI().toNumber();
  };
  return [si(from), si(to)];
}

const MATH_UNITS: Readonly<Record<string, string>> = { ha: "hectare", years: "(365.25 day)", year: "(365.25 day)" };

test("both ends of the bounds that a message names are lawful, and what lies beyond them is not", () => {
  const file = fixture("every-key");
  const checked = new Set<string>();
  for (const [path, value] of leaves(file).filter(([place]) => isPlaced(place))) {
    if (typeof value === "boolean") continue;
    const own = typeof value === "number" ? null : value.split(" ")[1]!;
    const write = (number: number): unknown => (own === null ? number : `${number} ${own}`);
    const problemAt = (number: number) => problemsOf(changed(file, path, write(number))).find(({ where }) => where === path);
    const expectedOf = (number: number): string | undefined => problemAt(number)?.expected;
    const said = expectedOf(1e15);
    const bounds = boundsIn(said ?? "");
    // a load is a mass or a volume, and has the bounds of both
    if (said === undefined || bounds === null || said.startsWith("a mass")) continue;
    checked.add(said);
    const [least, most] = bounds.map((bound) => (own === null ? bound : bound / unit(1, own).toSI().toNumber())) as [number, number];
    const step = said.startsWith("a whole number") ? 1 : 1e-9;
    const beyond = (end: number, side: 1 | -1): number => (end === 0 || step === 1 ? end + side * step : end + side * step * Math.abs(end));
    expect([path, expectedOf(beyond(least, 1)), expectedOf(beyond(most, -1))]).not.toContain(said);
    expect([path, expectedOf(beyond(least, -1)), expectedOf(beyond(most, 1))]).toEqual([path, said, said]);
  }
  expect([...checked].sort()).toMatchInlineSnapshot(`
    [
      "a length from 0 to 10000 m",
      "a length from 1 mm to 10000 m",
      "a number from 0 to 1",
      "a number from 0 to 1000",
      "a number from 0 to 1000000000000",
      "a number from 0.001 to 1",
      "a number from 0.01 to 1000",
      "a number from 0.1 to 20",
      "a number from 1 to 100",
      "a number from 50 to 800",
      "a speed from 0 to 10 m/s",
      "a speed from 1e-14 m/s to 10 m/s",
      "a whole number from 1 to 10000",
      "a whole number from 1 to 1000000",
      "a whole number from 1 to 50",
      "an area from 1 mm^2 to 10000 ha",
      "an area per length from 1e-5 cm^2/m to 100 m^2/m",
    ]
  `);
});
