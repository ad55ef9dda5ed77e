import { neverEmpty, pitRest } from "../figures/answer.ts";
import { heightText } from "../figures/heightText.ts";
import { lastingText, momentText } from "../figures/hours.ts";
import { pitEmptyTime } from "../figures/pitEmptyTime.ts";
import type { Run } from "../simulate/run.ts";

/** How the pit empties after it was last full, in a few sentences; plain text. */
export function drainWords(run: Run): string {
  const { drainDown: { half, empty }, until, site } = run;
  const counted = "Last full is the last time it held within 1 % of its most.";
  if (half === 0 && empty === 0) return "It never held any water to speak of.";
  const isWet = neverEmpty(run);
  const groundwater = isWet ? "Groundwater stands in it. " : "";
  const rest = isWet ? "back at its groundwater" : "empty";
  const above = heightText(Math.max(0, run.level("chamberBank", until) - pitRest(run)), site.units);
  const left = isWet ? `${above} above its groundwater` : `not empty, ${above} deep`;
  if (half === null) return `${groundwater}It does not reach half of its most by ${momentText(until)}, where the run ends: then it stands ${left}.`;
  if (empty === null) return `${groundwater}It is half empty ${lastingText(half)} after it was last full; at ${momentText(until)}, where the run ends, it stands ${left}. ${counted}`;
  return `${groundwater}It is half empty ${lastingText(half)} after it was last full, and ${rest} after ${lastingText(empty)}, at ${momentText(pitEmptyTime(run)!)}. ${counted}`;
}
