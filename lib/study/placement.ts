import { seriesLevel } from "../ground/seriesLevel.ts";
import { greatestOf } from "../numerics/extremes.ts";
import { networkOf } from "../simulate/assemble.ts";
import type { Load } from "../simulate/bodyInflows.ts";
import { freeVolume, startVolumeOf } from "../simulate/freeVolume.ts";
import { LOOKS, shareAbove } from "../simulate/levelWatch.ts";
import type { Run } from "../simulate/run.ts";
import type { SimulateOptions } from "../simulate/runOptions.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { changedSite } from "../site/changedSite.ts";
import { overflowCrest } from "../site/overflowCrest.ts";
import type { LevelSeries, Pipe, Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { levelAt } from "../works/storageTable.ts";
import { placementNote } from "./placementNote.ts";

/** Why an emitter does not do its work: water stands over its sill, from the ground or outside, or it runs without rain too. */
export type Drowned = "groundwater over its sill" | "water outside over its sill" | "runs on without rain";

/** The works at one place of the slope. */
export interface Position {
  /** up the slope from where the site file has them; negative: down [m] */
  readonly height: number;
  readonly run: Run;
  /** crest at which the pit runs over, and the level at which it counts as full [m] */
  readonly crest: number;
  readonly fullLevel: number;
  /** share of the run in which the pit is full, 0 to 1 */
  readonly fullShare: number;
  /** at or above it the pit's water stands for half of the run [m] */
  readonly medianLevel: number;
  /** room for rain in boxes, pit and trench when the run starts [m3] */
  readonly freeVolume: number;
  /** highest groundwater of the run over the pit's floor, the mound left out; negative: below it [m]; null where it is far below */
  readonly groundwaterOverFloor: number | null;
  readonly drowned: Drowned | null;
}

/** One load on the same works at several places of the slope. */
export interface Placement {
  /** from the highest place to the lowest */
  readonly positions: readonly Position[];
  /** what the place does, in a sentence */
  readonly note: string;
}

/**
 * Runs the same works moved up and down the slope of a lot, the water table staying where it is (`movedWorks` says what moves),
 * so that one sees why the low point stays full, and where it does not matter.
 *
 * The pit is full while 95 percent or more of its storage below the crest at which it runs over is taken: the inlet of the
 * overflow trench, or without one the lowest of ground, grate and rims. Its share of time is of the whole run; with a storm
 * alone the three days after it are most of it, so a record of a wet season says more.
 *
 * An emitter is drowned where groundwater or tailwater stands at its sill or over it at any time of the run, or where it still
 * lets water out a day after the last inflow, in one flow or by opening again and again.
 *
 * @param heights  as texts with a unit, "2 ft", or [m]; negative is down the slope
 * @param load     as `simulate`
 * @param options  as `simulate`
 * @throws InputError  for heights that cannot be read, or works that are tied to the low spot
 * @throws StoppedRun  as `simulate`
 */
export function placement(site: Site, load: Load, heights: readonly (string | number)[], options: SimulateOptions = {}): Placement {
  const positions = readHeights(heights).map((height) => positionOf(movedWorks(site, height), height, load, options));
  return { positions, note: placementNote(positions, site.units) };
}

/** Of the storage below the crest, beyond which a pit counts as full. */
const FULL = 0.95;

/** How long after the last inflow what an emitter lets out is no rain [s]. */
const A_DAY = 86400;

function positionOf(site: Site, height: number, load: Load, options: SimulateOptions): Position {
  const run = settledRun(site, load, options);
  const bank = networkOf(site).bodies.find(({ kind }) => kind === "bank")!;
  const crest = overflowCrest(site);
  const fullLevel = levelAt(bank.storage, FULL * bank.volume(Math.max(crest, bank.storage.floor)));
  const highest = highestIn(bank.groundwater, run.until);
  return {
    height, run, crest, fullLevel,
    fullShare: timeAbove(run, bank.name, fullLevel) / run.until,
    medianLevel: medianLevel(run, bank.name),
    freeVolume: freeVolume(site, startVolumeOf),
    groundwaterOverFloor: highest === -Infinity ? null : highest - bank.storage.floor,
    drowned: drownedBy(run),
  };
}

function drownedBy({ site: { emitter, overflowTrench }, until, inflows, firings }: Run): Drowned | null {
  if (emitter === null) return null;
  if (highestIn(overflowTrench!.groundwater, until) >= emitter.crest) return "groundwater over its sill";
  if (emitter.tailwater !== null && emitter.tailwater >= emitter.crest) return "water outside over its sill";
  const lastInflow = greatestOf([0, ...Object.values(inflows).map(({ time }) => time.at(-1)!)]);
  return firings.some(({ end }) => (end ?? until) >= lastInflow + A_DAY) ? "runs on without rain" : null;
}

/** Highest level of a series from 0 to the end of a run [m]; -Infinity if missing. */
function highestIn(series: LevelSeries | null, until: number): number {
  if (series === null) return -Infinity;
  const within = series.level.filter((_, i) => series.time[i]! <= until);
  return greatestOf([seriesLevel(series, 0), seriesLevel(series, until), ...within]);
}

/** From the highest to the lowest. */
function readHeights(heights: readonly (string | number)[]): number[] {
  const problems: Problem[] = [];
  const read = heights.map((height, i) => {
    const reading = typeof height === "number" ? { value: height } : readQuantity(height, "length");
    if ("value" in reading && Number.isFinite(reading.value)) return reading.value;
    const fault = "value" in reading ? { expected: 'a height such as "2 ft", or a number of metres', got: describe(height) } : reading;
    problems.push({ where: `heights[${i}]`, ...fault });
    return NaN;
  });
  if (heights.length === 0) problems.push({ where: "heights", expected: "one height or more", got: "an empty list" });
  if (problems.length > 0) throw new InputError("The works cannot be placed:", problems);
  return [...new Set(read)].sort((a, b) => b - a);
}

/** The level at or above which a body's water stands for half of a run [m], to the run's own steps. */
function medianLevel(run: Run, body: string): number {
  const pieces = Array.from({ length: run.times.length - 1 }, (_, step) => {
    const [from, to] = [run.times[step]!, run.times[step + 1]!];
    return { level: run.level(body, (from + to) / 2), lasts: to - from };
  }).sort((a, b) => b.level - a.level);
  let above = 0;
  for (const { level, lasts } of pieces) {
    above += lasts;
    if (above >= run.until / 2) return level;
  }
  return run.level(body, 0);
}

/**
 * How long a body's water stands at or above a level in a run [s], from its dense output looked up at a few points of every step.
 */
export function timeAbove(run: Run, body: string, level: number): number {
  let above = 0;
  let isAlways = true;
  let before = run.level(body, 0) - level;
  for (let step = 1; step < run.times.length; step++) {
    const [from, to] = [run.times[step - 1]!, run.times[step]!];
    for (let look = 1; look <= LOOKS; look++) {
      const after = run.level(body, look === LOOKS ? to : from + (look / LOOKS) * (to - from)) - level;
      const share = shareAbove(before, after);
      above += share * ((to - from) / LOOKS);
      isAlways &&= share === 1;
      before = after;
    }
  }
  // the pieces of a run add up to it but for round-off
  return isAlways ? run.until : Math.min(above, run.until);
}

/**
 * The same works at another place of the slope: every level of boxes, pit, trench and emitter is moved by a height, the ground
 * over them and the soil's layers with them, as layers follow the ground. What belongs to the lot stays: the water table, the
 * water outside the emitter (`tailwater`), the low spot and the levels to watch.
 *
 * @param height  up the slope, or down where it is negative [m]
 * @throws InputError  where a grate or an open way joins the works to the low spot: they cannot be moved from it
 */
export function movedWorks(site: Site, height: number): Site {
  if (height === 0) return site;
  const tie = tieToLowSpot(site);
  if (tie !== null) {
    const expected = "works that do not exchange water with the low spot, which stays where it is";
    throw new InputError("The works cannot be moved:", [{ where: tie.where, expected, got: tie.got }]);
  }
  const up = (level: number): number => level + height;
  const pipe = (each: Pipe): Pipe => ({ ...each, invert: up(each.invert), outletInvert: up(each.outletInvert) });
  const { settlingBoxes, chamberBank: bank, overflowTrench: trench, emitter, soil } = site;
  return changedSite(site, {
    settlingBoxes: settlingBoxes.map((box) => ({ ...box, floor: up(box.floor), rim: up(box.rim), outlet: pipe(box.outlet) })),
    chamberBank: { ...bank, floor: up(bank.floor), ground: up(bank.ground) },
    overflowTrench: trench && {
      ...trench, floor: up(trench.floor), ground: { high: up(trench.ground.high), low: up(trench.ground.low) }, inlet: pipe(trench.inlet),
    },
    emitter: emitter && {
      ...emitter,
      crest: up(emitter.crest),
      weepHole: emitter.weepHole && { ...emitter.weepHole, elevation: up(emitter.weepHole.elevation) },
    },
    soil: { ...soil, layers: soil.layers.map((layer) => ({ ...layer, top: up(layer.top) })) },
  });
}

/** Where the works are tied to the hollow of the lot; an emitter that runs into it can be moved. */
function tieToLowSpot({ settlingBoxes, chamberBank, overflowTrench, lowSpot }: Site): { where: string; got: string } | null {
  if (lowSpot !== null && lowSpot.grate !== null) return { where: "lowSpot.grate", got: "a grate over the pit" };
  const spilling = [
    ...settlingBoxes.map((box) => ["settlingBox", box] as const), ["chamberBank", chamberBank] as const, ["overflowTrench", overflowTrench] as const,
  ].find(([, body]) => body !== null && body.spillsTo !== null);
  return spilling === undefined ? null : { where: `${spilling[0]}.spillsTo`, got: '"lowSpot"' };
}
