import { fanFigure } from "../figures/fanFigure.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { answerText, DOUBT, ofHundred, sureAnswer } from "../figures/sureAnswer.ts";
import { spilledHead, surfaceWords } from "../site/surfaceWords.ts";
import { swingFigure } from "../figures/swingFigure.ts";
import { opensByGroundwater } from "../simulate/settledRun.ts";
import type { AnswerName } from "../study/answerRow.ts";
import type { HowSure } from "../study/howSure.ts";
import { threeFigures } from "../text/format.ts";
import { html } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { firstOf, pictureOf, placeOf } from "./placedPicture.ts";

/** How sure the answers of one storm are: the fan of the pit's level, the band of every answer, and what matters most. */
export function surePart(sure: HowSure, storm: string): PagePart {
  const fan = pictureOf("sure-fan", (options) => fanFigure(sure, { ...options, storm }));
  const swing = pictureOf("sure-swing", (options) => swingFigure(sure, { ...options, storm }));
  const answer = sureAnswer(sure);
  const { run, table, stopped } = sure;
  const rows = ANSWERED.filter(({ emitter }) => !emitter || run.site.emitter !== null);
  const section = html`<section class="storm" id="sure" aria-labelledby="sure-name">
<h2 id="sure-name"><span class="storm-name">How sure · <bdi>${plainText(storm)}</bdi></span>${keptTogether(answer)}</h2>
${placeOf(fan, "The level of the pit as far as it is known. At every hour 90 of 100 cases lie in the pale band and half of them in the dark one; no single case follows an edge, and peaks come at different times.")}
<div class="scroll" role="region" aria-labelledby="sure-name" tabindex="0"><table>
<caption>${table.count - stopped} cases, each with its own ${doubtWords(sure)}. Of 100 cases so many stay at or below the figure:</caption>
<thead><tr><th scope="col"></th><th scope="col">5</th><th scope="col">25</th><th scope="col">50</th><th scope="col">75</th><th scope="col">95</th></tr></thead>
<tbody>${rows.map(({ answer: name, words }) => html`<tr><th scope="row">${name === "spilled" ? spilledHead(run.site) : words}</th>${sure.answers[name].map((value) => html`<td>${keptTogether(answerText(name, value, run.site.units, name === "firstFiring" ? momentText : lastingText))}</td>`)}</tr>`)}</tbody>
</table></div>
<p>${run.site.emitter === null ? null : html`The emitter opens${opensByGroundwater(run.site) ? ", by rain or by groundwater," : ""} in ${ofHundred(sure.firing)} (${chanceWords(sure.firing)}). `}Water comes out ${surfaceWords(run.site)} in ${ofHundred(sure.spilling)} (${chanceWords(sure.spilling)}).${stopped === 0 ? null : ` ${stopped} ${stopped === 1 ? "case" : "cases"} could not be run to the end and ${stopped === 1 ? "is" : "are"} not counted.`}</p>
<h3>${keptTogether(firstOf(swing).answer)}</h3>
${placeOf(swing, "Each bar from one end of a doubt to the other, 5 and 95 of 100, with all else as the site file says.")}
</section>`;
  return { answer, section, pictures: [fan, swing] };
}

const ANSWERED: readonly { readonly answer: AnswerName; readonly words: string; readonly emitter?: true }[] = [
  { answer: "pitPeak", words: "the pit's highest level" },
  { answer: "boxHeadroom", words: "from the water of a box to its rim" },
  { answer: "emitterVolume", words: "let out by the emitter", emitter: true },
  { answer: "openTime", words: "emitter open for", emitter: true },
  { answer: "firstFiring", words: "first opens at", emitter: true },
  { answer: "spilled", words: "comes out over rims and ground" },
  { answer: "half", words: "half empty after" },
  { answer: "empty", words: "empty after" },
];

function doubtWords({ swings }: HowSure): string {
  const words = swings.map(({ drawn }) => DOUBT[drawn].words.replace(/^the /, ""));
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)!}`;
}

function chanceWords({ share, standardError }: HowSure["firing"]): string {
  return share === 0 || share === 1 ? `chance alone might hide ${threeFigures(100 * 2 * standardError)} in 100` : `give or take ${threeFigures(Math.round(200 * standardError * 10) / 10)} of 100`;
}
