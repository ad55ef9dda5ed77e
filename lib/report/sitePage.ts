import { answerOfStorms, answerSentence, emitterTotals, spilledText } from "../figures/answer.ts";
import { DRY } from "../figures/bodyViews.ts";
import { headline } from "../figures/headline.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { levelFigure } from "../figures/levelFigure.ts";
import { ink } from "../figures/look.ts";
import { plainText } from "../text/plainText.ts";
import { rainText } from "../figures/rainPanel.ts";
import { soilText } from "../figures/runSubtitle.ts";
import { sectionCaption } from "../figures/sectionCaption.ts";
import { sectionFigure } from "../figures/sectionFigure.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Run } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { lastingText } from "../text/hours.ts";
import { drainCell, neverEmpty } from "./drainWords.ts";
import { waysOut } from "../simulate/waysOut.ts";
import { displayUnits, levelText, volumeText } from "../text/format.ts";
import { capital } from "../text/words.ts";
import { cautionSections } from "./cautionSections.ts";
import { clashList } from "./clashList.ts";
import { hangsOnPart } from "./hangsOnPart.ts";
import { liveAnswers } from "./liveAnswers.ts";
import { livePageStyle } from "./livePageStyle.ts";
import { html, scriptData, trusted, type Markup } from "./markup.ts";
import { livePolicy, pageFrame } from "./pageFrame.ts";
import { drawingsOf, firstOf, pictureOf } from "./placedPicture.ts";
import { programScripts, type PageProgram } from "./programScripts.ts";
import { crossingNotice } from "./sitingPart.ts";
import { siteLevels } from "./siteLevels.ts";
import { stormId, stormSection } from "./stormSection.ts";
import { edgeWords, spareText, stoppedNote, summary, type StoppedStorm, type StormRun } from "./summary.ts";
import { capacitySentence } from "./wayOut.ts";
import { whyPitStands } from "./whyPitStands.ts";

/** What makes a page answer: the site file with its rain, and the program. */
export interface LiveParts {
  /** the site file as JSON.parse makes it; the page changes a copy of it */
  readonly file: unknown;
  /** its storms in their order; of those that name a file the page keeps the rain */
  readonly rains: readonly { readonly name: string; readonly rain: Hyetograph; readonly isRecorded: boolean }[];
  /** which of them the first run is of: the first where missing */
  readonly shown?: number;
  readonly program: PageProgram;
}

/** A page that has to do with this one. */
export interface PageLink {
  readonly words: string;
  /** beside this page */
  readonly href: string;
}

/**
 * A site on one page in one file: on top the water levels and the works cut open, in which rain, groundwater, soil, trench,
 * chambers, lid and the hour are changed on the pictures themselves; below each storm with its tables, what the answers hang
 * on, the site's levels in the water's way, and what has to be said to whoever digs. It works from disk and asks for nothing
 * from outside; nothing in a site file can become markup or program. Without `live`, or where no script runs, the drawings and
 * tables are there all the same.
 *
 * @param storms           one or more, of one site
 * @param options.stopped  storms of the site whose runs could not go on; the page says so
 * @param options.live     what makes it answer; without it the page has no program
 * @param options.links    pages beside it
 * @throws RangeError      when there is no storm
 */
export function sitePage(
  storms: readonly StormRun[],
  options: { readonly stopped?: readonly StoppedStorm[]; readonly live?: LiveParts; readonly links?: readonly PageLink[] } = {},
): string {
  if (storms.length === 0) throw new RangeError("sitePage: expected one storm or more, got none");
  const { stopped = [], live, links = [] } = options;
  const { site } = storms[0]!.run;
  const isAlone = storms.length === 1;
  const parts = storms.map((storm, i) => stormSection({ ...storm, ways: waysOut(storm.run) }, { index: i, isAlone, isOnTop: i === 0 }));
  const answer = answerOfStorms(storms);
  return pageFrame({
    title: `${plainText(site.name, 60)}: ${answer}`,
    header: html`<p class="place"><bdi>${plainText(site.name)}</bdi></p>
${crossingNotice(site)}
${stopped.map((storm) => html`<p class="notice"><strong>${stoppedNote(storm)}</strong></p>`)}
<h1 id="headline">${keptTogether(headline(storms[0]!.run))}</h1>
${contents(storms, links)}`,
    main: html`${topSection(storms, live)}
<section id="about" aria-label="About the site">
${site.about === "" ? null : html`<p class="about"><bdi>${plainText(site.about)}</bdi></p>`}
<p class="soil">${capital(soilText(site))}. ${capacitySentence(site)}</p>
</section>
${storms.length === 1 ? null : html`<section id="storms" aria-labelledby="storms-name">
<h2 id="storms-name"><span class="storm-name">The storms, one by one</span>${keptTogether(answer)}</h2>
${briefTable(storms)}
</section>`}
${parts}
${hangsOnPart(storms).section}
${summarySection(storms)}
${siteSection(storms)}
${live === undefined ? null : fileSection()}
${cautionSections()}`,
    ...(live === undefined ? {} : { live: { style: livePageStyle, scripts: liveScripts(live), policy: livePolicy(live.program.isWasm) } }),
  });
}

/** The first look: a row a storm (a card on a phone), which leads to its part of the page, with the few answers that decide. */
function briefTable(storms: readonly StormRun[]): Markup {
  const { site } = storms[0]!.run;
  const columns = COLUMNS.filter(({ answer }) => storms.some(({ run }) => answer(run) !== null))
    .map(({ head, answer }) => ({ head: typeof head === "string" ? head : head(site), answer }));
  return html`<div class="scroll" role="region" aria-label="The answers in brief" tabindex="0"><table class="brief">
<thead><tr><th scope="col">storm</th>${columns.map(({ head }) => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>${storms.map(({ name, run }, i) => html`<tr><th scope="row"><a href="#${stormId(i)}"><bdi>${plainText(name, 80)}</bdi></a></th>
${columns.map(({ head, answer }) => html`<td data-head="${head}">${unbroken(answer(run) ?? "–")}</td>`)}</tr>`)}</tbody>
</table></div>`;
}

/** A column: null where a storm has nothing there; a column that no storm fills is left out. */
const COLUMNS: readonly { readonly head: string | ((site: Site) => string); readonly answer: (run: Run) => string | null }[] = [
  { head: "rain", answer: (run) => (run.rain === null ? null : rainText(run)) },
  { head: ({ units }) => `pit rises to, ${displayUnits(units).level.label}`, answer: ({ peaks, site }) => (peaks.chamberBank!.level - site.chamberBank.floor <= DRY ? "dry" : bare(levelText(peaks.chamberBank!.level, site.units))) },
  { head: "to its ground", answer: ({ peaks, site }) => spareText(site.chamberBank.ground - peaks.chamberBank!.level, site.units) },
  { head: "emitter fires", answer: (run) => (run.site.emitter === null ? null : firingText(run)) },
  { head: edgeWords, answer: (run) => (run.spilled > 1e-4 ? spilledText(run) : null) },
  { head: "pit empty, after last full", answer: (run) => (neverEmpty(run) ? null : drainCell(run, "empty")) },
  { head: "pit (never empty) back at its groundwater, after last full", answer: (run) => (neverEmpty(run) ? drainCell(run, "empty") : null) },
];

/** An answer on one line, or on two where it has a colon. */
function unbroken(answer: string): string {
  return answer.replace(/(?<!:) /g, "\u00a0");
}

/** A figure whose unit stands in its column's head. */
function bare(text: string): string {
  return text.replace(/ \S+$/, "");
}

function firingText(run: Run): string {
  const totals = emitterTotals(run);
  return totals === null ? "stays shut" : `${lastingText(totals.open)}, ${volumeText(totals.volume, run.site.units)}`;
}

/** The list of what the page holds, and of the pages that go with it. */
function contents(storms: readonly StormRun[], links: readonly PageLink[]): Markup {
  const own = [
    { href: "#top", words: "pictures" },
    ...storms.map(({ name }, i) => ({ href: `#${stormId(i)}`, words: plainText(name, 60) })),
    { href: "#hangs-on", words: "what it hangs on" }, { href: "#summary", words: storms.length === 1 ? "the storm in numbers" : "side by side" },
    { href: "#levels", words: "the site's levels" }, { href: "#cautions", words: "before anybody digs" },
  ];
  const item = ({ href, words }: PageLink): Markup => html`<a href="${href}"><bdi>${words}</bdi></a>`;
  return html`<nav class="contents" aria-label="On this page">${own.map(item)}</nav>
${links.length === 0 ? null : html`<nav class="contents" aria-label="Pages beside it">${links.map(item)}</nav>`}`;
}

/** The two pictures of the first storm that ran, drawn, with the places that a program fills. */
function topSection(storms: readonly StormRun[], live: LiveParts | undefined): Markup {
  const { run, name } = storms[0]!;
  const { site } = run;
  const time = run.peaks["chamberBank"]!.time;
  const levels = pictureOf("level", (options) => levelFigure(run, options));
  const section = pictureOf("section", (options) => sectionFigure(run, time, options));
  const rain = rainText(run);
  const picked = live === undefined ? html`<p class="storms"><strong><bdi>${plainText(name)}</bdi></strong> <span id="subtitle">${rain}</span></p>`
    : html`<p class="storms">${live.rains.map((each, i) => html`<button type="button" data-storm="${i}" aria-pressed="${String(i === (live.shown ?? 0))}"><bdi>${plainText(each.name, 60)}</bdi></button>`)}<span id="subtitle">${rain}</span></p>`;
  return html`<section id="top" class="top" aria-labelledby="headline">
${picked}
${live === undefined ? null : html`<p id="refusal" class="screen" role="alert"></p>
<p id="spoken" class="unseen" role="status" aria-live="polite"></p>`}
<figure>
<div class="picture" id="level" role="group" aria-label="${firstOf(levels).description}">${drawingsOf(levels)}</div>
<figcaption>Water level of every body. A body that is dry has no line.<span class="screen live-only"> The section below shows the hour of the upright line.</span></figcaption>
</figure>
${live === undefined ? null : liveLines()}
<h2 id="moment">${keptTogether(firstOf(section).answer)}</h2>
<figure>
<div class="picture" id="section" role="group" aria-label="${firstOf(section).description}">${drawingsOf(section)}</div>
<figcaption><span id="section-caption">${sectionCaption(run, time)}</span><span class="screen live-only"> A chamber more or less leaves the pit its width, and its length for each chamber.${site.emitter === null ? "" : " A lid that is set to stick stays shut for the whole storm."}</span></figcaption>
</figure>
<p id="answer">${keptTogether(answerSentence(run))}</p>
<p id="why">${whyPitStands(run, time)}</p>
<div id="live-answers">${liveAnswers(run)}</div>
</section>`;
}

/** What only a page with its program awake has to say. */
function liveLines(): Markup {
  return html`<p class="hint screen live-only">${sign()} Pull what carries this sign. Tap the hour's knob and time runs; tap again to stop. By keyboard: Tab to it, arrows, Enter to type a value with its unit.</p>
<p class="deeds screen live-only"><button type="button" id="undo" class="word">undo</button><button type="button" id="redo" class="word">redo</button><button type="button" id="put-back" class="word">as the file has it</button><button type="button" id="copy" class="word">copy code</button><label>code <input id="code" type="text" size="14" autocomplete="off" spellcheck="false"></label></p>
<details class="live-only saves"><summary>Save a picture</summary><p class="deeds"><button type="button" id="save-level-svg" class="word">levels, SVG</button><button type="button" id="save-level-png" class="word">levels, PNG</button><button type="button" id="save-section-svg" class="word">section, SVG</button><button type="button" id="save-section-png" class="word">section, PNG</button><button type="button" id="save-storm" class="word">the storm on the section, a small moving picture (GIF)</button></p></details>
<p id="changed" class="live-only"><span id="changed-words"></span></p>`;
}

function fileSection(): Markup {
  return html`<details class="live-only"><summary>The site file as it stands</summary>
<p><a id="download" href="#" download="site.json">Save it</a>: with every change made here, ready to be run again. Rain from a file stays a file beside it.</p>
<pre id="file" tabindex="0"></pre></details>`;
}

function liveScripts({ file, rains, program }: LiveParts): Markup {
  const recorded = Object.fromEntries(rains.flatMap(({ isRecorded, rain }, i) =>
    (isRecorded ? [[i, { time: Array.from(rain.time), depth: Array.from(rain.depth) }]] : [])));
  return html`<script type="application/json" id="live-source">${scriptData({ file, recorded })}</script>
${programScripts(program)}`;
}

/** The knob of the pictures, to say what it looks like. */
function sign(): Markup {
  return html`<svg class="sign" width="20" height="20" viewBox="-11 -11 22 22" aria-hidden="true"><circle r="9.5" fill="#fff" stroke="${ink.text}" stroke-width="1.6"/><path d="M-3 -2.2L0 -6L3 -2.2M-3 2.2L0 6L3 2.2" fill="none" stroke="${ink.text}" stroke-width="1.8" stroke-linecap="round" stroke-linejoin="round"/></svg>`;
}

function summarySection(storms: readonly StormRun[]): Markup {
  const heads = storms.map(({ name }) => html`<th scope="col"><bdi>${plainText(name, 80)}</bdi></th>`);
  return html`<section id="summary" aria-labelledby="summary-name">
<h2 id="summary-name">${storms.length === 1 ? "The storm in numbers" : "All storms side by side"}</h2>
<div class="scroll" role="region" aria-labelledby="summary-name" tabindex="0"><table>
<thead><tr><td></td>${heads}</tr></thead>
${summary(storms).map(({ heading, rows }) => html`<tbody><tr class="group"><th scope="rowgroup" colspan="${storms.length + 1}">${heading}</th></tr>
${rows.map(({ label, values, under }) => html`<tr${under ? trusted(' class="under"') : null}><th scope="row"><bdi>${label}</bdi></th>${values.map((value) => html`<td>${keptTogether(value)}</td>`)}</tr>`)}</tbody>`)}
</table></div>
</section>`;
}

function siteSection(storms: readonly StormRun[]): Markup {
  const { site } = storms[0]!.run;
  const { label } = displayUnits(site.units).level;
  return html`<section id="levels" aria-labelledby="site-name">
<h2 id="site-name">The site, in the water's way</h2>
<div class="scroll" role="region" aria-labelledby="site-name" tabindex="0"><table class="words">
<thead><tr><th scope="col">station</th><th scope="col">level</th><th scope="col">${label}</th></tr></thead>
${siteLevels(site).map(({ station, sizes, levels }) => html`<tbody>
<tr class="group"><th scope="rowgroup" colspan="3"><bdi>${station}</bdi>${sizes === "" ? null : html` <span class="place">${sizes}</span>`}</th></tr>
${levels.map(([name, figure]) => html`<tr><td></td><th scope="row"><bdi>${name}</bdi></th><td class="figure">${figure.replace(` ${label}`, "")}</td></tr>`)}</tbody>`)}
</table></div>
${site.notes.length === 0 ? null : html`<h3>Notes on the site</h3>
<ul class="notes">${site.notes.map((note) => html`<li>${plainText(note)}</li>`)}</ul>`}
${clashList(site)}
</section>`;
}
