// @ts-check
// Compiles lib/kernel to WebAssembly and writes its bytes into lib/simulate/kernelBytes.ts, which is not in git. Does nothing
// where that was made from the very same sources. `npm ci` runs it with the build, vitest before its tests.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../", import.meta.url));
const folder = `${root}lib/kernel/`;
const target = `${root}lib/simulate/kernelBytes.ts`;
const OPTIONS = ["-O3", "--noAssert", "--runtime", "stub"];

/** @returns {void} */
export function compileKernel() {
  const sources = readdirSync(folder).filter((name) => name.endsWith(".ts")).sort();
  const hash = createHash("sha256").update(OPTIONS.join(" "));
  for (const name of sources) hash.update(name).update(readFileSync(folder + name));
  const first = `// Made by tests/tools/compileKernel.mjs from lib/kernel, of ${hash.digest("hex")}`;
  if (existsSync(target) && readFileSync(target, "utf8").startsWith(`${first}\n`)) return;
  const out = mkdtempSync(`${tmpdir()}/kernel-`);
  try {
    // as a process of its own: the compiler's types would add to every array of the program that imports it
    const compiler = `${root}node_modules/assemblyscript/bin/asc.js`;
    const { status, error } = spawnSync(
      process.execPath, [compiler, `${folder}kernel.ts`, "--baseDir", root, "--outFile", `${out}/kernel.wasm`, ...OPTIONS], { stdio: "inherit" },
    );
    if (error) throw error;
    if (status !== 0) throw new Error("build: the kernel does not compile, for the reasons above");
    const bytes = readFileSync(`${out}/kernel.wasm`).toString("base64");
    writeFileSync(target, `${first}\n/** The kernel as WebAssembly, in base64. */\nexport const kernelBytes: string =\n  "${bytes}";\n`);
  } finally {
    rmSync(out, { recursive: true });
  }
}

/** What vitest calls before all tests. */
export const setup = compileKernel;
