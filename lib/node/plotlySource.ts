import { readFileSync } from "node:fs";

/** Source of plotly's basic bundle with its licence, as the build puts it into dist, for pages to carry; lib and dist lie side by side. */
export function plotlySource(): string {
  return readFileSync(new URL("../../dist/parts/plotly.js", import.meta.url), "utf8");
}
