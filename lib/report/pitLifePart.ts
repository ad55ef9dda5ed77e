import type { LifePoint, PitLife } from "../dips/pitLife.ts";
import { pitLifeFigure } from "../figures/pitLifeFigure.ts";
import { durationText } from "../text/format.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { everyText } from "../upkeep/upkeepCalendar.ts";
import { years } from "../upkeep/years.ts";
import { html } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";

/**
 * The life of a pit on a page: how long it takes to empty, as measured over the line that was drawn on day one, and every day of its file
 * from the last back to the first.
 */
export function pitLifePart(life: PitLife): PagePart {
  const { drawn, points, events, asDrawn, dayOne } = life;
  const said = plainText(life.answer, Infinity);
  const told = asDrawn === null ? null
    : years(drawn, { storms: [{ name: plainText(asDrawn.storm, 80), load: asDrawn.rain }], years: yearsShown(life) });
  const pictures = told === null ? [] : [pictureOf("pit-life", (options) => pitLifeFigure(life, told, options))];
  const section = html`<section aria-labelledby="pit-life-name">
<h2 id="pit-life-name"><span class="storm-name">The life of the pit</span> ${keptTogether(said)}</h2>
${told === null ? html`<p>The file has no storm to be emptied after: give it <code>storms</code>, and the picture shows how long that takes, year by year.</p>` : html`${pictures.map((picture) => placeOf(picture, "Grey: what the drawing promised, with the boxes cleaned (solid) and with nobody looking after them (dashed). Squares: as measured, with their bands of 95 percent."))}
<p>${keptTogether(`The line is that of the years ahead as they look from the drawing, boxes cleaned ${everyText(told.cleaning.every)}${told.assumed.length === 0 ? "" : `; ${told.assumed.length} figures of upkeep are assumed, for the file does not give them`}. What silt does to a floor is known to a factor of ten at best; where squares and line part, believe the squares.`)}</p>`}
${points.length === 0 ? null : html`<div class="scroll" role="region" aria-label="Measurements" tabindex="0"><table class="words">
<thead><tr><th scope="col">day</th><th scope="col">by</th><th scope="col">${points[0]!.emptying.half ? "half empty" : "empty"} in</th><th scope="col">band of 95 percent</th></tr></thead>
<tbody>${points.map((point) => html`<tr><th scope="row">${point.date.slice(0, 10)}</th><td>${point.by}</td><td class="figure">${timeText(point.emptying.time)}</td><td class="figure">${bandWords(point)}</td></tr>`)}</tbody>
</table></div>`}
<h3>Day by day, since ${dayOne.slice(0, 10)}</h3>
<dl>${[...new Set(events.toReversed().map(({ date }) => date))].map((date) => html`<div><dt>${plainText(date)}</dt><dd>${keptTogether(plainText(events.filter((each) => each.date === date).map(({ words }) => words).join(" "), Infinity))}</dd></div>`)}</dl>
</section>`;
  return { answer: said, section, pictures };
}

/** Some years beyond the last day, for what is still to come. */
function yearsShown({ events, points }: PitLife): number {
  const last = [...events, ...points].reduce((most, each) => Math.max(most, each.years), 0);
  return Math.min(100, Math.max(5, Math.ceil(last) + 2));
}

function timeText(time: number | null): string {
  return time === null ? "not within 20 days" : durationText(time);
}

function bandWords({ emptying: { band: { low, high } } }: LifePoint): string {
  return low === null || high === null ? "no bound" : `${durationText(low)} to ${durationText(high)}`;
}
