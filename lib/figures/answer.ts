import { levelText, volumeText } from "../units/format.ts";
import { bodiesOf, emitterBody, type Run } from "../simulate/run.ts";
import { DRY } from "./bodyViews.ts";
import { heightText } from "./heightText.ts";
import { lastingText, momentText } from "./hours.ts";
import { pitEmptyTime } from "./pitEmptyTime.ts";
import { plainText } from "./plainText.ts";

/**
 * The answer of a run in one sentence with numbers: what comes out at the surface where it should not, in order of time,
 * how high the pit rises, how deep the low spot stands, what the emitter does, and when the pit is empty. It is
 * the title of pictures and the first line of reports and tables; plain text, to be escaped where it is shown.
 */
export function answerSentence(run: Run): string {
  return sentenceOf([surfaceClause(run), pitClause(run), hollowClause(run), emitterClause(run), drainClause(run)]);
}

/**
 * The answer of several storms on one site: how many open the emitter, whether any comes out elsewhere, and the longest
 * time from the full pit to the empty one.
 *
 * @param storms  one or more
 */
export function answerOfStorms(storms: readonly { readonly name: string; readonly run: Run }[]): string {
  if (storms.length === 1) return answerSentence(storms[0]!.run);
  return sentenceOf([emittersClause(storms), surfacesClause(storms), hollowsClause(storms), drainsClause(storms)]);
}

/** The emitter over a whole run: open time [s], volume [m3], peak flow [m3/s], first opening [s]. */
export interface EmitterTotals {
  readonly open: number;
  readonly volume: number;
  readonly peakFlow: number;
  readonly first: number;
}

/** @returns  null where it stayed shut */
export function emitterTotals(run: Run): EmitterTotals | null {
  if (run.firings.length === 0) return null;
  return {
    open: run.openTime,
    volume: run.emitted,
    peakFlow: run.firings.reduce((most, { peakFlow }) => Math.max(most, peakFlow), 0),
    first: run.firings[0]!.start,
  };
}

/** Water that stays in the pit without any rain [m]: its floor, or the groundwater above it at the run's end. */
export function pitRest(run: Run): number {
  const { floor, groundwater } = run.site.chamberBank;
  return groundwater === null ? floor : Math.max(floor, groundwater.level.at(-1)!);
}

/** Whether groundwater stands in the pit at the run's end, so that it is never empty: at best it is back at its groundwater. */
export function neverEmpty(run: Run): boolean {
  return pitRest(run) > run.site.chamberBank.floor + DRY;
}

type Storms = readonly { readonly name: string; readonly run: Run }[];

function surfaceClause(run: Run): string | null {
  const over = surfacePlaces(run);
  if (over.length === 0) return null;
  return joined(over.map(({ volume, words }, i) => {
    const comes = i > 0 ? "" : words.startsWith("up") ? "comes " : "comes out ";
    return `${volumeText(volume, run.site.units)} ${comes}${words}`;
  }));
}

/** Where water came to the surface but at the emitter, the earliest place first; together they come to `run.spilled`. */
function surfacePlaces(run: Run): { readonly volume: number; readonly words: string }[] {
  const rims = bodiesOf(run, "box").length === 1 ? "over the box rim" : "over the rims of the boxes";
  const over = { box: rims, bank: "up through the ground at the pit", trench: "up through the ground at the trench", pipe: "", lowSpot: "over the lip of the low spot" };
  const kinds = new Map(run.bodies.map(({ name, kind }) => [name, kind]));
  const volumes = new Map<string, number>();
  // events stand in order of time
  for (const { kind, body, value } of run.events) {
    if (kind !== "spills" && kind !== "grateGives") continue;
    const words = kind === "grateGives" ? "up through the grate" : over[kinds.get(body)!];
    volumes.set(words, (volumes.get(words) ?? 0) + (value ?? 0));
  }
  return [...volumes].map(([words, volume]) => ({ words, volume })).filter(({ volume }) => volume > NOTHING);
}

function hollowClause({ site, peaks }: Run): string | null {
  if (site.lowSpot === null) return null;
  const depth = peaks["lowSpot"]!.level - site.lowSpot.floor;
  return depth <= DRY ? "the low spot stays dry" : `the low spot stands up to ${heightText(depth, site.units)} deep`;
}

function pitClause(run: Run): string {
  const { level, time } = run.peaks.chamberBank!;
  if (level - run.level("chamberBank", 0) <= DRY) {
    return level - run.site.chamberBank.floor <= DRY ? "the pit stays dry" : "the water in the pit does not rise";
  }
  return `the pit rises to ${levelText(level, run.site.units)} at ${momentText(time)}`;
}

function emitterClause(run: Run): string | null {
  const { emitter } = run.site;
  if (emitter === null) return null;
  const totals = emitterTotals(run);
  if (totals !== null) {
    const still = run.firings.at(-1)!.end === null ? "and is still open" : "in all";
    return `the emitter fires for ${lastingText(totals.open)} ${still} (${volumeText(totals.volume, run.site.units)})`;
  }
  if (run.events.some(({ kind }) => kind === "lidHeld")) return "the emitter's lid is held shut";
  const spare = emitter.opensAt - run.peaks[emitterBody(run)]!.level;
  return spare > 0 ? `the emitter stays shut with ${heightText(spare, run.site.units)} to spare` : "the emitter stays shut";
}

function drainClause(run: Run): string | null {
  const { site, until } = run;
  const { empty } = run.drainDown;
  if (empty === 0) return null;
  if (empty !== null) return `the pit is ${restWords(run)} at ${momentText(pitEmptyTime(run)!)}, ${lastingText(empty)} after it was last full`;
  const left = heightText(Math.max(0, run.level("chamberBank", until) - pitRest(run)), site.units);
  return neverEmpty(run) ? `at ${momentText(until)} the pit stands ${left} above its groundwater` : `at ${momentText(until)} the pit still holds ${left} of water`;
}

function restWords(run: Run): string {
  return neverEmpty(run) ? "back at its groundwater" : "empty";
}

function emittersClause(storms: Storms): string | null {
  if (storms[0]!.run.site.emitter === null) return null;
  const fired = storms.flatMap(({ name, run }) => {
    const totals = emitterTotals(run);
    return totals === null ? [] : [{ name, units: run.site.units, ...totals }];
  });
  if (fired.length === 0) return `the emitter ${storms.some(({ run }) => run.events.some(({ kind }) => kind === "lidHeld")) ? "is held or stays shut" : "stays shut"} in ${storms.length === 2 ? "both" : `all ${storms.length}`} storms`;
  const most = fired.reduce((a, b) => (b.volume > a.volume ? b : a));
  const inHowMany = fired.length < storms.length ? `${fired.length} of ${storms.length}` : storms.length === 2 ? "both" : `all ${storms.length}`;
  return `the emitter fires in ${inHowMany} storms, most in “${plainText(most.name, 40)}” (${lastingText(most.open)}, ${volumeText(most.volume, most.units)})`;
}

function surfacesClause(storms: Storms): string {
  const over = storms.filter(({ run }) => run.spilled > NOTHING);
  if (over.length === 0) return "nothing comes out over a rim or the ground";
  const most = over.reduce((a, b) => (b.run.spilled > a.run.spilled ? b : a));
  const where = surfacePlaces(most.run)[0]!.words;
  return `water comes out over a rim or the ground in ${over.length} of ${storms.length} (${volumeText(most.run.spilled, most.run.site.units)} in “${plainText(most.name, 40)}”, first ${where})`;
}

function hollowsClause(storms: Storms): string | null {
  const [{ run: { site } }] = storms as [Storms[number]];
  if (site.lowSpot === null) return null;
  const depth = Math.max(...storms.map(({ run }) => run.peaks["lowSpot"]!.level)) - site.lowSpot.floor;
  return depth <= DRY ? "the low spot stays dry" : `the low spot stands up to ${heightText(depth, site.units)} deep`;
}

function drainsClause(storms: Storms): string {
  const waiting = storms.filter(({ run }) => run.drainDown.empty === null);
  if (waiting.length > 0) {
    return `the pit is not ${restWords(waiting[0]!.run)} by the end of ${waiting.length === storms.length ? "any" : waiting.length} of them`;
  }
  const longest = storms.reduce((a, b) => ((b.run.drainDown.empty ?? 0) > (a.run.drainDown.empty ?? 0) ? b : a)).run;
  if (longest.drainDown.empty === 0) return "the pit takes in no water to speak of";
  return `the pit is ${restWords(longest)} ${lastingText(longest.drainDown.empty ?? 0)} after it was last full, at the latest`;
}

/** Less than a tenth of a litre is no water [m3]. */
const NOTHING = 1e-4;

function sentenceOf(clauses: readonly (string | null)[]): string {
  return `${capital(joined(clauses.filter((clause) => clause !== null)))}.`;
}

function joined(clauses: readonly string[]): string {
  if (clauses.length < 3) return clauses.join(" and ");
  return `${clauses.slice(0, -1).join(", ")}, and ${clauses.at(-1)!}`;
}

function capital(sentence: string): string {
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}
