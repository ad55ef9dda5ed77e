import { defineConfig } from "vitest/config";

// `npm test` needs npm packages alone: what needs a build, Chromium or Jupyter has a configuration of its own
export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts"],
    exclude: ["tests/browser/**", "tests/notebooks/**"],
  },
});
