import { lengthText, type UnitSystem, volumeText, waterText, weightText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { spilledHead } from "../site/surfaceWords.ts";
import { pitFloorTakes } from "../site/takesIn.ts";
import { yearsAnswer, yearsFigure } from "../figures/yearsFigure.ts";
import type { ColdStorm, FrostPlace } from "../upkeep/coldDays.ts";
import { massOf } from "../upkeep/solidsBook.ts";
import type { UpkeepTask } from "../upkeep/upkeepCalendar.ts";
import type { YearAnswer } from "../upkeep/yearAnswer.ts";
import type { Course, Years } from "../upkeep/years.ts";
import { exitWords } from "./wayOut.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";
import { capital, heightText, percentText, temperatureText } from "../text/words.ts";

/**
 * The years of a site: what to do and when, what the years do to a storm with the boxes cleaned and left alone, the cold, and how
 * far all of it may be off. The first storm of the result speaks for the rest.
 *
 * @param options.pictures  whether it is drawn; true where missing
 */
export function yearsPart(result: Years, options: { readonly pictures?: boolean } = {}): PagePart {
  const { site, calendar, assumed } = result;
  const { about } = site.upkeep ?? { about: "" };
  const pictures = options.pictures === false ? [] : [pictureOf("years", (shown) => yearsFigure(result, shown))];
  const answer = plainText(yearsAnswer(result));
  const section = html`<section aria-labelledby="years-name">
<h2 id="years-name"><span class="storm-name">The years</span> ${keptTogether(answer)}</h2>
${about === "" ? null : html`<p><bdi>${plainText(about)}</bdi></p>`}
${calendarList(calendar)}
${pictures.map((picture) => placeOf(picture, "The same storm on the works of each year: solid where they are cleaned, dashed with nobody looking after them."))}
${yearTable(result)}
${coldTables(result)}
<h3>How far this may be off</h3>
<ul class="notes">${doubts(result).map((words) => html`<li>${keptTogether(words)}</li>`)}</ul>
${assumed.length === 0 ? null : html`<h3>Figures of upkeep the site file does not give</h3>
<dl>${assumed.map(({ key, about: what, written, source }) => html`<div><dt>${what}</dt><dd>${keptTogether(written)}: ${source} (${key})</dd></div>`)}</dl>`}
</section>`;
  return { answer, section, pictures };
}

/** What to do and when, for whoever owns the works; it can stand on a sheet of its own. */
function calendarList(calendar: readonly UpkeepTask[]): Markup {
  return html`<div class="together"><h3>What to do, and when</h3>
<dl>${calendar.map(({ what, when, words, source }) => html`<div><dt>${keptTogether(capital(when))}</dt>
<dd><b>${what}.</b> ${keptTogether(plainText(words))} (${source})</dd></div>`)}</dl></div>`;
}

/** A few of the years, for a table of all would be read by nobody. */
function yearTable({ cleaned, left, site }: Years): Markup {
  const { units, emitter, settlingBoxes } = site;
  const silts = pitFloorTakes(site);
  const last = cleaned.years.length - 1;
  const shown = [...new Set([0, 1, 2, 5, 10, 15, 20, 30, 50].filter((year) => year < last).concat(last))];
  const cells = (course: Course, year: number): Markup => {
    const { answers: [answer], openFloorShare, solids } = course.years[year]!;
    const letOut = emitter === null ? null : html`<td>${volumeText(answer!.emitter, units)}</td>`;
    return html`${silts ? html`<td>${percentText(openFloorShare)}</td>` : null}<td>${drainText(answer!)}</td>${letOut}<td>${weightText(massOf(solids.toPit), units)}</td>`;
  };
  const span = 2 + (silts ? 1 : 0) + (emitter === null ? 0 : 1);
  const heads = html`${silts ? html`<th scope="col">floor still open</th>` : null}<th scope="col">drains in</th>${emitter === null ? null : html`<th scope="col">emitter lets out</th>`}<th scope="col">solids in the pit</th>`;
  return html`<h3 id="years-table">Year by year, “${plainText(cleaned.years[0]!.answers[0]!.storm, 40)}”</h3>
<div class="scroll" role="region" aria-labelledby="years-table" tabindex="0"><table>
<thead><tr><th scope="col" rowspan="2">year</th><th scope="colgroup" colspan="${span}">${settlingBoxes.length > 1 ? "boxes" : "box"} cleaned</th><th scope="colgroup" colspan="${span}">left alone</th></tr>
<tr>${heads}${heads}</tr></thead>
<tbody>${shown.map((year) => html`<tr><th scope="row">${year === 0 ? "new" : year}</th>${cells(cleaned, year)}${cells(left, year)}</tr>`)}</tbody>
</table></div>`;
}

function coldTables({ cold, site }: Years): Markup {
  const { units, emitter } = site;
  const letOut = (volume: number): Markup | null => (emitter === null ? null : html`<td>${volumeText(volume, units)}</td>`);
  const step = (name: string, answer: YearAnswer | null): Markup[] => (answer === null ? [] : [html`<tr><th scope="row">${name}</th>
<td>${drainText(answer)}</td><td>${waterText(answer.pitPeak, units)}</td>${letOut(answer.emitter)}<td>${volumeText(answer.surface, units)}${answer.outAt === null ? "" : `, ${exitWords(answer.outAt)}`}${pressWords(answer, units)}</td></tr>`]);
  const rows = ({ asGiven, coldWater, frozenGround, lidIced }: ColdStorm): Markup => html`<tbody><tr class="group"><th scope="rowgroup" colspan="${emitter === null ? 4 : 5}"><bdi>${plainText(asGiven.storm, 40)}</bdi></th></tr>
${[...step("as given", asGiven), ...step(`water in the soil at ${temperatureText(cold.coldWater, units)}`, coldWater), ...step("and the ground frozen", frozenGround), ...step("and the lid iced shut", lidIced)]}</tbody>`;
  return html`<h3 id="years-cold">The cold</h3>
<p>${keptTogether(frostSentence(cold.frost, units))}</p>
<div class="scroll" role="region" aria-labelledby="years-cold" tabindex="0"><table>
<thead><tr><th scope="col">each on top of the last</th><th scope="col">drains in</th><th scope="col">pit at most</th>${emitter === null ? null : html`<th scope="col">emitter lets out</th>`}<th scope="col">${spilledHead(site)}</th></tr></thead>
${cold.storms.map(rows)}
</table></div>`;
}

/** Water under a cover that holds it, or that it lifts: what the run lets out nowhere comes out there. */
function pressWords({ overTrench, lifted }: YearAnswer, units: UnitSystem): string {
  if (lifted.length > 0) return `; pressure lifts the turf over the ${lifted.join(" and the ")}: expect it to come out there`;
  return overTrench > 0 ? `; a wet patch, the trench ${heightText(overTrench, units)} over the low end of its ground` : "";
}

function frostSentence(frost: Years["cold"]["frost"], units: UnitSystem): string {
  if (frost === null) return "No frost is looked at, for the file gives no freezing index (freezingIndex of upkeep).";
  const told = frost.places.map(({ name, top, bottom, reach }) => {
    const where = top === 0 ? `the ${name}, open to the air,` : `the ${name} (${lengthText(Math.max(0, top), units)} to ${lengthText(bottom, units)} down)`;
    return `${where} ${REACH[reach]}`;
  });
  return `The ground freezes ${lengthText(frost.depth, units)} deep at most, by Stefan's law, which is on the deep side: ${told.join("; ")}.${frost.trenchFreezes ? " It reaches the trench's floor: with the ground frozen the trench takes in nothing." : ""}`;
}

const REACH: Readonly<Record<FrostPlace["reach"], string>> = Object.freeze({
  above: "lies below the frost", into: "is reached by it", below: "lies wholly in frozen ground: standing water in it turns to ice",
});

/** How far the answers may be off, in words. */
function doubts({ cleaned, left, holesToSpare, site }: Years): string[] {
  const { chamberBank, overflowTrench, settlingBoxes } = site;
  const [floor, alone] = [cleaned.years.at(-1)!, left.years.at(-1)!];
  return [
    "The load is guessed within a factor of about three: no agency publishes figures for grit from gutters or leaves. Weigh what the first cleaning brings up, and put it in the file.",
    !pitFloorTakes(site) ? "The pit's floor takes in nothing as the file has it, new or old: no cake on it changes a time to drain."
      : "What the cake on the floor lets through is known to a factor of ten at best. "
        + `By that alone ${bandText(floor.shareBand)} of the floor is open in the last year with the ${settlingBoxes.length > 1 ? "boxes" : "box"} cleaned, ${bandText(alone.shareBand)} left alone.`,
    `All that passes the ${settlingBoxes.length > 1 ? "boxes" : "box"} is taken to lie evenly on the pit's floor${chamberBank.chambers.length === 0 ? "" : ", where in truth most lies inside the chambers"}; leaves do not rot; `
      + `${[chamberBank.chambers.length === 0 ? "the sides" : "sides and holes", ...(overflowTrench === null ? [] : ["the trench"])].join(" and ")} stay clean. The first two are on the safe side, the last is not.`,
    ...(holesToSpare === null ? [] : [holesText(holesToSpare)]),
  ];
}

function holesText(spare: number): string {
  if (spare === 0) return "The chambers' holes are too few even when clean for the chambers to share one level in this storm.";
  return `${percentText(Math.floor(100 * spare) / 100)} of the chambers' holes may close before the chambers stop sharing one level in this storm; how fast they close is not known.`;
}

function bandText({ low, high }: { readonly low: number; readonly high: number }): string {
  return `${percentText(low).replace(" %", "")} to ${percentText(high)}`;
}

function drainText({ empty, never, rest }: YearAnswer): string {
  if (rest === null) return "takes in none";
  if (empty === null) return never === "slow" ? "not in ten years" : "never";
  return rest === "floor" ? lastingText(empty) : `${lastingText(empty)}, to ${rest === "groundwater" ? "its groundwater" : "where it stood"}`;
}
