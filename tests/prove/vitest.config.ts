import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

// Proofs too long for `npm test`. `npm run prove` makes all of each; PROVE_SHARE=0.1 in front of it a tenth.
export default defineConfig({
  test: {
    root: fileURLToPath(new URL("../../", import.meta.url)),
    include: ["tests/prove/**/*.test.ts"],
    testTimeout: 3_600_000,
    maxWorkers: "100%",
    reporters: ["verbose"],
  },
});
