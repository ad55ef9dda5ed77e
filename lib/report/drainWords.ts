import { neverWords, staysWords } from "../figures/answer.ts";
import { DRY } from "../figures/bodyViews.ts";
import { heightText } from "../text/words.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { leastOf } from "../numerics/extremes.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { drainTime, REST_WORDS, waterAround, type DrainTime } from "../simulate/drainTime.ts";
import type { Run } from "../simulate/run.ts";
import { waterText } from "../text/format.ts";

/**
 * Whether groundwater stands in the pit once the storm's water is gone, and does not fall below its floor again: it is never empty then, at
 * best back at its groundwater.
 */
export function neverEmpty(run: Run): boolean {
  const time = drainTime(run);
  if (time === null) return waterAround(run, run.until) > run.site.chamberBank.floor + DRY && !tableLeaves(run, run.until);
  return time.never === "drowned" || (time.rest === "groundwater" && !tableLeaves(run, time.looked));
}

/** Whether the water table falls below the pit's floor from a time on; a mound alone does, in the end. */
function tableLeaves({ site: { chamberBank: { floor, groundwater } } }: Run, since: number): boolean {
  if (groundwater === null) return true;
  const later = groundwater.level.filter((_, i) => groundwater.time[i]! > since);
  return leastOf([seriesLevel(groundwater, since), ...later]) <= floor + DRY;
}

/** The head over `drainWords`. */
export function drainHead(run: Run): string {
  if (neverEmpty(run)) return "The pit is never empty";
  const time = drainTime(run);
  return time !== null && time.empty === null && time.never !== "slow" ? "The pit never empties" : "How the pit empties";
}

/** How the pit empties after it was last full, in a few sentences; plain text. */
export function drainWords(run: Run): string {
  const { site: { units, chamberBank: { floor } } } = run;
  const time = drainTime(run);
  if (time === null) {
    const stood = run.level("chamberBank", 0) - floor;
    return stood <= DRY ? "It never held any water to speak of." : `${heightText(stood, units)} of groundwater stand in it from the start, and nothing raises it.`;
  }
  const { full, half, empty, rest, restLevel, never, level } = time;
  const where = `at ${waterText(restLevel, units)}, ${heightText(restLevel - floor, units)} over its floor`;
  const groundwater = rest !== "groundwater" ? "" : neverEmpty(run) ? `Groundwater stands in it, ${where}. ` : `Groundwater stands in it then, ${where}, and falls below that floor later. `;
  const counted = "Last full is the last time it held within 1 % of its most.";
  const halved = half === null ? "" : `${run.level("chamberBank", 0) - floor > DRY ? "Half of the storm’s water is gone" : "It is half empty"} ${lastingText(half)} after it was last full`;
  if (empty !== null) return `${groundwater}${halved === "" ? "It is" : `${halved}, and${halved.startsWith("It") ? "" : " the pit is"}`} ${REST_WORDS[rest]} after ${lastingText(empty)}, at ${momentText(full + empty)}. ${counted}`;
  const stays = never === "slow" ? `then ${heightText(level - restLevel, units)} is left` : staysWords(time, run.site);
  return `${groundwater}${halved === "" ? "" : `${halved}. `}It ${neverWords(time)}: ${stays}.${halved === "" ? "" : ` ${counted}`}`;
}

/** A time to drain for a narrow column: `44 h`, `11.9 days`, `never: no seepage`; a dash where there was nothing to drain. */
export function drainCell(run: Run, until: "half" | "empty"): string {
  const time = drainTime(run);
  if (time === null) return "–";
  const after = time[until];
  if (after !== null) return `${lastingText(after)}${until === "empty" ? endWords(run, time) : ""}`;
  return time.never === "slow" ? `over ${lastingText(time.looked - time.full)}` : `never: ${NEVER[time.never!]}`;
}

/** What a pit is back at that is not empty, where the column's head does not say so. */
function endWords(run: Run, { rest }: DrainTime): string {
  return rest === "start" ? ", to where it stood at the start" : rest === "groundwater" && !neverEmpty(run) ? ", to its groundwater" : "";
}

const NEVER: Readonly<Record<Exclude<DrainTime["never"], null | "slow">, string>> = Object.freeze({
  noSeepage: "no seepage", feeding: "groundwater comes in", drowned: "groundwater",
});
