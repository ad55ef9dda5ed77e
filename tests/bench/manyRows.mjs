// @ts-check
// Ten million rows of twelve numbers as Parquet in numbered parts, and questions about them: time and the peak of memory, each in a process
// of its own. Needs a build, @duckdb/node-api and 2 GB of disk.
//   node tests/bench/manyRows.mjs [rows]
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parquetParts, rowQuery } from "../../dist/node.js";

const [count, session, place] = [Number(process.argv[2] ?? 10_000_000), process.argv[3], process.argv[4]];
const NAMES = ["lot", "state", "pitPeak", "boxHeadroom", "emitterVolume", "openTime", "firstFiring", "spilled", "half", "empty", "inflow", "seeped"];
const QUESTIONS = [
  "select count(*), avg(pitPeak), max(emitterVolume) from rows",
  "select state, count(*) n, sum(emitterVolume) from rows group by state order by state",
  "select lot, max(pitPeak) peak from rows where state = 8 group by lot order by peak desc limit 5",
];
/** [MB]; a process that takes more fails the bench */
const MOST_MB = 512;

if (session === undefined) {
  const folder = mkdtempSync(join(tmpdir(), "soakstep-rows-"));
  try {
    for (const each of ["write", "ask"]) {
      const { status } = spawnSync(process.execPath, [fileURLToPath(import.meta.url), String(count), each, folder], { stdio: "inherit" });
      if (status !== 0) process.exitCode = 1;
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
} else if (place !== undefined) {
  const start = performance.now();
  if (session === "write") write(place);
  else await ask(place);
  const peak = process.resourceUsage().maxRSS / 1024;
  console.log(`${session}: ${((performance.now() - start) / 1000).toFixed(1)} s in all, ${(process.cpuUsage().user / 1e6).toFixed(1)} s of CPU, peak of the process ${Math.round(peak)} MB`);
  if (peak > MOST_MB) {
    console.error(`expected at most ${MOST_MB} MB`);
    process.exitCode = 1;
  }
}

/** @param {string} folder */
function write(folder) {
  const parts = parquetParts(join(folder, "town-rows.parquet"), NAMES.map((name) => ({ name, type: name === "lot" || name === "state" ? "INT32" : "DOUBLE" })));
  for (let from = 0; from < count; from += 10_000) {
    const length = Math.min(10_000, count - from);
    parts.add(NAMES.map((_, column) => Float64Array.from({ length }, (_row, i) => valueAt(from + i, column))));
  }
  const files = parts.finish();
  const bytes = readdirSync(join(folder, "town-rows.parquet")).reduce((sum, file) => sum + statSync(join(folder, "town-rows.parquet", file)).size, 0);
  console.log(`${count} rows in ${files} parts, ${Math.round(bytes / 1e6)} MB`);
}

/** @param {string} folder */
async function ask(folder) {
  const rows = await rowQuery(folder);
  for (const question of QUESTIONS) {
    const start = performance.now();
    const found = [];
    for await (const block of (await rows.ask(question)).blocks) found.push(...block);
    console.log(`${((performance.now() - start) / 1000).toFixed(2)} s: ${question} -> ${found.length} rows, the first ${JSON.stringify(found[0], (_, value) => (typeof value === "bigint" ? Number(value) : value))}`);
  }
  const sum = (await first(rows, "select sum(lot)::double from rows"))[0]?.[0];
  const lots = Math.ceil(count / 11);
  const expected = Array.from({ length: lots }, (_, lot) => lot * Math.min(11, count - 11 * lot)).reduce((all, each) => all + each, 0);
  if (sum !== expected) throw new Error(`sum of lots: expected ${expected}, got ${String(sum)}`);
  rows.close();
}

/** @param {Awaited<ReturnType<typeof rowQuery>>} rows @param {string} question @returns {Promise<unknown[][]>} */
async function first(rows, question) {
  for await (const block of (await rows.ask(question)).blocks) return block.map((row) => [...row]);
  return [];
}

/** Eleven rows a lot; any number of 16 digits. @param {number} row @param {number} column */
function valueAt(row, column) {
  if (column === 0) return Math.floor(row / 11);
  return column === 1 ? row % 11 : Math.sqrt(row + 1) * column * 1e-3;
}
