import { lastingText, momentText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { periodWords, sweepAnswer } from "../figures/sweepAnswer.ts";
import { spilledHead } from "../site/surfaceWords.ts";
import { sweepCurveFigure } from "../figures/sweepCurveFigure.ts";
import { sweepFigure } from "../figures/sweepFigure.ts";
import type { Site } from "../site/site.ts";
import type { CriticalAnswer, Sweep, SweptDesign } from "../study/sweep.ts";
import { stormAdvice } from "../study/stormAdvice.ts";
import { depthText, flowText, type UnitSystem, volumeText, waterText } from "../text/format.ts";
import { overLowGround } from "../site/trenchGround.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";
import { heightText } from "../text/words.ts";

/** Storms of many durations and return periods on a page: small pictures, the worst of each answer with its duration, and all numbers. */
export function sweepPart(sweep: Sweep): PagePart {
  const picture = pictureOf("sweep-grid", (options) => sweepFigure(sweep, options));
  const curves = sweepCurveFigure(sweep) === null ? null : pictureOf("sweep-curves", (options) => sweepCurveFigure(sweep, options)!);
  const answer = sweepAnswer(sweep);
  const section = html`<section class="storm" id="sweep" aria-labelledby="sweep-name">
<h2 id="sweep-name"><span class="storm-name">Which storm</span>${keptTogether(answer)}</h2>
${placeOf(picture, pictureWords(sweep.designs[0]!.site))}
${curves === null ? null : placeOf(curves, `Over the duration of the storm, a curve for each return period with its top as a dot${sweep.designs.length > 1 ? ", of the design as the site file has it" : ""}. Straight between the durations that were run.`)}
<p>${keptTogether(stormAdvice(sweep.designs[0]!.site).words)}</p>
${sweep.designs.map((design) => criticalTable(design, sweep.designs.length > 1))}${sweep.designs.flatMap((design) => patchSentence(design, sweep.designs.length > 1) ?? [])}
${sweep.designs.map((design) => allStorms(design, sweep.designs.length > 1))}
</section>`;
  return { answer, section, pictures: curves === null ? [picture] : [picture, curves] };
}

function pictureWords({ overflowTrench, emitter }: Site): string {
  const parts = overflowTrench === null ? "" : emitter === null ? ": pit and trench" : ": pit, trench, and the lid at its end";
  return `Each small picture is the works at their highest water in one storm${parts}. Framed: the worst duration of a return period.`;
}

const ANSWERS: readonly { readonly answer: CriticalAnswer; readonly words: string; readonly emitter?: true }[] = [
  { answer: "pitPeak", words: "the pit's highest level" },
  { answer: "boxHeadroom", words: "from the box's water to its rim" },
  { answer: "emitterVolume", words: "let out by the emitter", emitter: true },
  { answer: "emitterPeak", words: "its greatest flow", emitter: true },
  { answer: "firstFiring", words: "it first opens at", emitter: true },
  { answer: "spilled", words: "comes out over rims and ground" },
  { answer: "half", words: "half empty after" },
  { answer: "empty", words: "empty after" },
];

function figure(answer: CriticalAnswer, value: number, units: UnitSystem): string {
  if (Number.isNaN(value)) return "not within the run";
  switch (answer) {
    case "pitPeak": return waterText(value, units);
    case "boxHeadroom": return value < 0 ? `${depthText(-value, units)} over it` : heightText(value, units);
    case "emitterVolume": case "spilled": return volumeText(value, units);
    case "emitterPeak": return flowText(value, units);
    case "firstFiring": return momentText(value);
    case "half": case "empty": return lastingText(value);
  }
}

/** The worst of every answer, and the duration in which it is that: no one duration is the critical one. */
function criticalTable({ name, rows, site }: SweptDesign, isNamed: boolean): Markup {
  const shown = ANSWERS.filter(({ emitter }) => !emitter || site.emitter !== null);
  return html`<div class="scroll" role="region" aria-label="Worst of each answer" tabindex="0"><table>
<caption>${isNamed ? `${plainText(name, 60)}: the` : "The"} worst of each answer, and the duration of the storm that brings it</caption>
<thead><tr><th scope="col"></th>${rows.map(({ returnPeriod }) => html`<th scope="col">${periodWords(returnPeriod)}</th>`)}</tr></thead>
<tbody>${shown.map(({ answer, words }) => html`<tr><th scope="row">${answer === "spilled" ? spilledHead(site) : words}</th>${rows.map(({ critical }) => {
    const worst = critical[answer];
    return html`<td>${worst === null ? "none" : keptTogether(`${figure(answer, worst.value, site.units)} (${plainText(worst.duration, 12)})`)}</td>`;
  })}</tr>`)}</tbody>
</table></div>`;
}

/** Storms in which water stands over the low end of the trench's ground and comes out nowhere; null if there are no such storms. */
function patchSentence({ name, rows, site }: SweptDesign, isNamed: boolean): Markup | null {
  const { overflowTrench: trench, units } = site;
  const cells = rows.flatMap(({ returnPeriod, cells: of }) => of.map((cell) => ({ ...cell, returnPeriod })));
  const patches = cells.flatMap(({ returnPeriod, duration, answers }) => {
    const over = answers.stopped === 1 || answers.spilled > 1e-6 ? 0 : overLowGround(answers.trenchPeak, trench);
    return over > 0 ? [{ over, level: answers.trenchPeak, storm: `${periodWords(returnPeriod)}, ${duration}` }] : [];
  });
  if (patches.length === 0) return null;
  const { over, level, storm } = patches.reduce((most, each) => (each.over > most.over ? each : most));
  return html`<p>${isNamed ? `${plainText(name, 60)}: in` : "In"} ${patches.length} of ${cells.length} storms the trench stands over the low end of its ground, at ${waterText(level, units)} at most (${plainText(storm, 40)}), ${heightText(over, units)} over it: turf and soil are taken to hold it there, but expect a wet patch.</p>`;
}

function allStorms({ name, rows, site }: SweptDesign, isNamed: boolean): Markup {
  const { units } = site;
  return html`<details><summary>Every storm in numbers${isNamed ? `, ${plainText(name, 60)}` : ""}</summary>
<div class="scroll" role="region" aria-label="Every storm" tabindex="0"><table>
<thead><tr><th scope="col">storm</th><th scope="col">rain</th><th scope="col">state</th><th scope="col">pit's highest</th>${site.emitter === null ? null : html`<th scope="col">let out</th><th scope="col">first opens</th>`}<th scope="col">empty after</th></tr></thead>
${rows.map(({ returnPeriod, cells }) => html`<tbody><tr class="group"><th scope="rowgroup" colspan="${site.emitter === null ? 5 : 7}">${periodWords(returnPeriod)}</th></tr>
${cells.map(({ duration, depth, state, answers }) => html`<tr class="under"><th scope="row">${plainText(duration, 20)}</th><td>${depthText(depth, units)}</td>${answers.stopped === 1 ? html`<td colspan="${site.emitter === null ? 3 : 5}">could not be run to its end</td>`
    : html`<td>${state}</td><td>${figure("pitPeak", answers.pitPeak, units)}</td>${site.emitter === null ? null : html`<td>${volumeText(answers.emitterVolume, units)}</td><td>${Number.isNaN(answers.firstFiring) ? "never" : momentText(answers.firstFiring)}</td>`}<td>${keptTogether(figure("empty", answers.empty, units))}</td>`}</tr>`)}</tbody>`)}
</table></div></details>`;
}
