import type { AsBuiltResult } from "../dips/asBuilt.ts";
import type { LifePoint, PitLife } from "../dips/pitLife.ts";
import { dayText, isTooDeep, type Season, type SeasonNumber, soilFigureText } from "../dips/season.ts";
import { pitLifeFigure } from "../figures/pitLifeFigure.ts";
import { seasonFigure } from "../figures/seasonFigure.ts";
import { depthText, levelText, twoFigures, volumeText, waterText } from "../text/format.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { everyText } from "../upkeep/upkeepCalendar.ts";
import { years } from "../upkeep/years.ts";
import { foundStormsTable, TO_DECIDE_BY } from "./foundStormsTable.ts";
import { html } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";
import { stormRows } from "./stormRows.ts";
import { lastingText } from "../text/hours.ts";

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
  return time === null ? "not within 20 days" : lastingText(time);
}

function bandWords({ emptying: { band: { low, high } } }: LifePoint): string {
  return low === null || high === null ? "no bound" : `${lastingText(low)} to ${lastingText(high)}`;
}

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

/** A logger's season on a page: the answer, the picture, numbers with their bands, the soil to design with next, what the model misses. */
export function seasonPart(season: Season): PagePart {
  const { site, answer, numbers, soilFigure, emptying, inStorms, notes } = season;
  const picture = pictureOf("season", (options) => seasonFigure(season, options));
  const said = plainText(answer, Infinity);
  const figures = soilFigureText(season);
  const section = html`<section aria-labelledby="season-name">
<h2 id="season-name"><span class="storm-name">A season of the logger</span> ${keptTogether(said)}</h2>
${placeOf(picture, "Bars: rain by the day. Blue: the readings; grey: the run of the works as they were found. Beneath, what the readings lie off the run, under the weather they came with.")}
<h3>What the levels say</h3>
<div class="scroll" role="region" aria-label="Numbers of the season" tabindex="0"><table class="words">
<caption>95 percent bands, for readings whose errors are remembered, storm by storm.</caption>
<thead><tr><th scope="col">number</th><th scope="col">best</th><th scope="col">band</th></tr></thead>
<tbody>${numbers.filter(({ name }) => !name.startsWith("table")).map((number) => {
    const { words, figure } = shownAs(number, season);
    return html`<tr><th scope="row">${words}</th>${
      number.name === "waterTable" && isTooDeep(season.fit)
        ? html`<td colspan="2">too deep for the levels in the pit to tell</td>`
        : html`<td class="figure">${figure(number.value)}</td><td class="figure">${figure(number.band.low)} to ${figure(number.band.high)}</td>`}</tr>`;
  })}</tbody>
</table></div>
${foundStormsTable(inStorms, site)}
<h3>The soil to design with next</h3>
<div class="scroll" role="region" aria-label="Soil figures" tabindex="0"><table class="words">
<thead><tr><th scope="col">layer from</th><th scope="col">conductivity (low to high)</th></tr></thead>
<tbody>${soilFigure.map(({ top }, i) => html`<tr><th scope="row">${Number.isFinite(top) ? levelText(top, site.units) : "the surface"}</th><td>${figures[i]!}</td></tr>`)}</tbody>
</table></div>
<p>As it takes water in these works, so no factor of safety is to be taken off it again but for what is still to come; the low end is the figure to size by.${emptying === null || emptying.drawn === null || emptying.time === null ? "" : ` On day one the drawing promised ${lastingText(emptying.drawn)} where it now takes ${lastingText(emptying.time)}.`} ${keptTogether(TO_DECIDE_BY)}</p>
<h3>What else to know</h3>
<ul class="notes">${notes.map((note) => html`<li>${keptTogether(plainText(note, Infinity))}</li>`)}</ul>
</section>`;
  return { answer: said, section, pictures: [picture] };
}

interface Shown {
  readonly words: string;
  readonly figure: (number: number) => string;
}

function shownAs({ name }: SeasonNumber, { site: { units }, change, start }: Season): Shown {
  const times = (number: number): string => `${twoFigures(number)} ×`;
  switch (name) {
    case "soil": return { words: "soil, times what the design counts on", figure: times };
    case "floor": return { words: "floor, times what the sides take in of their share", figure: times };
    case "waterTable": return { words: "water table, on average", figure: (number) => waterText(number, units) };
    case "roof": return { words: "water that ran in, times what rain and file bring", figure: times };
    case "trend": return { words: "soil a year on, times now", figure: times };
    case "change": return { words: change?.kind === "trend" ? `soil a year after ${dayText(start, change.at)}, times then` : `soil after ${dayText(start, change?.at ?? 0)}, times before`, figure: times };
    case "drift": case "tableSine": case "tableCosine":
      return { words: "drift of the sensor over the record", figure: (number) => `${number < 0 ? "−" : ""}${depthText(Math.abs(number), units)}` };
    default: return { words: `soil after cleaning ${name.slice(-1)}, times before`, figure: times };
  }
}
