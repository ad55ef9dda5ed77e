import { depthText, levelText, threeFigures } from "../text/format.ts";
import { failedPitFigure } from "../figures/failedPitFigure.ts";
import { momentText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import type { FailedPit, RankedCause } from "../dips/failedPit.ts";
import { failedPitAnswer, likelyText, MEASURING_CAUTIONS, REMEDIES } from "../dips/failedPitWords.ts";
import { TELLS_LITTLE, type Measurement } from "../dips/nextMeasurement.ts";
import { CAUSE_WORDS, severityText } from "../dips/pitCauses.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";

/**
 * The diagnosis of a failed pit for a page: the answer, the causes from the likeliest down with what to do about each, what the dips
 * cannot tell apart, what to measure next and what each cause would give there, and what to heed.
 */
export function failedPitPart(diagnosis: FailedPit): PagePart {
  const picture = pictureOf("failed-pit", (options) => failedPitFigure(diagnosis, options));
  const answer = failedPitAnswer(diagnosis);
  const section = html`<section class="storm" id="failed" aria-labelledby="failed-name">
<h2 id="failed-name"><span class="storm-name">What may be wrong</span>${keptTogether(answer)}</h2>
${placeOf(picture, "The dips against the best curves of the leading causes; an upright line where one more dip would tell most.")}
${causeTable(diagnosis)}
${alikeList(diagnosis)}
${remedyList(diagnosis)}
${nextTable(diagnosis)}
<h3>What was measured</h3>
<p>${measured(diagnosis)}</p>
<h3>Before you open anything</h3>
<ul class="notes">${MEASURING_CAUTIONS.map((words) => html`<li>${words}</li>`)}</ul>
</section>`;
  return { answer, section, pictures: [picture] };
}

function causeTable({ site, causes, excluded, explained, two }: FailedPit): Markup {
  return html`<div class="scroll" role="region" aria-label="Causes" tabindex="0"><table class="words">
<thead><tr><th scope="col">cause</th><th scope="col">how likely</th><th scope="col">if so</th><th scope="col">off by</th></tr></thead>
<tbody>${causes.map((cause) => html`<tr><th scope="row">${CAUSE_WORDS[cause.cause]}</th><td>${likelyText(cause)}</td>
<td>${cause.likely === "unlikely" || cause.fault === null ? "" : severityText(site, cause.fault, cause.severity)}</td><td class="figure">${offText(cause)}</td></tr>`)}</tbody>
</table></div>
<p>Each cause alone, in soil from 0.7 to 3 times the design's: of 100 pits with these dips, were all causes as common, this many would have it. Off by: dips and water that ran in, in their errors; 1 or less is as good as a fit can be.</p>
${explained ? null : html`<p>No single cause comes near all of the dips: ${two === null ? "two may act at once, a dip may be misread, or the works are not as drawn" : `two at once would explain them: ${two.words}`}.</p>`}
${excluded.length === 0 ? null : html`<p>Not asked here: ${excluded.map(({ cause, because }) => `whether ${CAUSE_WORDS[cause]} (${because})`).join("; ")}.</p>`}`;
}

/** In errors of what was measured, for they are the measure of the shares. */
function offText({ misfit, fault }: RankedCause): string {
  return fault === null ? "" : misfit < 9.95 ? misfit.toFixed(1) : misfit < MOST ? misfit.toFixed(0) : `over ${MOST}`;
}

const MOST = 100;

/** For every cause that is not unlikely: nobody mends what is not broken. */
function remedyList({ causes }: FailedPit): Markup {
  return html`<h3>What to do</h3>
<dl>${causes.filter(({ likely }, i) => i === 0 || likely !== "unlikely").map(({ cause }) =>
  html`<div><dt>If ${CAUSE_WORDS[cause]}</dt><dd>${REMEDIES[cause]}</dd></div>`)}</dl>`;
}

function alikeList({ alike, site }: FailedPit): Markup | null {
  if (alike.length === 0) return null;
  return html`<h3>What these dips cannot tell apart</h3>
<ul class="notes">${alike.map(({ causes: [a, b], difference, because }) =>
  html`<li>That ${CAUSE_WORDS[a]}, and that ${CAUSE_WORDS[b]}: their curves differ by ${depthText(difference, site.units)} at most where you dipped${because === null ? "" : `; ${because}`}.</li>`)}</ul>`;
}

function nextTable({ next }: FailedPit): Markup | null {
  const [best, ...rest] = next;
  if (best === undefined || best.separation < TELLS_LITTLE) return null;
  const others = rest.filter(({ separation }) => separation >= TELLS_LITTLE).slice(0, OTHERS).map((other) => `${other.words} (${tellsText(other)})`);
  const otherWords = others.length === 0 ? "" : ` Or, the more telling first: ${others.join("; ")}.`;
  return html`<h3>Measure next: ${best.words}</h3>
<div class="scroll" role="region" aria-label="What to measure next" tabindex="0"><table class="words">
<thead><tr><th scope="col">if</th><th scope="col">you find</th></tr></thead>
<tbody>${best.foretells.map(({ cause, words }) => html`<tr><th scope="row">${CAUSE_WORDS[cause]}</th><td>${words}</td></tr>`)}</tbody>
</table></div>
<p>It tells two of the leading causes apart ${tellsText(best)}${best.look === null ? ", by own judgement" : ", by the model"}.${otherWords}</p>`;
}

/** Further measurements that are named. */
const OTHERS = 3;

function tellsText({ separation }: Measurement): string {
  return `${Math.round(100 * separation)} times in 100`;
}

function measured({ site, log, causes, errorsTaken }: FailedPit): string {
  const names: ReadonlyMap<string, string> = new Map([["chamberBank", "pit"], ["overflowTrench", "trench"], ["settlingBox", "box"]]);
  const nameOf = (body: string): string => names.get(body) ?? plainText(body, 24);
  const isLong = log.read.length > log.dips.length;
  const dips = isLong
    ? [...new Set(log.read.map(({ body }) => body))].map((body) => {
      const own = log.read.filter((dip) => dip.body === body);
      return `${nameOf(body)} ${own.length} times from ${momentText(own[0]!.time)} to ${momentText(own.at(-1)!.time)}`;
    })
    : log.dips.map(({ body, time, level }) => `${nameOf(body)} ${levelText(level, site.units)} at ${momentText(time)}`);
  const counted = isLong ? ` Of these ${log.dips.length} count, evenly over each body's time (squares in the picture): what the model is off at one reading it is off at the next.` : "";
  const seen = log.seen.length === 0 ? "" : ` Seen: ${log.seen.join(", ")}.`;
  const notes = log.notes.length === 0 ? "" : ` ${log.notes.join(" ")}`;
  return `${dips.join("; ")}, counted from the start of the ${log.load === "storm" ? "rain" : "fill"}.${counted} Each is taken as right to ${depthText(errorsTaken.dip, site.units)} and the water that ran in to ${Math.round(100 * errorsTaken.load)} %; the likeliest cause takes ${threeFigures(causes[0]!.load)} times that water.${seen}${notes}`;
}
