import { spawnSync } from "node:child_process";
import { appendFileSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { hostname, tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { crc32 } from "node:zlib";
import { describe, expect, test } from "vitest";
import { lockFile } from "../../lib/node/rowFile.ts";
import { rowFile } from "../../lib/node/rowFile.ts";
import { UserFault } from "../../lib/node/userFault.ts";

const options = { heads: ["peak [m]", "stopped"], count: 5, fingerprint: "abc" };
const rows = { from: 1, values: Float64Array.of(0.1 + 0.2, -0, NaN, 1e-300, -Infinity, 5e300) };

function place(): string {
  return join(mkdtempSync(join(tmpdir(), "soakstep-rows-")), "rows.csv");
}

/** The rows that a new session finds. */
function read(path: string): { from: number; values: number[] }[] {
  const store = rowFile(path, options);
  try {
    return [...store.made].map(({ from, values }) => ({ from, values: Array.from(values) }));
  } finally {
    store.close();
  }
}

function written(path: string): string {
  const store = rowFile(path, options);
  store.add({ from: 4, values: Float64Array.of(7, 8) });
  store.add(rows);
  store.close();
  return readFileSync(path, "utf8");
}

test("numbers come back to the last bit, the sign of zero and missing ones too, and a finished file is in order", () => {
  const path = place();
  // cksum of POSIX is another polynomial; that of zip and PNG (ISO 3309) is what zlib's crc32 is, begun with the fingerprint's
  const check = (line: string): string => crc32(`abc${line}`).toString(16).padStart(8, "0");
  const line = "4,7,8";
  expect(written(path)).toBe(`case,peak [m],stopped,check\n${line},${check(line)}\n${["1,0.30000000000000004,-0", "2,,1e-300", "3,-Infinity,5e+300"]
    .map((each) => `${each},${check(each)}\n`).join("")}`);
  expect(read(path)).toEqual([{ from: 1, values: Array.from(rows.values) }, { from: 4, values: [7, 8] }]);
  const store = rowFile(path, options);
  store.add({ from: 0, values: Float64Array.of(1, 2) });
  store.finish();
  store.close();
  expect(readFileSync(path, "utf8").split("\n").slice(1, -1).map((each) => each.split(",")[0])).toEqual(["0", "1", "2", "3", "4"]);
  expect(read(path)).toEqual([{ from: 0, values: [1, 2, ...rows.values, 7, 8] }]);
  expect(readdirSync(dirname(path)).sort()).toEqual(["rows.csv", "rows.csv.study"]);
});

describe("a line that is not as it was written is refused by its number", () => {
  test.each<[string, (text: string) => string, string]>([
    ["a cell of text", (text) => text.replace("4,7,8", "4,oops,8"), 'line 2: expected numbers as this file writes them, got "oops"'],
    ["no case number", (text) => text.replace("\n4,7", "\n,7"), 'line 2: expected the number of a case, 0 to 4, got ""'],
    ["a case there is not", (text) => text.replace("\n4,7", "\n5,7"), 'line 2: expected the number of a case, 0 to 4, got "5"'],
    ["a case number with a space", (text) => text.replace("\n4,7", "\n 4,7"), 'line 2: expected the number of a case, 0 to 4, got " 4"'],
    ["a changed digit", (text) => text.replace("4,7,8", "4,7,9"), "line 2: expected the line that was written, got one with another checksum"],
    ["a cell too few", (text) => text.replace("4,7,8", "4,7"), "line 2: expected a row of this study with 4 cells, got 3 cells"],
    ["an empty line", (text) => text.replace("\n4,7", "\n\n4,7"), "line 2: expected a row of this study with 4 cells, got 1 cells"],
    ["a line twice", (text) => text + text.split("\n")[1]! + "\n", "line 6: expected each case once, got the case 4 again"],
    ["numbers otherwise written", (text) => text.replace("4,7,8", "4,7.0,8"), 'line 2: expected numbers as this file writes them, got "7.0"'],
    ["a quote in the first line that is not closed", (text) => text.replace("peak", '"peak'), "expected the columns case, peak [m], stopped, check, got case, peak [m],stopped,check"],
    ["lines that end otherwise", (text) => text.replaceAll("\n", "\r\n"), "expected the columns case, peak [m], stopped, check, got case, peak [m], stopped, check"],
  ])("%s", (_, change, fault) => {
    const path = place();
    writeFileSync(path, change(written(path)));
    expect(() => rowFile(path, options)).toThrow(`${path}: ${fault}`);
    // nothing holds what could not be opened
    expect(existsSync(`${path}.lock`)).toBe(false);
  });

  test("a line of another study, whose own checksum is right", () => {
    const path = place();
    const own = written(path);
    const other = place();
    const store = rowFile(other, { ...options, fingerprint: "abd" });
    store.add({ from: 0, values: Float64Array.of(1, 2) });
    store.close();
    writeFileSync(path, own + readFileSync(other, "utf8").split("\n")[1]! + "\n");
    expect(() => rowFile(path, options)).toThrow("line 6: expected the line that was written, got one with another checksum");
  });

  test("a line without an end, as long as a disk", () => {
    const path = place();
    appendFileSync(path, "0,".repeat(written(path).length + 3e6));
    expect(() => rowFile(path, options)).toThrow(/line 6: expected a row of 2 numbers, got more than 100 letters/);
  });
});

test.each([["nothing", 0], ["a part of its first line", 9]])("a file that holds %s is begun", (_, length) => {
  const path = place();
  const text = written(path);
  writeFileSync(path, text.slice(0, length));
  writeFileSync(`${path}.study`, "of something else");
  expect(written(path)).toBe(text);
});

test("a last line cut short is dropped, and no other", () => {
  const path = place();
  const text = written(path);
  writeFileSync(path, text.slice(0, -1));
  expect(read(path)).toEqual([{ from: 1, values: Array.from(rows.values.subarray(0, 4)) }, { from: 4, values: [7, 8] }]);
});

describe("one process alone writes", () => {
  test("a second place is told who does, and has its turn afterwards", () => {
    const path = place();
    const store = rowFile(path, options);
    expect(() => rowFile(path, options)).toThrow(`${path}: expected a file that no other process writes, got one that the process ${process.pid} on `
      + `${hostname()} holds; wait for it, or delete ${path}.lock if it is not running`);
    expect(codeOf(() => rowFile(path, options))).toBe("held");
    store.close();
    rowFile(path, options).close();
    expect(existsSync(`${path}.lock`)).toBe(false);
    expect(codeOf(() => rowFile(path, { ...options, fingerprint: "abd" }))).toBe("rows");
    expect(codeOf(() => rowFile("/dev/zero", options))).toBe("file");
  });

  test("the lock of a process that is gone is taken over", () => {
    const path = place();
    const { pid } = spawnSync(process.execPath, ["--version"]);
    writeFileSync(`${path}.lock`, JSON.stringify({ pid, host: hostname(), born: null }));
    rowFile(path, options).close();
    // its number has gone to another process since: this one
    writeFileSync(`${path}.lock`, JSON.stringify({ pid: process.pid, host: hostname(), born: "1" }));
    rowFile(path, options).close();
    expect(readdirSync(dirname(path)).sort()).toEqual(["rows.csv", "rows.csv.study"]);
  });

  test("nobody knows of a process on another host, or of a lock without a name", () => {
    const path = place();
    writeFileSync(`${path}.lock`, JSON.stringify({ pid: 1, host: "some-other-host", born: "1" }));
    expect(() => lockFile(path)).toThrow("got one that the process 1 on some-other-host holds; wait for it");
    writeFileSync(`${path}.lock`, "");
    expect(() => lockFile(path)).toThrow("got one that another process holds; wait for it");
  });

  test("who lost the lock writes nothing more", () => {
    const path = place();
    const store = rowFile(path, options);
    writeFileSync(`${path}.lock`, JSON.stringify({ pid: 1, host: "some-other-host", born: "1" }));
    expect(() => { store.add(rows); }).toThrow("the process 1 on some-other-host holds");
    store.close();
    expect(readFileSync(path, "utf8")).toBe("case,peak [m],stopped,check\n");
    expect(existsSync(`${path}.lock`)).toBe(true);
  });
});

test("what cannot hold rows is told in words", () => {
  const path = place();
  mkdirSync(path);
  expect(() => rowFile(path, options)).toThrow(`${path}: expected a place for the rows of a study, got a directory`);
  expect(() => rowFile("/dev/zero", options)).toThrow("/dev/zero: expected a place for the rows of a study, got a device");
  const file = place();
  writeFileSync(file, "");
  expect(() => rowFile(join(file, "rows.csv"), options)).toThrow("expected a place for the rows of a study, got a path that runs through a file");
});

function codeOf(make: () => unknown): string {
  try {
    make();
  } catch (error) {
    if (error instanceof UserFault) return error.code;
    throw error;
  }
  throw new Error("expected a UserFault, got none");
}
