import { greatestOf } from "../numerics/extremes.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Site } from "../site/site.ts";
import { faultySite, hasSeverity, type Fault } from "./faults.ts";
import { loadLikelihood, type LoadLikelihood } from "./loadLikelihood.ts";
import { timesLoad, type PitDip, type PitLog } from "./pitLog.ts";
import { sightsShown } from "./pitSights.ts";

/** A level that could be looked at next. */
export type Look = Omit<PitDip, "level">;

/** One fault held against the dips, its severity free. */
export interface FaultFit {
  readonly fault: Fault;
  /** logarithm of the likelihood, averaged over severity */
  readonly evidence: number;
  /** the most likely severity */
  readonly severity: number;
  /** severities within which 90 % of the likelihood lies */
  readonly band: readonly [number, number];
  /** what ran in with that severity, over what was given */
  readonly load: number;
  /** levels at the dips with both [m] */
  readonly levels: Float64Array;
  /** root mean square of what the dips and the load are off by, in their errors, over the dips */
  readonly misfit: number;
  /** at each look the level it foretells and the spread of it over severity, standard deviation [m] */
  readonly looks: readonly { readonly level: number; readonly spread: number }[];
  /** runs made, and how many of them could not be made to their end and were left out */
  readonly runs: number;
  readonly stopped: number;
}

/**
 * The likelihood of the dips under one fault, Gaussian with the dip error s and with a load that is known to a share t, over a
 * severity x of which nothing is known beforehand:
 *
 *   L(x) = that of the dips by `loadLikelihood`, times 0.95 for a thing seen that the run has too, 0.05 for one that it has not
 *   evidence = ln of the integral of L over x from 0 to 1
 *
 * A fault that fits only at one severity pays for its having been free. Runs are made at 7 severities, then halfway between
 * neighbours wherever the likelihood is and the levels at the dips still move by more than a dip error; between runs levels go in
 * straight lines, and slopes between those of the first 7. A run is made once for each severity, in one order: the answer is the
 * same every time. Severities at which no dip differs from the design's by a dip error, nor anything seen, are no fault and have no
 * likelihood: else every fault too small to matter would share in what belongs to "nothing is wrong".
 *
 * @param design  what the works as designed show at the dips; null for these works themselves
 * @returns       null where the fault shows at no severity, or not one of its runs could be made
 * @source  any text on Bayesian model comparison; the chance of a wrong sighting, 1 in 20, is an own estimate
 */
export function faultFit(site: Site, fault: Fault, log: PitLog, looks: readonly Look[], design: Shown | null): FaultFit | null {
  const points: readonly Look[] = [...log.dips, ...looks];
  const count = hasSeverity(site, fault) ? NODES : 1;
  let runs = 0;
  const made = (severity: number, slopes: Slopes | null): Node[] => {
    runs++;
    return nodeAt(site, fault, severity, log, points, slopes);
  };
  let nodes = Array.from({ length: count }, (_, i) => (count === 1 ? 0 : i / (count - 1))).flatMap((severity) => made(severity, null));
  for (let round = 0; round < ROUNDS && nodes.length > 1; round++) {
    const split = cellsToSplit(nodes, log);
    if (split.length === 0) break;
    const halfway = split.flatMap((i) => {
      const [a, b] = [nodes[i]!, nodes[i + 1]!];
      const half = (side: 0 | 1): Float64Array => a.slopes[side].map((_, p) => between(a.slopes[side], b.slopes[side], p, 0.5));
      return made((a.severity + b.severity) / 2, [half(0), half(1)]);
    });
    nodes = [...nodes, ...halfway].sort((a, b) => a.severity - b.severity);
  }
  return nodes.length === 0 ? null : summed(fault, nodes, log, runs, design);
}

/** What works show at the dips: levels [m], the chance of each thing seen, and the least difference that shows [m]. */
export interface Shown {
  readonly levels: Float64Array;
  readonly chances: readonly number[];
  readonly least: number;
}

/** What the works as designed show; null where their run cannot be made to its end. */
export function designShows(site: Site, log: PitLog): Shown | null {
  const [node] = nodeAt(site, "asDesigned", 0, log, log.dips, [new Float64Array(0), new Float64Array(0)]);
  return node === undefined ? null : { levels: node.levels, chances: node.chances, least: log.dipError };
}

const NODES = 7;
const ROUNDS = 7;
/** Straight pieces of the likelihood between two runs. */
const PIECES = 16;
/** Share of the likelihood from which a cell is worth another run. */
const WORTH = 0.02;
/** Chance that a sighting is wrong. */
const WRONG = 0.05;
/** Slopes are taken by runs with this much less and more load, in its errors. */
const STEP = 1.5;
/** Levels to a millimetre are more than a dip tells. */
const TOLERANCE = 1e-4;

interface Node {
  readonly severity: number;
  /** levels at the dips, then at the looks [m], and their slopes with ln(load) */
  readonly levels: Float64Array;
  readonly slopes: Slopes;
  /** chance of each thing seen */
  readonly chances: readonly number[];
}

/** dH/d ln(load), for less water and for more [m]. */
type Slopes = readonly [less: Float64Array, more: Float64Array];

/** One node, or none where the run cannot be made to its end. */
function nodeAt(site: Site, fault: Fault, severity: number, log: PitLog, points: readonly Look[], slopes: Slopes | null): Node[] {
  const until = greatestOf([1, log.loadEnd, ...points.map(({ time }) => time)]);
  try {
    const works = faultySite(site, fault, severity);
    const runOf = (load: number): Run => settledRun(works, timesLoad(log.inflows, Math.exp(load)), { until, tolerance: TOLERANCE });
    const run = runOf(0);
    return [{
      severity,
      levels: Float64Array.from(points, ({ body, time }) => run.level(body, time)),
      slopes: slopes ?? loadSlopes(run, runOf, STEP * log.loadError, points),
      chances: sightsShown(run, log.seen, log.dips.at(-1)!.time).map((shown) => WRONG + shown * (1 - 2 * WRONG)),
    }];
  } catch (failure) {
    if (failure instanceof StoppedRun) return [];
    throw failure;
  }
}

function loadSlopes(run: Run, runOf: (load: number) => Run, step: number, points: readonly Look[]): Slopes {
  const towards = (load: number): Float64Array => {
    if (load === 0) return new Float64Array(points.length);
    const other = runOf(load);
    return Float64Array.from(points, ({ body, time }) => (other.level(body, time) - run.level(body, time)) / load);
  };
  return [towards(-step), towards(step)];
}

/** A severity between two nodes, a share u of the way. */
interface Piece extends LoadLikelihood {
  readonly severity: number;
  readonly width: number;
  readonly chances: readonly number[];
  level(point: number, load: number, side: 0 | 1): number;
}

function pieceAt(a: Node, b: Node, u: number, { dips, dipError, loadError }: PitLog): LoadLikelihood {
  const misses = dips.map(({ level }, i) => (level - between(a.levels, b.levels, i, u)) / dipError);
  const slopes = (side: 0 | 1): number[] => dips.map((_, i) => between(a.slopes[side], b.slopes[side], i, u) / dipError);
  const likelihood = loadLikelihood(misses, [slopes(0), slopes(1)], loadError);
  const chances = a.chances.reduce((sum, chance, i) => sum + Math.log(chance + u * (b.chances[i]! - chance)), 0);
  return { ...likelihood, weight: likelihood.weight + chances };
}

function between(a: Float64Array, b: Float64Array, i: number, u: number): number {
  return a[i]! + u * (b[i]! - a[i]!);
}

/** Cells between nodes that hold some of the likelihood and in which a level at a dip, or a sighting, still changes. */
function cellsToSplit(nodes: readonly Node[], log: PitLog): number[] {
  const logs = nodes.slice(1).map((node, i) => cell(nodes[i]!, node, log).map(({ weight }) => weight));
  const most = greatestOf(logs.flat());
  const sums = logs.map((piece, i) =>
    (nodes[i + 1]!.severity - nodes[i]!.severity) * piece.reduce((sum, each) => sum + Math.exp(each - most), 0));
  const all = sums.reduce((sum, each) => sum + each, 0);
  return sums.flatMap((sum, i) => (sum / all > WORTH && changes(nodes[i]!, nodes[i + 1]!, log) ? [i] : []));
}

function changes(a: Node, b: Node, { dips, dipError }: PitLog): boolean {
  return dips.some((_, i) => Math.abs(b.levels[i]! - a.levels[i]!) > dipError)
    || a.chances.some((chance, i) => Math.abs(chance - b.chances[i]!) > WRONG && b.severity - a.severity > 0.03);
}

/** The middles of the straight pieces of a cell. */
function cell(a: Node, b: Node, log: PitLog): Piece[] {
  const span = b.severity - a.severity;
  return Array.from({ length: PIECES }, (_, i) => {
    const u = (i + 0.5) / PIECES;
    return {
      ...pieceAt(a, b, u, log), severity: a.severity + u * span, width: (span === 0 ? 1 : span) / PIECES,
      chances: a.chances.map((chance, c) => chance + u * (b.chances[c]! - chance)),
      level: (point, load, side) => between(a.levels, b.levels, point, u) + load * between(a.slopes[side], b.slopes[side], point, u),
    };
  });
}

function summed(fault: Fault, nodes: readonly Node[], log: PitLog, runs: number, design: Shown | null): FaultFit | null {
  const every = nodes.length === 1 ? cell(nodes[0]!, nodes[0]!, log)
    : nodes.slice(1).flatMap((node, i) => cell(nodes[i]!, node, log));
  const pieces = every.filter((piece) => design === null || shows(piece, design));
  if (pieces.length === 0) return null;
  const best = pieces.reduce((most, piece) => (piece.weight > most.weight ? piece : most));
  const shares = pieces.map(({ weight, width }) => Math.exp(weight - best.weight) * width);
  const all = shares.reduce((sum, share) => sum + share, 0);
  const n = log.dips.length;
  const looks = Array.from({ length: nodes[0]!.levels.length - n }, (_, l) => foretold(pieces, shares, all, n + l));
  const side = best.load < 0 ? 0 : 1;
  return {
    fault, evidence: best.weight + Math.log(all), severity: best.severity, band: bandOf(pieces, shares, all),
    load: Math.exp(best.load), levels: Float64Array.from(log.dips, (_, i) => best.level(i, best.load, side)),
    misfit: Math.sqrt(Math.max(0, best.squares) / n), looks, runs, stopped: runs - nodes.length,
  };
}

function shows(piece: Piece, design: Shown): boolean {
  return design.levels.some((level, i) => Math.abs(piece.level(i, 0, 0) - level) > design.least)
    || design.chances.some((chance, i) => Math.abs(piece.chances[i]! - chance) > WRONG);
}

/** Mean and standard deviation of a level over severity and load [m]. */
function foretold(pieces: readonly Piece[], shares: readonly number[], all: number, point: number): FaultFit["looks"][number] {
  let [sum, squares] = [0, 0];
  const about = pieces[0]!.level(point, 0, 0);
  pieces.forEach((piece, i) => piece.sides.forEach(({ share, mean, spread }, side) => {
    const weight = (shares[i]! / all) * share;
    const level = piece.level(point, mean, side as 0 | 1) - about;
    const sway = piece.level(point, spread, side as 0 | 1) - piece.level(point, 0, side as 0 | 1);
    sum += weight * level;
    squares += weight * (level ** 2 + sway ** 2);
  }));
  return { level: about + sum, spread: Math.sqrt(Math.max(0, squares - sum ** 2)) };
}

function bandOf(pieces: readonly { readonly severity: number }[], shares: readonly number[], all: number): [number, number] {
  let below = 0;
  let [low, high] = [NaN, NaN];
  shares.forEach((share, i) => {
    below += share / all;
    if (Number.isNaN(low) && below >= 0.05) low = pieces[i]!.severity;
    if (Number.isNaN(high) && below >= 0.95 - 1e-9) high = pieces[i]!.severity;
  });
  return [low, high];
}
