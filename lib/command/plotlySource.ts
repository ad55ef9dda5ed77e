import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

/** The source of plotly's basic bundle, for pages to carry. */
export function plotlySource(): string {
  return readFileSync(createRequire(import.meta.url).resolve("plotly.js-basic-dist-min"), "utf8");
}
