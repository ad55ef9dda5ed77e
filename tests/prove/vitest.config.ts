import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const root = fileURLToPath(new URL("../../", import.meta.url));
const withRandomCases = readdirSync(join(root, "tests"), { recursive: true, encoding: "utf8" })
  .filter((file) => file.endsWith(".test.ts") && readFileSync(join(root, "tests", file), "utf8").includes("/share.ts")).map((file) => `tests/${file}`);

// Proofs too long for `npm test`, and all the random cases of laws that it tries on a tenth. `npm run prove` makes all of each;
// PROVE_SHARE=0.1 in front of it a tenth.
export default defineConfig({
  test: {
    root,
    include: ["tests/prove/**/*.test.ts", ...withRandomCases],
    globalSetup: "tests/tools/compileKernel.mjs",
    testTimeout: 3_600_000,
    maxWorkers: "100%",
    reporters: ["verbose"],
  },
});
