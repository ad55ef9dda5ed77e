import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { rolldown } from "rolldown";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { openPage, startBrowser } from "./openPage.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "soakstep-package-"));
const modules = join(folder, "node_modules");
afterAll(() => { rmSync(folder, { recursive: true }); });

/** What someone writes who has the package alone: every door, typed; nothing of Node in it, so that it runs in a browser too. */
const PROGRAM = `
import { designStorm, figures, readSite, simulate, SiteError, type Firing, type Run, type Site } from "soakstep";
import { settlingVelocity, trialPit } from "soakstep/hydrology";

const site: Site = readSite(${readFileSync(join(root, "data/linden-row.json"), "utf8")});
const run: Run = simulate(site, designStorm({ pattern: "nrcs-ii", depth: "75 mm" }), { until: "72 h" });
const firings: readonly Firing[] = run.firings;
// @ts-expect-error a depth without a unit is no depth
const wrong = (): unknown => designStorm({ pattern: "nrcs-ii", depth: 75 });
let problems = 0;
try { readSite({ name: "nothing else" }); } catch (error) { if (error instanceof SiteError) problems = error.problems.length; }
export const answer: string = JSON.stringify({
  level: run.level("chamberBank", 12 * 3600), firings, ledger: run.ledger, notes: run.notes,
  pictures: figures.level(run).data.length, velocity: settlingVelocity({ diameter: 1e-4 }),
  soil: trialPit({ length: "1 m", width: "1 m", waterDepth: "1 m", time75to25: "1 h" }).hydraulicConductivity,
  problems, refuses: (() => { try { wrong(); return false; } catch { return true; } })(),
});
`;

function node(words: readonly string[]): string {
  return execFileSync(process.execPath, words, { cwd: folder, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
}

/** Compiles a file as strictly as can be, the package's own declarations too, and gives what the compiler says. */
function compiled(file: string, options: object): string {
  const compilerOptions = {
    strict: true, noUncheckedIndexedAccess: true, exactOptionalPropertyTypes: true, verbatimModuleSyntax: true, skipLibCheck: false,
    module: "nodenext", target: "es2022", lib: ["es2023", "dom"], ...options,
  };
  writeFileSync(join(folder, "tsconfig.json"), JSON.stringify({ compilerOptions, files: [file] }));
  return spawnSync(process.execPath, [join(root, "node_modules/typescript/bin/tsc"), "-p", folder], { encoding: "utf8" }).stdout;
}

const npm = (words: readonly string[], cwd: string): string => execFileSync("npm", words, { cwd, encoding: "utf8" });

/** A program bundled for browsers, everything in it, minified. */
async function bundled(input: string): Promise<string> {
  const bundle = await rolldown({ input, platform: "browser", cwd: folder });
  const { output: [{ code, imports }] } = await bundle.generate({ format: "iife", name: "made", minify: true, codeSplitting: false });
  await bundle.close();
  expect(imports).toEqual([]);
  return code;
}

async function bundledText(text: string): Promise<string> {
  const path = join(folder, "bundled.mjs");
  writeFileSync(path, text);
  return bundled(path);
}

beforeAll(() => {
  // `npm ci` has built dist
  const [{ filename }] = JSON.parse(npm(["pack", "--ignore-scripts", "--json", "--pack-destination", folder], root)) as [{ filename: string }];
  writeFileSync(join(folder, "package.json"), '{ "name": "of-a-user", "private": true, "type": "module" }');
  npm(["install", "--offline", "--ignore-scripts", "--no-audit", "--no-fund", join(folder, filename)], folder);
  writeFileSync(join(folder, "program.ts"), PROGRAM);
}, 120_000);

describe("the package, packed and installed in an empty folder without a network", () => {
  test("brings nothing along but itself, and of that neither tests nor sources", () => {
    expect(readdirSync(modules).filter((name) => !name.startsWith("."))).toEqual(["soakstep"]);
    expect(readdirSync(join(modules, "soakstep")).sort()).toEqual(["LICENSE", "README.md", "data", "dist", "package.json"]);
    expect(existsSync(join(modules, ".bin", "soakstep"))).toBe(true);
  });

  test("gives a strict TypeScript program its types, and runs it the same in Node and, bundled, in Chromium", async () => {
    expect(compiled("program.ts", { types: [] })).toBe("");
    const answer = node(["--input-type=module", "-e", 'import { answer } from "./program.js"; process.stdout.write(answer);']);
    expect(JSON.parse(answer)).toMatchObject({ refuses: true });
    expect((JSON.parse(answer) as { problems: number }).problems).toBeGreaterThan(3);
    const code = await bundled(join(folder, "program.js"));
    writeFileSync(join(folder, "page.html"), `<!doctype html><meta charset="utf-8"><title>made</title><script>${code.replaceAll("</script", "<\\/script")}</script>`);
    const browser = await startBrowser();
    try {
      const { page, errors, outsideRequests } = await openPage(browser, join(folder, "page.html"), 800, 0);
      expect([errors, outsideRequests]).toEqual([[], []]);
      expect(await page.evaluate("made.answer")).toBe(answer);
    } finally {
      await browser.close();
    }
  });

  test("has types behind every door, the last with those of Node", () => {
    writeFileSync(join(folder, "doors.ts"), 'export * as a from "soakstep";\nexport * as b from "soakstep/hydrology";\nexport * as c from "soakstep/node";\n');
    expect(compiled("doors.ts", { typeRoots: [join(root, "node_modules/@types")], types: ["node"] })).toBe("");
  });

  test("runs as a command, from whatever folder, and its pages carry the terms of all that is in them", () => {
    writeFileSync(join(folder, "yard.json"), readFileSync(join(root, "data/linden-row.json"), "utf8").replaceAll("ash-creek-1973.json", "node_modules/soakstep/data/ash-creek-1973.json"));
    const out = node([join(modules, "soakstep/dist/command/main.js"), "yard.json"]);
    expect(out.trimEnd().split("\n").at(-1)).toBe(join("out", "yard.html"));
    const page = readFileSync(join(folder, "out", "yard.html"), "utf8");
    expect(page).not.toContain("Plotly Technologies");
    for (const owner of ["the soakstep contributors", "Rich Felker, et al.", "Arm Limited"]) expect(page).toContain(owner);
    const thirdParty = readFileSync(join(modules, "soakstep/dist/THIRD-PARTY.txt"), "utf8");
    expect([...thirdParty.matchAll(/^(\S+) [\d.]+ \((.*)\):$/gm)].map(([, name, licence]) => `${name} ${licence}`)).toEqual([
      "assemblyscript Apache-2.0", "hyparquet MIT", "hyparquet-writer MIT", "plotly.js-basic-dist-min MIT",
    ]);
  });

  test("is as large, bundled and minified, as is printed here", async () => {
    const whole = await bundledText('export * from "soakstep";');
    const names = Object.keys(await import("../../lib/index.ts"));
    const pages = ["figures", "figureSvg", "sitePage"];
    expect(names).toEqual(expect.arrayContaining(pages));
    const core = await bundledText(`export { ${names.filter((name) => !pages.includes(name)).join(", ")} } from "soakstep";`);
    // what stands in the index before the lot: a site, rain, runs and their answers
    const answering = [...readFileSync(join(root, "lib/index.ts"), "utf8").split("// The lot")[0]!.matchAll(/export \{([^}]*)\}/g)]
      .flatMap(([, list]) => list!.split(",").map((name) => name.trim())).filter((name) => names.includes(name));
    const answers = await bundledText(`export { ${answering.join(", ")} } from "soakstep";`);
    const run = await bundledText('export { designStorm, readSite, simulate } from "soakstep";');
    const kB = (text: string): string => `${Math.round(text.length / 1000)} kB`;
    const formulas = await bundledText('export * from "soakstep/hydrology";');
    console.log(`bundled and minified: all of "soakstep" ${kB(whole)}, without pictures and pages ${kB(core)}, sites, rain, runs and answers ${kB(answers)}, readSite, designStorm and simulate ${kB(run)}`);
    console.log(`all of "soakstep/hydrology" ${kB(formulas)}; ${names.length} values behind the first door`);
    expect(run.length).toBeLessThan(answers.length);
    expect(answers.length).toBeLessThan(core.length);
    // the stepper as script is for pages that forbid WebAssembly, and stays out of bundles
    expect(whole).not.toContain("asmFunc");
  });
});
