// @ts-check
// Builds dist from lib. dist is deleted first, because the compiler never removes the output of a file that is gone.
import { spawnSync } from "node:child_process";
import { existsSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../", import.meta.url));
// node_modules/.bin/tsc is the notebook kernel's own, much older compiler: name ours by its path
const compiler = `${root}node_modules/typescript/bin/tsc`;

if (!existsSync(compiler)) {
  console.error("build: expected TypeScript under node_modules, got none; run `npm ci` without leaving out dev dependencies");
  process.exit(1);
}
rmSync(`${root}dist`, { recursive: true, force: true });
const { status, error } = spawnSync(process.execPath, [compiler, "-p", "tsconfig.json"], { cwd: root, stdio: "inherit" });
if (error) throw error;
if (status !== 0) {
  // half a build would look like a whole one to whoever runs it next
  rmSync(`${root}dist`, { recursive: true, force: true });
  console.error("build: the compiler found the errors above; there is no dist");
  process.exit(1);
}
try {
  for (const file of ["units/mathUnit.js", "study/leastSquares.js"]) await packInto(`${root}dist/${file}`);
  await bundlePage(`${root}dist/live/main.js`, `${root}dist/live/page.js`);
} catch (problem) {
  rmSync(`${root}dist`, { recursive: true, force: true });
  throw problem;
}

/**
 * Puts what a file of dist uses of its packages into the file: a browser could not find them, and Node would load
 * all of mathjs.
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
  const left = [...imports, ...dynamicImports];
  if (left.length > 0) throw new Error(`build: expected its packages packed into ${file}, got imports of ${left.join(", ")}`);
}

/**
 * Bundles the program of the live page, the library with it, as one script without imports; the notices of packages stay.
 * @param {string} input
 * @param {string} file
 */
async function bundlePage(input, file) {
  const { rolldown } = await import("rolldown");
  const bundle = await rolldown({ input, platform: "browser", cwd: root });
  const { output: [{ imports, dynamicImports }] } = await bundle.write({ file, format: "iife", minify: true, comments: { legal: true } });
  await bundle.close();
  const left = [...imports, ...dynamicImports];
  if (left.length > 0) throw new Error(`build: expected one script for the live page, got imports of ${left.join(", ")}`);
  if (!readFileSync(file, "utf8").includes("Parts of mathjs")) throw new Error(`build: expected the notice of mathjs in ${file}, got none`);
}

/**
 * The notice of each package that modules come from, or its licence where it has none.
 * @param {readonly string[]} modules
 */
function licences(modules) {
  const packages = new Set(modules.flatMap((path) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+\//.exec(path) ?? []));
  const texts = [...packages].sort().map((folder) => {
    const { name, version, license } = JSON.parse(readFileSync(`${folder}package.json`, "utf8"));
    const files = readdirSync(folder);
    const notice = files.find((file) => /^notice/i.test(file)) ?? files.find((file) => /^licen[cs]e/i.test(file));
    if (notice === undefined) throw new Error(`build: expected a licence in ${folder}, got none`);
    return `Parts of ${name} ${version} (${license}):\n\n${readFileSync(folder + notice, "utf8").trim()}`;
  });
  return `/*!\n${texts.join("\n\n----\n\n")}\n*/`;
}
