import { keptTogether } from "../text/keptTogether.ts";
import { lessonDepthFigure, lessonSlopeFigure } from "../figures/lessonFigures.ts";
import { lines } from "../figures/look.ts";
import { LESSON_DEEP, lessonAnswers, lessonRun, type LessonAnswers, type LessonState } from "../study/lesson.ts";
import { lessonQuestions } from "../study/lessonQuestions.ts";
import type { Run } from "../simulate/run.ts";
import { percentText } from "../text/words.ts";
import { cautionSections } from "./cautionSections.ts";
import { livePageStyle } from "./livePageStyle.ts";
import { html, scriptData, type Markup } from "./markup.ts";
import { livePolicy, pageFrame } from "./pageFrame.ts";
import { drawingsOf, firstOf, pictureOf } from "./placedPicture.ts";
import { programScripts, type PageProgram } from "./programScripts.ts";

/** The low point as it is: both causes, at the foot. */
export const LESSON_START: LessonState = Object.freeze({ place: 0, groundwater: true, runOn: true });

/** The four ways the two switches can stand, and what each is called. */
export const CAUSES: readonly { readonly words: string; readonly groundwater: boolean; readonly runOn: boolean }[] = Object.freeze([
  { words: "neither", groundwater: false, runOn: false }, { words: "groundwater", groundwater: true, runOn: false },
  { words: "run-on", groundwater: false, runOn: true }, { words: "both", groundwater: true, runOn: true },
]);

/**
 * The lesson of the low point on one page: the same works on one slope over one water table, pulled up and down it, two switches that
 * separate the two causes, and ten questions that are guessed first. It works from disk; without its program the drawings, the four
 * cases side by side and the questions with their reasons are there all the same.
 *
 * @param years    share of a year wet, `[place][groundwater][runOn]`, from `lessonYears`
 * @param program  null: a page without one
 */
export function lessonPage(years: readonly (readonly (readonly number[])[])[], program: PageProgram | null): string {
  const state = LESSON_START;
  const runs = CAUSES.map((causes) => ({ ...causes, run: lessonRun({ ...state, ...causes }) }));
  const { run } = runs[3]!;
  const time = run.peaks["chamberBank"]!.time;
  const answers = lessonAnswers(run, state);
  const known = new Map<string, LessonAnswers>();
  const of = (asked: LessonState): LessonAnswers => {
    const key = JSON.stringify(asked);
    const found = known.get(key) ?? lessonAnswers(lessonRun(asked), asked);
    known.set(key, found);
    return found;
  };
  const slope = pictureOf("slope", (options) => lessonSlopeFigure(run, state, time, options));
  const depth = pictureOf("depth", (options) => lessonDepthFigure(runs.map(({ words, run: each }) => ({ words, run: each, isShown: words === "both" })), [], options));
  return pageFrame({
    title: "The lesson of the low point",
    header: html`<p class="place">The lesson of the low point, on an invented slope</p>
<h1 id="headline" tabindex="-1">${keptTogether(lessonHeadline(run, state))}</h1>
<p class="what">A pit of stone with four chambers in it, ${LESSON_DEEP.toFixed(2)} m deep, takes the rain of a school’s roof and lets it soak into the ground. Why does it stay full at the foot of the slope? <b>Groundwater</b> is the water that fills the ground up to a level of its own. <b>Run-on</b> is rain that runs down the lawn into the hollow at the foot, and through a grate into the pit.</p>`,
    main: html`<section class="top" id="top" aria-labelledby="headline">
${program === null ? null : html`<p class="switches live-only screen"><button type="button" role="switch" id="groundwater" aria-checked="true">groundwater</button><button type="button" role="switch" id="run-on" aria-checked="true">run-on from the slope</button></p>
<p class="hint screen live-only">Pull the pit by its ring up and down the slope; switch the two causes on and off. Tap the ring under the curve, and time runs.</p>
<p id="spoken" class="unseen" role="status" aria-live="polite"></p>`}
<figure><div class="picture" id="slope" role="group" aria-label="${firstOf(slope).description}">${drawingsOf(slope)}</div>
<div class="picture" id="depth" role="group" aria-label="${firstOf(depth).description}">${drawingsOf(depth)}</div>
${program === null ? null : html`<div id="asked" class="live-only screen" aria-live="polite"></div>`}
<p id="answers-now">${lessonLine(answers, state, years[state.place]![1]![1]!)}</p>
<figcaption>The slope from the side. Tinted: the ground below the water table; the hatched band over it is how far what soaks away lifts it by the end of the four days, and the strokes at the house are ground kept damp. In the pit, stone with four chambers in it: hatched is groundwater here too, plain blue the storm's water, outlined with dashes the room that is left; pale over it, how high its water presses in the soil. The picture stands at the hour of the curve’s ring, at first that of the highest water. The pit’s overflow, a trench with a pipe, runs along the slope and is not drawn.</figcaption>
<figcaption>The water in the pit against time. Heavy: the two causes as they are chosen. Thin: the same pit in the same storm, the causes chosen otherwise; where two are one line, a cause does nothing here. With neither, the pit has only the roof's rain: 58 mm in a day, most of it at noon (NRCS type II). At the foot, a day after the rain, both together are more than their sum: water soaks away more slowly where groundwater is near.</figcaption></figure>
<div id="four">${fourTable(runs, state)}</div>
${program === null ? null : html`<p class="deeds screen live-only"><label>code <input id="code" type="text" size="5" maxlength="4" autocomplete="off" autocapitalize="characters" spellcheck="false"></label><span id="code-words">Everybody with this file types the same four signs and sees the same.</span></p>
<details class="live-only saves screen"><summary>Save a picture</summary><p class="deeds">${(["slope", "depth"] as const).flatMap((name) => (["svg", "png"] as const).map((kind) => (
    html`<button type="button" id="save-${name}-${kind}" class="word">${name === "slope" ? "slope" : "water in the pit"}, ${kind.toUpperCase()}</button>`)))}</p></details>`}
</section>
<section id="questions" aria-labelledby="questions-name">
<h2 id="questions-name">Ten questions to guess first</h2>
<ol>${lessonQuestions.map(({ ask, reason }) => html`<li><p>${ask}</p><details class="printed"><summary>Why</summary><p>${keptTogether(reason(of))}</p></details></li>`)}</ol>
</section>
<section id="assumed" aria-labelledby="assumed-name"><h2 id="assumed-name">What is assumed</h2>
<ul class="notes"><li>The slope, its works, its rain and its water table are invented. The soil takes 4.5 mm/h near the ground and 18 mm/h below (half of what was measured).</li>
<li>The water table rises up the slope by 35 cm for a metre of the ground. The share of the year is of one made-up year, with a table that is highest in February and lowest in September.</li>
<li>Higher up nothing joins the works to the hollow. The cellar is 2.6 m deep; the mound at its wall is Hantush's, of all that soaks away in the four days, spread evenly over them, in ground 4 m thick.</li></ul></section>
${cautionSections()}`,
    ...(program === null ? {} : { live: {
      style: livePageStyle + lessonStyle, policy: livePolicy(program.isWasm),
      scripts: html`<script type="application/json" id="lesson-source">${scriptData({ years })}</script>
${programScripts(program)}`,
    } }),
  });
}

/** What the place does, as one would say it. */
export function lessonHeadline(run: Run, state: LessonState): string {
  const { start, peak, day3, wall } = lessonAnswers(run, state);
  const stone = run.site.chamberBank.stone.depth;
  const where = state.place === 0 ? "At the foot of the slope" : state.place >= 9 ? "Up near the house" : `${Number((state.place * 0.25).toFixed(2))} m up the slope`;
  const filled = (depth: number, little: string, much: (share: string) => string): string => (
    depth < LITTLE * stone ? little : much(part(depth / stone)));
  const before = start <= 0.02 ? "the pit is dry before it rains"
    : filled(start, "a little groundwater stands in the pit before it rains", (share) => `the pit is ${share} full of groundwater before it rains`);
  const after = day3 <= 0.02 ? "dry again" : filled(day3, "all but empty", (share) => `${share} full`);
  const cellar = wall !== null && wall.dampBelowSlab <= 0 ? "; but the ground is damp up to the cellar floor" : "";
  return `${where} ${before}${peak > 1.02 * stone ? ", over the brim in the storm" : peak >= 0.97 * stone ? ", full in the storm" : ""}, and ${after} a day after the rain${cellar}.`;
}

/** share of the stone's depth that counts as a little */
const LITTLE = 0.07;

function part(share: number): string {
  const parts = [[0.1, "a tenth"], [0.2, "a fifth"], [0.25, "a quarter"], [0.333, "a third"], [0.5, "half"], [0.6, "more than half"], [0.667, "two thirds"], [0.75, "three quarters"], [0.9, "nearly"], [1, "quite"]] as const;
  return parts.reduce((best, each) => (Math.abs(each[0] - share) < Math.abs(best[0] - share) ? each : best))[1];
}

/** What follows the hand beside the water: share of the year, room for rain, mound and damp at the house. */
export function lessonLine({ room, rise, wall }: LessonAnswers, { place, runOn }: LessonState, year: number): string {
  const cellar = wall === null ? "There is no groundwater near the cellar."
    : `At the cellar’s wall damp soil comes ${wall.dampBelowSlab <= 0 ? "up to the floor" : `up to ${(100 * wall.dampBelowSlab).toFixed(0)} cm under the floor`}; the pit lifts the groundwater there by ${rise < 0.01 ? "less than 1" : (100 * rise).toFixed(0)} cm.`;
  const hollow = runOn && place > 0 ? " The slope’s water stays in the hollow: nothing joins it to the pit up here." : "";
  return keptTogether(`The pit is wet for ${percentText(year)} of the year; before the storm it has room for ${(1000 * room).toFixed(0)} mm of rain at once.${hollow} ${cellar}`);
}

/** Peak and what is left after two days, for the four ways of the switches at a place. */
export function fourTable(
  runs: readonly (typeof CAUSES[number] & { readonly run: Run })[], shown: LessonState,
): Markup {
  const cells = runs.map(({ words, groundwater, runOn, run }) => {
    const { peak, day3 } = lessonAnswers(run, { place: shown.place, groundwater, runOn });
    return { words, peak: peak.toFixed(2), day3: day3.toFixed(2), isShown: groundwater === shown.groundwater && runOn === shown.runOn };
  });
  return html`<table class="four"><caption>Water over the pit's floor at this place, m</caption>
<thead><tr><th scope="col">cause</th>${cells.map(({ words, isShown }) => html`<th scope="col"${isShown ? html` class="shown"` : null}>${words}</th>`)}</tr></thead>
<tbody><tr><th scope="row">at its highest</th>${cells.map(({ peak }) => html`<td>${peak}</td>`)}</tr><tr><th scope="row">at hour 48, a day after the rain</th>${cells.map(({ day3 }) => html`<td>${day3}</td>`)}</tr></tbody></table>`;
}

const lessonStyle = `
/* the hour's words stand under the figures of the axis */
#depth .handle.below { gap: 14px; }
.awake .switches { display: flex; }
.switches { display: flex; flex-wrap: wrap; gap: 10px; margin: 0 0 8px; }
.switches button { font: inherit; min-height: 44px; padding: 6px 16px; border-radius: 22px; border: 2px solid ${lines.rain.color}; background: #fff; color: ${lines.rain.color}; cursor: pointer; }
.switches button::after { content: ": off"; }
.switches button[aria-checked=true] { background: ${lines.rain.color}; color: #fff; }
.switches button[aria-checked=true]::after { content: ": on"; }
.four { margin-top: 18px; }
.top .deeds { margin-top: 12px; }
.four th.shown { text-decoration: underline; text-decoration-thickness: 3px; text-underline-offset: 4px; }
#answers-now { max-width: none; margin: 8px 0; font-weight: 600; }
#asked { border-left: 4px solid ${lines.emitter.color}; padding: 4px 0 4px 14px; margin: 8px 0; }
#asked p { max-width: none; }
/* what follows a question stays where it is when the reason comes */
.asking #asked { min-height: 6em; }
#asked button, #asked-nav button { font: inherit; min-height: 44px; padding: 4px 14px; margin-right: 10px; border: 1.6px solid ${lines.emitter.color}; border-radius: 8px; background: #fff; color: ${lines.emitter.color}; cursor: pointer; }
.guessing #depth { touch-action: none; cursor: crosshair; outline: 2px dashed ${lines.emitter.color}; outline-offset: -2px; }
#questions ol { padding-left: 2.2em; }
.asking figcaption, .asking #four, .asking .what, .asking .hint { display: none; }
.live header { margin-bottom: 6px; }
.what { max-width: 62em; margin: 0 0 10px; }
#slope + #depth { margin-top: 4px; }
@media screen { .live #headline { min-height: 2.45em; } }
@media print { .top figure { break-inside: auto; } .top .picture { break-inside: avoid; } }
@media screen and (max-width: 700px) { .asking #asked { min-height: 9em; } .live #headline { min-height: 4.9em; } }
`;
