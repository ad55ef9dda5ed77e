// @ts-check
// Runs a Jupyter program of this machine with the project's kernel; all that Jupyter writes for itself stays under out/.
import { spawnSync } from "node:child_process";
import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../", import.meta.url));

/**
 * @param {string} program  such as `jupyter-nbconvert`, which is also the name of the Debian package that has it
 * @param {readonly string[]} args
 * @param {string} folder  where it works, from the project's folder
 * @returns {number}  its exit status; 127 with a line on stderr where the program is missing
 */
export function jupyter(program, args, folder) {
  const own = `${root}out/jupyter/`;
  mkdirSync(own, { recursive: true });
  const { status, error } = spawnSync(program, args, {
    cwd: root + folder,
    stdio: "inherit",
    env: {
      ...process.env,
      JUPYTER_PATH: `${root}notebooks/kernel`,
      JUPYTER_DATA_DIR: `${own}data`,
      JUPYTER_CONFIG_DIR: `${own}config`,
      JUPYTER_RUNTIME_DIR: `${own}runtime`,
      IPYTHONDIR: `${own}ipython`,
    },
  });
  if (error && "code" in error && error.code === "ENOENT") {
    console.error(`expected the program ${program}, got none: install it with \`apt-get install ${program}\``);
    return 127;
  }
  if (error) throw error;
  return status ?? 1;
}
