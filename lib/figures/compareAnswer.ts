import type { AnswerName } from "../study/answerRow.ts";
import type { Comparison, Difference, StormCompared } from "../study/compare.ts";
import { bulkText, waterText } from "../text/format.ts";
import { lengthText, volumeText, type UnitSystem } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { heightText } from "../text/words.ts";
import { plainText } from "../text/plainText.ts";

/**
 * Two designs in a sentence: what B does more or less in the storm where they differ most, how sure that is, and what it takes: `In “wet
 * day” B lets out 300 gal less by the emitter (260 to 340 gal less in 90 of 100) for 35 ft more of trench and 2.1 cu yd more to dig.`
 */
export function compareAnswer(comparison: Comparison): string {
  const { a: { units } } = comparison;
  const { storm, answer } = shownDifference(comparison);
  const name = plainText(storm.name, 40);
  return `In “${name}” ${differenceWords(storm, answer, units)}${bandWords(storm.difference[answer], answer, units)}${worksWords(comparison)}.`;
}

/**
 * The storm and the answer in which the two differ most: what the emitter lets out, what comes out elsewhere, or how high the pit rises.
 */
function shownDifference({ storms }: Comparison): { readonly storm: StormCompared; readonly answer: AnswerName } {
  for (const answer of ["emitterVolume", "spilled"] as const) {
    const storm = storms.reduce((most, each) => (Math.abs(each.difference[answer].value) > Math.abs(most.difference[answer].value) ? each
      : most), storms[0]!);
    if (Math.abs(storm.difference[answer].value) > NOTHING) return { storm, answer };
  }
  const storm = storms.reduce((most, each) => (Math.abs(riseOf(each)) > Math.abs(riseOf(most)) ? each : most), storms[0]!);
  return { storm, answer: "pitPeak" };
}

/** How much deeper B's pit fills over its own floor than A's: levels of two lots have two datums. */
export function riseOf({ a, b }: StormCompared): number {
  const depth = ({ peaks, site }: StormCompared["a"]): number => peaks["chamberBank"]!.level - site.chamberBank.floor;
  return depth(b) - depth(a);
}

/** Less than a tenth of a litre is no water [m3]. */
const NOTHING = 1e-4;

function differenceWords(storm: StormCompared, answer: AnswerName, units: UnitSystem): string {
  const { value } = storm.difference[answer];
  const [most, which] = [Math.abs(value), value < 0 ? "less" : "more"];
  switch (answer) {
    case "emitterVolume": return `B lets out ${volumeText(most, units)} ${which} by the emitter`;
    case "spilled": return `${volumeText(most, units)} ${which} come out over rims and ground of B`;
    default: {
      const rise = riseOf(storm);
      return Math.abs(rise) < 0.0005 ? "the water stands as high in both pits" : `the water in B's pit stands ${heightText(Math.abs(rise), units)} ${rise < 0 ? "less" : "more"} over its floor`;
    }
  }
}

function bandWords({ paired }: Difference, answer: AnswerName, units: UnitSystem): string {
  if (paired === null || answer === "pitPeak" || paired.high - paired.low < NOTHING) return "";
  return ` (${bandText(paired, (value) => volumeText(value, units))} in 90 of 100 cases)`;
}

/** `260 to 340 gal less`, `20 gal less to 40 gal more` */
export function bandText({ low, high }: { readonly low: number; readonly high: number }, word: (value: number) => string): string {
  const side = (value: number): string => (value < 0 ? " less" : " more");
  const [first, last] = low < 0 && high <= 0 ? [high, low] : [low, high];
  if (low < 0 !== high < 0 && high > 0) return `${word(-low)} less to ${word(high)} more`;
  const [from, to] = [word(Math.abs(first)), word(Math.abs(last))];
  const unit = / \S+$/.exec(to)?.[0] ?? "";
  return `${from.endsWith(unit) ? from.slice(0, from.length - unit.length) : from} to ${to}${side(last)}`;
}

/** What B takes more or less of. */
function worksWords({ works: { dug, trench, chambers }, a: { units } }: Comparison): string {
  const which = (value: number): string => (value < 0 ? "less" : "more");
  const parts = [
    ...(chambers === 0 ? [] : [`${Math.abs(chambers)} ${chambers < 0 ? "fewer" : "more"} ${Math.abs(chambers) === 1 ? "chamber" : "chambers"}`]),
    ...(Math.abs(trench) < 0.001 ? [] : [`${lengthText(Math.abs(trench), units)} ${which(trench)} of trench`]),
    ...(Math.abs(dug) < 0.001 ? [] : [`${bulkText(Math.abs(dug), units)} ${which(dug)} to dig`]),
  ];
  if (parts.length === 0) return ", for works as large";
  return ` for ${parts.length === 1 ? parts[0]! : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)!}`}`;
}

/** An answer of a run in a comparison's table; levels as heights over the pit's floor. */
export function comparedText(answer: AnswerName, value: number, units: UnitSystem): string {
  if (Number.isNaN(value)) return answer === "firstFiring" ? "never" : "not within the run";
  switch (answer) {
    case "pitPeak": case "trenchPeak": return waterText(value, units);
    case "boxHeadroom": return value < 0 ? `${heightText(-value, units)} over the rim` : heightText(value, units);
    case "emitterVolume": case "spilled": case "inflow": case "seeped": return volumeText(value, units);
    default: return lastingText(value);
  }
}
