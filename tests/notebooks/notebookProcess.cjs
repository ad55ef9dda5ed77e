// @ts-check
// Runs one notebook as the kernel would, without Jupyter: `fork`ed by runNotebook.ts with the notebook's path.
// Sends each display as a message; prints what cells print; exits 1 at the first cell that fails.
const { readFileSync } = require("node:fs");
const { dirname, resolve } = require("node:path");
const { createConverter } = require("tslab/dist/converter.js");
const { createExecutor } = require("tslab/dist/executor.js");
const jupyter = require("tslab/dist/jupyter.js");

/** @param {string} path */
async function run(path) {
  process.chdir(dirname(path));
  const node = createConverter({ isJS: false, isBrowser: false });
  const executor = createExecutor(process.cwd(), { node, browser: node, close: () => node.close() }, console);
  const { cells } = JSON.parse(readFileSync(path, "utf8"));
  /** @type {Promise<void>[]} */
  const sent = [];
  for (const [i, cell] of cells.entries()) {
    if (cell.cell_type !== "code") continue;
    jupyter.lastWriteDisplayData = ({ data }) => sent.push(send({ cell: i + 1, data }));
    const isGood = await executor.execute(cell.source.join(""));
    if (isGood) continue;
    console.error(`cell ${i + 1} failed`);
    process.exitCode = 1;
    break;
  }
  await Promise.all(sent);
  // lets the process end by itself, after timers and promises that cells left behind: their errors count too
  executor.close();
  process.channel?.unref();
}

/** @param {{ cell: number, data: Record<string, string | Uint8Array> }} display @returns {Promise<void>} */
function send(display) {
  return new Promise((done, fail) => process.send?.(display, (/** @type {Error | null} */ error) => (error ? fail(error) : done())));
}

run(resolve(process.argv[2] ?? ""));
