// @ts-check
// `npm run notebook`: opens Jupyter on the notebooks; what stands behind `--` goes to Jupyter.
import { jupyter } from "./jupyter.mjs";

process.exitCode = jupyter("jupyter-notebook", process.argv.slice(2), "notebooks");
