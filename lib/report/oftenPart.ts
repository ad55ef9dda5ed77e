import { bandText, exceedanceFigure, oftenAnswer, partText, yearsWords } from "../figures/exceedanceFigure.ts";
import { lastingText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { surfaceWords } from "../site/surfaceWords.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { ruleSoil, soilCentre } from "../site/measuredSoil.ts";
import type { Site } from "../site/site.ts";
import type { HowOften, OnceIn } from "../study/often.ts";
import type { RainTold } from "../study/rainTold.ts";
import type { TableStorms } from "../study/tableStorms.ts";
import { depthText, displayUnits, durationText, threeFigures, volumeText, waterText } from "../text/format.ts";
import { wholeYears, YEAR } from "../text/unitTable.ts";
import { html, type Markup } from "./markup.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";
import type { PagePart } from "./pagePart.ts";
import { tenthsText } from "../text/words.ts";

/** How often, on a page: the yearly extremes, the averages, and what becomes of them in other soil. */
export function oftenPart(result: HowOften): PagePart {
  const { site, average, longestWet, peak } = result;
  const pictures = peak.length === 0 ? [] : [pictureOf("often-exceedance", (options) => exceedanceFigure(result, options))];
  const answer = oftenAnswer(result);
  const rows: readonly (readonly [string, string])[] = [
    ...(site.emitter === null ? [] : [
      ["storms in a year in which the emitter lets out water", stormsText(average.firingStorms)] as const,
      ["let out by the emitter in a year", `${volumeText(average.emitterVolume, site.units)}, ${partText(average.emitterShare)}`] as const,
    ]),
    [`storms in a year in which water comes out ${surfaceWords(site)}`, stormsText(average.spillStorms)],
    [`comes out there in a year${site.lowSpot === null ? "" : ", counted at each"}`, `${volumeText(average.spilled, site.units)}${site.lowSpot === null ? `, ${partText(average.spilledShare)}` : ""}`],
    ["pit above half", `${tenthsText(average.aboveHalf)} of the time`],
    [wetWords(site), `${tenthsText(average.wet)} of the time`],
    ["longest wet spell", lastingText(longestWet)],
  ];
  const section = html`<section class="storm" id="often" aria-labelledby="often-name">
<h2 id="often-name"><span class="storm-name">How often · ${yearsWords(result)}</span>${keptTogether(answer)}</h2>
${pictures.map((picture) => placeOf(picture, pointWords(result)))}
${wholeYears(result.years * YEAR) < 1 ? html`<p>Figures of a year are those of ${yearsWords(result)}, as if it went on like that.</p>` : null}
<div class="scroll" role="region" aria-labelledby="often-name" tabindex="0"><table class="words">
<tbody>${rows.map(([words, figure]) => html`<tr><th scope="row">${words}</th><td>${keptTogether(figure)}</td></tr>`)}</tbody>
</table></div>
${yearTable(result)}
${rainPart(result)}
${soilTable(result)}
</section>`;
  return { answer, section, pictures };
}

function pointWords({ years }: HowOften): string {
  const third = Math.floor(years / 3);
  const beyond = third < 2 ? "so few years give no estimate" : `beyond ${third} years, a third of these, a point is a single year and no estimate`;
  return `A point for every year with every soil: its return period by the place it takes among them; ${beyond}.`;
}

function stormsText(storms: number): string {
  return threeFigures(Math.round(storms * 100) / 100);
}

/** What counts as water in the pit: more than a centimetre over its floor, or over the groundwater that stands in it at the start. */
function wetWords({ chamberBank: { floor, groundwaterLevel }, groundwater }: Site): string {
  const series = groundwaterLevel ?? groundwater.level;
  return series !== null && seriesLevel(series, 0) > floor ? "water in the pit over the groundwater it starts with" : "water in the pit";
}

/** Both ways of counting: the largest of each year, and all storms (Langbein 1949); then by the rule of design, beside the table. */
function yearTable(result: HowOften): Markup | null {
  const { once, byRule, tableStorms, site } = result;
  if (once.length === 0) return null;
  const counted = once.map(({ years }) => threeFigures(-1 / Math.log1p(-1 / years)));
  const volume = (value: number): string => volumeText(value, site.units);
  const level = (value: number): string => waterText(value, site.units);
  const row = (words: string, figures: readonly string[]): Markup => html`<tr><th scope="row">${words}</th>${figures.map((figure) => html`<td>${keptTogether(figure)}</td>`)}</tr>`;
  const rows = (each: readonly OnceIn[]): Markup => html`${site.emitter === null ? null : row("let out in a storm", each.map(({ stormVolume }) => bandText(stormVolume, volume)))}
${row("the pit's highest level", each.map(({ peak }) => bandText(peak, level)))}`;
  const group = (words: string): Markup => html`<tr class="group"><th scope="rowgroup" colspan="${once.length + 1}">${words}</th></tr>`;
  const storm = (figure: (each: TableStorms) => string): string[] => once.map(({ years }) => {
    const found = tableStorms.find((each) => each.years === years);
    return found === undefined ? "not in the table" : figure(found);
  });
  const divided = `${ruleSoil(site)}, as sizes and storms are judged in`;
  return html`<div class="scroll" role="region" aria-label="Reached once in this many years" tabindex="0"><table>
<caption>In brackets what other years of the same rain would make of it, in 90 of 100 cases</caption>
<thead><tr><th scope="col">the largest of a year reaches it once in</th>${once.map(({ years }) => html`<th scope="col">${years} years</th>`)}</tr></thead>
<tbody>${row("some storm reaches it, all counted, once in", counted.map((years) => `${years} years`))}
${byRule === null ? null : group(`${soilsWords(result)} the one ${soilCentre(site)}`)}
${rows(once)}</tbody>
${byRule === null ? null : html`<tbody>${group(divided)}
${rows(byRule.once)}</tbody>`}
${tableStorms.length === 0 ? null : html`<tbody>${group(`one storm of the table by itself${byRule === null ? "" : ", in that soil"}`)}
${site.emitter === null ? null : html`${row("even rain lets out at most", storm(({ even }) => (even.emitted > 0 ? `${volume(even.emitted)} (${durationText(even.emittedIn)})` : volume(0))))}
${row("all durations nested let out", storm(({ nested }) => volume(nested.emitted)))}`}
${row("even rain lifts the pit to", storm(({ even }) => `${level(even.peak)} (${durationText(even.peakIn)})`))}
${row("all durations nested lift it to", storm(({ nested }) => level(nested.peak)))}</tbody>`}
</table></div>
${tableStorms.length === 0 || site.emitter === null ? null : html`<p>${keptTogether(agreementWords(result))}</p>`}`;
}

function soilsWords({ soils }: HowOften): string {
  return soils.length === 1 ? "soil as" : `${soils.length} soils round`;
}

/** Whether years of rain and single storms of the table agree about what comes out once in a number of years, in the same soil. */
function agreementWords({ once, byRule, tableStorms }: HowOften): string {
  const years = byRule?.once ?? once;
  const { years: asked, even, nested } = tableStorms.at(-1)!;
  const { stormVolume: { low, high } } = years.find((each) => each.years === asked)!;
  const [least, most] = [Math.min(even.emitted, nested.emitted), Math.max(even.emitted, nested.emitted)];
  const start = `About what the emitter lets out once in ${asked} years, these years of rain and single storms of the table`;
  const differ = "years have storms that follow one another and bring more than a day’s rain, and a single storm finds the works empty";
  if (most < low) return `${start} differ: ${differ}.`;
  if (least > high) return `${start} differ: the table’s storm is as rare at every duration at once, as storms of one place hardly are.`;
  return `${start} agree within the band.`;
}

/** Depths of the years beside those of the table, and what the years cannot tell. */
function rainPart({ rain: { from, beside, notes }, site }: HowOften): Markup {
  const asked = [...new Set(beside.map(({ years }) => years))];
  const durations = [...new Set(beside.map(({ duration }) => duration))];
  const at = (duration: number, years: number): RainTold["beside"][number] => beside.find((each) => each.duration === duration && each.years === years)!;
  const fell = from === "record" ? "recorded" : "invented";
  return html`${notes.length === 0 ? null : html`<ul class="notes">${notes.map((note) => html`<li>${note}</li>`)}</ul>`}
${asked.length === 0 ? null : html`<details><summary>The rain of these years beside the table of the place</summary>
<div class="scroll" role="region" aria-label="Rain beside the table" tabindex="0"><table>
<caption>Depth that the largest of a year reaches once in this many years; in brackets what other years would make of it. Between the table's own return periods: a straight line in the logarithms of depth and return period</caption>
<thead><tr><th scope="col">in</th>${asked.map((years) => html`<th scope="col">${years} years, table</th><th scope="col">${fell}</th>`)}</tr></thead>
<tbody>${durations.map((duration) => html`<tr><th scope="row">${durationText(duration)}</th>${asked.map((years) => html`<td>${depthText(at(duration, years).table, site.units)}</td><td>${keptTogether(bandText(at(duration, years).fell, (value) => depthText(value, site.units)))}</td>`)}</tr>`)}</tbody>
</table></div></details>`}`;
}

/** At most nine soils, from the slowest to the fastest; how many of all where there are more. */
function soilTable({ soils, byRule, site }: HowOften): Markup | null {
  if (soils.length < 2 || site.emitter === null) return null;
  const { label } = displayUnits(site.units).volume;
  const every = Math.max(1, Math.ceil((soils.length - 1) / 8));
  const shown = soils.filter((_, j) => j % every === 0 || j === soils.length - 1);
  const row = (soil: string, { firingStorms, emitterVolume }: Omit<HowOften["soils"][number], "conductivityFactor">): Markup => (
    html`<tr><th scope="row">${soil}</th><td>${stormsText(firingStorms)}</td><td>${threeFigures(emitterVolume / displayUnits(site.units).volume.size)}</td></tr>`);
  return html`<div class="scroll" role="region" aria-label="In slower and faster soil" tabindex="0"><table>
<thead><tr><th scope="col">soil, times the one ${soilCentre(site)}${shown.length < soils.length ? ` (${shown.length} of ${soils.length})` : ""}</th><th scope="col">firing storms a year</th><th scope="col">let out a year, ${label}</th></tr></thead>
<tbody>${shown.map((each) => row(threeFigures(each.conductivityFactor), each))}${byRule === null ? null : row(`${ruleSoil(site).replace(/^soil /, "")}, the rule of design`, byRule)}</tbody>
</table></div>`;
}
