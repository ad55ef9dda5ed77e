import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeEach, describe, expect, test, vi } from "vitest";

// Each end is a process of its own, of the built command: what the system does to it, and what it says.
vi.setConfig({ testTimeout: 60_000 });

const main = fileURLToPath(new URL("../../dist/command/main.js", import.meta.url));
const site = JSON.parse(readFileSync(new URL("../../data/linden-row.json", import.meta.url), "utf8")) as Record<string, unknown>;
const storms = [{ name: "cloudburst", pattern: "block", depth: "40 mm", duration: "1 h" }];
const studies = { sure: { storm: "cloudburst", conductivityWithin: 3, runs: 210, until: "24 h" } };

const root = mkdtempSync(join(tmpdir(), "soakstep-ends-"));
afterAll(() => rmSync(root, { recursive: true }));
let folder = "";
let count = 0;
beforeEach(() => {
  folder = join(root, String(count++));
  mkdirSync(folder);
  writeFileSync(join(folder, "row.json"), JSON.stringify({ ...site, storms, studies }));
});

/** Runs words of a shell in the folder, `soakstep` among them. */
function shell(words: string): { status: number | null; out: string; err: string } {
  const text = words.replaceAll("soakstep", `"${process.execPath}" "${main}"`);
  const { status, stdout, stderr } = spawnSync("bash", ["-c", `set -o pipefail; ${text}`], { cwd: folder, encoding: "utf8" });
  // a busy machine is told how far it is
  return { status, out: stdout, err: stderr.replaceAll(/^… .*\n/gm, "") };
}

const files = (at: string = "out"): string[] => readdirSync(join(folder, at)).sort();

describe("standard output", () => {
  test("whose reader goes ends the command without a word", () => {
    expect(shell("soakstep row.json | true")).toEqual({ status: 1, out: "", err: "" });
    expect(shell("soakstep none.json 2>&1 > /dev/null | true")).toEqual({ status: 1, out: "", err: "" });
  });

  test("on a full disk is told", () => {
    expect(shell("soakstep --help > /dev/full")).toMatchObject({
      status: 1, err: "standard output: expected a place to write the answers, got a full disk\n",
    });
  });
});

describe("a report that cannot be written is told in a sentence and leaves nothing half written", () => {
  test("where the folder is a file", () => {
    writeFileSync(join(folder, "out"), "");
    for (const words of ["soakstep row.json", "soakstep sheets inspect row.json"]) {
      const { status, err } = shell(words);
      expect([status, err]).toEqual([1, expect.stringMatching(/^out\/row(-inspect)?\.html: expected a place to write the report, got a path that runs through a file\n$/)]);
    }
    const { err } = shell("soakstep decide row.json --only sure");
    expect(err).toMatch(/^row\.json: sure: out\/row-sure\.csv: expected a place for the rows of a study, got a path that runs through a file; what was made before is kept\n/);
  });

  test("where the place of its page is taken", () => {
    mkdirSync(join(folder, "out", "row.html"), { recursive: true });
    const { status, err } = shell("soakstep row.json");
    expect([status, err]).toEqual([1, "out/row.html: expected a place to write the report, got a directory\n"]);
    expect(files()).toEqual(["row.html"]);
  });

  test("where files may not be as large", () => {
    const { status, out, err } = shell("ulimit -f 100; soakstep row.json");
    expect([status, out, err]).toEqual([1, "", "out/row.html: expected a place to write the report, got a file larger than the system allows\n"]);
    expect(files()).toEqual([]);
  });
});

// a small disk of its own, which needs leave to mount one
const canMount = spawnSync("unshare", ["-rm", "mount", "-t", "tmpfs", "tmpfs", root]).status === 0;

describe.skipIf(!canMount)("on a disk of its own", () => {
  /** Runs a shell where `disk` is a disk of some size; prints what is left on it last. */
  function onDisk(size: string, words: string): ReturnType<typeof shell> {
    mkdirSync(join(folder, "disk"));
    return shell(`unshare -rm bash -c 'mount -t tmpfs -o size=${size} tmpfs disk; cp row.json disk; cd disk; ${words}; status=$?; ls -A . out; exit $status'`);
  }

  test("that is full, the page is left out", () => {
    const { status, out, err } = onDisk("64k", "soakstep row.json");
    expect([status, out, err]).toEqual([1, ".:\nout\nrow.json\n\nout:\n", "out/row.html: expected a place to write the report, got a full disk\n"]);
  });

  test("that fills up, the rows so far are kept and gone on with", () => {
    const { status, out, err } = onDisk("64k", "soakstep decide row.json --only sure; status=$?; mount -o remount,size=8M disk . && soakstep decide row.json --only sure");
    expect(status).toBe(0);
    expect(err).toMatch(/^row\.json: sure: out\/row-sure\.csv: expected a place for the rows of a study, got a full disk; what was made before is kept\nrow\.json: none of the studies could be made\n$/);
    expect(out).toMatch(/\nout\/row-sure\.html\n.*out:\nrow-sure\.csv\nrow-sure\.csv\.study\nrow-sure\.html\n$/s);
  });

  test("that has no room for a lock, none is left behind", () => {
    const { status, out, err } = onDisk("64k", "cat /dev/zero > filled 2> /dev/null; soakstep decide row.json --only sure");
    expect([status, err]).toEqual([1, expect.stringContaining("expected a place for the rows of a study, got a full disk")]);
    expect(out).toMatch(/\.:\nfilled\nout\nrow\.json\n\nout:\n$/);
  });

  test("that can only be read", () => {
    const { status, err } = onDisk("8M", "mount -o remount,ro disk .; soakstep row.json; soakstep decide row.json --only sure; mkdir -p out 2> /dev/null; false");
    expect(status).not.toBe(0);
    expect(err.replace(/ls: .*\n/g, "")).toMatch(/^out\/row\.html: expected a place to write the report, got a disk that cannot be written\nrow\.json: sure: out\/row-sure\.csv: expected a place for the rows of a study, got a disk that cannot be written; what was made before is kept\nrow\.json: none of the studies could be made\n$/);
  });
});
