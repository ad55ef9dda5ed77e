import { fanFigure } from "../figures/fanFigure.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { answerText, comparedWords, DOUBT, ofHundred, sureAnswer } from "../figures/sureAnswer.ts";
import { measuredBy, measuredSoil } from "../site/measuredSoil.ts";
import { spilledHead, surfaceWords } from "../site/surfaceWords.ts";
import { swingFigure } from "../figures/swingFigure.ts";
import { opensByGroundwater } from "../simulate/settledRun.ts";
import { isTested } from "../site/testHoles.ts";
import type { AnswerName } from "../study/answerRow.ts";
import { gainOf, type HowSure } from "../study/howSure.ts";
import type { Run } from "../simulate/run.ts";
import type { DrawnName } from "../study/ensembleCases.ts";
import { threeFigures, twoFigures, volumeText, waterText } from "../text/format.ts";
import { html } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { firstOf, pictureOf, placeOf } from "./placedPicture.ts";

/** How sure the answers of one storm are: the fan of the pit's level, the band of every answer, and what matters most. */
export function surePart(sure: HowSure, storm: string): PagePart {
  const fan = pictureOf("sure-fan", (options) => fanFigure(sure, { ...options, storm }));
  const swing = pictureOf("sure-swing", (options) => swingFigure(sure, { ...options, storm }));
  const answer = sureAnswer(sure, storm);
  const { run, table, stopped } = sure;
  const rows = ANSWERED.filter(({ emitter }) => !emitter || run.site.emitter !== null);
  const section = html`<section class="storm" id="sure" aria-labelledby="sure-name">
<h2 id="sure-name"><span class="storm-name">How sure</span>${keptTogether(answer)}</h2>
${placeOf(fan, `The level of the pit as far as it is known, of each case the highest within ${lastingText(aroundOf(sure))} of a moment, so that no peak is missed. At every moment 90 of 100 cases lie in the pale band and half of them in the dark one; no single case follows an edge, and peaks come at different times.`)}
<div class="scroll" role="region" aria-labelledby="sure-name" tabindex="0"><table>
<caption>${table.count - stopped} cases, each with its own ${doubtWords(sure)}. Of every 100 cases this many stay at or below the figure:</caption>
<thead><tr><th scope="col"></th><th scope="col">5</th><th scope="col">25</th><th scope="col">50</th><th scope="col">75</th><th scope="col">95</th></tr></thead>
<tbody>${rows.map(({ answer: name, words }) => html`<tr><th scope="row">${name === "spilled" ? spilledHead(run.site) : words}</th>${sure.answers[name].map((value) => html`<td>${keptTogether(answerText(name, value, run.site.units, name === "firstFiring" ? momentText : lastingText))}</td>`)}</tr>`)}</tbody>
</table></div>
<p>${run.site.emitter === null ? null : html`The emitter opens${opensByGroundwater(run.site) ? ", by rain or by groundwater," : ""} in ${ofHundred(sure.firing)} (${chanceWords(sure.firing)}). `}Water comes out ${surfaceWords(run.site)} in ${ofHundred(sure.spilling)} (${chanceWords(sure.spilling)}).${stopped === 0 ? null : ` ${stopped} ${stopped === 1 ? "case" : "cases"} could not be run to the end and ${stopped === 1 ? "is" : "are"} not counted.`}</p>
<p>${keptTogether(centreWords(sure))}</p>
${sure.worth.length === 0 ? null : html`<p>${keptTogether(worthWords(sure))}</p>`}
<h3>${keptTogether(firstOf(swing).answer)}</h3>
${placeOf(swing, `Each bar from one end of a doubt to the other, 5 and 95 of 100, all else in the middle: the soil as ${measuredSoil(run.site) === null ? "given, not divided by the factor of safety" : "measured"}, the rest as the site file says.`)}
</section>`;
  return { answer, section, pictures: [fan, swing] };
}

/** Half of the time between two moments of the fan [s]. */
function aroundOf({ fan: { time } }: HowSure): number {
  return (time[1]! - time[0]!) / 2;
}

/** What the cases centre on, and the rule of design beside it, which is no doubt. */
function centreWords({ run, asMeasured, soil }: HowSure): string {
  const { site } = run;
  const { factorOfSafety } = site.soil;
  const measured = measuredSoil(site);
  const within = `95 of 100 soils lie within a factor of ${threeFigures(soil.within)} of it${soil.from === "asked" ? `, as the file says${measured === null ? "" : `; what was measured gives ${threeFigures(Math.sqrt(measured.high / measured.low))}, which is taken where the file leaves out “conductivityWithin”`}` : measured !== null ? `, as far as that ${measured.by} tells` : ", as far as its tests and textures tell (a bare figure: the scatter of soils within a site)"}`;
  const trench = site.overflowTrench === null ? "" : soil.drawn === "together" ? "; the soil of pit and trench is slow or fast together" : "; the soil of the trench is drawn apart from that of the pit";
  const told = (each: Run): string => (site.emitter === null ? `the pit rises to ${waterText(each.peaks["chamberBank"]!.level, site.units)}`
    : each.emitted > 0 ? `the emitter lets out ${volumeText(each.emitted, site.units)}` : "the emitter stays shut");
  const factor = factorOfSafety === 1 ? "The file has no factor of safety, which would be a rule of design and no doubt."
    : `The factor of safety of ${threeFigures(factorOfSafety)} is a rule of design and stands apart: no case is divided by it. With the soil as ${measured === null ? "given" : "measured"} ${told(asMeasured)}; by the rule, which sizes, storms and drawings of this page follow, ${told(run)}.`;
  const centre = measured === null ? "tested or given"
    : `found by ${measuredBy(measured)}, ${twoFigures(measured.factor)} times what was tested or given (${twoFigures(measured.low)} to ${twoFigures(measured.high)})`;
  return `The cases centre on the soil as it was ${centre}; ${within}${trench}. ${factor}`;
}

/** Which one measurement would narrow the answer most. */
function worthWords(sure: HowSure): string {
  const [first, second] = sure.worth;
  const tested = sure.run.site.soil.layers.some(isTested);
  const each = ({ drawn, narrows, byOne }: HowSure["worth"][number]): string => (
    `${drawn === "conductivityFactor" && !tested ? "a test hole in the soil of the works" : MEASURED[drawn]} (${byOne === null ? `${percent(narrows)} narrower were it known` : `${percent(byOne)} narrower, as holes scatter within a site; ${percent(narrows)} were that soil known`})`);
  if (Math.round(100 * gainOf(first!)) === 0) return `No single measurement would narrow ${comparedWords(sure)} by as much as 1 %.`;
  const told = [first!, ...(second === undefined || Math.round(100 * gainOf(second)) === 0 ? [] : [second])];
  const error = told.some(({ byOne }) => byOne === null) ? " A reading has an error of its own, so that less is gained." : "";
  return `What would narrow ${comparedWords(sure)} most is ${told.map(each).join(", then ")}.${error}`;
}

function percent(share: number): string {
  return `${Math.round(100 * share)} %`;
}

const MEASURED: Readonly<Record<DrawnName, string>> = Object.freeze({
  conductivityFactor: "another test hole in the soil of the works", trenchSoilFactor: "a test hole at the trench", stormFactor: "the storm",
  groundwaterShift: "a reading of the water table in a wet season", porosityShift: "a bucket of the yard’s stone filled with water",
  emitterShift: "the emitter’s level read once more", boxOutletShift: "the box outlet’s level read once more", inletShift: "the level of the trench’s inlet read once more",
});

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
