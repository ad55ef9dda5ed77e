import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, describe, expect, test } from "vitest";
import { loadJson, readRainFile, show } from "../../lib/node.ts";
import { readRain } from "../../lib/rain/record/readRain.ts";

const folder = mkdtempSync(join(tmpdir(), "soakstep-node-"));
afterAll(() => rmSync(folder, { recursive: true }));

function file(name: string, content: string | Buffer): string {
  writeFileSync(join(folder, name), content);
  return join(folder, name);
}

describe("a rain record in a file", () => {
  test("is what its text is, by path and by URL", async () => {
    // Longer than the 64 KiB that a stream hands on at once, and with letters of several bytes that a piece may part.
    const text = `# Ä gauge at Höhe 3 ☂\ninterval end,rain [mm],remark\n${Array.from({ length: 4000 }, (_, i) =>
      `2026-0${1 + Math.floor(i / 672)}-${String(1 + (Math.floor(i / 24) % 28)).padStart(2, "0")} ${String(i % 24).padStart(2, "0")}:00,${i % 7},☂☂☂☂`).join("\n")}`;
    const path = file("rain.csv", text);
    const record = await readRainFile(path);
    expect(record).toEqual(await readRain(text));
    expect(record.linesRead).toBe(4000);
    expect(await readRainFile(pathToFileURL(path))).toEqual(record);
  });

  test("says which file it is when it cannot be used", async () => {
    const path = file("open.csv", "day,rain [mm]\n2026-03-01,1\n");
    await expect(readRainFile(path, { time: "day" })).rejects.toMatchObject({
      name: "InputError",
      message: `${path}: The rain record cannot be read:\n  header: expected a column "interval start" or "interval end", or the option "stamp": "start" or "end", got "day"`,
      problems: [{ where: "header" }],
    });
  });

  test("says so when it is not there, is a folder or is no text", async () => {
    const [nowhere, utf16] = [join(folder, "none.csv"), file("utf16.csv", Buffer.from("\ufeffinterval end,rain [mm]\n2026-03-01,1\n", "utf16le"))];
    await expect(readRainFile(nowhere)).rejects.toThrow(`The rain record cannot be read:\n  ${nowhere}: expected a file, got nothing of that name`);
    await expect(readRainFile(folder)).rejects.toThrow(`The rain record cannot be read:\n  ${folder}: expected a file, got a directory`);
    await expect(readRainFile(utf16)).rejects.toThrow(`The rain record cannot be read:\n  ${utf16}: expected a file, got text in UTF-16; save it as UTF-8`);
    const latin1 = file("latin1.csv", Buffer.from(`interval end,rain [mm],remark\n${"# none\n".repeat(20_000)}2026-03-02,1,5 \u00b0C\n`, "latin1"));
    await expect(readRainFile(latin1)).rejects.toMatchObject({
      message: `The rain record cannot be read:\n  ${latin1}: expected a file, got text in Latin-1 or another old way of writing; save it as UTF-8`,
      problems: [{ code: "encoding", path: [] }],
    });
    await expect(readRainFile(nowhere)).rejects.toMatchObject({ problems: [{ code: "file" }] });
  });
});

describe("what is not a file, or not in UTF-8, is refused in words and not opened", () => {
  test("a pipe that nobody writes into", async () => {
    const pipe = join(folder, "pipe");
    expect(spawnSync("mkfifo", [pipe]).status).toBe(0);
    await expect(readRainFile(pipe)).rejects.toThrow(`${pipe}: expected a file, got a pipe`);
    await expect(loadJson(pipe)).rejects.toThrow(`${pipe}: expected a file that can be read, got a pipe`);
  });

  test("a device that never ends", async () => {
    await expect(readRainFile("/dev/zero")).rejects.toThrow("/dev/zero: expected a file, got a device");
    await expect(loadJson("/dev/zero")).rejects.toThrow("/dev/zero: expected a file that can be read, got a device");
  });

  test("more than a site file ever holds", async () => {
    const large = file("large.json", "");
    truncateSync(large, 100e6 + 1);
    await expect(loadJson(large)).rejects.toThrow(`${large}: expected a file that can be read, got one of 100 MB, where 100 MB are the most`);
  });

  test.each<[string, Buffer, string]>([
    ["UTF-16 with its mark", Buffer.from('\ufeff{ "a": 1 }', "utf16le"), "text in UTF-16; save it as UTF-8"],
    ["UTF-16 without one", Buffer.from('{ "a": 1 }', "utf16le"), "text in UTF-16; save it as UTF-8"],
    ["Latin-1", Buffer.from('{ "name": "Höhe" }', "latin1"), "text in Latin-1 or another old way of writing; save it as UTF-8"],
    ["a picture", Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 0]), "bytes that are no text"],
  ])("%s", async (_, bytes, got) => {
    await expect(loadJson(file("other.json", bytes))).rejects.toThrow(`other.json: expected a file that can be read, got ${got}`);
  });

  test("UTF-8 with its mark is read", async () => {
    expect(await loadJson(file("marked.json", '\ufeff{ "name": "Höhe ☂" }'))).toEqual({ name: "Höhe ☂" });
  });
});

describe("JSON in a file", () => {
  test("is loaded, or the file is named", async () => {
    expect(await loadJson(file("a.json", '{ "a": [1] }'))).toEqual({ a: [1] });
    const path = file("b.json", "{ a");
    await expect(loadJson(path)).rejects.toThrow(`The file cannot be loaded:\n  ${path}: expected JSON, got `);
    await expect(loadJson(join(folder, "c.json"))).rejects.toThrow(`${join(folder, "c.json")}: expected a file that can be read, got nothing of that name`);
  });
});

describe("a figure shown outside a notebook", () => {
  test("is an error that says what else there is", () => {
    expect(() => show({ data: [], layout: {} })).toThrow(
      "show: expected a cell of a running notebook to show the figure in (elsewhere write a page: report(storms, { plotly }), or npm start), got none",
    );
  });
});
