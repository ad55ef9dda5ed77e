import { depthText, durationText, flowText, intensityText, levelText, twoFigures, type UnitSystem, volumeText } from "../text/format.ts";
import { staffText } from "../text/staffText.ts";
import { fillTestFigure } from "../figures/fillTestFigure.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import type { Site } from "../site/site.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { floorsTake, sidesTake } from "../site/takesIn.ts";
import { fillSheet, type FillSheet } from "../dips/fillSheet.ts";
import type { FillTestResult, FittedNumber } from "../dips/fillTest.ts";
import { bandText, causesText } from "../dips/fillVerdict.ts";
import { soilToDecideBy } from "../dips/pitLife.ts";
import { cautions } from "./cautions.ts";
import { foundStormsTable, TO_DECIDE_BY } from "./foundStormsTable.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";
import { capital } from "../text/words.ts";

/**
 * The fill test on a page. Without a result it is the sheet to take along: what to do, how long to fill, what to expect at which time
 * in which soil, and room to write. With one: the verdict, the picture, and every number with its band.
 *
 * @source  how the test is done, and its cautions: common practice
 */
export function fillTestPart(site: Site, result: FillTestResult | null = null): PagePart {
  return result === null ? sheetPart(site, fillSheet(site)) : answerPart(result);
}

function sheetPart(site: Site, sheet: FillSheet): PagePart {
  if (sheet.target <= sheet.start) return noTestPart(site, sheet);
  const { units, chamberBank: { floor } } = site;
  const depth = (level: number): string => staffText(Math.max(0, level - floor), units);
  const answer = `Fill the pit to ${depth(sheet.target)} over its floor, shut the hose, and watch it fall`;
  const section = html`<section class="sheet" aria-labelledby="fill-test-name">
<h2 id="fill-test-name"><span class="storm-name">Fill test, to be filled in on site</span> ${keptTogether(answer)}</h2>
<h3>What to do</h3>
<ol class="notes">${stepsOf(site, sheet).map((step) => html`<li>${keptTogether(step)}</li>`)}</ol>
<h3>How long the hose runs</h3>
${hoseTable(sheet, units)}
<h3>What to expect, and what was read</h3>
<div class="scroll" role="region" aria-label="Dips" tabindex="0"><table>
<caption>Water over the pit's floor. ${floorsTake(site) || sidesTake(site) ? "If the readings keep to one column, that is the soil; if they leave it for a faster or slower one, write on: the fit will say why."
      : "As designed nothing soaks away and the water stays where it is, in soil three times as fast too: if it falls, the ground takes in more than the file says, or the works leak."}</caption>
<thead><tr><th scope="col">after the hose is shut</th><th scope="col">soil a third as fast</th><th scope="col">as designed</th><th scope="col">three times as fast</th><th scope="col">time on the watch</th><th scope="col">read</th></tr></thead>
<tbody>${sheet.rows.map(({ time, slow, designed, fast }) => html`<tr><th scope="row">${time === 0 ? "at once" : durationText(time)}</th>
<td>${depth(slow)}</td><td>${depth(designed)}</td><td>${depth(fast)}</td><td>${BLANK}</td><td>${BLANK}</td></tr>`)}
${[0, 1, 2].map(() => html`<tr><th scope="row">${BLANK}</th><td></td><td></td><td></td><td>${BLANK}</td><td>${BLANK}</td></tr>`)}</tbody>
</table></div>
<h3>Write down once</h3>
<dl>${ONCE.map(([what, how]) => html`<div><dt>${what}</dt><dd>${BLANK} ${how}</dd></div>`)}</dl>
<h3>Keep safe</h3>
<dl>${safety().map(([about, words]) => html`<div><dt>${about}</dt><dd>${words}</dd></div>`)}</dl>
</section>`;
  return { answer, section, pictures: [] };
}

/** Where groundwater stands over every pipe of the pit no water of a hose would say anything of the soil. */
function noTestPart({ units }: Site, { start }: FillSheet): PagePart {
  const answer = `No fill test can be made while groundwater fills the pit to ${levelText(start, units)}`;
  const section = html`<section class="sheet" aria-labelledby="fill-test-name">
<h2 id="fill-test-name"><span class="storm-name">Fill test</span> ${keptTogether(answer)}</h2>
<p>It stands over the pipes of the pit, so that water put in would run off through them. Wait for a season in which the water table is below them, and give the file its level then.</p>
</section>`;
  return { answer, section, pictures: [] };
}

/** Room to write a figure in. */
const BLANK = "\u00a0".repeat(14);

const ONCE: readonly (readonly [string, string])[] = [
  ["Date, who", ""],
  ["Groundwater, if seen", "its level, or how far below the mark"],
  ["The mark", "what the tape hangs from, and its level on the level list"],
  ["Hose", "seconds to fill a bucket of known size, at the start and at the end"],
  ["Hose opened at, shut at", ""],
];

function stepsOf(site: Site, { target, volume }: FillSheet): string[] {
  const { units, chamberBank: { floor }, settlingBoxes, overflowTrench } = site;
  const pipes = `${settlingBoxes.length > 1 ? "pipes from the boxes" : "pipe from the box"}${overflowTrench === null ? "" : " and the one to the trench"}`;
  return [
    "Test when stone and chambers are in and, if it can be, before the cover is on; from a stand pipe or down a chamber's opening. No rain since the day before, none expected.",
    `Use clean water: what is muddy seals the very floor that is tested. Shut the ${pipes}, or stay below ${settlingBoxes.length > 1 || overflowTrench !== null ? "them" : "it"}.`,
    `Fill to ${staffText(target - floor, units)} over the floor (level ${levelText(target, units)}). The pit takes ${volumeText(volume, units)} to there, and what the soil drinks meanwhile.`,
    "Where the soil is dry, fill once, let it fall, and fill again: dry soil drinks faster than it drains. The second fill counts.",
    "Shut the hose. Read at once, then at the times below, always from the same mark; the watch decides, not the sheet. Read to an eighth of an inch or to 3 mm.",
    "Stop when the water has fallen by half and eight or more readings are written down, or when it has not fallen for two readings: then read once more the next day. Two or three readings near the end tell most about floor, sides and a water table.",
  ];
}

function hoseTable({ hoses }: FillSheet, units: UnitSystem): Markup {
  return html`<table class="words"><thead><tr><th scope="col">hose</th><th scope="col">runs for about</th></tr></thead>
<tbody>${hoses.map(({ flow, duration }) => html`<tr><th scope="row">${flowText(flow, units)}</th><td>${duration === null ? "too little: soil as designed takes it all" : durationText(duration)}</td></tr>`)}</tbody></table>`;
}

function safety(): (readonly [string, string])[] {
  const pits = cautions.find(({ about }) => about === "Pits")!;
  return [
    [pits.about, `${pits.words} Read from above, from firm ground.`],
    ["The hose", "Keep its end above the water, or fit a backflow preventer: a drop of pressure in the main would draw the pit's water into the drinking water. Common practice, and code in many places."],
    ["The edge", "A filled pit pushes and then lets go: keep back from an open edge while the water falls, and fence or cover it if the test runs overnight."],
  ];
}

function answerPart(result: FillTestResult): PagePart {
  const { site: { units }, verdict, pass, emptying, storms, findings, numbers, rivals, tried, nextDip, notes, tied } = result;
  const isExplained = verdict.kind !== "unexplained";
  const picture = pictureOf("fill-test", (options) => fillTestFigure(result, options));
  const answer = fillTestAnswer(result);
  const section = html`<section aria-labelledby="fill-test-name">
<h2 id="fill-test-name"><span class="storm-name">Fill test</span> ${keptTogether(answer)}</h2>
<p>${keptTogether(plainText([...(isExplained ? [] : ["What they say of the time to empty, of the crew's line and of the file's storms is not told: it would stand on works that these dips do not show."]), ...(isExplained && emptying === null ? ["The file has no storm to be emptied after: give it “storms”, and the answer says how long that takes."] : []), ...(pass === null ? [] : [pass.sentence]), ...verdict.reasons].join(" ")))}</p>
${findings.length === 0 ? null : html`<h3>What stands out</h3>
<ul class="notes">${findings.map(({ words }) => html`<li>${keptTogether(plainText(words))}</li>`)}</ul>`}
${placeOf(picture, "Squares: the dips. Line with its band: the works as fitted. Dashed: the works as drawn, filled with the same water.")}
<h3>What the dips say</h3>
<div class="scroll" role="region" aria-label="Numbers of the fill test" tabindex="0"><table class="words">
<caption>${isExplained ? "" : "Of the line nearest to dips that fit none: nothing to go by. "}95 percent bands${rivals.length === 0 ? "" : ", wide enough for every cause that is not ruled out"}.</caption>
<thead><tr><th scope="col">number</th><th scope="col">best</th><th scope="col">band</th></tr></thead>
<tbody>${numbers.map((number) => {
    const { words, figure } = shownAs(number, result);
    return html`<tr><th scope="row">${words}</th><td class="figure">${figure(number.value)}</td><td class="figure">${bandOrFigure(number.band, figure)}</td></tr>`;
  })}</tbody>
</table></div>
${foundStormsTable(storms, result.site)}
<p>${keptTogether(soilToDecideBy(result) === null ? "This soil is nothing to decide by: “decide” leaves it out." : TO_DECIDE_BY)}</p>
<h3>What was tried</h3>
<div class="scroll" role="region" aria-label="Models tried" tabindex="0"><table class="words">
<thead><tr><th scope="col">works with</th><th scope="col">unknowns</th><th scope="col">dips lie about the line</th></tr></thead>
<tbody>${tried.map(({ causes, soil, unknowns, rms }) => html`<tr><th scope="row">${soil ? (causes.length === 0 ? "another soil" : `another soil and ${causesText(causes)}`) : "nothing but the water put in"}</th><td class="figure">${unknowns}</td><td class="figure">${depthText(rms, units)}</td></tr>`)}</tbody>
</table></div>
<h3>What else to know</h3>
<ul class="notes">${[
    ...(nextDip === null ? [!isExplained ? "Read the pit again, and look for what the dips do not show: water running in, or a tape caught." : "No further dip is worth waiting for."] : [nextDip.words]),
    ...tied.map(({ names: [first, second], correlation }) => `${capital(NAMES[first])} and ${NAMES[second]} go together (correlation ${correlation.toFixed(2)}): the dips hardly tell one from the other.`),
    ...notes,
  ].map((note) => html`<li>${keptTogether(plainText(note))}</li>`)}</ul>
</section>`;
  return { answer, section, pictures: [picture] };
}

/** How long the works take to empty, against what was asked, then why. */
function fillTestAnswer({ emptying, verdict }: FillTestResult): string {
  return plainText(emptying === null ? verdict.sentence : `${emptying.sentence} ${verdict.sentence}`, Infinity);
}

/** A band whose ends are the same figure is that figure. */
function bandOrFigure(band: FittedNumber["band"], figure: (number: number) => string): string {
  const { low, high } = band;
  return low !== null && high !== null && figure(low) === figure(high) ? figure(low) : bandText(band, figure);
}

const NAMES: Readonly<Record<FittedNumber["name"], string>> = {
  hose: "the water put in", start: "the level filled to", soil: "the soil", floor: "the floor", waterTable: "the water table",
  leakLevel: "the leak's level", leakFlow: "the leak's flow", dry: "what dry soil drinks", fall: "the fall", room: "the room",
};

interface Shown {
  readonly words: string;
  readonly figure: (number: number) => string;
}

function shownAs({ name }: FittedNumber, { site }: FillTestResult): Shown {
  const { units, chamberBank: { floor }, soil } = site;
  const times = (number: number): string => `${twoFigures(number)} ×`;
  const level = (number: number): string => levelText(number, units);
  const layer = soil.layers.findLast(({ top }) => top > floor)!;
  const designed = layer.conductivity / soilDivisor(soil);
  return {
    hose: { words: "water that went in, times what the hose was said to bring", figure: times },
    start: { words: "level the pit was filled to, ten minutes before the first dip", figure: level },
    soil: { words: `soil, times the design's (${intensityText(designed, units)} at the floor)`, figure: times },
    fall: { words: "how fast the water falls, times the design's", figure: times },
    room: { words: "room in the works, times the drawn", figure: times },
    dry: { words: "what dry soil drinks besides, an hour after the fill", figure: (number: number): string => flowText(number, units) },
    floor: { words: "floor, times what the sides take in of their share", figure: times },
    waterTable: { words: "water table", figure: level },
    leakLevel: { words: "leak above", figure: level },
    leakFlow: { words: "leak with the water at the highest dip", figure: (number: number): string => flowText(number, units) },
  }[name];
}
