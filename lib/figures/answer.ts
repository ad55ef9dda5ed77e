import { volumeText, waterText } from "../text/format.ts";
import { drainTime, puddle, REST_WORDS, type DrainTime, type Puddle } from "../simulate/drainTime.ts";
import { isPressedShut, lidSpare, spilledBy } from "../simulate/exits.ts";
import { groundwaterLiftsLid, withoutInflow } from "../simulate/groundwaterState.ts";
import { bodiesOf, type Run } from "../simulate/run.ts";
import { DRY } from "./bodyViews.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { plainText } from "../text/plainText.ts";
import { capital, heightText, listed } from "../text/words.ts";

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

type Storms = readonly { readonly name: string; readonly run: Run }[];

function surfaceClause(run: Run): string | null {
  const over = surfacePlaces(run);
  if (over.length === 0) return null;
  return listed(over.map(({ volume, words }, i) =>
    `${volumeText(volume, run.site.units)} ${i > 0 ? words.replace(/^out /, "") : `comes ${words}`}`));
}

/** Where water came to the surface but at the emitter, the earliest place first; together they come to `run.spilled`. */
function surfacePlaces(run: Run): { readonly volume: number; readonly words: string }[] {
  const over = { box: rimWords(run), bank: "up through the ground at the pit", trench: "up through the ground at the trench", pipe: "", lowSpot: "out over the lip of the low spot" };
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

/** Over which rim: that of the only box, that of the only one of several that runs over, or of several. */
function rimWords(run: Run): string {
  const boxes = bodiesOf(run, "box");
  const over = new Set(run.events.filter(({ kind, body, value }) => kind === "spills" && boxes.includes(body) && (value ?? 0) > NOTHING).map(({ body }) => body));
  if (boxes.length === 1) return "out over the box rim";
  return over.size === 1 ? `out over the rim of “${plainText([...over][0]!, 24)}”` : "out over the rims of the boxes";
}

function hollowClause(run: Run): string | null {
  if (run.site.lowSpot === null) return null;
  const stands = puddle(run);
  return stands === null ? "the low spot stays dry" : `the low spot stands up to ${heightText(stands.depth, run.site.units)} deep ${puddleEnd(run, stands)}`;
}

/** Until when water stands in the low spot, in words that follow how deep it stands. */
function puddleEnd({ site }: Run, { until, never, left }: Puddle): string {
  if (until !== null) return `and is dry at ${momentText(until)}`;
  const why = { groundwater: "groundwater stands there", noSeepage: "nothing soaks away there", fed: "as much runs in as soaks away", slow: "in ten years it does not dry" }[never!];
  return `and stays ${heightText(left, site.units)} deep (${why})`;
}

function pitClause(run: Run): string {
  const { level, time } = run.peaks.chamberBank!;
  const { units, chamberBank: { floor } } = run.site;
  const start = run.level("chamberBank", 0);
  if (level - start <= DRY) {
    return level - floor <= DRY ? "the pit stays dry" : `the water in the pit does not rise above the ${heightText(start - floor, units)} that stand in it from the start`;
  }
  return `the pit rises to ${waterText(level, units)} at ${momentText(time)}`;
}

function emitterClause(run: Run): string | null {
  if (run.site.emitter === null) return null;
  const totals = emitterTotals(run);
  if (totals !== null) return firesClause(run, totals);
  if (run.events.some(({ kind }) => kind === "lidHeld")) return "the emitter's lid is held shut";
  const spare = lidSpare(run);
  const why = isPressedShut(run) ? ", for water in the low spot presses on its lid" : "";
  return `the emitter stays shut${spare > 0 ? ` with ${heightText(spare, run.site.units)} to spare` : ""}${why}`;
}

/** What the emitter does: by the rain, or groundwater let out where the water table stands over the level that lifts its lid. */
function firesClause(run: Run, { open, volume }: EmitterTotals): string {
  const { units } = run.site;
  const still = run.firings.at(-1)!.end === null ? "and is still open" : "in all";
  const ground = groundwaterOut(run);
  if (ground === null) return `the emitter fires for ${lastingText(open)} ${still} (${volumeText(volume, units)})`;
  const without = ground.volume > 0.995 * volume ? "all of it with or without the rain" : `${volumeText(ground.volume, units)} of it even without the rain`;
  return `the emitter lets groundwater out whether it rains or not, open for ${lastingText(open)} ${still} (${volumeText(volume, units)}, ${without})`;
}

/** What the emitter would let out without any inflow; null where groundwater alone does not open it. */
export function groundwaterOut(run: Run): EmitterTotals | null {
  return groundwaterLiftsLid(run) ? emitterTotals(withoutInflow(run)) : null;
}

function drainClause(run: Run): string | null {
  const time = drainTime(run);
  if (time === null) return null;
  const { units, chamberBank: { floor } } = run.site;
  const { full, empty, rest, restLevel, never, level } = time;
  const depth = rest === "floor" ? "" : `, ${heightText(restLevel - floor, units)} over its floor,`;
  if (empty !== null) return `the pit is ${REST_WORDS[rest]}${depth} at ${momentText(full + empty)}, ${lastingText(empty)} after it was last full`;
  return `the pit ${neverWords(time)}: ${never === "slow" ? `${heightText(level - restLevel, units)} is left at ${momentText(time.looked)}` : staysWords(time, run.site)}`;
}

/** Where the water of a pit stands that is never back at its rest; under groundwater it goes on rising, or up and down with the lid. */
export function staysWords({ never, level, looked }: DrainTime, { units, chamberBank: { floor } }: Run["site"]): string {
  const where = `${waterText(level, units)}, ${heightText(level - floor, units)} over its floor`;
  return never === "drowned" ? `at ${momentText(looked)} it stands at ${where}` : `it stays at ${where}`;
}

/** That a pit does not come back to its rest, and why. */
export function neverWords({ rest, never, looked, full }: DrainTime): string {
  if (never === "drowned") return "never empties, for groundwater stands above it";
  const there = `is never ${REST_WORDS[rest]}`;
  if (never === "slow") return `is not ${REST_WORDS[rest]} in ${lastingText(looked - full)}`;
  return never === "feeding" ? `${there}, for groundwater keeps coming in` : `${there}, for nothing more soaks away`;
}

function emittersClause(storms: Storms): string | null {
  if (storms[0]!.run.site.emitter === null) return null;
  const fired = storms.flatMap(({ name, run }) => {
    const totals = emitterTotals(run);
    return totals === null ? [] : [{ name, run, units: run.site.units, ...totals }];
  });
  const all = storms.length === 2 ? "both" : `all ${storms.length}`;
  if (fired.length === 0) return `the emitter ${storms.some(({ run }) => run.events.some(({ kind }) => kind === "lidHeld")) ? "is held or stays shut" : "stays shut"} in ${all} storms`;
  const most = fired.reduce((a, b) => (b.volume > a.volume ? b : a));
  const inHowMany = fired.length < storms.length ? `${fired.length} of ${storms.length}` : all;
  const amount = `most in “${plainText(most.name, 40)}” (${lastingText(most.open)}, ${volumeText(most.volume, most.units)}`;
  const ground = groundwaterOut(most.run);
  if (ground === null) return `the emitter fires in ${inHowMany} storms, ${amount})`;
  return `the emitter lets groundwater out whether it rains or not, ${amount}, ${volumeText(ground.volume, most.units)} of it even without the rain)`;
}

function surfacesClause(storms: Storms): string {
  const over = storms.filter(({ run }) => run.spilled > NOTHING);
  const grate = (storms[0]!.run.site.lowSpot?.grate ?? null) === null ? "" : ", up the grate";
  if (over.length === 0) return `nothing comes out over a rim${grate} or up through the ground`;
  const most = over.reduce((a, b) => (b.run.spilled > a.run.spilled ? b : a));
  const [first, ...others] = surfacePlaces(most.run);
  const where = others.length === 0 ? first!.words : `first ${first!.words}`;
  return `water comes out at the surface${most.run.site.emitter === null ? "" : " elsewhere"} in ${over.length} of ${storms.length} (${spilledText(most.run)} in “${plainText(most.name, 40)}”, ${where})`;
}

/**
 * What came to the surface elsewhere than at the emitter, for a cell: `1.2 m³`, `nothing`. What goes over the low spot's lip may have
 * come up before, or never been in the works, so that the two are given separately and not added up: `643 L up, 1.2 m³ over the lip`.
 */
export function spilledText(run: Run): string {
  const { spilled, site: { units } } = run;
  const { up, lip } = spilledBy(run);
  if (spilled <= NOTHING) return "nothing";
  if (lip <= NOTHING) return volumeText(spilled, units);
  return `${up > NOTHING ? `${volumeText(up, units)} up, ` : ""}${volumeText(lip, units)} over the lip`;
}

/** Less than a tenth of a litre is no water [m3]. */
const NOTHING = 1e-4;

function hollowsClause(storms: Storms): string | null {
  if (storms[0]!.run.site.lowSpot === null) return null;
  const puddles = storms.flatMap(({ name, run }) => {
    const stands = puddle(run);
    return stands === null ? [] : [{ name, run, stands }];
  });
  if (puddles.length === 0) return "the low spot stays dry";
  const deepest = puddles.reduce((a, b) => (b.stands.depth > a.stands.depth ? b : a));
  const dryBy = ({ stands }: (typeof puddles)[number]): number => stands.until ?? Infinity;
  const longest = puddles.reduce((a, b) => (dryBy(b) > dryBy(a) ? b : a));
  const deep = `the low spot stands up to ${heightText(deepest.stands.depth, deepest.run.site.units)} deep ${puddleEnd(deepest.run, deepest.stands)}`;
  if (dryBy(longest) <= dryBy(deepest)) return deep;
  return `${deep} (longest in “${plainText(longest.name, 40)}”, ${heightText(longest.stands.depth, longest.run.site.units)} deep ${puddleEnd(longest.run, longest.stands)})`;
}

function drainsClause(storms: Storms): string {
  const times = storms.flatMap(({ name, run }) => {
    const time = drainTime(run);
    return time === null ? [] : [{ name, time }];
  });
  if (times.length === 0) return "the pit takes in no water to speak of";
  const never = times.filter(({ time }) => time.empty === null);
  if (never.length > 0) {
    const inSome = never.length === storms.length ? "" : ` in ${never.length} of ${storms.length}`;
    return `the pit ${neverWords(never[0]!.time)}${inSome}`;
  }
  const longest = times.reduce((a, b) => (b.time.empty! > a.time.empty! ? b : a)).time;
  return `the pit is ${REST_WORDS[longest.rest]} ${lastingText(longest.empty!)} after it was last full, at the latest`;
}

function sentenceOf(clauses: readonly (string | null)[]): string {
  return `${capital(listed(clauses.filter((clause) => clause !== null)))}.`;
}
