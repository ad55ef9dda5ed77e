// @ts-check
// How much memory a study's file takes of 1 000 000 rows of 120 numbers, its last half found by a second session: writing, reading
// back, putting in order. Each session is a process of its own, so that its peak is its own. Needs a build and 5 GB of disk.
//   node tests/bench/rowMemory.mjs [rows]
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { rowFile } from "../../dist/node/rowFile.js";

const CHUNK = 200;
const WIDTH = 120;
const [count, session, path] = [Number(process.argv[2] ?? 1_000_000), process.argv[3], process.argv[4]];

if (session === undefined) {
  const folder = mkdtempSync(join(tmpdir(), "soakstep-memory-"));
  try {
    const file = join(folder, "rows.csv");
    for (const each of ["first", "second", "third"]) {
      const { status } = spawnSync(process.execPath, [fileURLToPath(import.meta.url), String(count), each, file], { stdio: "inherit" });
      if (status !== 0) process.exit(1);
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
} else if (path !== undefined) {
  const before = process.resourceUsage().maxRSS;
  const store = rowFile(path, { heads: Array.from({ length: WIDTH }, (_, i) => `answer ${i}`), count, fingerprint: "rows of a bench" });
  const isMade = new Uint8Array(count);
  let found = 0;
  for (const { from, values } of store.made) {
    for (let i = 0; i < values.length; i++) if (values[i] !== valueAt(from + Math.floor(i / WIDTH), i % WIDTH)) throw new Error(`another value in row ${from}`);
    isMade.fill(1, from, from + values.length / WIDTH);
    found += values.length / WIDTH;
  }
  // the first session makes every second stretch, from the last on
  for (let from = Math.floor((count - 1) / CHUNK) * CHUNK; from >= 0; from -= CHUNK) {
    if (isMade[from] === 1 || (session === "first" && (from / CHUNK) % 2 === 0)) continue;
    const to = Math.min(from + CHUNK, count);
    store.add({ from, values: Float64Array.from({ length: (to - from) * WIDTH }, (_, i) => valueAt(from + Math.floor(i / WIDTH), i % WIDTH)) });
  }
  if (session !== "first") store.finish();
  store.close();
  const { maxRSS, userCPUTime } = process.resourceUsage();
  console.log(`${session} session: ${found} of ${count} rows found, file of ${Math.round(statSync(path).size / 1e6)} MB, `
    + `peak of the process ${Math.round(maxRSS / 1024)} MB (${Math.round(before / 1024)} MB when it began), ${Math.round(userCPUTime / 1e6)} s of CPU`);
}

/** Any number of 16 or 17 digits. @param {number} row @param {number} column */
function valueAt(row, column) {
  return Math.sqrt(row + 1) * (column + 1) * 1e-3;
}
