import { mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeEach, describe, expect, test, vi } from "vitest";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

// Threads load a built file, so the built command is what is tested.
const { command } = await import("../../dist/command/command.js");

const source = JSON.parse(readFileSync(fileURLToPath(new URL("../../data/copperbeech-lane.json", import.meta.url)), "utf8")) as Record<string, unknown>;
const storms = [{ name: "cloudburst", pattern: "block", depth: "1.8 in", duration: "1 h" }];
const often = { climate: { stormsPerYear: 40, meanDepth: "0.7 in", meanDuration: "5 h" }, years: 1 };

let folder = "";
let out = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "soakstep-lots-"));
  out = join(folder, "out");
  mkdirSync(out);
});

function lots(text: string, studies: unknown = { often }): string[] {
  const [table, pattern] = [join(folder, "street.csv"), join(folder, "pattern.json")];
  writeFileSync(table, text);
  writeFileSync(pattern, JSON.stringify({ ...source, surroundings: undefined, storms, studies }));
  return ["lots", table, "--site", pattern, "--soils", "3"];
}

async function run(words: readonly string[], into = out): Promise<{ status: number; out: string; err: string }> {
  let [said, err] = ["", ""];
  const status = await command(words, into, {
    out: (text: string) => {
      said += text;
    },
    err: (text: string) => {
      err += text;
    },
  });
  return { status, out: said, err };
}

/** A table's cells by the names of its columns. */
function rowsOf(path: string): Readonly<Record<string, string>>[] {
  const [heads, ...lines] = readFileSync(path, "utf8").trimEnd().split("\n").map((line) => line.split(","));
  return lines.map((cells) => Object.fromEntries(heads!.map((head, i) => [head, cells[i]!])));
}

const STREET = "lot,roofArea,soil,runsTo\nA,2500 sq ft,0.2 in/hr,east\nB,3500 sq ft,0.1 in/hr,east\nC,1200 sq ft,2 in/hr,west\n";

describe("a table of lots from the command line", () => {
  test("is answered by sentences, files that are all named, and a page without anything from outside", async () => {
    const { status, out: said, err } = await run(lots(STREET));
    expect([status, err]).toEqual([0, ""]);
    const named = ["street-lots.csv", "street-streets.csv", "street-lots.parquet", "street-rows.parquet", "street-lots.html"];
    expect(said.trimEnd().split("\n").slice(-5)).toEqual(named.map((name) => join(out, name)));
    const all = readdirSync(out);
    for (const name of named) expect(all).toContain(name);
    const streets = rowsOf(join(out, "street-streets.csv"));
    expect(streets.map(({ runsTo, lots: count }) => [runsTo, count])).toEqual([["east", "2"], ["west", "1"]]);
    const results = rowsOf(join(out, "street-lots.csv"));
    const lidOf = (names: readonly string[]): number => results.filter(({ lot }) => names.includes(lot!)).reduce((sum, row) => sum + Number(row["emitterVolume [m3]"]), 0);
    // two studies of the same lots: runs of 72 hours after their inflow, and runs whose end divides evenly
    expect(Math.abs(Number(streets[0]!["volume [m3]"]) - lidOf(["A", "B"]))).toBeLessThan(2e-4 * lidOf(["A", "B"]));
    const page = readFileSync(join(out, "street-lots.html"), "utf8");
    expect(page).toContain("<h1>In the storm “cloudburst”, of 3 lots");
    expect(page).not.toMatch(/(?:src|href)="https?:|url\(/);
  });

  test("gives each lot the smallest works of the steps, which stand in its row and run as its own file", async () => {
    const size = {
      criteria: [{ storm: "cloudburst", emitterVolumeAtMost: "200 gal", noSpill: true }],
      steps: { chambers: [2, 4, 6, 8, 10, 12] },
    };
    const { status, out: said, err } = await run([...lots(STREET, { size }), "--size"]);
    expect([status, err]).toEqual([0, ""]);
    expect(said).toContain("of 3 lots");
    const rows = rowsOf(join(out, "street-lots.csv"));
    // more roof and a tighter soil take more chambers
    const chambers = rows.map((row) => Number(row["given chambers"]));
    expect(chambers[1]!).toBeGreaterThan(chambers[0]!);
    expect(chambers[0]!).toBeGreaterThan(chambers[2]!);
    for (const row of rows) {
      expect(row["sized"]).toBe("yes");
      expect(Number(row["emitterVolume [m3]"])).toBeLessThanOrEqual(200 * 0.003785411784);
    }
    // one step fewer does not do
    const fewer = rows.map((row, i) => [row["lot"], row["given roofArea"], row["given soil"], chambers[i]! - 2].join(",")).filter((_, i) => chambers[i]! > 2);
    await run(lots(["lot,roofArea,soil,chambers", ...fewer, ""].join("\n")), join(folder, "fewer"));
    for (const row of rowsOf(join(folder, "fewer", "street-lots.csv"))) expect(Number(row["emitterVolume [m3]"]) + Number(row["spilled [m3]"])).toBeGreaterThan(200 * 0.003785411784);
  });

  test("runs years of rain where it is asked to: a sentence, columns, the page", async () => {
    const { status, out: said, err } = await run([...lots(STREET), "--years"]);
    expect([status, err]).toEqual([0, ""]);
    expect(said).toMatch(/In 1 years? of rain the lid lets out water in [\d.]+ storms a year on the middle lot, and on “B” in [\d.]+, the most of all\./);
    const rows = rowsOf(join(out, "street-lots.csv"));
    for (const row of rows) expect(Number(row["firingStormsYearlyLeast"])).toBeLessThanOrEqual(Number(row["firingStormsYearly"]));
    expect(readFileSync(join(out, "street-lots.html"), "utf8")).toContain("and 1 year of rain");
    const without = await run([...lots(STREET, {}), "--years"]);
    expect([without.status, without.err]).toEqual([1, `${join(folder, "pattern.json")}: The study cannot be made:\n  studies.often: expected a climate or a file of rain, such as { "climate": { "stormsPerYear": 80, "meanDepth": "0.4 in", "meanDuration": "6 h" } }, got nothing\n`]);
  });

  test("in shares, merged, is every byte of one machine's results", async () => {
    const words = [...lots(STREET), "--years"];
    await run(words);
    const parts = join(folder, "parts");
    for (const share of ["3/3", "1/3", "2/3"]) {
      const { status, out: said } = await run([...words, "--share", share], parts);
      expect([status, said.match(/^Share \d of 3 is made/gm)?.length]).toEqual([0, 2]);
    }
    const shares = readdirSync(parts).filter((name) => /share-\d-of-3\.csv$/.test(name)).map((name) => join(parts, name));
    expect(shares).toHaveLength(6);
    expect((await run(["merge", ...shares])).status).toBe(0);
    expect((await run(words, parts)).status).toBe(0);
    for (const name of ["street-runs.csv", "street-years.csv", "street-lots.csv", "street-streets.csv", "street-lots.html"]) {
      expect(readFileSync(join(parts, name), "utf8") === readFileSync(join(out, name), "utf8"), name).toBe(true);
    }
  });
});
