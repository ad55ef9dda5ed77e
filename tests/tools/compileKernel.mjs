// @ts-check
// Compiles lib/kernel to WebAssembly and writes its bytes into lib/simulate/kernelBytes.ts, and the same as script into
// lib/simulate/kernelScript.ts; neither is in git. Does nothing
// where that was made from the very same sources. `npm ci` runs it with the build, vitest before its tests.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { copyFileSync, cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { fileURLToPath, pathToFileURL } from "node:url";

const root = fileURLToPath(new URL("../../", import.meta.url));
const folder = `${root}lib/kernel/`;
const target = `${root}lib/simulate/kernelBytes.ts`;
const script = `${root}lib/simulate/kernelScript.ts`;
/** where the lines of lib/kernel are told that the bytes come from, in a build for a profiler or a browser's debugger */
const map = `${root}out/kernel.wasm.map`;
const OPTIONS = [
  "-O3", "--noAssert", "--runtime", "stub", ...(process.env["KERNEL_DEBUG"] === "1" ? ["--debug", "--sourceMap", pathToFileURL(map).href] : []),
];

/** @returns {void} */
export function compileKernel() {
  const sources = readdirSync(folder).filter((name) => name.endsWith(".ts")).sort();
  const hash = createHash("sha256").update(OPTIONS.join(" "));
  for (const name of sources) hash.update(name).update(readFileSync(folder + name));
  const first = `// Made by tests/tools/compileKernel.mjs from lib/kernel, of ${hash.digest("hex")}`;
  if ([target, script].every((file) => existsSync(file) && readFileSync(file, "utf8").startsWith(`${first}\n`))) return;
  const out = mkdtempSync(`${tmpdir()}/kernel-`);
  try {
    run("assemblyscript/bin/asc.js", [`${folder}kernel.ts`, "--baseDir", root, "--outFile", `${out}/kernel.wasm`, ...OPTIONS]);
    run("binaryen/bin/wasm2js", [`${out}/kernel.wasm`, "-all", "-O", "-o", `${out}/kernel.mjs`]);
    if (existsSync(`${out}/kernel.wasm.map`)) {
      mkdirSync(`${root}out`, { recursive: true });
      copyFileSync(`${out}/kernel.wasm.map`, map);
    }
    const bytes = readFileSync(`${out}/kernel.wasm`).toString("base64");
    writeFileSync(script, `${first}\n${scriptOf(readFileSync(`${out}/kernel.mjs`, "utf8"))}`);
    writeFileSync(target, `${first}\n/** The kernel as WebAssembly, in base64. */\nexport const kernelBytes: string =\n  "${bytes}";\n`);
  } finally {
    rmSync(out, { recursive: true });
  }
}

/**
 * The kernel with a device of its sources switched off, compiled beside the one that runs and written nowhere.
 * @param {readonly { file: string, from: string, to: string }[]} changes  each text stands once in its file
 * @returns {() => unknown} makes instances, for `newKernel`
 */
export function changedKernel(changes) {
  const out = mkdtempSync(`${tmpdir()}/kernel-`);
  try {
    cpSync(folder, `${out}/kernel`, { recursive: true });
    for (const { file, from, to } of changes) {
      const parts = readFileSync(`${out}/kernel/${file}`, "utf8").split(from);
      if (parts.length !== 2) throw new Error(`expected once in lib/kernel/${file}, got ${parts.length - 1} times: ${from}`);
      writeFileSync(`${out}/kernel/${file}`, parts.join(to));
    }
    run("assemblyscript/bin/asc.js", [`${out}/kernel/kernel.ts`, "--baseDir", out, "--outFile", `${out}/kernel.wasm`, ...OPTIONS]);
    const module = new WebAssembly.Module(readFileSync(`${out}/kernel.wasm`));
    return () => new WebAssembly.Instance(module).exports;
  } finally {
    rmSync(out, { recursive: true });
  }
}

/**
 * A tool of node_modules as a process of its own: the compiler's types would add to every array of the program that imports it.
 * @param {string} tool
 * @param {string[]} words
 */
function run(tool, words) {
  const { status, error } = spawnSync(process.execPath, [`${root}node_modules/${tool}`, ...words], { stdio: "inherit" });
  if (error) throw error;
  if (status !== 0) throw new Error(`build: the kernel does not compile: ${tool} says why above`);
}

/**
 * What wasm2js makes has one memory a module; here everything, the memory's view included, belongs to the instance.
 * @param {string} made
 */
function scriptOf(made) {
  const end = made.indexOf("\nvar retasmFunc = asmFunc(");
  if (end < 0) throw new Error("build: expected a call of asmFunc in what wasm2js makes, got none");
  return "// @ts-nocheck\n/** A new instance of the kernel as script, where WebAssembly is forbidden; null in a program that was built without it. */\n"
    + `export const kernelInScript: (() => unknown) | null = () => {\n${made.slice(0, end)}\nreturn asmFunc({});\n};\n`;
}

/** What vitest calls before all tests. */
export const setup = compileKernel;
