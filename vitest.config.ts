import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const mathjsFile = (path: string): string => JSON.stringify(fileURLToPath(new URL(`node_modules/mathjs/lib/esm/type/${path}`, import.meta.url)));

/**
 * All of mathjs takes 0.6 s to load, and every test file that reads a unit would load it anew: lib gets the two files it
 * uses. What a test imports itself is the whole, and dist has its own piece from the build.
 */
const leanMathjs = {
  name: "lean-mathjs",
  enforce: "pre" as const,
  resolveId: (id: string, importer?: string) => (id === "mathjs" && importer?.endsWith("/lib/units/mathUnit.ts") ? "\0lean-mathjs" : null),
  load: (id: string) => (id === "\0lean-mathjs"
    ? `export { createUnitClass } from ${mathjsFile("unit/Unit.js")};\nexport { createFractionClass } from ${mathjsFile("fraction/Fraction.js")};`
    : null),
};

// `npm test` needs npm packages alone: what needs a build, Chromium or Jupyter has a configuration of its own
export default defineConfig({
  plugins: [leanMathjs],
  test: {
    include: ["tests/**/*.test.ts"],
    exclude: ["tests/browser/**", "tests/notebooks/**", "tests/prove/**"],
    globalSetup: "tests/tools/compileKernel.mjs",
    // of two cores vitest would leave one idle
    maxWorkers: "100%",
    // laws on random cases: all of them are for `npm run prove`
    env: { PROVE_SHARE: "0.1" },
    // no module of lib keeps state that one test could leave to the next: files share a process, and load lib once
    isolate: false,
    // a busy machine takes longer than the default of 5 s
    testTimeout: 30_000,
  },
});
