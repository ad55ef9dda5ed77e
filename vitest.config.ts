import { defineConfig } from "vitest/config";

// `npm test` needs npm packages alone: what needs a build, Chromium or Jupyter has a configuration of its own
export default defineConfig({
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
