// @ts-check
// Builds dist from lib. dist is deleted first, because the compiler never removes the output of a file that is gone.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { compileKernel } from "./compileKernel.mjs";

/** The terms of the MIT licence, which this package has too, without whose it is. */
const MIT = readFileSync(new URL("../../LICENSE", import.meta.url), "utf8").replace(/^[\s\S]*?(?=Permission is hereby granted)/, "").trim();

/** What the package, its threads, its tests and its benchmarks import by path. */
const ENTRIES = [
  "index.js", "hydrology.js", "node.js", "command/command.js", "command/main.js", "figures/figures.js", "figures/lessonFigures.js", "figures/stateMoments.js", "node/plotInNotebook.js", "node/rowFile.js",
  "node/studyWorker.js", "numerics/draw.js", "report/sitePage.js", "report/markup.js", "report/pageFrame.js",
  "report/notebookStyle.js", "report/placedPicture.js", "simulate/assemble.js", "simulate/settledRun.js", "simulate/variedSite.js", "site/pipeRules.js", "site/siteSchema.js", "dips/failedPit.js",
  "dips/faultCase.js", "dips/fillFit.js", "dips/fillModel.js", "dips/fillSolution.js", "dips/fillTest.js", "dips/misread.js", "dips/roomDoubt.js",
  "dips/pitCauses.js", "dips/seasonFit.js", "dips/seasonModel.js",
  "study/lesson.js", "study/lessonQuestions.js",
  "yard/newPage.js",
];

const root = fileURLToPath(new URL("../../", import.meta.url));
// node_modules/.bin/tsc is the notebook kernel's own, much older compiler: name ours by its path
const compiler = `${root}node_modules/typescript/bin/tsc`;

if (!existsSync(compiler)) {
  console.error("build: expected TypeScript under node_modules, got none; run `npm ci` without leaving out dev dependencies");
  process.exit(1);
}
rmSync(`${root}dist`, { recursive: true, force: true });
compileKernel();
const { status, error } = spawnSync(process.execPath, [compiler, "-p", "tsconfig.json", "--sourceMap", "--inlineSources"], { cwd: root, stdio: "inherit" });
if (error) throw error;
if (status !== 0) {
  // half a build would look like a whole one to whoever runs it next
  rmSync(`${root}dist`, { recursive: true, force: true });
  console.error("build: the compiler found the errors above; there is no dist");
  process.exit(1);
}
try {
  await packInto(`${root}dist/node/parquetWriter.js`);
  await bundlePage(`${root}dist/live/main.js`, `${root}dist/live/page.js`, true);
  await bundlePage(`${root}dist/live/main.js`, `${root}dist/live/pageScript.js`, false);
  await bundlePage(`${root}dist/live/lesson.js`, `${root}dist/live/lessonPage.js`, true);
  await bundlePage(`${root}dist/live/lesson.js`, `${root}dist/live/lessonScript.js`, false);
  await bundlePage(`${root}dist/newPage/main.js`, `${root}dist/newPage/page.js`, true);
  await bundlePage(`${root}dist/newPage/main.js`, `${root}dist/newPage/scriptPage.js`, false);
  await minifyAlone(`${root}dist/simulate/kernelScript.js`);
  await joinModules(`${root}dist/`);
  // a bundle for browsers takes it in place of the stepper as script, which is a third of it: "browser" in package.json says so
  writeFileSync(`${root}dist/simulate/noScript.js`, "export const kernelInScript = null;\n");
  writeFileSync(`${root}dist/parts/plotly.js`, withLicences(readFileSync(fileURLToPath(import.meta.resolve("plotly.js-basic-dist-min")), "utf8"), ["plotly.js-basic-dist-min"]));
  writeFileSync(`${root}dist/THIRD-PARTY.txt`, thirdParty());
  writeFileSync(`${root}dist/commit.txt`, `${commitHere()}\n`);
  writeFileSync(`${root}dist/build.txt`, `${digestOf(`${root}dist/`)}\n`);
} catch (problem) {
  rmSync(`${root}dist`, { recursive: true, force: true });
  throw problem;
}

/** The commit that is built, with a + where a file differs from it; "unknown" outside a repository. */
function commitHere() {
  const git = (/** @type {string[]} */ ...words) => spawnSync("git", words, { cwd: root, encoding: "utf8" });
  const { status, stdout } = git("rev-parse", "--short=12", "HEAD");
  // a copy of the package inside another repository is not a commit of that one
  if (status !== 0 || git("rev-parse", "--show-prefix").stdout.trim() !== "") return "unknown";
  return stdout.trim() + (git("status", "--porcelain", "--untracked-files=no").stdout.trim() === "" ? "" : "+");
}

/**
 * Of every program in dist: rows of two builds of one version are told apart by it.
 * @param {string} dist
 */
function digestOf(dist) {
  const hash = createHash("sha256");
  for (const file of readdirSync(dist, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".js")).sort()) {
    hash.update(`${file}\0`).update(readFileSync(dist + file)).update("\0");
  }
  return hash.digest("hex").slice(0, 16);
}

/**
 * Puts what a file of dist uses of its packages into the file: a user of the package does not have them.
 * @param {string} file
 */
async function packInto(file) {
  const { rolldown } = await import("rolldown");
  const bundle = await rolldown({ input: file, platform: "browser", cwd: root });
  const { output: [{ imports, dynamicImports }] } = await bundle.write({
    file,
    format: "esm",
    // after all else, or the comments would be taken for the compiler's and dropped
    postBanner: ({ moduleIds }) => licences(moduleIds),
  });
  await bundle.close();
  // the compiler's map does not fit the packed file
  rmSync(`${file}.map`);
  const left = [...imports, ...dynamicImports];
  if (left.length > 0) throw new Error(`build: expected its packages packed into ${file}, got imports of ${left.join(", ")}`);
}

/**
 * Bundles the program of the live page, the library with it, as one script without imports; the notices of packages stay.
 * @param {string} input
 * @param {string} file
 * @param {boolean} isWasm  whether its stepper is WebAssembly, or script for browsers that forbid that
 */
async function bundlePage(input, file, isWasm) {
  const { rolldown } = await import("rolldown");
  const without = isWasm ? ["kernelScript.js", "export const kernelInScript = null;"] : ["kernelBytes.js", 'export const kernelBytes = "";'];
  const plugin = { name: "one-stepper", load: (/** @type {string} */ id) => (id.endsWith(`/${without[0]}`) ? without[1] : null) };
  const bundle = await rolldown({ input, platform: "browser", cwd: root, plugins: [plugin], resolve: { aliasFields: [] } });
  const { output: [{ imports, dynamicImports }] } = await bundle.write({ file, format: "iife", minify: true, comments: { legal: true } });
  await bundle.close();
  writeFileSync(file, withLicences(readFileSync(file, "utf8"), [".", "assemblyscript"]));
  const left = [...imports, ...dynamicImports];
  if (left.length > 0) throw new Error(`build: expected one script for the live page, got imports of ${left.join(", ")}`);
}

/**
 * Minifies a module that stays a file of its own.
 * @param {string} file
 */
async function minifyAlone(file) {
  const { rolldown } = await import("rolldown");
  const bundle = await rolldown({ input: file, platform: "node", cwd: root });
  await bundle.write({ file, format: "esm", minify: true });
  await bundle.close();
  rmSync(`${file}.map`);
}

/**
 * Joins the modules of dist into few minified files with source maps: Node takes longer to find five hundred, and to read their comments,
 * than to run a storm. What is imported by its path stays where it is; the rest goes into a folder as deep, so that a path from a module
 * to other files stays the same.
 * @param {string} dist
 */
async function joinModules(dist) {
  const { rolldown } = await import("rolldown");
  // the stepper as script stays a file of its own, which a bundle for browsers leaves out
  const isApart = (/** @type {string} */ id) => id.startsWith("node:") || id.endsWith("/kernelScript.js");
  const modules = readdirSync(dist, { recursive: true, encoding: "utf8" }).filter((file) => file.endsWith(".js") && !/^(?:live|newPage).(page|scriptPage|pageScript|lessonPage|lessonScript).js$|kernelScript.js$/.test(file));
  const plugins = [{ name: "maps", load: withItsMap }];
  const input = Object.fromEntries(ENTRIES.map((file) => [file.slice(0, -".js".length), dist + file]));
  const options = { platform: /** @type {const} */ ("node"), cwd: root, plugins };
  // what the first door needs, in one file for each part of it that another door needs by itself
  const first = await rolldown({ ...options, external: isApart, input: `${dist}index.js` });
  const { output: [{ moduleIds }] } = await first.generate({ format: "esm", codeSplitting: false });
  await first.close();
  const needed = new Set(moduleIds);
  const group = (/** @type {string} */ name, /** @type {RegExp} */ folders) => ({ name, test: (/** @type {string} */ id) => needed.has(id) && folders.test(id) });
  const bundle = await rolldown({ ...options, external: isApart, plugins: [...plugins, { name: "pictures", resolveId: apartFromDoor }], input });
  const { output } = await bundle.generate({
    format: "esm",
    entryFileNames: "[name].js",
    chunkFileNames: "parts/[name].js",
    minify: true,
    sourcemap: true,
    comments: { legal: true, annotation: true },
    codeSplitting: { groups: [
      // formulas by themselves, without the stepper: a bundler takes a file's constants as a whole
      group("formulas", /dist.(text|numerics|plane|rain|ground|schema|runoff|works)./),
      group("core", /dist.(site|simulate)./),
      group("studies", /dist.(plan|study|dips|upkeep)./),
      group("pages", /dist.(figures|report|yard)./),
    ] },
  });
  await bundle.close();
  for (const file of modules) {
    rmSync(dist + file);
    rmSync(`${dist}${file}.map`, { force: true });
  }
  mkdirSync(`${dist}parts`, { recursive: true });
  for (const part of output) {
    if (part.type !== "chunk") {
      writeFileSync(dist + part.fileName, part.source);
      continue;
    }
    const isDeep = part.fileName.includes("/");
    if (!isDeep && part.code.replaceAll(/\/\*.*?\*\//gs, "").includes("import.meta.url")) {
      throw new Error(`build: expected paths to other files in modules a folder deep, got one in ${part.fileName}`);
    }
    writeFileSync(dist + part.fileName, part.code);
  }
  if (!output.some((part) => part.type === "chunk" && part.code.includes("Parts of hyparquet-writer"))) {
    throw new Error("build: expected the notice of hyparquet-writer in dist, got none");
  }
}

/**
 * The list of pictures stays a module that the first door imports, so that a user's bundler takes of it only what is called.
 * @param {string} id
 * @param {string | undefined} from
 */
function apartFromDoor(id, from) {
  return from !== undefined && id === "./figures/figures.js" ? { id, external: true } : null;
}

/**
 * A module with the map that the compiler made of it, so that the lines of the joined files are those of lib.
 * @param {string} id
 */
function withItsMap(id) {
  const map = `${id}.map`;
  return existsSync(map) ? { code: readFileSync(id, "utf8"), map: readFileSync(map, "utf8") } : null;
}

/**
 * The notices of the packages that modules come from.
 * @param {readonly string[]} modules
 */
function licences(modules) {
  const packages = new Set(modules.flatMap((path) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+\//.exec(path) ?? []));
  return asComment([...packages].sort().map((folder) => `Parts of ${noticeOf(folder)}`));
}

/**
 * A program with the texts of the packages in it, so that a page which carries the program carries them too.
 * @param {string} program
 * @param {readonly string[]} packages  folders under node_modules; "." is this one
 */
function withLicences(program, packages) {
  return `${asComment(packages.map((name) => `Parts of ${noticeOf(name === "." ? root : `${root}node_modules/${name}/`)}`))}${program}`;
}

/** @param {readonly string[]} texts */
function asComment(texts) {
  return `/*!\n${texts.join("\n\n----\n\n").replaceAll("*/", "* /")}\n*/\n`;
}

/**
 * Name, version and licence of a package, with the texts of its licence and notice. A notice that names others under the MIT licence by
 * its address alone gets the text of that.
 * @param {string} folder
 */
function noticeOf(folder) {
  const { name, version, license } = JSON.parse(readFileSync(`${folder}package.json`, "utf8"));
  const files = readdirSync(folder).filter((file) => /^(?:notice|licen[cs]e)/i.test(file)).sort();
  if (!files.some((file) => /^licen[cs]e/i.test(file))) throw new Error(`build: expected a licence in ${folder}, got none`);
  const texts = files.map((file) => readFileSync(folder + file, "utf8").trim());
  if (texts.some((text) => text.includes("https://opensource.org/licenses/MIT"))) texts.push(`The MIT License\n\n${MIT}`);
  return `${name} ${version} (${license}):\n\n${texts.join("\n\n")}`;
}

/** What dist holds of others. */
function thirdParty() {
  const packed = readdirSync(`${root}dist/`, { recursive: true, encoding: "utf8" }).filter((file) => file.endsWith(".js")).flatMap((file) =>
    [...readFileSync(`${root}dist/${file}`, "utf8").matchAll(/^Parts of (\S+) \S+ \(.*\):$/gm)].map(([, name]) => name));
  const names = [...new Set(packed)].filter((name) => name !== "soakstep").sort();
  return `What the files of this folder hold of other packages, and under which terms.\n\n${
    names.map((name) => noticeOf(`${root}node_modules/${name}/`)).join(`\n\n${"-".repeat(80)}\n\n`)}\n`;
}
