// @ts-check
// `npm run notebooks`: runs every notebook from its top in real Jupyter and writes it as a page to out/notebooks/.
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { notebookStyle } from "../../dist/report/notebookStyle.js";
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
if (process.exitCode === 0) {
  for (const name of names) {
    const page = new URL(name.replace(/\.ipynb$/, ".html"), out);
    writeFileSync(page, dressed(readFileSync(page, "utf8")));
    console.log(`out/notebooks/${name.replace(/\.ipynb$/, ".html")}`);
  }
}

/**
 * A page of Jupyter's in the language and the look of the other pages.
 * @param {string} page
 */
function dressed(page) {
  const told = page.replace(/<html[^>]*>/, '<html lang="en">').replace('<script src=""></script>', "");
  const at = told.indexOf("</head>");
  if (at < 0) throw new Error("expected a page with a head from nbconvert, got none");
  return `${told.slice(0, at)}<style>${notebookStyle}</style>\n${told.slice(at)}`;
}
