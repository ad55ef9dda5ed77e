import { spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

// Studies that are stopped while they are under way, by a hand or by the system, in processes of their own.
const { ensemble, readSite } = await import("../../dist/index.js");
const { runStudyInto } = await import("../../dist/node.js");

const site = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
const options = { runs: 450, seed: 9, storm: { pattern: "block", depth: "34 mm", duration: "1 h" }, conductivityWithin: 3, until: "24 h" } as const;
const study = { kind: "ensemble", site, options } as const;

test("Ctrl-C keeps what is made, ends with 130, and the same command goes on from there", async () => {
  const folder = mkdtempSync(join(tmpdir(), "soakstep-stopped-"));
  mkdirSync(join(folder, "out"));
  const path = join(folder, "row.json");
  const row = JSON.parse(readFileSync(new URL("../../data/linden-row.json", import.meta.url), "utf8")) as Record<string, unknown>;
  const storms = [{ name: "cloudburst", pattern: "block", depth: "40 mm", duration: "1 h" }];
  const sure = { storm: "cloudburst", conductivityWithin: 3, runs: 4000, until: "24 h" };
  writeFileSync(path, JSON.stringify({ ...row, storms, studies: { sure } }));
  const main = fileURLToPath(new URL("../../dist/command/main.js", import.meta.url));
  const start = (): { ended: Promise<{ status: number | null; err: string }>; stop: () => void } => {
    const child = spawn(process.execPath, [main, "decide", "--only", "sure", path], { cwd: folder, stdio: ["ignore", "ignore", "pipe"] });
    let err = "";
    child.stderr.on("data", (part: Buffer) => { err += part.toString(); });
    return { ended: new Promise((resolve) => { child.on("exit", (status) => { resolve({ status, err }); }); }), stop: () => child.kill("SIGINT") };
  };
  const rows = (): number => {
    const name = readdirSync(join(folder, "out")).find((each) => each.endsWith(".csv"));
    return name === undefined ? 0 : readFileSync(join(folder, "out", name), "utf8").split("\n").length - 2;
  };
  const first = start();
  while (rows() < 200) await new Promise((resolve) => { setTimeout(resolve, 20); });
  first.stop();
  const { status, err } = await first.ended;
  expect(status).toBe(130);
  expect(err).toContain("stopped; what was made is kept in out, and the same command goes on from there");
  const kept = rows();
  expect(kept).toBeGreaterThanOrEqual(200);
  expect(kept).toBeLessThan(4000);
  const again = await start().ended;
  expect(again.status).toBe(0);
  // a slow machine is told how far it is, and nobody is told anything else
  expect(again.err.replaceAll(/^… .* of 4000.*\n/gm, "")).toBe("");
  expect(rows()).toBe(4000);
}, 60_000);

test("kill -9 of the whole study loses nothing that was finished", async () => {
  const path = join(mkdtempSync(join(tmpdir(), "soakstep-killed-")), "rows.csv");
  const script = fileURLToPath(new URL("../node/studyProcess.mjs", import.meta.url));
  const first = spawn(process.execPath, [script, path], { stdio: ["ignore", "pipe", "inherit"] });
  let finished = 0;
  await new Promise<void>((resolve) => {
    first.stdout.on("data", (words: Buffer) => {
      finished = Number(words.toString().trim().split("\n").at(-1));
      if (finished >= 400) first.kill("SIGKILL");
    });
    first.on("exit", (_, signal) => {
      expect(signal).toBe("SIGKILL");
      resolve();
    });
  });
  expect(existsSync(path)).toBe(true);
  const kept = readFileSync(path, "utf8").split("\n").length - 2;
  expect(kept).toBeGreaterThanOrEqual(finished);
  expect(kept).toBeLessThan(1400);
  const second = spawn(process.execPath, [script, path], { stdio: ["ignore", "pipe", "inherit"] });
  let words = "";
  second.stdout.on("data", (part: Buffer) => { words += part.toString(); });
  expect(await new Promise((resolve) => { second.on("exit", resolve); })).toBe(0);
  expect(Number(/stretches (\d+)/.exec(words)![1])).toBe((1400 - kept) / 200);
  const uninterrupted = await ensemble(site, { ...options, runs: 1400, seed: 5 });
  expect(await runStudyInto(path, { ...study, options: { ...options, runs: 1400, seed: 5 } })).toEqual(uninterrupted);
}, 60_000);
