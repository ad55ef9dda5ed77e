import type { StormAnswer } from "../dips/asBuilt.ts";
import { drainText } from "../dips/emptying.ts";
import type { Site } from "../site/site.ts";
import { volumeText, waterText } from "../text/format.ts";
import { plainText } from "../text/plainText.ts";
import { html, type Markup } from "./markup.ts";
import { lastingText } from "../text/hours.ts";

/** One answer of a storm, or both ends of a band of it; null at an end that has no bound. */
export type StormCell = StormAnswer | { readonly low: StormAnswer | null; readonly high: StormAnswer | null };

/** Storms in different works: a group of rows a storm, a cell for each of the works. What is nothing everywhere is left out. */
export function stormRows(
  storms: readonly { readonly storm: string; readonly cells: readonly StormCell[] }[], { units }: Pick<Site, "units">,
): Markup[] {
  const all = storms.flatMap(({ cells }) => cells.flatMap((cell) => ("peak" in cell ? [cell] : [cell.low, cell.high].filter((end) => end !== null))));
  const volume = (value: number): string => (value < NOTHING ? "none" : volumeText(value, units));
  const lines: readonly (readonly [words: string, shown: boolean, text: (answer: StormAnswer) => string])[] = [
    ["highest water of the pit", true, ({ peak }) => waterText(peak, units)],
    ["let out by the emitter", all.some(({ emitted }) => emitted >= NOTHING), ({ emitted }) => volume(emitted)],
    ["comes up elsewhere", all.some(({ spilled }) => spilled >= NOTHING), ({ spilled }) => volume(spilled)],
    ["empty after", true, ({ empty }) => (empty === null ? drainText(null) : lastingText(empty))],
  ];
  return storms.map(({ storm, cells }) => html`<tbody><tr><th scope="rowgroup" colspan="${cells.length + 1}">${plainText(storm)}</th></tr>
${lines.filter(([, shown]) => shown).map(([words, , text]) => html`<tr><td>${words}</td>${cells.map((cell) => html`<td>${"peak" in cell ? text(cell) : ends(cell, text)}</td>`)}</tr>`)}</tbody>`);
}

/** A smaller volume counts as no water [m3]. */
const NOTHING = 1e-3;

function ends({ low, high }: Exclude<StormCell, StormAnswer>, text: (answer: StormAnswer) => string): string {
  if (low === null) return high === null ? "no bound either way" : `${text(high)} at the fast end, no slow one`;
  if (high === null) return `${text(low)} at the slow end, no fast one`;
  const [slow, fast] = [text(low), text(high)];
  return slow === fast ? slow : `${slow} to ${fast}`;
}
