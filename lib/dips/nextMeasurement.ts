import { networkOf } from "../simulate/assemble.ts";
import type { BodyKind } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { depthText, durationText, levelText, waterText } from "../text/format.ts";
import type { Look } from "./faultFit.ts";
import { faultSize } from "./faults.ts";
import type { Cause } from "./pitCauses.ts";
import type { PitDip } from "./pitLog.ts";

/** What could be looked at next, and what each leading cause would give there. */
export interface Measurement {
  readonly kind: "level" | "lid" | "weep" | "hole" | "box" | "rod" | "staff" | "walk" | "stone";
  /** of a level: where and when; null for what is looked at by hand */
  readonly look: Look | null;
  /** what to do, in a sentence without its end */
  readonly words: string;
  /** chance that it tells two of the leading causes apart, pairs by their shares, 0 to 1 */
  readonly separation: number;
  readonly foretells: readonly { readonly cause: Cause; readonly level: number | null; readonly words: string }[];
}

/** A leading cause: its share, its best severity, and the level it foretells at each look. */
export interface Leader {
  readonly cause: Cause;
  readonly share: number;
  readonly severity: number;
  readonly looks: readonly { readonly level: number; readonly spread: number }[];
}

/** Levels that could be dipped next: what has not been dipped at the last time, and the pit later on. */
export function looksAfter(site: Site, dips: readonly PitDip[]): Look[] {
  const last = dips.at(-1)!.time;
  const trench = networkOf(site).bodies.filter(({ kind }) => kind === "trench").at(-1);
  const now = ["chamberBank", site.settlingBoxes[0]!.name, ...(trench === undefined ? [] : [trench.name])];
  return [
    ...now.map((body): Look => ({ body, time: last })),
    ...LATER.map((later): Look => ({ body: "chamberBank", time: last + later })),
  ];
}

/** [s] after the last dip. */
const LATER: readonly number[] = [3600, 6 * 3600, 24 * 3600, 48 * 3600];

/**
 * Every measurement that could be made: what can be done now first, the most telling first; of two that tell as much the one that can be
 * had sooner. For
 * levels, how well causes a and b are told apart is one less the overlap of what they foretell (Bhattacharyya's coefficient of two
 * normal distributions, spread over severity and dip error together):
 *
 *   1 - sqrt(2 sa sb/(sa^2 + sb^2)) exp(-(ma - mb)^2/(4 (sa^2 + sb^2)))
 *
 * By hand it is as sure as such a look is, by own estimate: a lid 0.95, a hole beside the pit 0.9, the box's outlet 0.85 and what
 * lies in its sump 0.5.
 *
 * @param leaders  two or more, their looks as `looksAfter` gives them
 * @source  Bhattacharyya, Bulletin of the Calcutta Mathematical Society 35, 1943 (from memory)
 */
export function nextMeasurements(site: Site, leaders: readonly Leader[], dips: readonly PitDip[], dipError: number): Measurement[] {
  const looks = looksAfter(site, dips);
  const last = dips.at(-1)!.time;
  const isDipped = ({ body, time }: Look): boolean => dips.some((dip) => dip.body === body && dip.time === time);
  const levels = looks.flatMap((look, l) => (isDipped(look) ? [] : [levelMeasurement(site, leaders, look, l, last, dipError)]));
  const weepAt = looks.findIndex(({ body, time }) => time === last && kindOf(site, body) === "trench");
  const all = [...byHand(site, leaders, weepAt), ...levels];
  // what can be done now comes first, unless it would tell little
  const now = ({ look }: Measurement): boolean => look === null || look.time === last;
  const rank = (measurement: Measurement): number => (
    now(measurement) && measurement.separation >= TELLS_LITTLE ? 1000 : 0) + Math.round(measurement.separation / SAME);
  return all.map((measurement, i) => ({ measurement, i })).sort((a, b) => rank(b.measurement) - rank(a.measurement) || a.i - b.i)
    .map(({ measurement }) => measurement);
}

/** Chance of telling two causes apart below which a measurement is not worth a way [0 to 1]. */
export const TELLS_LITTLE = 0.2;

/** Separations this near are one. */
const SAME = 0.05;

function levelMeasurement(site: Site, leaders: readonly Leader[], look: Look, l: number, last: number, dipError: number): Measurement {
  const place = { bank: "the pit", trench: "the overflow trench", pipe: "the trench's pipe", box: "the settling box", lowSpot: "the low spot" }[kindOf(site, look.body)];
  const when = look.time === last ? "now" : `${durationText(look.time - last)} after the last dip`;
  return {
    kind: "level", look, words: `dip ${place} ${when}`,
    separation: overPairs(leaders, (a, b) => apart(a.looks[l]!, b.looks[l]!, dipError)),
    foretells: leaders.map(({ cause, looks }) => ({ cause, level: looks[l]!.level, words: foretold(site, look, looks[l]!) })),
  };
}

function kindOf(site: Site, body: string): BodyKind {
  return networkOf(site).bodies.find(({ name }) => name === body)!.kind;
}

function apart(a: Leader["looks"][number], b: Leader["looks"][number], dipError: number): number {
  const [va, vb] = [a.spread ** 2 + dipError ** 2, b.spread ** 2 + dipError ** 2];
  return 1 - Math.sqrt((2 * Math.sqrt(va * vb)) / (va + vb)) * Math.exp(-((a.level - b.level) ** 2) / (4 * (va + vb)));
}

function foretold({ units }: Site, _look: Look, { level, spread }: Leader["looks"][number]): string {
  return `${waterText(level, units)}${spread > LEAST_SPREAD ? `, give or take ${depthText(spread, units)}` : ""}`;
}

/** A spread that is worth a word [m]. */
const LEAST_SPREAD = 0.01;

/** What each cause shows to the hand: causes with the same words are not told apart by it. */
function byHand(site: Site, leaders: readonly Leader[], weepAt: number): Measurement[] {
  const hand = (kind: Measurement["kind"], words: string, sure: (a: Cause, b: Cause) => number, shown: (leader: Leader) => string): Measurement => ({
    kind, look: null, words,
    separation: overPairs(leaders, (a, b) => (shown(a) === shown(b) ? 0 : sure(a.cause, b.cause))),
    foretells: leaders.map((leader) => ({ cause: leader.cause, level: null, words: shown(leader) })),
  });
  const { units, emitter, chamberBank, overflowTrench } = site;
  const found = [
    ...(overflowTrench === null ? [] : [
      hand("rod", "push a rod through the pipe from the pit to the trench", () => 0.9, ({ cause }) => (cause === "inletBlocked" ? "it sticks" : "it goes through")),
      hand("staff", "take the levels of that pipe and of the emitter's crest again, by staff", () => 0.95,
        ({ cause }) => (cause === "levelsOff" ? "they are not those of the drawing" : "they are those of the drawing")),
      hand("walk", "walk the ground downhill of the trench, and round the roofs and drains while it rains", () => 0.6,
        ({ cause }) => (cause === "trenchLeak" || cause === "leak" ? "wet ground where nobody laid a pipe" : cause === "roofMore" ? "water that was not drawn runs in" : "nothing that was not drawn")),
    ]),
    hand("stone", "look at the stone through a chamber's wall, by lamp and mirror from above", () => 0.8,
      ({ cause }) => (cause === "stoneDirty" ? "fines between the stone" : cause === "holesClogged" ? "holes blinded with silt" : "clean stone")),
    hand("box", "look into the settling box: at its outlet and how high its sump is filled", (a, b) => (a === "outletBlocked" || b === "outletBlocked" ? 0.85 : 0.5),
      ({ cause }) => (cause === "outletBlocked" ? "leaves or a plug over the outlet" : SILTED.includes(cause) ? "the sump full of silt, which has gone on into the pit" : "outlet clear, sump not full")),
    hand("hole", `dig or auger a hole 2 ft (0.6 m) beside the pit, down to its floor at ${levelText(chamberBank.floor, units)}, wait an hour and pour a bucket of water in`, () => 0.9,
      ({ cause, severity }) => holeShows(site, cause, severity)),
  ];
  if (emitter === null) return found;
  const lid = hand("lid", "lift the emitter's lid by hand", () => 0.95,
    ({ cause }) => (cause === "lidShut" ? "it does not move, or water comes as soon as it does" : "it moves freely"));
  const { weepHole } = emitter;
  if (weepHole === null || weepAt < 0) return [lid, ...found];
  const weep = hand("weep", "probe the weep hole with a wire and see whether water stands at it", () => 0.9,
    ({ looks }) => (looks[weepAt]!.level > weepHole.elevation + 0.005 ? "water stands at it" : "no water at it"));
  return [lid, weep, ...found];
}

const SILTED: readonly Cause[] = ["floorSealed", "holesClogged"];

function holeShows(site: Site, cause: Cause, severity: number): string {
  const { units, chamberBank } = site;
  if (cause === "soilSlower") return "no water comes, and the soil takes the bucket far more slowly than the test did";
  const level = cause === "waterTable" ? faultSize(site, "waterTable", severity) : -Infinity;
  return level > chamberBank.floor ? `water comes in and stands at ${waterText(level, units)}` : "no water comes, and the soil takes the bucket as the test did";
}

function overPairs(leaders: readonly Leader[], told: (a: Leader, b: Leader) => number): number {
  let [sum, all] = [0, 0];
  leaders.forEach((a, i) => leaders.slice(i + 1).forEach((b) => {
    const weight = a.share * b.share;
    sum += weight * told(a, b);
    all += weight;
  }));
  return all === 0 ? 0 : sum / all;
}
