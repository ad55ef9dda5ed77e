// @ts-check
// Two processes that write one study's file are killed at random and started again until it is whole; then one alone. Every end is
// held against the study made in one go. Needs a build.
//   node tests/bench/killedWriters.mjs [kills] [seed]
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { uniformDraw } from "../../dist/numerics/draw.js";

const script = fileURLToPath(new URL("../node/studyProcess.mjs", import.meta.url));
let drawn = 0;
const draw = () => uniformDraw(Number(process.argv[3] ?? 1), drawn++, 0);
const kills = Number(process.argv[2] ?? 200);
const folder = mkdtempSync(join(tmpdir(), "soakstep-kills-"));
try {
  await whole(join(folder, "uninterrupted.csv"), 1, Infinity);
  const expected = readFileSync(join(folder, "uninterrupted.csv"), "utf8");
  for (const writers of [2, 1]) {
    let [killed, refused, rounds, wrong] = [0, 0, 0, 0];
    while (killed < kills) {
      const path = join(folder, `${writers}-${rounds++}.csv`);
      const told = await whole(path, writers, kills - killed);
      killed += told.killed;
      refused += told.refused;
      if (readFileSync(path, "utf8") !== expected) wrong++;
      rmSync(path);
    }
    console.log(`${writers} at a time: ${killed} kills in ${rounds} studies, ${refused} told that another holds the file, ${wrong} files not as in one go`);
    if (wrong > 0) process.exitCode = 1;
  }
} finally {
  rmSync(folder, { recursive: true });
}

/**
 * Starts writers, kills them, and starts them again, until one has come to its end.
 * @param {string} path @param {number} writers @param {number} kills
 */
async function whole(path, writers, kills) {
  let [killed, refused] = [0, 0];
  for (;;) {
    const mayKill = killed < kills && draw() < 0.85;
    const ends = await Promise.all(Array.from({ length: writers }, () => once(path, mayKill ? 250 + 900 * draw() : Infinity)));
    killed += ends.filter((end) => end === "killed").length;
    refused += ends.filter((end) => end === "refused").length;
    if (ends.includes("done")) return { killed, refused };
  }
}

/** @param {string} path @param {number} after  [ms] */
async function once(path, after) {
  const child = spawn(process.execPath, [script, path], { stdio: ["ignore", "ignore", "pipe"] });
  let said = "";
  child.stderr.on("data", (part) => { said += String(part); });
  const timer = Number.isFinite(after) ? setTimeout(() => child.kill("SIGKILL"), after) : undefined;
  const [status, signal] = await new Promise((resolve) => { child.on("close", (...end) => { resolve(end); }); });
  clearTimeout(timer);
  if (signal === "SIGKILL") return "killed";
  if (status === 0) return "done";
  if (said.includes("expected a file that no other process writes")) return "refused";
  throw new Error(`a writer ended with ${status}: ${said}`);
}
