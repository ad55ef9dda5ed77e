import { displayUnits, levelText } from "../text/format.ts";
import type { Run } from "../simulate/run.ts";
import type { WayOut } from "../simulate/waysOut.ts";
import { answerSentence } from "../figures/answer.ts";
import { bodyViews, DRY } from "../figures/bodyViews.ts";
import { flowFigure, peakFlows } from "../figures/flowFigure.ts";
import { headBudgetFigure, isLevelBudget } from "../figures/headBudgetFigure.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { ledgerFigure } from "../figures/ledgerFigure.ts";
import { closingWords, waterBook } from "../figures/waterBook.ts";
import { levelFigure } from "../figures/levelFigure.ts";
import { plainText } from "../text/plainText.ts";
import { rainText } from "../figures/rainPanel.ts";
import { sectionCaption } from "../figures/sectionCaption.ts";
import { sectionFigure } from "../figures/sectionFigure.ts";
import { stateMoments } from "../figures/stateMoments.ts";
import { headBudget } from "../simulate/headBudget.ts";
import { drainHead, drainWords } from "./drainWords.ts";
import { firingTable } from "./firingTable.ts";
import { html, type Markup } from "./markup.ts";
import { firstOf, pictureOf, placeOf, smallPictureOf } from "./placedPicture.ts";
import type { StormRun } from "./summary.ts";
import { exitRows, failingHead, wayOutSentences } from "./wayOut.ts";

/**
 * A storm's part of a site's page: its answer, its two pictures, where the water comes out, and folded what fewer readers ask for.
 *
 * @param place  which of the storms it is; alone its answer is the page's own title; the pictures of the one on top stand there
 */
export function stormSection(
  { name, run, ways, rainNotes = [], clock }: StormRun & { readonly ways: readonly WayOut[] },
  { index, isAlone, isOnTop }: { readonly index: number; readonly isAlone: boolean; readonly isOnTop: boolean },
): Markup {
  const id = stormId(index);
  const time = run.peaks["chamberBank"]!.time;
  const rain = rainText(run);
  // What is true of the site is said with the site.
  const notes = [...rainNotes, ...run.notes].filter((note) => !run.site.notes.includes(note));
  return html`<section class="storm" id="${id}" aria-labelledby="${id}-name">
<h2 id="${id}-name"><span class="storm-name"><bdi>${plainText(name)}</bdi>${rain === "" ? null : html` · ${rain}`}</span>${isAlone ? "In detail" : keptTogether(answerSentence(run))}</h2>
${isOnTop ? html`<p class="place">Its two pictures stand <a href="#top">at the top</a>.</p>` : pictures(run, id, time)}
${wayOutPart(run, ways, id)}
${ledgerPart(run, id)}
<h3>${drainHead(run)}</h3>
<p>${drainWords(run)}</p>
${notes.length === 0 ? null : html`<h3>Notes on this run</h3>
<ul class="notes">${notes.map((note) => html`<li>${plainText(note)}</li>`)}</ul>`}
${folded("In, out and held", flowsPart(run, id))}
${folded("Where the head goes", headPart(run, id))}
${folded("When the emitter ran", firingTable(run, clock))}
${levelTable(run)}
</section>`;
}

function pictures(run: Run, id: string, time: number): Markup {
  const worst = pictureOf(`${id}-section`, (options) => sectionFigure(run, time, options));
  return html`${placeOf(pictureOf(`${id}-levels`, (options) => levelFigure(run, options)), "Water level of every body. A body that is dry has no line.")}
<h3>${keptTogether(firstOf(worst).answer)}</h3>
${placeOf(worst, sectionCaption(run, time))}`;
}

/** What stands folded on a screen and open on paper; nothing where there is nothing to say. */
function folded(summary: string, content: Markup | null): Markup | null {
  return content === null || content.markup.trim() === "" ? null : html`<details class="printed"><summary>${summary}</summary>
${content}</details>`;
}

function ledgerPart(run: Run, id: string): Markup {
  const ledger = pictureOf(`${id}-ledger`, (options) => ledgerFigure(run, options));
  return html`<h3>${keptTogether(firstOf(ledger).answer)}</h3>
${placeOf(ledger, `Above the line what came in, below it what became of it; ${closingWords(waterBook(run).error)}.`)}`;
}

function flowsPart(run: Run, id: string): Markup {
  const flows = smallPictureOf(`${id}-flows`, (options) => flowFigure(run, options));
  return html`<h3>${keptTogether(firstOf(flows).answer)}</h3>
${placeOf(flows, "Added up from the beginning, what came out on top of what the soil took: the gap up to what ran in is what the works hold, over what they held before.")}
<p class="place">${peakFlows(run)}</p>`;
}

/** At the emitter's greatest flow, or where it stays shut when the box stands highest; nothing where the water is level then. */
function headPart(run: Run, id: string): Markup | null {
  const time = stateMoments(run).find(({ state }) => state === "emitter firing")?.time;
  const moment = time === undefined ? {} : { time };
  if (isLevelBudget(headBudget(run, moment))) return null;
  const head = smallPictureOf(`${id}-head`, (options) => headBudgetFigure(run, { ...options, ...moment }));
  return html`<h3>${keptTogether(firstOf(head).answer)}</h3>
${placeOf(head, "Each drop of the water's level in its true height, with its place on the section; beside them what a surveyed difference of levels may be off.")}`;
}

/** The place of a storm on its page. */
export function stormId(index: number): string {
  return `storm-${index + 1}`;
}

/** Where the water comes out first, then each exit from the lowest up, as it ran and with a part failing. */
function wayOutPart(run: Run, ways: readonly WayOut[], id: string): Markup {
  const { first, others } = wayOutSentences(run, ways);
  return html`<h3 id="${id}-out">Where does the water come out? ${keptTogether(first)}</h3>
${others === "" ? null : html`<p>${keptTogether(others)}</p>`}
<div class="scroll" role="region" aria-labelledby="${id}-out" tabindex="0"><table>
<thead><tr><th scope="col">way out</th>${ways.map(({ when }) => html`<th scope="col">${failingHead(run.site, when)}</th>`)}</tr></thead>
<tbody>${exitRows(run, ways).map(({ words, level, cells }) => html`<tr><th scope="row"><bdi>${words}</bdi> <span class="place">${level}</span></th>${cells.map((cell) => html`<td>${keptTogether(cell)}</td>`)}</tr>`)}</tbody>
</table></div>`;
}

/** The levels as numbers, for those who cannot see the picture or hold a dipstick. */
function levelTable(run: Run): Markup {
  const views = bodyViews(run);
  const hours = tableHours(run.until / 3600);
  const { label } = displayUnits(run.site.units).level;
  const shown = (body: string, floor: number, hour: number): string => {
    const level = run.level(body, Math.min(run.until, hour * 3600));
    return level - floor <= DRY ? "dry" : levelText(level, run.site.units).replace(` ${label}`, "");
  };
  return html`<details><summary>The levels as numbers</summary>
<div class="scroll" role="region" aria-label="Levels as numbers" tabindex="0"><table>
<caption>Water level, ${label}</caption>
<thead><tr><th scope="col">hour</th>${views.map(({ words }) => html`<th scope="col"><bdi>${words}</bdi></th>`)}</tr></thead>
<tbody>${hours.map((hour) => html`<tr><th scope="row">${hour}</th>${views.map(({ body, floor }) => html`<td>${shown(body, floor, hour)}</td>`)}</tr>`)}</tbody>
</table></div></details>`;
}

/** Whole hours, about two dozen of them, from 0 to the run's end. */
function tableHours(end_h: number): number[] {
  const step = [1, 2, 3, 6, 12, 24, 48, 168, 720].find((each) => end_h / each <= 25) ?? 8760;
  return Array.from({ length: Math.floor(end_h / step) + 1 }, (_, i) => i * step);
}
