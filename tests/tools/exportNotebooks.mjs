// @ts-check
// `npm run notebooks`: runs every notebook from its top in real Jupyter and writes it as a page to out/notebooks/.
import { mkdirSync, readdirSync, rmSync } from "node:fs";
import { jupyter } from "./jupyter.mjs";

const out = new URL("../../out/notebooks/", import.meta.url);
const names = readdirSync(new URL("../../notebooks/", import.meta.url)).filter((name) => name.endsWith(".ipynb")).sort();

// a page of a notebook that is gone or fails would pass for one of this run
rmSync(out, { recursive: true, force: true });
mkdirSync(out, { recursive: true });
const flags = ["--execute", "--to", "html", "--output-dir", "../out/notebooks", "--log-level", "WARN"];
// without these two a page would ask the network for scripts
const offline = ["--HTMLExporter.require_js_url=", "--HTMLExporter.mathjax_url="];
process.exitCode = jupyter("jupyter-nbconvert", [...flags, ...offline, ...names], "notebooks");
if (process.exitCode === 0) for (const name of names) console.log(`out/notebooks/${name.replace(/\.ipynb$/, ".html")}`);
