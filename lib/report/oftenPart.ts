import { exceedanceFigure, oftenAnswer, partText, valueAt, yearsWords } from "../figures/exceedanceFigure.ts";
import { lastingText } from "../units/hours.ts";
import { keptTogether } from "../figures/keptTogether.ts";
import { surfaceWords } from "../site/surfaceWords.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Site } from "../site/site.ts";
import type { HowOften } from "../study/often.ts";
import { displayUnits, levelText, threeFigures, volumeText } from "../units/format.ts";
import { wholeYears, YEAR } from "../units/year.ts";
import { html, type Markup } from "./markup.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";
import type { PagePart } from "./pagePart.ts";
import { tenthsText } from "../units/words.ts";

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
${pictures.map((picture) => placeOf(picture, "A point for every year with every soil: its return period by the place it takes among them, as far as the years of rain can tell."))}
${wholeYears(result.years * YEAR) < 1 ? html`<p>Figures of a year are those of ${yearsWords(result)}, as if it went on like that.</p>` : null}
<div class="scroll" role="region" aria-labelledby="often-name" tabindex="0"><table class="words">
<tbody>${rows.map(([words, figure]) => html`<tr><th scope="row">${words}</th><td>${keptTogether(figure)}</td></tr>`)}</tbody>
</table></div>
${yearTable(result)}
${soilTable(result)}
</section>`;
  return { answer, section, pictures };
}

function stormsText(storms: number): string {
  return threeFigures(Math.round(storms * 100) / 100);
}

/** What counts as water in the pit: more than a centimetre over its floor, or over the groundwater that stands in it at the start. */
function wetWords({ chamberBank: { floor, groundwaterLevel }, groundwater }: Site): string {
  const series = groundwaterLevel ?? groundwater.level;
  return series !== null && seriesLevel(series, 0) > floor ? "water in the pit over the groundwater it starts with" : "water in the pit";
}

function yearTable({ stormVolume, peak, site }: HowOften): Markup | null {
  const asked = [2, 5, 10, 30, 100].filter((years) => peak.length > 0 && years <= peak[0]!.returnPeriod);
  if (asked.length === 0) return null;
  return html`<div class="scroll" role="region" aria-label="Reached once in so many years" tabindex="0"><table>
<thead><tr><th scope="col">once in</th>${asked.map((years) => html`<th scope="col">${years} years</th>`)}</tr></thead>
<tbody>${site.emitter === null ? null : html`<tr><th scope="row">let out in a storm</th>${asked.map((years) => html`<td>${keptTogether(volumeText(valueAt(stormVolume, years), site.units))}</td>`)}</tr>`}
<tr><th scope="row">the pit's highest level</th>${asked.map((years) => html`<td>${keptTogether(levelText(valueAt(peak, years), site.units))}</td>`)}</tr></tbody>
</table></div>`;
}

/** At most seven soils, from the slowest to the fastest. */
function soilTable({ soils, site }: HowOften): Markup | null {
  if (soils.length < 2 || site.emitter === null) return null;
  const { label } = displayUnits(site.units).volume;
  const every = Math.max(1, Math.ceil((soils.length - 1) / 6));
  const shown = soils.filter((_, j) => j % every === 0 || j === soils.length - 1);
  return html`<div class="scroll" role="region" aria-label="In slower and faster soil" tabindex="0"><table>
<thead><tr><th scope="col">soil, times the file's</th><th scope="col">firing storms a year</th><th scope="col">let out a year, ${label}</th></tr></thead>
<tbody>${shown.map(({ conductivityFactor, firingStorms, emitterVolume }) => html`<tr><th scope="row">${threeFigures(conductivityFactor)}</th><td>${stormsText(firingStorms)}</td><td>${threeFigures(emitterVolume / displayUnits(site.units).volume.size)}</td></tr>`)}</tbody>
</table></div>`;
}
