import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

// `npm run test:notebooks`: needs dist, which `npm ci` builds
export default defineConfig({
  root: fileURLToPath(new URL("../../", import.meta.url)),
  test: { include: ["tests/notebooks/**/*.test.ts"], testTimeout: 120_000 },
});
