import type { AsBuiltResult } from "../dips/asBuilt.ts";
import { volumeText } from "../text/format.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { html } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { stormRows } from "./stormRows.ts";

/** The works as built beside the drawing: what differs, the same storms through both, the room in both, and what no longer holds. */
export function asBuiltPart(result: AsBuiltResult): PagePart {
  const { changes, storms, storage, noLonger, drawn, built, date } = result;
  const answer = plainText(result.answer, Infinity);
  const section = html`<section aria-labelledby="as-built-name">
<h2 id="as-built-name"><span class="storm-name">As built, ${date}</span> ${keptTogether(answer)}</h2>
<h3>What differs</h3>
<div class="scroll" role="region" aria-label="What differs" tabindex="0"><table class="words">
<thead><tr><th scope="col">key of the file</th><th scope="col">drawn</th><th scope="col">built</th></tr></thead>
<tbody>${changes.map(({ key, drawn: was, built: is }) => html`<tr><th scope="row">${plainText(key)}</th><td>${plainText(written(was))}</td><td>${plainText(written(is))}</td></tr>`)}</tbody>
</table></div>
<h3>The same storms</h3>
<div class="scroll" role="region" aria-label="Storms" tabindex="0"><table class="words">
<caption>Room up to where water comes out: drawn ${volumeText(storage.drawn, drawn.units)}, built ${volumeText(storage.built, built.units)}.${storms.length < drawn.storms.length ? " Storms whose rain was not read are not rerun." : ""}</caption>
<thead><tr><th scope="col">storm</th><th scope="col">drawn</th><th scope="col">built</th></tr></thead>
${stormRows(storms.map((each) => ({ storm: each.storm, cells: [each.drawn, each.built] })), drawn)}
</table></div>
<h3>What no longer holds</h3>
${noLonger.length === 0 ? html`<p>All that held for the drawing holds for what was built.</p>`
    : html`<ul class="notes">${noLonger.map((note) => html`<li>${keptTogether(plainText(note, Infinity))}</li>`)}</ul>`}
</section>`;
  return { answer, section, pictures: [] };
}

/** A value of the file as a person writes it: `top 98.2 ft, conductivity 0.8 in/hr; …` for a list of layers. */
function written(value: unknown): string {
  if (value === undefined) return "—";
  if (Array.isArray(value)) return value.map(written).join("; ");
  if (typeof value === "object" && value !== null) return Object.entries(value).map(([key, part]) => `${key} ${written(part)}`).join(", ");
  return typeof value === "string" ? value : JSON.stringify(value);
}
