import { dayText, isTooDeep, soilFigureText, type Season, type SeasonNumber } from "../dips/season.ts";
import { seasonFigure } from "../figures/seasonFigure.ts";
import { depthText, durationText, levelText, threeFigures } from "../text/format.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { foundStormsTable } from "./foundStormsTable.ts";
import { html } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";

/** A logger's season on a page: the answer, the picture, numbers with their bands, the soil to design with next, what the model misses. */
export function seasonPart(season: Season): PagePart {
  const { site, answer, numbers, soilFigure, emptying, inStorms, notes } = season;
  const picture = pictureOf("season", (options) => seasonFigure(season, options));
  const said = plainText(answer, Infinity);
  const figures = soilFigureText(season);
  const section = html`<section aria-labelledby="season-name">
<h2 id="season-name"><span class="storm-name">A season of the logger</span> ${keptTogether(said)}</h2>
${placeOf(picture, "Bars: rain by the day. Blue: the readings; grey: the run of the works as found. Beneath, what the readings lie off the run, under the weather they came with.")}
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
<p>As it takes water in these works, so no factor of safety is to be taken off it again but for what is still to come; the low end is the figure to size by.${emptying === null || emptying.drawn === null || emptying.time === null ? "" : ` On day one the drawing promised ${durationText(emptying.drawn)} where it now takes ${durationText(emptying.time)}.`}</p>
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
  const times = (number: number): string => `${threeFigures(number)} ×`;
  switch (name) {
    case "soil": return { words: "soil, times what the design counts on", figure: times };
    case "floor": return { words: "floor, times what the sides take in of their share", figure: times };
    case "waterTable": return { words: "water table, on average", figure: (number) => levelText(number, units) };
    case "roof": return { words: "water that ran in, times what rain and file bring", figure: times };
    case "trend": return { words: "soil a year on, times now", figure: times };
    case "change": return { words: change?.kind === "trend" ? `soil a year after ${dayText(start, change.at)}, times then` : `soil after ${dayText(start, change?.at ?? 0)}, times before`, figure: times };
    case "drift": case "tableSine": case "tableCosine":
      return { words: "drift of the sensor over the record", figure: (number) => `${number < 0 ? "−" : ""}${depthText(Math.abs(number), units)}` };
    default: return { words: `soil after cleaning ${name.slice(-1)}, times before`, figure: times };
  }
}
