import { drainTime, REST_WORDS, type DrainTime } from "../simulate/drainTime.ts";
import { spilledBy } from "../simulate/exits.ts";
import { groundwaterLiftsLid } from "../simulate/groundwaterState.ts";
import type { Run } from "../simulate/run.ts";
import { volumeText, waterText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";

/**
 * What one of several runs comes to, as a clause to be set beside those of the others: how high the pit rises, how long it takes
 * to empty, what the emitter lets out and what comes out elsewhere.
 */
export function runWords(run: Run): string {
  const { site } = run;
  const clauses = [
    pitWords(run),
    ...(site.emitter === null ? [] : [emitterWords(run)]),
    ...surfaceClauses(run),
  ];
  return clauses.length === 1 ? clauses[0]! : `${clauses.slice(0, -1).join(", ")}, and ${clauses.at(-1)!}`;
}

/** Less than a tenth of a litre is no water [m3]. */
const NOTHING = 1e-4;

/** Water over the low spot's lip may have come up before, or never been in the works: the two are not added up. */
function surfaceClauses(run: Run): string[] {
  const { up, lip } = spilledBy(run);
  const { site } = run;
  return [
    ...(up > NOTHING ? [`${volumeText(up, site.units)} comes out over a rim${(site.lowSpot?.grate ?? null) === null ? " or the ground" : ", the ground or the grate"}`] : []),
    ...(lip > NOTHING ? [`${volumeText(lip, site.units)} goes over the lip of the low spot`] : []),
  ];
}

function pitWords(run: Run): string {
  const time = drainTime(run);
  const level = waterText(run.peaks.chamberBank!.level, run.site.units);
  if (time === null) return run.peaks.chamberBank!.level - run.site.chamberBank.floor <= 1e-3 ? "the pit stays dry" : `the pit stays at ${level}`;
  return `the pit rises to ${level} and ${drainWords(time)}`;
}

function drainWords({ empty, rest, never, looked, full }: DrainTime): string {
  if (never === "drowned") return "never empties, for groundwater stands above it";
  if (empty !== null) return `takes ${lastingText(empty)} to be ${REST_WORDS[rest]}`;
  return never === "slow" ? `is not ${REST_WORDS[rest]} in ${lastingText(looked - full)}` : `is never ${REST_WORDS[rest]}`;
}

function emitterWords(run: Run): string {
  if (run.firings.length === 0) return "the emitter stays shut";
  const volume = volumeText(run.emitted, run.site.units);
  return groundwaterLiftsLid(run) ? `the emitter lets out ${volume}, groundwater with it` : `the emitter fires ${volume}`;
}
