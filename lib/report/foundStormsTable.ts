import type { FoundStorm } from "../dips/foundStorms.ts";
import type { Site } from "../site/site.ts";
import { html, type Markup } from "./markup.ts";
import { stormRows } from "./stormRows.ts";

/** Where a soil that was measured goes, for the page that tells of it. */
export const TO_DECIDE_BY =
  "Once it is kept in the site's file (“measured” with “--keep”), “decide” draws “how sure” and “how often” round this soil, within its band; sizes and single storms go by the figure of the file.";

/** What the design says in its own storms, changed by what was measured: as drawn, as measured, and with the soil at its band's ends. */
export function foundStormsTable(storms: readonly FoundStorm[], site: Site): Markup | null {
  if (storms.length === 0) return null;
  return html`<h3>What it changes in the design</h3>
<div class="scroll" role="region" aria-label="The file's storms with the works as measured" tabindex="0"><table class="words">
<caption>The file's storms in the works as measured; under the band, with the soil at its slow and at its fast end.</caption>
<thead><tr><th scope="col">storm</th><th scope="col">as drawn</th><th scope="col">as measured</th><th scope="col">band of 95 percent</th></tr></thead>
${stormRows(storms.map(({ storm, drawn, best, low, high }) => ({ storm, cells: [drawn, best, { low, high }] })), site)}
</table></div>`;
}
