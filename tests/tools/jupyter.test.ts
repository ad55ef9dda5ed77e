import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

test("npm run notebook says in one line which package a machine without Jupyter needs", () => {
  const tool = fileURLToPath(new URL("openNotebook.mjs", import.meta.url));
  const { status, stdout, stderr } = spawnSync(process.execPath, [tool], { env: { PATH: "" }, encoding: "utf8" });
  expect(stderr).toBe("expected the program jupyter-notebook, got none: install it with `apt-get install jupyter-notebook`\n");
  expect(stdout).toBe("");
  expect(status).toBe(127);
});
