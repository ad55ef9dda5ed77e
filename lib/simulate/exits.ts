import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Emitter, Site } from "../site/site.ts";
import { groundOfSegment, lowerEnd } from "../site/trenchGround.ts";
import { networkOf } from "./assemble.ts";
import { firstOver } from "./firstOver.ts";
import { bodiesOf, type Run, type RunEvent } from "./run.ts";

/** `Run.spilled` by its places [m3]: up out of the works, and over the low spot's lip. The same water may pass both. */
export function spilledBy({ spilled, ledger: { lowSpotOverflow = 0 } }: Pick<Run, "spilled" | "ledger">): { readonly up: number; readonly lip: number } {
  return { up: spilled - lowSpotOverflow, lip: lowSpotOverflow };
}

export type ExitKind = "emitter" | "trenchGround" | "pitGround" | "grate" | "boxRim" | "lowSpotLip" | "watchLevel";

/** A place where water can leave to the surface, or a level that the site file asks to be watched. */
export interface Exit {
  readonly kind: ExitKind;
  /** of one of several boxes, or of a level to watch; null where the kind says it all */
  readonly name: string | null;
  /** level at which water comes out [m]: an edge, or the level that lifts the emitter's lid over the hollow it stands in */
  readonly level: number;
  /** the bodies whose water comes out here */
  readonly bodies: readonly string[];
  /** head over the edge at which it opens [m], 0 but for the emitter's lid */
  readonly opensAtHead: number;
  /** whether water outside, in the low spot, holds it back */
  readonly intoLowSpot: boolean;
}

/** Whether water comes out of the works at a ground, the grate or a rim that lies lower than the level that lifts the emitter's lid. */
export function comesOutBelowLid(site: Site): boolean {
  return site.emitter !== null && exits(site).some(({ kind, level }) => kind !== "emitter" && kind !== "watchLevel" && kind !== "lowSpotLip" && level < site.emitter!.opensAt);
}

/** What a run did at an exit. */
export interface ExitReached extends Exit {
  /** when water first stood there, or the emitter first opened where it did [s]; null where it never did */
  readonly time: number | null;
  /** the body that reached it first */
  readonly body: string | null;
  /** the highest water of its bodies [m]; for the trench's places that from which `short` is measured, the trench's own or the pit's */
  readonly top: number;
  /** whether that is the pit's, from which the trench fills */
  readonly isPits: boolean;
  /** how far the water stops below what lets it out, at its nearest [m], as `lidSpare` for the emitter */
  readonly short: number;
  /** whether that is below the pipe into the trench, which lies higher, of a pit that does not run over into it */
  readonly atInlet: boolean;
  /** what came out here in the run [m3]; 0 also where water stood at a lid that stayed shut; null for a level to watch */
  readonly volume: number | null;
}

/**
 * Every place where water can leave a site to the surface, from the lowest up: the emitter's opening level (its crest, its
 * tailwater, or the floor of the low spot it stands in, and the head that lifts its lid), the ground over trench and pit, a
 * grate over the pit, the rims of boxes, the lip of the low spot, and the site's levels to watch, which any water reaches.
 *
 * @returns  levels [m]; of places at one level the one earlier in this list first
 */
export function exits(site: Site): Exit[] {
  const { bodies } = networkOf(site);
  const named = (kind: string): string[] => bodies.filter((body) => body.kind === kind).map(({ name }) => name);
  const several = site.settlingBoxes.length > 1;
  const { chamberBank: bank, overflowTrench: trench, lowSpot } = site;
  const found: Exit[] = [...emitterExit(site)];
  const edge = (kind: ExitKind, level: number, from: readonly string[], intoLowSpot: boolean, name: string | null = null): void => {
    found.push({ kind, name, level, bodies: from, opensAtHead: 0, intoLowSpot });
  };
  if (trench !== null) edge("trenchGround", trench.lowestGround, named("trench"), trench.spillsTo !== null);
  edge("pitGround", bank.ground, named("bank"), bank.spillsTo !== null);
  if (lowSpot !== null && lowSpot.grate !== null) edge("grate", lowSpot.grate.level, named("bank"), true);
  for (const box of site.settlingBoxes) edge("boxRim", box.rim, [box.name], box.spillsTo !== null, several ? box.name : null);
  if (lowSpot !== null) edge("lowSpotLip", lowSpot.lip, named("lowSpot"), false);
  const all = bodies.map(({ name }) => name);
  for (const { name, level } of site.watchLevels) edge("watchLevel", level, all, false, name);
  return found.sort((a, b) => a.level - b.level);
}

/**
 * The exits of a run's site, and which of them its water reached, when, and how much came out. A place that opens into the
 * low spot is reached when water stands higher there than outside too. For a lid that is stuck or an outlet that is choked,
 * ask a run made with `blocked`; see `waysOut`.
 *
 * @returns  as `exits`, times [s], volumes [m3]
 */
export function exitsReached(run: Run): ExitReached[] {
  return exits(run.site).map((exit) => {
    const top = topAt(run, exit);
    let time: number | null = null;
    let first: string | null = null;
    for (const body of exit.bodies) {
      const when = firstReach(run, exit, body);
      if (when !== null && (time === null || when < time)) [time, first] = [when, body];
    }
    const short = exit.kind === "emitter" ? lidSpare(run) : exit.kind === "trenchGround" ? shortOf(run, exit.level) : exit.level - top;
    const atInlet = (exit.kind === "emitter" || exit.kind === "trenchGround") && stopsAtInlet(run, exit.level);
    const isPits = (exit.kind === "emitter" || exit.kind === "trenchGround") && top === run.peaks[bodiesOf(run, "bank")[0]!]!.level;
    return { ...exit, time, body: first, top, isPits, short, atInlet, volume: exit.kind === "watchLevel" ? null : volumeOut(run, exit) };
  });
}

/**
 * The highest water that could come out at an exit: of its bodies, and of the pit, from which the trench fills, where that stays below the
 * exit or the pipe into the trench. A pit that stands over both has lost height on its way: the trench's water is what counts.
 */
function topAt(run: Run, { kind, bodies, level }: Exit): number {
  const own = (of: readonly string[]): number[] => of.map((body) => run.peaks[body]!.level);
  if (kind !== "emitter" && kind !== "trenchGround") return greatestOf(own(bodies));
  const [pit] = own(bodiesOf(run, "bank"));
  const wet = own(bodies.filter((body) => wasWet(run, body)));
  const isBelow = pit! < Math.max(level, run.site.overflowTrench!.inlet.crest);
  return greatestOf(isBelow || wet.length === 0 ? [pit!, ...wet] : wet);
}

/** When a body's water first stood at an exit [s]; null where it never did. */
function firstReach(run: Run, exit: Exit, body: string): number | null {
  // over an edge under water levels all but meet: which way it runs first is what tells
  const cameOut = (): number | null => outEvents(run, exit).find((event) => event.body === body)?.time ?? null;
  if (exit.intoLowSpot && exit.kind !== "emitter") return cameOut();
  // through the cover of a ground that slopes water comes up later than it stands at the lower end; each segment has its own ground
  if (exit.kind === "trenchGround") return cameOut() ?? firstAt(run, body, lowerEnd(groundOfSegment(run.site.overflowTrench!, exit.bodies.indexOf(body))));
  if (exit.kind !== "emitter") return firstAt(run, body, exit.level);
  // a lid that opens lets the water down from its opening level at once, and one that was held shut is stood at long before
  if (run.firings.length > 0) return run.firings[0]!.start;
  if (run.peaks[body]!.level < run.site.emitter!.opensAt) return null;
  return firstOver(run, (time) => run.level(body, time) - emitterSill(run, run.site.emitter!, time) - exit.opensAtHead);
}

type Levels = Pick<Run, "site" | "bodies" | "peaks" | "times" | "level">;

/**
 * How far the water of pit and trench stops below what lifts the emitter's lid, at its nearest [m]: the trench's, or the pit's, from which
 * the trench fills, below the lid or the pipe into the trench where that lies higher; 0 or less where it gets there. A trench that stays
 * dry says nothing, nor does a pit that stands over both.
 */
export function lidSpare(run: Levels): number {
  const { emitter } = run.site;
  if (emitter === null) return Infinity;
  if (emitter.dischargesTo === null) return shortOf(run, emitter.opensAt);
  return leastOf(Array.from(run.times).map((time) => shortOf(run, emitterSill(run, emitter, time) + emitter.opensAtHead, time)));
}

/** Whether a lid stays shut under water that would lift it in the open: the low spot that it discharges into presses on it. */
export function isPressedShut(run: Levels & Pick<Run, "firings">): boolean {
  const { emitter } = run.site;
  return emitter !== null && emitter.dischargesTo !== null && run.firings.length === 0
    && bodiesOf(run, "trench", "pipe").some((body) => run.peaks[body]!.level > emitter.opensAt);
}

/** The same for a level of the trench, by the highest water of a run or at a time of it [s]. */
function shortOf(run: Levels, level: number, time: number | null = null): number {
  const stands = (body: string): number => (time === null ? run.peaks[body]!.level : run.level(body, time));
  const { crest } = run.site.overflowTrench!.inlet;
  const [pit] = bodiesOf(run, "bank");
  const below = Math.max(level, crest) - stands(pit!);
  const trench = greatestOf(bodiesOf(run, "trench", "pipe").filter((body) => wasWet(run, body)).map(stands));
  return Math.min(level - trench, below > 0 ? below : Infinity);
}

/** Whether what keeps the water from a level of the trench is that the pit does not run over into it, through a pipe that lies higher. */
export function stopsAtInlet(run: Levels, level: number): boolean {
  const { overflowTrench } = run.site;
  return overflowTrench !== null && overflowTrench.inlet.crest > level && !bodiesOf(run, "trench", "pipe").some((body) => wasWet(run, body));
}

/** The depth of water over a dry floor that counts [m]. */
const WET = 1e-3;

/** Whether a body ever held a millimetre of water: a dry floor is no level of water. */
function wasWet(run: Pick<Run, "site" | "peaks">, body: string): boolean {
  return run.peaks[body]!.level - floorOf(run, body) > WET;
}

/** When a body's water first stood at a level [s]; where that lies under its floor, when it first held water. */
function firstAt(run: Run, body: string, level: number): number | null {
  const floor = floorOf(run, body);
  const over = level > floor ? level : floor + WET;
  return run.peaks[body]!.level < over ? null : firstOver(run, (time) => run.level(body, time) - over);
}

function floorOf({ site }: Pick<Run, "site">, body: string): number {
  return networkOf(site).bodies.find(({ name }) => name === body)!.storage.floor;
}

/** The exit that water comes out of first; null if it comes out nowhere. Levels to watch do not count. */
export function firstExit(reached: readonly ExitReached[]): ExitReached | null {
  const out = reached.filter(({ volume, time }) => volume !== null && volume > 0 && time !== null);
  return out.length === 0 ? null : out.reduce((first, exit) => (exit.time! < first.time! ? exit : first));
}

function emitterExit(site: Site): Exit[] {
  const network = networkOf(site);
  if (site.emitter === null || network.emitter === null) return [];
  const { opensAt, opensAtHead, dischargesTo } = site.emitter;
  const body = network.bodies[network.passages[network.emitter.passage]!.from]!.name;
  return [{
    kind: "emitter", name: null, level: opensAt, bodies: [body], opensAtHead,
    intoLowSpot: dischargesTo !== null,
  }];
}

/** The level that the emitter's heads count from at a moment of a run [m]: its sill, or the water in the low spot over it. */
export function emitterSill(run: Pick<Run, "level">, { sill, dischargesTo }: Emitter, time: number): number {
  return dischargesTo === null ? sill : Math.max(sill, run.level("lowSpot", time));
}

/** What came out at an exit in a run [m3]. */
export function volumeOut(run: Run, exit: Exit): number {
  const parts = exit.kind === "emitter" ? run.firings.map(({ volume }) => volume) : outEvents(run, exit).map(({ value }) => value ?? 0);
  return parts.reduce((sum, volume) => sum + volume, 0);
}

function outEvents({ events }: Run, { kind, bodies }: Exit): RunEvent[] {
  const told = kind === "grate" ? "grateGives" : "spills";
  return events.filter((event) => event.kind === told && bodies.includes(event.body));
}
