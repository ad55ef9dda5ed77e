import { visible } from "./words.ts";

/**
 * A person's text made fit for one line of a picture or a terminal: control characters (an escape would steer a
 * terminal) and marks that turn the reading direction (they would turn what stands beside them too) are shown as escapes,
 * white space is one space, and what is longer than `longest` is cut and marked. For showing only; the text itself
 * stays as it was given.
 *
 * @param text     anything a site file may hold as a name
 * @param longest  characters to keep at most, the mark included
 * @returns        one line, "?" where nothing is left of it
 */
export function plainText(text: string, longest: number = Infinity): string {
  const line = visible(text.replace(/\s+/gu, " ").replace(/[\u200b-\u200f\u2060-\u2064\ufeff]/gu, "")).trim();
  if (line === "") return "?";
  const characters = Array.from(line);
  return characters.length > longest ? `${characters.slice(0, longest - 1).join("").trimEnd()}…` : line;
}

/**
 * A person's text for a plotly title, label or hover, where `<b>` or `<a>` would be taken as markup and `%{x}` as a
 * number to fill in. It stands between marks that keep a right-to-left name from turning the words around it.
 *
 * @param text     as for `plainText`
 * @param longest  as for `plainText`
 */
export function plotText(text: string, longest: number = 60): string {
  const line = plainText(text, longest).replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/%\{/g, "% {");
  return readsRightToLeft.test(line) ? `\u2068${line}\u2069` : line;
}

const readsRightToLeft = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc]/u;
