import { moundLimit } from "../ground/mound/moundLimit.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { emitterSill, exits } from "./exits.ts";
import { firstOver } from "./firstOver.ts";
import { groundwaterInto } from "./ledger.ts";
import { LAW, type Network } from "./network.ts";
import { passageKind, type Run, type RunEvent } from "./run.ts";
import type { RunRecord } from "./runAnswers.ts";
import { firstReached } from "./trajectory.ts";

/**
 * What happened in a run, when, in which body, how much, in order of time:
 *
 *   kind             time                                            body                  value
 *   stoneFull        water first at the stone top                    the pit or trench     level [m]
 *   backsUp          the pit's water first over a box's outlet       the box               level of the outlet's crest [m]
 *   runsOver         water first over the crest of a pipe            the body it leaves    level of the crest [m]
 *   spills           water first over a rim, the ground or a lip     the body it leaves    volume in all [m3]
 *   floods           the low spot's water first over that edge       the body it enters    volume in all [m3]
 *   grateTakes       the low spot first runs down the grate          the pit               volume in all [m3]
 *   grateGives       the pit's water first comes up the grate        the pit               volume in all [m3]
 *   uplift           pressure first lifts the turf                   the pit or trench     head over the ground that does it [m]
 *   ponds            water first stands 1 mm deep                    the low spot          greatest depth [m]
 *   drowns           the low spot first over the emitter's crest     the low spot          greatest depth over it [m]
 *   standsOpen       0: groundwater holds the lid open, settled      the emitter's body    peak flow of that firing [m3/s]
 *   stillMoves       0: a level moves more than 1 mm/h, settled      the body              its speed [m/s]
 *   emitterOpens     the lid opens                                   the emitter's body    peak flow of the firing [m3/s]
 *   emitterCloses    the lid closes                                  the emitter's body    volume of the firing [m3]
 *   lidHeld          water could open a lid that is held or blocked  the emitter's body    greatest head over the sill then [m]
 *   weeps            water first through the weep hole               the emitter's body    volume in all [m3]
 *   groundwaterIn    the water table first above the water           the body              volume that came in [m3]
 *   moundLimit       the mound's rise is no longer a number          the pit               rise [m]
 *   reaches          water first at a level to watch                 the first body there  the level [m]
 */
export function runEvents(record: RunRecord, run: Omit<Run, "events" | "notes">): RunEvent[] {
  const { moving } = record;
  const events = [
    ...(moving !== null && Math.abs(moving.speed) > STILL ? event("stillMoves", 0, moving.body, moving.speed) : []),
    ...bodyEvents(record), ...passageEvents(record, run), ...emitterEvents(record, run), ...hollowEvents(run),
    ...groundwaterEvents(record, run), ...watchEvents(run),
  ];
  return events.sort((a, b) => a.time - b.time);
}

/** speed of a level that counts as none: 1 mm/h [m/s] */
const STILL = 1e-3 / 3600;

type Told = Omit<Run, "events" | "notes">;

function event(kind: string, time: number | null, body: string, value: number): RunEvent[] {
  return time === null ? [] : [{ kind, time, body, value }];
}

/** Stone that fills, and turf that lifts: H - ground above cover x submerged density / density of water. */
function bodyEvents({ site, network, trajectory }: RunRecord): RunEvent[] {
  return network.bodies.flatMap((body, b) => {
    if (body.stoneTop === null) return [];
    const full = event("stoneFull", firstReached(trajectory, b, body.volume(body.stoneTop)), body.name, body.stoneTop);
    const works = body.kind === "bank" ? site.chamberBank : site.overflowTrench;
    if (works === null || works.cover === null || body.turf === null) return full;
    const lifts = (body.turf.thickness * works.cover.submergedDensity) / 1000;
    return [...full, ...event("uplift", firstReached(trajectory, b, body.volume(body.turf.ground + lifts)), body.name, lifts)];
  });
}

function passageEvents({ network, trajectory, sums }: RunRecord, run: Told): RunEvent[] {
  const { bodies, table } = network;
  const reached = (b: number, level: number): number | null => firstReached(trajectory, b, bodies[b]!.volume(level));
  return network.passages.flatMap(({ name, law, from, to, row }, p) => {
    const [body, level, forth, back] = [bodies[from]!, table[row]!, sums.forth[p]!, sums.back[p]!];
    if (law === LAW.pipe && passageKind(name) === "trenchInlet") return event("runsOver", reached(from, level), body.name, level);
    if (law === LAW.pipe && passageKind(name) === "boxOutlet") return event("backsUp", reached(to, level), body.name, level);
    if (law === LAW.weepHole && forth > NOTHING) return event("weeps", firstOver(run, (time) => run.flow(name, time) - TRICKLE), body.name, forth);
    if (law === LAW.weir || law === LAW.slopedWeir || law === LAW.cover) return forth > 0 ? event("spills", reached(from, level), body.name, forth) : [];
    const sides = (): [number | null, number | null] => [reached(from, level), reached(to, level)];
    if (law === LAW.sharedWeir) {
      return bothWays(run, name, [forth, back], sides(), { gives: ["spills", body.name], takes: ["floods", body.name] });
    }
    if (law === LAW.grate) {
      return bothWays(run, name, [forth, back], sides(), { gives: ["grateTakes", "chamberBank"], takes: ["grateGives", "chamberBank"] });
    }
    return [];
  });
}

/**
 * An edge between a body and the low spot: what went over it either way [m3], and when each way began, which is not before the water on
 * the giving side reached the edge.
 */
function bothWays(
  run: Told, passage: string, [forward, back]: readonly [number, number], [giving, taking]: readonly [number | null, number | null],
  words: { readonly gives: readonly [kind: string, body: string]; readonly takes: readonly [kind: string, body: string] },
): RunEvent[] {
  const flow = (time: number): number => run.flow(passage, time);
  return [
    ...(forward > NOTHING
      ? event(words.gives[0], firstOver(run, (time) => flow(time) - TRICKLE, giving ?? 0), words.gives[1], forward) : []),
    ...(back > NOTHING ? event(words.takes[0], firstOver(run, (time) => -flow(time) - TRICKLE, taking ?? 0), words.takes[1], back) : []),
  ];
}

/** less than a cubic centimetre is no water [m3], and less than a litre in eleven days no flow [m3/s] */
const NOTHING = 1e-6;
const TRICKLE = 1e-9;

function emitterEvents(record: RunRecord, run: Told): RunEvent[] {
  const { network, blocked } = record;
  const { emitter } = run.site;
  if (network.emitter === null || emitter === null) return [];
  const { passage, opensAtHead, heldShut } = network.emitter;
  const body = network.bodies[network.passages[passage]!.from]!.name;
  const events = run.firings.flatMap(({ start, end, volume, peakFlow }) => [
    ...event(record.settle > 0 && start === 0 ? "standsOpen" : "emitterOpens", start, body, peakFlow), ...event("emitterCloses", end, body, volume),
  ]);
  const held = (time: number): boolean => blocked.has(passage) || heldShut.some(({ from, to }) => from <= time && time < to);
  const head = (time: number): number => run.level(body, time) - emitterSill(run, emitter, time);
  if (!blocked.has(passage) && heldShut.length === 0) return events;
  const first = firstOver(run, (time) => (held(time) ? head(time) - opensAtHead : -1));
  const most = [...run.times, run.peaks[body]!.time].reduce((top, time) => (held(time) ? Math.max(top, head(time)) : top), 0);
  return [...events, ...event("lidHeld", first, body, most)];
}

function hollowEvents(run: Told): RunEvent[] {
  const { lowSpot, emitter } = run.site;
  if (lowSpot === null) return [];
  const top = run.peaks["lowSpot"]!.level;
  const over = (level: number): number | null => (top < level ? null : firstOver(run, (time) => run.level("lowSpot", time) - level));
  const drowned = emitter === null || emitter.dischargesTo === null ? Infinity
    : Math.max(emitter.crest, emitter.tailwater ?? emitter.crest);
  return [
    ...event("ponds", over(lowSpot.floor + 1e-3), "lowSpot", top - lowSpot.floor),
    ...event("drowns", over(drowned), "lowSpot", top - drowned),
  ];
}

function groundwaterEvents({ network, sums, mound }: RunRecord, run: Told): RunEvent[] {
  const { bodies } = network;
  const cameIn = groundwaterInto(network, sums);
  const rise = (time: number): number => (mound === null ? 0 : run.rise(time)!.centre);
  const events = bodies.flatMap((body, b) => {
    const volume = cameIn[b]!;
    if (!(volume > 1e-3)) return [];
    const table = (time: number): number => seriesLevel(body.groundwater, time) + (body.kind === "bank" ? rise(time) : 0);
    const above = firstOver(run, (time) => table(time) - run.level(body.name, time) - 1e-4);
    return event("groundwaterIn", above, body.name, volume);
  });
  return [...events, ...moundEvents(network, run)];
}

function moundEvents({ bodies }: Network, run: Told): RunEvent[] {
  const { mounding } = run.site.groundwater;
  const bank = bodies.find(({ kind }) => kind === "bank")!;
  if (mounding === null || bank.groundwater === null) return [];
  const limit = (time: number): number => moundLimit({
    thickness: mounding.thickness, level: seriesLevel(bank.groundwater, time), floor: run.site.chamberBank.floor,
  }).rise;
  // no rise over a water table that stands in the pit already is no event
  const passed = firstOver(run, (time) => run.rise(time)!.centre - Math.max(1e-3, limit(time)));
  return passed === null ? [] : event("moundLimit", passed, bank.name, run.rise(passed)!.centre);
}

function watchEvents(run: Told): RunEvent[] {
  const watched = exits(run.site).filter(({ kind }) => kind === "watchLevel");
  return watched.flatMap(({ level, bodies }) => {
    const first = bodies
      .filter((body) => run.peaks[body]!.level >= level)
      .map((body) => ({ body, time: firstOver(run, (time) => run.level(body, time) - level) ?? run.peaks[body]!.time }))
      .sort((a, b) => a.time - b.time)[0];
    return first === undefined ? [] : event("reaches", first.time, first.body, level);
  });
}
