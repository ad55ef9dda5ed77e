import { appendFileSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test, vi } from "vitest";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

// A thread loads a built file, so the build is what is tested.
const { ensemble, readSite } = await import("../../dist/index.js");
const { runStudyInto } = await import("../../dist/node.js");

const site = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
const options = { runs: 450, seed: 9, storm: { pattern: "block", depth: "34 mm", duration: "1 h" }, conductivityWithin: 3, until: "24 h" } as const;
const study = { kind: "ensemble", site, options } as const;

function place(): string {
  return join(mkdtempSync(join(tmpdir(), "soakstep-study-")), "rows.csv");
}

test("a study that was stopped goes on where it was, and no finished row is made again", async () => {
  const path = place();
  const stop = new AbortController();
  await expect(runStudyInto(path, study, { signal: stop.signal, onRows: () => { stop.abort(new Error("enough")); } })).rejects.toThrow("enough");
  expect(readFileSync(path, "utf8").trimEnd().split("\n")).toHaveLength(1 + 200);
  const begun: number[] = [];
  const table = await runStudyInto(path, study, { onRows: ({ from }) => begun.push(from) });
  expect(begun).toEqual([200, 400]);
  expect(table).toEqual(await ensemble(site, options));
});

test("a finished file reads back to the last bit, in the order of its cases", async () => {
  const path = place();
  const table = await runStudyInto(path, study);
  const lines = readFileSync(path, "utf8").trimEnd().split("\n");
  expect(lines[0]).toBe("case,conductivityFactor,stormFactor,groundwaterShift [m],porosityShift,emitterShift [m],boxOutletShift [m],inletShift [m],trenchSoilFactor,"
    + "pitPeak [m],boxHeadroom [m],trenchPeak [m],emitterVolume [m3],openTime [s],firstFiring [s],emitterPeak [m3/s],spilled [m3],half [s],empty [s],"
    + "inflow [m3],seeped [m3],stopped,check");
  expect(lines.slice(1).map((line) => Number(line.split(",")[0]))).toEqual(Array.from({ length: 450 }, (_, i) => i));
  expect(await runStudyInto(path, study, { onRows: () => expect.unreachable("all rows are there") })).toEqual(table);
});

test("a line cut short by a crash is dropped and its case made again", async () => {
  const path = place();
  const table = await runStudyInto(path, study);
  const text = readFileSync(path, "utf8");
  writeFileSync(path, text.slice(0, text.length - 30));
  const begun: number[] = [];
  expect(await runStudyInto(path, study, { onRows: ({ from }) => begun.push(from) })).toEqual(table);
  expect(begun).toEqual([449]);
});

test("rows of another study are never gone on with", async () => {
  const path = place();
  await runStudyInto(path, study);
  await expect(runStudyInto(path, { ...study, options: { ...options, seed: 10 } })).rejects.toThrow(
    `${path}: expected no file, or rows of this same study, made by this same build of soakstep on this same Node, got rows of another; `
      + "move it away, or name another file",
  );
  appendFileSync(path, "9999,1\n");
  await expect(runStudyInto(path, study)).rejects.toThrow(`${path}: line 452: expected a row of this study with 23 cells, got 2 cells`);
});

test("rows of another build of the library, or of another Node, have another fingerprint and are never mixed with these", async () => {
  const { fingerprintOf } = await import("../../lib/node/studyFile.ts");
  const lib = await import("../../lib/site/readSite.ts");
  const asked = { kind: "ensemble", site: lib.readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8")), options } as const;
  const { thisBuild } = await import("../../lib/node/thisBuild.ts");
  expect(thisBuild()).toContain(`node ${process.version} ${process.arch}`);
  const mine = fingerprintOf(asked);
  expect(fingerprintOf(asked)).toBe(mine);
  const others = [];
  for (const build of [thisBuild().replace(/^soakstep \S+/, "soakstep 9.9.9"), thisBuild().replace(process.version, "v99.0.0")]) {
    vi.resetModules();
    vi.doMock("../../lib/node/thisBuild.ts", () => ({ thisBuild: () => build }));
    others.push((await import("../../lib/node/studyFile.ts")).fingerprintOf(asked));
  }
  vi.doUnmock("../../lib/node/thisBuild.ts");
  vi.resetModules();
  expect(new Set([mine, ...others]).size).toBe(3);
});
