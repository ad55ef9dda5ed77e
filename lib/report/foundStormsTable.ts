import type { StormAnswer } from "../dips/asBuilt.ts";
import { drainText } from "../dips/emptying.ts";
import type { FoundStorm } from "../dips/foundStorms.ts";
import type { Site } from "../site/site.ts";
import { durationText, levelText, volumeText } from "../text/format.ts";
import { plainText } from "../text/plainText.ts";
import { html, type Markup } from "./markup.ts";

/** What the design says in its own storms, changed by what was measured: as drawn, as measured, and with the soil at its band's ends. */
export function foundStormsTable(storms: readonly FoundStorm[], { units }: Site): Markup | null {
  if (storms.length === 0) return null;
  const volume = (value: number): string => (value < NOTHING ? "none" : volumeText(value, units));
  const lines: readonly (readonly [words: string, shown: boolean, text: (answer: StormAnswer) => string])[] = [
    ["highest water of the pit", true, ({ peak }) => levelText(peak, units)],
    ["let out by the emitter", some(storms, ({ emitted }) => emitted), ({ emitted }) => volume(emitted)],
    ["comes up elsewhere", some(storms, ({ spilled }) => spilled), ({ spilled }) => volume(spilled)],
    ["empty after", true, ({ empty }) => (empty === null ? drainText(null) : durationText(empty))],
  ];
  return html`<h3>What it changes in the design</h3>
<div class="scroll" role="region" aria-label="The file's storms with the works as measured" tabindex="0"><table class="words">
<caption>The file's storms in the works as measured; under the band, with the soil at its slow and at its fast end.</caption>
<thead><tr><th scope="col">storm</th><th scope="col">as drawn</th><th scope="col">as measured</th><th scope="col">band of 95 percent</th></tr></thead>
${storms.map(({ storm, drawn, best, low, high }) => html`<tbody><tr><th scope="rowgroup" colspan="4">${plainText(storm)}</th></tr>
${lines.filter(([, shown]) => shown).map(([words, , text]) => html`<tr><td>${words}</td><td>${text(drawn)}</td><td>${text(best)}</td><td>${ends(low, high, text)}</td></tr>`)}</tbody>`)}
</table></div>`;
}

/** A smaller volume counts as no water [m3]. */
const NOTHING = 1e-3;

function some(storms: readonly FoundStorm[], of: (answer: StormAnswer) => number): boolean {
  return storms.some(({ drawn, best, low, high }) => [drawn, best, low, high].some((answer) => answer !== null && of(answer) >= NOTHING));
}

function ends(low: StormAnswer | null, high: StormAnswer | null, text: (answer: StormAnswer) => string): string {
  if (low === null) return high === null ? "no bound either way" : `${text(high)} at the fast end, no slow one`;
  if (high === null) return `${text(low)} at the slow end, no fast one`;
  const [slow, fast] = [text(low), text(high)];
  return slow === fast ? slow : `${slow} to ${fast}`;
}
