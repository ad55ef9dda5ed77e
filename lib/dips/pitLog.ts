import { greatestOf } from "../numerics/extremes.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import { hydrograph, type Hydrograph } from "../runoff/hydrograph.ts";
import { networkOf } from "../simulate/assemble.ts";
import { bodyInflows } from "../simulate/bodyInflows.ts";
import type { Site } from "../site/site.ts";
import { groundOfSegment } from "../site/trenchGround.ts";
import { describe } from "../text/describe.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { readSights, type Sight } from "./pitSights.ts";

/** One look at the water with a tape, in texts with units: a depth over the body's floor, or a level in the site's datum. */
export interface DipGiven {
  readonly time: string;
  readonly depth?: string;
  readonly level?: string;
  /** the pit where not given; a name as in `Run.bodies` */
  readonly body?: string;
}

/** What is known of a pit that does not do its work. */
export interface FailedPitOptions {
  /** what ran in: the options of `designStorm`, or a hose into the first box (or another body) */
  readonly storm?: Readonly<Record<string, unknown>>;
  readonly hose?: { readonly flow: string; readonly duration: string; readonly into?: string };
  /** whether times of dips count from the start (as missing) or from the end of the storm or the hose */
  readonly timesFrom?: "start" | "end";
  readonly dips: readonly DipGiven[];
  readonly seen?: readonly Sight[];
  /** what a level of the model and a dip may differ by with nothing wrong, one standard deviation */
  readonly dipError?: string;
  /** what the water that ran in may be off by, one standard deviation, as a share of it; 0.1 where not given */
  readonly loadError?: number;
}

/** A dip as the diagnosis takes it: time from the load's start [s], level in the site's datum [m]. */
export interface PitDip {
  readonly body: string;
  readonly time: number;
  readonly level: number;
}

/** All of it as read. */
export interface PitLog {
  readonly inflows: Readonly<Record<string, Hydrograph>>;
  readonly load: "storm" | "hose";
  /** end of the rain or of the hose [s] */
  readonly loadEnd: number;
  /** in order of time */
  readonly dips: readonly PitDip[];
  readonly seen: readonly Sight[];
  readonly dipError: number;
  readonly loadError: number;
}

/**
 * What the model may be off at a dip though nothing is wrong [m]: porosity, runoff and the one level of chambers and stone; own
 * estimate, no source.
 */
export const MODEL_ERROR = 0.015;

/** What a hose timed with a bucket, or rain read off a gauge and run off a roof, may be off by [share]; own estimate, no source. */
export const LOAD_ERROR = 0.1;

/** Water that ran in as it was given, times a factor. */
export function timesLoad(inflows: PitLog["inflows"], factor: number): PitLog["inflows"] {
  const scaled = ({ time, flow }: Hydrograph): Hydrograph => ({ time, flow: flow.map((each) => each * factor) });
  return Object.fromEntries(Object.entries(inflows).map(([body, flow]) => [body, scaled(flow)]));
}

/** Standard deviation of a dip where none is given [m]: the site's survey error and that of the model, as root of squares. */
export function usualDipError(site: Site): number {
  return Math.hypot(site.surveyError, MODEL_ERROR);
}

/** @throws InputError  with all problems */
export function readPitLog(site: Site, options: FailedPitOptions): PitLog {
  const read = optionReader("failedPit", options, "The pit cannot be diagnosed:");
  const byStorm = read.has("storm");
  if (byStorm === read.has("hose")) read.problem("storm", "a storm or a hose, and not both", byStorm ? "both" : "neither");
  const hosed = hoseLoad(site, read);
  const { inflows, loadEnd } = byStorm ? stormLoad(site, read.raw("storm"), read) : hosed;
  const from = read.word("timesFrom", ["start", "end"], "start") === "end" ? loadEnd : 0;
  const dips = read.children("dips").map((dip) => readDip(site, dip, from));
  const problems: Problem[] = [];
  const seen = readSights(site, read.raw("seen"), "seen", problems);
  for (const { where, expected, got } of problems) read.problem(where, expected, got);
  const dipError = read.quantity("dipError", "length", { above: 0, most: 1, missing: usualDipError(site) });
  const loadError = read.number("loadError", { least: 0, most: 0.5, missing: LOAD_ERROR });
  read.done();
  return {
    inflows, load: byStorm ? "storm" : "hose", loadEnd, dips: [...dips].sort((a, b) => a.time - b.time), seen, dipError, loadError,
  };
}

type LoadRead = Pick<PitLog, "inflows" | "loadEnd">;

const NO_LOAD: LoadRead = { inflows: {}, loadEnd: NaN };

function stormLoad(site: Site, options: unknown, read: OptionReader): LoadRead {
  if (typeof options !== "object" || options === null) {
    read.problem("storm", "the options of a design storm");
    return NO_LOAD;
  }
  try {
    const rain = designStormAt(`${read.where}.storm`, options);
    return { inflows: bodyInflows(site, rain, bodyNames(site)), loadEnd: rain.time.at(-1)! };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    for (const { where, expected, got } of error.problems) read.problem(where.replace(`${read.where}.`, ""), expected, got);
    return NO_LOAD;
  }
}

function hoseLoad(site: Site, read: OptionReader): LoadRead {
  if (!read.has("hose")) return NO_LOAD;
  const hose = read.child("hose");
  const flow = hose.quantity("flow", "flow", { above: 0, most: 1 });
  const duration = hose.quantity("duration", "time", { above: 0, most: LONGEST });
  const into = hose.word("into", bodyNames(site), site.settlingBoxes[0]!.name);
  if (!(flow > 0 && duration > 0)) return NO_LOAD;
  return { inflows: { [into]: hydrograph({ time: [0, duration], flow: [flow, flow] }) }, loadEnd: duration };
}

function bodyNames(site: Site): string[] {
  return networkOf(site).bodies.map(({ name }) => name);
}

/** A tape may read so much past a floor or over an edge [m]. */
const SLACK = 0.15;

/** Longest time of a dip or a hose [s]: what stood a month tells no more. */
const LONGEST = 30 * 86400;

function readDip(site: Site, dip: OptionReader, from: number): PitDip {
  const time = from + dip.quantity("time", "time", { least: 0, most: LONGEST });
  const body = dip.word("body", bodyNames(site), "chamberBank");
  const works = networkOf(site).bodies.find(({ name }) => name === body);
  const [byDepth, byLevel] = [dip.has("depth"), dip.has("level")];
  if (byDepth === byLevel) dip.problem("depth", "a depth over the floor or a level, and not both", byDepth ? "both" : "neither");
  const given = byLevel ? dip.quantity("level", "length", {}) : byDepth ? dip.quantity("depth", "length", { least: 0, most: 30 }) : NaN;
  if (works === undefined) return { body, time, level: NaN };
  const { floor } = works.storage;
  const level = byLevel ? given : floor + given;
  const top = topOf(site, works.kind, body);
  const key = byLevel ? "level" : "depth";
  if (level < floor - SLACK) dip.problem(key, "water no deeper than the floor", describe(dip.raw(key)));
  if (level > top + SLACK) dip.problem(key, "water no higher than the edge it spills over", describe(dip.raw(key)));
  return { body, time, level: Math.max(floor, level) };
}

/** Edge over which a body spills, [m]. */
export function topOf(site: Site, kind: string, body: string): number {
  if (kind === "box") return site.settlingBoxes.find(({ name }) => name === body)!.rim;
  if (kind === "bank") return greatestOf([site.chamberBank.ground, ...site.settlingBoxes.map(({ rim }) => rim)]);
  if (kind === "lowSpot") return site.lowSpot!.lip;
  const trench = site.overflowTrench!;
  const segment = /\d+$/.exec(body);
  // under a cover water stands above the lower end of ground that slopes
  return (segment === null ? trench.ground : groundOfSegment(trench, Number(segment[0]) - 1)).high;
}
