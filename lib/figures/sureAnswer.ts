import { depthText, threeFigures, type UnitSystem, volumeText, waterText } from "../text/format.ts";
import { plainText } from "../text/plainText.ts";
import type { AnswerName } from "../study/answerRow.ts";
import type { DrawnName } from "../study/ensembleCases.ts";
import { comparedAnswer, type HowSure, type Swing } from "../study/howSure.ts";
import type { Share } from "../study/quantiles.ts";
import { opensByGroundwater } from "../simulate/settledRun.ts";
import { heightText } from "../text/words.ts";

/**
 * A study of doubt in a sentence: how likely the emitter opens, the band of what it lets out or of the pit's peak, what matters most.
 *
 * @param storm  its name, with which the sentence begins
 */
export function sureAnswer(sure: HowSure, storm?: string): string {
  const words = answerWords(sure);
  return storm === undefined ? words : `In “${plainText(storm, 60)}” ${words.charAt(0).toLowerCase()}${words.slice(1)}`;
}

function answerWords(sure: HowSure): string {
  const { run: { site }, answers } = sure;
  const matters = mostOf(sure);
  const counted = sure.stopped === 0 ? "" : ` (${sure.stopped} of ${sure.table.count} cases could not be run to the end)`;
  const last = (matters === null ? "" : sure.swings.length === 1 ? `; only ${DOUBT[matters.drawn].words} ${/s$/.test(DOUBT[matters.drawn].words) ? "were" : "was"} taken to be in doubt`
    : `; ${DOUBT[matters.drawn].matters} most for ${comparedWords(sure)}`) + counted;
  if (site.emitter !== null && sure.firing.share > 0) {
    const [low, , , , high] = answers.emitterVolume;
    if (opensByGroundwater(site)) {
      return `Groundwater opens the emitter without rain too; it lets out ${spanText(low, high, (volume) => volumeText(volume, site.units))}, groundwater with it, in 90 of 100${last}.`;
    }
    return `The emitter fires in ${ofHundred(sure.firing)} and lets out ${spanText(low, high, (volume) => volumeText(volume, site.units))} in 90 of 100${last}.`;
  }
  const [low, , , , high] = answers.pitPeak;
  const shut = site.emitter === null ? "" : `The emitter stays shut in every one of ${sure.table.count - sure.stopped} cases; `;
  const rises = `the pit rises to ${spanText(low, high, (level) => waterText(level, site.units))} in 90 of 100${last}.`;
  return shut === "" ? rises.replace(/^t/, "T") : shut + rises;
}

/** `34 of 100 cases`, and `about 1 in 200 cases` where it is rare. */
export function ofHundred({ share }: Share): string {
  if (share > 0 && share < 0.01) return `about 1 in ${threeFigures(Math.round(1 / share))} cases`;
  if (share > 0.99 && share < 1) return "more than 99 of 100 cases";
  return share === 0 ? "none of the cases" : share === 1 ? "all cases" : `${Math.round(100 * share)} of 100 cases`;
}

/** What the doubts are compared by. */
export function comparedWords(sure: HowSure): string {
  return comparedAnswer(sure) === "emitterVolume" ? "what the emitter lets out" : "how high the pit rises";
}

/** The doubt that moves the compared answer most; null where none moves it. */
export function mostOf(sure: HowSure): Swing | null {
  const [first] = swingsInOrder(sure);
  return first !== undefined && swingWidth(first, comparedAnswer(sure)) > 0 ? first : null;
}

/** The doubts by how far they move the compared answer, the farthest first; one whose run was stopped is left out. */
export function swingsInOrder(sure: HowSure): Swing[] {
  const answer = comparedAnswer(sure);
  const told = sure.swings.filter(({ low, high }) => low.stopped === 0 && high.stopped === 0);
  return told.sort((a, b) => swingWidth(b, answer) - swingWidth(a, answer));
}

export function swingWidth({ low, high }: Swing, answer: AnswerName): number {
  return Math.abs(high[answer] - low[answer]);
}

/** What is in doubt, and its two ends, in words. */
export const DOUBT: Readonly<Record<DrawnName, Readonly<Record<"words" | "matters" | "low" | "high", string>>>> = Object.freeze({
  conductivityFactor: { words: "the soil", matters: "the soil matters", low: "slow", high: "fast" },
  trenchSoilFactor: { words: "the soil at the trench", matters: "the soil at the trench matters", low: "slow", high: "fast" },
  stormFactor: { words: "the storm's depth", matters: "the storm's depth matters", low: "small", high: "large" },
  groundwaterShift: { words: "the water table", matters: "the water table matters", low: "low", high: "high" },
  porosityShift: { words: "the stone's voids", matters: "the voids of the stone matter", low: "few", high: "many" },
  emitterShift: { words: "the emitter's crest", matters: "the level of the emitter matters", low: "low", high: "high" },
  boxOutletShift: { words: "the box outlets", matters: "the levels of the box outlets matter", low: "low", high: "high" },
  inletShift: { words: "the trench's inlet", matters: "the level of the trench's inlet matters", low: "low", high: "high" },
});

function spanText(low: number | null, high: number | null, word: (value: number) => string): string {
  const [first, last] = [low === null ? "never" : word(low), high === null ? "never" : word(high)];
  if (first === last) return first;
  const unit = / \S+$/.exec(last)?.[0] ?? "";
  return `${first.endsWith(unit) ? first.slice(0, first.length - unit.length) : first} to ${last}`;
}

/** An answer of a study as a table shows it. */
export function answerText(answer: AnswerName, value: number | null, units: UnitSystem, durationText: (time: number) => string): string {
  if (value === null || Number.isNaN(value)) return answer === "firstFiring" ? "never" : "not within the run";
  switch (answer) {
    case "pitPeak": case "trenchPeak": return waterText(value, units);
    case "boxHeadroom": return value < 0 ? `${depthText(-value, units)} over the rim` : heightText(value, units);
    case "emitterVolume": case "spilled": case "inflow": case "seeped": return volumeText(value, units);
    default: return durationText(value);
  }
}
