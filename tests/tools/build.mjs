// @ts-check
// Builds dist from lib. dist is deleted first, because the compiler never removes the output of a file that is gone.
import { spawnSync } from "node:child_process";
import { existsSync, rmSync } from "node:fs";
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
