import type { Run } from "../simulate/run.ts";
import { durationText, levelText, volumeText } from "../units/format.ts";

/**
 * What one of several runs comes to, as a clause to be set beside those of the others: how high the pit rises, how long it takes
 * to empty, what the emitter fires and what comes out elsewhere.
 */
export function runWords(run: Run): string {
  const { site, peaks, spilled } = run;
  const clauses = [
    `the pit rises to ${levelText(peaks.chamberBank!.level, site.units)} and ${drainWords(run)}`,
    ...(site.emitter === null ? [] : [emitterWords(run)]),
    ...(spilled > NOTHING ? [`${volumeText(spilled, site.units)} comes out over rims and grounds`] : []),
  ];
  return clauses.length === 1 ? clauses[0]! : `${clauses.slice(0, -1).join(", ")}, and ${clauses.at(-1)!}`;
}

/** Less than a tenth of a litre is no water [m3]. */
const NOTHING = 1e-4;

function drainWords({ drainDown: { empty }, until }: Run): string {
  if (empty === null) return `is not empty by the end of ${durationText(until)}`;
  return empty === 0 ? "keeps nothing back" : `takes ${durationText(empty)} to empty`;
}

function emitterWords({ firings, emitted, site }: Run): string {
  return firings.length === 0 ? "the emitter stays shut" : `the emitter fires ${volumeText(emitted, site.units)}`;
}
