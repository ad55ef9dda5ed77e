import { cautions, limits } from "./cautions.ts";
import { html, type Markup } from "./markup.ts";

/** What has to be said to whoever digs, and what the program does not promise: at the foot of every page. */
export function cautionSections(): Markup {
  return html`<section aria-labelledby="cautions-name">
<h2 id="cautions-name">Before anybody digs</h2>
<dl>${cautions.map(({ about, words }) => html`<div><dt>${about}</dt><dd>${words}</dd></div>`)}</dl>
</section>
<section aria-labelledby="limits-name">
<h2 id="limits-name">What this does not promise</h2>
<ul class="notes">${limits.map((limit) => html`<li>${limit}</li>`)}</ul>
</section>`;
}
