// @ts-check
// `node tests/tools/stripNotebook.mjs <notebook> …`: rewrites notebooks without outputs, as they are kept in git.
import { readFileSync, writeFileSync } from "node:fs";
import { argv } from "node:process";
import { pathToFileURL } from "node:url";

/**
 * A notebook's text as it is kept: format 4.5, no outputs or counts, empty cell metadata, one source line an item,
 * sorted keys, one space of indent. Cells without an id get one from their place.
 *
 * @param {string} text
 * @returns {string}
 */
export function strippedNotebook(text) {
  const { cells } = JSON.parse(text);
  const ids = new Set(cells.map((/** @type {{ id?: string }} */ cell) => cell.id));
  const stripped = {
    cells: cells.map((/** @type {{ cell_type: string, id?: string, source: string | string[] }} */ cell, /** @type {number} */ i) => ({
      cell_type: cell.cell_type,
      ...(cell.cell_type === "code" ? { execution_count: null, outputs: [] } : {}),
      id: cell.id ?? freeId(`cell-${i + 1}`, ids),
      metadata: {},
      source: sourceLines(cell.source),
    })),
    metadata: {
      kernelspec: { display_name: "TypeScript (soakstep)", language: "typescript", name: "soakstep" },
      language_info: { file_extension: ".ts", mimetype: "text/typescript", name: "typescript" },
    },
    nbformat: 4,
    nbformat_minor: 5,
  };
  return `${JSON.stringify(sorted(stripped), null, 1)}\n`;
}

/** @param {string} wanted @param {Set<string | undefined>} taken */
function freeId(wanted, taken) {
  let id = wanted;
  for (let n = 2; taken.has(id); n++) id = `${wanted}-${n}`;
  taken.add(id);
  return id;
}

/** @param {string | string[]} source */
function sourceLines(source) {
  const text = (Array.isArray(source) ? source.join("") : source).replace(/\s+$/, "");
  return text === "" ? [] : text.split(/(?<=\n)/);
}

/** @param {unknown} value @returns {unknown} */
function sorted(value) {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, part]) => [key, sorted(part)]));
}

if (argv[1] !== undefined && import.meta.url === pathToFileURL(argv[1]).href) {
  for (const path of argv.slice(2)) writeFileSync(path, strippedNotebook(readFileSync(path, "utf8")));
}
