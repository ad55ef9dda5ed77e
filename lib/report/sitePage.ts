import { answerOfStorms, answerSentence, emitterTotals, spilledText } from "../figures/answer.ts";
import { bodyViews, DRY } from "../figures/bodyViews.ts";
import { flowFigure, peakFlows } from "../figures/flowFigure.ts";
import { headBudgetFigure, isLevelBudget } from "../figures/headBudgetFigure.ts";
import { headline } from "../figures/headline.ts";
import { ledgerFigure } from "../figures/ledgerFigure.ts";
import { levelFigure } from "../figures/levelFigure.ts";
import { ink } from "../figures/look.ts";
import { rainText } from "../figures/rainPanel.ts";
import { soilText } from "../figures/runSubtitle.ts";
import { sectionCaption } from "../figures/sectionCaption.ts";
import { sectionFigure } from "../figures/sectionFigure.ts";
import { stateMoments } from "../figures/stateMoments.ts";
import { closingWords, waterBook } from "../figures/waterBook.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { headBudget } from "../simulate/headBudget.ts";
import type { Run } from "../simulate/run.ts";
import { type WayOut, waysOut } from "../simulate/waysOut.ts";
import type { LevelSeries, Pipe, Site } from "../site/site.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { isLevelGround } from "../site/trenchGround.ts";
import { areaText, displayUnits, intensityText, lengthText, levelText, sizeText, type UnitSystem, volumeText, waterText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { capital } from "../text/words.ts";
import { cautionSections } from "./cautionSections.ts";
import { clashList } from "./clashList.ts";
import { drainCell, drainHead, drainWords, neverEmpty } from "./drainWords.ts";
import { firingTable } from "./firingTable.ts";
import { hangsOnPart } from "./hangsOnPart.ts";
import { liveAnswers } from "./liveAnswers.ts";
import { livePageStyle } from "./livePageStyle.ts";
import { html, type Markup, scriptData, trusted } from "./markup.ts";
import { livePolicy, pageFrame } from "./pageFrame.ts";
import { drawingsOf, firstOf, pictureOf, placeOf, smallPictureOf } from "./placedPicture.ts";
import { type PageProgram, programScripts } from "./programScripts.ts";
import { crossingNotice } from "./sitingPart.ts";
import { edgeWords, spareText, stoppedNote, type StoppedStorm, type StormRun, summary } from "./summary.ts";
import { capacitySentence, exitRows, failingHead, wayOutSentences } from "./wayOut.ts";
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
  { head: ({ units }) => `pit rises to, ${displayUnits(units).level.label}`, answer: ({ peaks, site }) => (peaks.chamberBank!.level - site.chamberBank.floor <= DRY ? "dry" : bare(waterText(peaks.chamberBank!.level, site.units))) },
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
${live === undefined ? null : html`<p id="as-filed" class="notice"></p>`}
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
function stormId(index: number): string {
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
    return level - floor <= DRY ? "dry" : waterText(level, run.site.units).replace(` ${label}`, "");
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

/** A station on the water's way: what it is, how large, and its levels. */
interface SiteStation {
  readonly station: string;
  /** sizes in words */
  readonly sizes: string;
  /** names and figures, from the highest down */
  readonly levels: readonly (readonly [name: string, figure: string])[];
}

/** A site's stations and levels as the water meets them, roofs first, emitter last; then the soil, and what is watched. */
export function siteLevels(site: Site): SiteStation[] {
  return [
    ...site.catchments.map((catchment) => catchmentStation(catchment, site.units)),
    ...site.settlingBoxes.map((box) => boxStation(site, box)),
    pitStation(site), ...trenchStations(site), ...emitterStations(site), ...lowSpotStations(site), ...groundStations(site),
    ...watchStations(site),
  ];
}

function catchmentStation({ name, area, loss }: Site["catchments"][number], units: UnitSystem): SiteStation {
  const runs = {
    runoffCoefficient: () => ("runoffCoefficient" in loss ? `${loss.runoffCoefficient} of the rain runs off` : ""),
    curveNumber: () => ("curveNumber" in loss ? `curve number ${loss.curveNumber}` : ""),
    greenAmpt: () => "soil that takes in rain first",
  }[loss.kind]();
  return { station: plainText(name, 80), sizes: `${areaText(area, units)}, ${runs}`, levels: [] };
}

function boxStation({ settlingBoxes, units }: Site, box: Site["settlingBoxes"][number]): SiteStation {
  const plan = "diameter" in box.plan ? `${sizeText(box.plan.diameter, units)} across` : `${lengthText(box.plan.length, units)} by ${lengthText(box.plan.width, units)}`;
  return {
    station: settlingBoxes.length === 1 ? "settling box" : plainText(box.name, 80), sizes: plan,
    levels: [["rim", levelText(box.rim, units)], ...pipeLevels("outlet", box.outlet, units), ["floor", levelText(box.floor, units)]],
  };
}

function pipeLevels(name: string, { invert, outletInvert, diameter, length }: Pipe, units: UnitSystem): [string, string][] {
  const size = `${sizeText(diameter, units)} pipe${length > 0 ? `, ${lengthText(length, units)} long` : ""}`;
  if (invert === outletInvert) return [[`${name}, ${size}`, levelText(invert, units)]];
  return [[`${name}, ${size}, start`, levelText(invert, units)], [`${name}, end`, levelText(outletInvert, units)]];
}

function pitStation({ chamberBank: pit, units }: Site): SiteStation {
  const chambers = pit.chambers.map(({ count, insideDiameter, height }) =>
    `${count} chamber${count === 1 ? "" : "s"} ${sizeText(insideDiameter, units)} across and ${sizeText(height, units)} high`);
  return {
    station: "pit",
    sizes: [`${lengthText(pit.length, units)} by ${lengthText(pit.width, units)}`, ...chambers].join(", "),
    levels: [
      ["ground", levelText(pit.ground, units)], ["stone top", levelText(pit.stoneTop, units)],
      ...(pit.chambers.length === 0 ? [] : [["foot of the chambers", levelText(pit.floor + pit.stone.base, units)] as const]),
      ["floor", levelText(pit.floor, units)],
    ],
  };
}

function trenchStations({ overflowTrench: trench, units }: Site): SiteStation[] {
  if (trench === null) return [];
  const pipe = trench.pipe === null ? "no pipe" : `${sizeText(trench.pipe.insideDiameter, units)} pipe in it`;
  const floors: [string, string][] = trench.fall === 0 ? [["floor", levelText(trench.floor, units)]]
    : [["floor at the high end", levelText(trench.floor, units)], ["floor at the low end", levelText(trench.lowFloor, units)]];
  const grounds: [string, string][] = isLevelGround(trench.ground) ? [["ground", levelText(trench.lowestGround, units)]]
    : [["ground at the high end", levelText(trench.ground.high, units)], ["ground at the low end", levelText(trench.ground.low, units)]];
  return [{
    station: "overflow trench", sizes: `${lengthText(trench.length, units)} long, ${lengthText(trench.width, units)} wide, ${pipe}`,
    levels: [
      ...grounds, ["stone top at the high end", levelText(trench.stoneTop.high, units)],
      ...pipeLevels("inlet", trench.inlet, units), ...floors,
    ],
  }];
}

function emitterStations(site: Site): SiteStation[] {
  const { emitter, units } = site;
  if (emitter === null) return [];
  return [{
    station: "emitter", sizes: `${sizeText(emitter.diameter, units)} across`,
    levels: descending([
      ["opens", emitter.opensAt], ["closes", emitter.closesAt], ["water outside", emitter.tailwater], ["crest", emitter.crest],
      [`weep hole, ${sizeText(emitter.weepHole?.diameter ?? 0, units)}`, emitter.weepHole?.elevation ?? null],
    ], units),
  }];
}

/** Levels from the highest down, in words; null if there are none. */
function descending(levels: readonly (readonly [name: string, level: number | null])[], units: UnitSystem): [string, string][] {
  return levels.flatMap(([name, level]) => (level === null ? [] : [{ name, level }]))
    .sort((a, b) => b.level - a.level).map(({ name, level }) => [name, levelText(level, units)]);
}

function lowSpotStations({ lowSpot, units }: Site): SiteStation[] {
  if (lowSpot === null) return [];
  return [{
    station: "low spot", sizes: `${areaText(lowSpot.area, units)} at ${sizeText(lowSpot.depth, units)} of water`,
    levels: descending([["lip", lowSpot.lip], ["grate", lowSpot.grate?.level ?? null], ["floor", lowSpot.floor]], units),
  }];
}

function groundStations(site: Site): SiteStation[] {
  const { soil, units } = site;
  const divisor = soilDivisor(soil);
  const used = (conductivity: number): string => (divisor === 1 ? intensityText(conductivity, units)
    : `${intensityText(conductivity / divisor, units)} used, ${intensityText(conductivity, units)} as given`);
  const layers = soil.layers.map(({ top, conductivity }, i): SiteStation => ({
    station: soil.layers.length === 1 ? "soil" : `soil, layer ${i + 1}`, sizes: used(conductivity),
    levels: Number.isFinite(top) ? [["top", levelText(top, units)]] : [],
  }));
  return [...layers, ...waterStations(site)];
}

/** The water table of the site, and that of a pit, trench or low spot which has one of its own. */
function waterStations({ groundwater, chamberBank, overflowTrench, lowSpot, units }: Site): SiteStation[] {
  const own = [
    ["pit", chamberBank.groundwaterLevel], ["trench", overflowTrench?.groundwaterLevel ?? null], ["low spot", lowSpot?.groundwaterLevel ?? null],
  ] as const;
  const given = own.flatMap(([body, series]) => (series === null ? [] : [waterStation(`groundwater at the ${body}`, series, units)]));
  return [...given, waterStation(given.length === 0 ? "groundwater" : "groundwater elsewhere", groundwater.level, units)];
}

function waterStation(station: string, series: LevelSeries | null, units: UnitSystem): SiteStation {
  if (series === null) return { station, sizes: "taken to be far below", levels: [] };
  const [low, high] = [leastOf(series.level), greatestOf(series.level)];
  if (low === high) return { station, sizes: "", levels: [["level", levelText(high, units)]] };
  return { station, sizes: "moves", levels: [["highest", levelText(high, units)], ["lowest", levelText(low, units)]] };
}

function watchStations({ watchLevels, units }: Site): SiteStation[] {
  if (watchLevels.length === 0) return [];
  const levels = [...watchLevels]
    .sort((a, b) => b.level - a.level)
    .map(({ name, level }) => [plainText(name, 80), levelText(level, units)] as const);
  return [{ station: "levels to watch", sizes: "", levels }];
}
