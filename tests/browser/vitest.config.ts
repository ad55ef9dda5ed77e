import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

// `npm run test:browser`: needs Chromium, the reports of `npm start` and the pages of `npm run notebooks`
export default defineConfig({
  root: fileURLToPath(new URL("../../", import.meta.url)),
  // one Chromium at a time: two share the processor so badly that both get slow
  test: { include: ["tests/browser/**/*.test.ts"], testTimeout: 60_000, hookTimeout: 60_000, fileParallelism: false },
});
