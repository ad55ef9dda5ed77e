import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

const root = fileURLToPath(new URL("../../", import.meta.url));
const readme = readFileSync(`${root}README.md`, "utf8");

test("the README can be read in a few minutes", () => {
  expect(readme.split(/\s+/).length).toBeLessThanOrEqual(1500);
});

test("the README's program runs from where it says, and tells what happened and where the water went", () => {
  const programs = [...readme.matchAll(/^```js\n([\s\S]*?)^```$/gm)].map(([, text]) => text!);
  expect(programs).toHaveLength(1);
  // beside the package itself, whose own name then leads to dist
  mkdirSync(`${root}out`, { recursive: true });
  const folder = mkdtempSync(join(root, "out/readme-"));
  try {
    writeFileSync(join(folder, "try.mjs"), programs[0]!);
    const { status, stdout, stderr } = spawnSync(process.execPath, [join(folder, "try.mjs")], { cwd: root, encoding: "utf8" });
    expect([status, stderr]).toEqual([0, ""]);
    for (const part of ["The emitter opens first", "peakFlow", "half:", "bankSeepage"]) expect(stdout).toContain(part);
  } finally {
    rmSync(folder, { recursive: true });
  }
});

test("the README's list of problems is what the file it tells of is refused with", () => {
  const [list] = /^ *my-site\.json: The site file cannot be used: 3 problems\.\n(?: +\S+: expected .*\n)+/m.exec(readme)!;
  const told = list.split("\n").map((line) => line.trim()).filter((line) => line !== "");
  const file = JSON.parse(readFileSync(`${root}data/copperbeech-lane.json`, "utf8")) as Record<string, Record<string, unknown>>;
  const { width, ...trench } = file["overflowTrench"]!;
  const stone = { ...(file["chamberBank"]!["stone"] as object), depth: 5 };
  const folder = mkdtempSync(join(tmpdir(), "soakstep-readme-"));
  try {
    const site = { ...file, storms: [{ name: "wet", pattern: "nrcs-ii", depth: "3 in" }], chamberBank: { ...file["chamberBank"], stone }, overflowTrench: { ...trench, widht: width } };
    writeFileSync(join(folder, "my-site.json"), JSON.stringify(site));
    const { status, stderr } = spawnSync(process.execPath, [`${root}dist/command/main.js`, "my-site.json"], { cwd: folder, encoding: "utf8" });
    expect(status).toBe(1);
    expect(stderr.split("\n").map((line) => line.trim()).filter((line) => line !== "")).toEqual(told);
  } finally {
    rmSync(folder, { recursive: true });
  }
});

test("the reference has every key of the site file, each object once, with what it takes", async () => {
  const { siteSchema } = await import("../../dist/site/siteSchema.js");
  const { objectsOf, referencePage } = await import("../tools/reference.mjs");
  const objects = objectsOf(siteSchema());
  const keys = objects.flatMap((object) => object.keys.map(([key]) => key!));
  const all: string[] = [];
  (function walk(part: unknown): void {
    if (typeof part !== "object" || part === null) return;
    if ("properties" in part) all.push(...Object.keys(part.properties as object));
    for (const each of Object.values(part)) walk(each);
  })({ ...siteSchema(), definitions: {} });
  expect([...keys].sort()).toEqual(all.sort());
  for (const { path, keys: rows } of objects) for (const [key, kind, what] of rows) expect([`${path}.${key!}`, kind !== "anything" && what !== ""]).toEqual([`${path}.${key!}`, true]);
  expect(referencePage(siteSchema())).toContain('<h2 id="chamberBank.stone">');
});

test("every chapter of the README's list is there, and every notebook is in the list", () => {
  const list = readme.slice(readme.indexOf("| in `notebooks/` |"), readme.indexOf("## What it promises"));
  const named = list.split("\n").flatMap((line) => [...(line.split("|")[1] ?? "").matchAll(/`([\w-]+)`/g)].map(([, name]) => `${name}.ipynb`));
  expect(named.sort()).toEqual(readdirSync(`${root}notebooks`).filter((name) => name.endsWith(".ipynb")).sort());
});
