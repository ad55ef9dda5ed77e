import { errorFunction } from "../numerics/errorFunction.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Site } from "../site/site.ts";
import { type Fault, faultLoad, faultSoil, faultySite, hasSeverity, isSoil, SOUND_SOIL } from "./faults.ts";
import { leastSquares, type Unknown } from "./leastSquares.ts";
import { type PitDip, type PitLog, timesLoad } from "./pitLog.ts";
import { sightsShown } from "./pitSights.ts";

/** A level that could be looked at next. */
export type Look = Omit<PitDip, "level">;

/** One fault held against the dips, its severity and the soil free. */
export interface FaultFit {
  readonly fault: Fault;
  /** logarithm of the likelihood, averaged over severity and soil */
  readonly evidence: number;
  /** the most likely severity, and soil over the design's */
  readonly severity: number;
  readonly soil: number;
  /** severities within which 90 % of the likelihood lies */
  readonly band: readonly [number, number];
  /** what ran in with that severity, over what was given */
  readonly load: number;
  /** levels at the dips with all that [m] */
  readonly levels: Float64Array;
  /** squares of what the dips and the load are off by, in their errors */
  readonly squares: number;
  /** root mean of these over the dips */
  readonly misfit: number;
  /** at each look the level it foretells and the spread of it over severity and soil, standard deviation [m] */
  readonly looks: readonly { readonly level: number; readonly spread: number }[];
  /** runs made, and how many of them could not be made to their end and were left out */
  readonly runs: number;
  readonly stopped: number;
}

/**
 * The likelihood of the dips under one fault, Gaussian with the dip error s and with a load that is known to a share t, over a
 * severity x of which nothing is known beforehand and a soil k anywhere between the ends of `SOUND_SOIL`, alike by its logarithm:
 *
 *   L(x, k) = that of the dips by `loadLikelihood`, times 0.95 for a thing seen that the run has too, 0.05 for one that it has not
 *   evidence = ln of the mean of L over x and ln k
 *
 * A fault that fits only at one severity, or in one soil, pays for their having been free. Runs are made on a coarse grid, then at the
 * middles of cells wherever the likelihood is and the levels at the dips still move by more than a dip error; between runs levels go in
 * straight lines, and slopes with the load between those of the grid. A run is made once for each place, in one order: the answer is the
 * same every time. Places at which no dip differs from the design's in the same soil by a dip error, nor anything seen, are no fault and
 * have no likelihood: else every fault too small to matter would share in what belongs to "nothing is wrong".
 *
 * @param design  what works with nothing wrong show in a soil; null for these works themselves
 * @returns       null where the fault shows nowhere, or not one of its runs could be made
 * @source  any text on Bayesian model comparison; the chance of a wrong sighting, 1 in 20, is an own estimate
 */
export function faultFit(site: Site, fault: Fault, log: PitLog, looks: readonly Look[], design: Shown | null): FaultFit | null {
  const points: readonly Look[] = [...log.dips, ...looks];
  const known = new Map<string, Node | null>();
  const nodeOf = (x: number, y: number, slopes: Slopes | null): Node | null => {
    const key = `${x} ${y}`;
    let node = known.get(key);
    if (node === undefined) {
      node = nodeAt(site, fault, x, y, log, points, slopes);
      known.set(key, node);
    }
    return node;
  };
  const [across, up] = [hasSeverity(fault) ? (isSoil(fault) ? 2 * X_CELLS : X_CELLS) : 0, isSoil(fault) ? 0 : hasSeverity(fault)
    ? Y_CELLS : 2 * X_CELLS];
  const places = (count: number): number[] => (count === 0 ? [0] : Array.from({ length: count + 1 }, (_, i) => i / count));
  const [xs, ys] = [places(across), places(up)];
  // slopes with the load are taken in a middling soil, where there are severities besides
  const middle = ys[ys.length >> 1]!;
  const ownSlopes = (y: number): boolean => across === 0 || y === middle;
  let cells = xs.slice(0, Math.max(1, across)).flatMap((x, i) => ys.slice(0, Math.max(1, up)).flatMap((y, k) => (
    cellOf([x, xs[i + 1] ?? x], [y, ys[k + 1] ?? y], (u, v) => nodeOf(u, v, ownSlopes(v) ? null : nodeOf(u, middle,
      null)?.slopes ?? null)))));
  for (let round = 0; round < ROUNDS && cells.length > 0; round++) {
    const split = new Set(cellsToSplit(cells, log));
    if (split.size === 0) break;
    cells = cells.flatMap((cell) => (split.has(cell) ? parts(cell, log, nodeOf) : [cell]));
  }
  if (cells.length === 0) return null;
  const stopped = [...known.values()].filter((node) => node === null).length;
  return summed(fault, cells, log, { runs: known.size, stopped }, design);
}

/**
 * A fit moved to where runs, and not the straight lines between them, are nearest to the dips: by least squares over severity, soil and
 * load. Its evidence changes by half of what the squares do.
 */
export function sharpened(site: Site, log: PitLog, fit: FaultFit): FaultFit {
  const { fault } = fit;
  const until = greatestOf([1, log.loadEnd, ...log.dips.map(({ time }) => time)]);
  const place = Math.log(fit.soil / SOUND_SOIL[0]) / Math.log(SOUND_SOIL[1] / SOUND_SOIL[0]);
  const unknowns: Unknown[] = [
    { start: fit.severity, size: 0.1, step: 0.005, low: 0, high: hasSeverity(fault) ? 1 : 0 },
    isSoil(fault) ? { start: 0, size: 0.1, low: 0, high: 0 } : { start: Math.min(1, Math.max(0, place)), size: 0.1, step: 0.005, low: 0,
      high: 1 },
    { start: Math.log(fit.load / faultLoad(fault, fit.severity)), size: 0.1, step: 0.005, low: -1, high: 1, prior: { mean: 0,
      deviation: Math.max(1e-4, log.loadError) } },
  ];
  const model = ([x, y, load]: readonly number[]): Float64Array => {
    const works = faultySite(site, fault, x!, soilAt(y!));
    const run = settledRun(works, timesLoad(log.inflows, Math.exp(load!) * faultLoad(fault, x!)), { until, tolerance: TOLERANCE });
    return Float64Array.from(log.dips, ({ body, time }) => run.level(body, time));
  };
  try {
    const { values, fitted, squares: found } = leastSquares(Float64Array.from(log.dips, ({ level }) => level), model, unknowns,
      log.dipError);
    const squares = found / log.dipError ** 2;
    const [x, y, load] = values as [number, number, number];
    return {
      ...fit, severity: x, soil: isSoil(fault) ? faultSoil(fault, x) : soilAt(y), load: Math.exp(load) * faultLoad(fault, x),
        levels: fitted, squares,
      misfit: Math.sqrt(squares / log.dips.length), evidence: fit.evidence + (fit.squares - squares) / 2,
      band: [Math.min(x, fit.band[0]), Math.max(x, fit.band[1])],
    };
  } catch (failure) {
    if (failure instanceof StoppedRun) return fit;
    throw failure;
  }
}

/** What works show at the dips: levels [m], the chance of each thing seen, by the soil; and the least difference that shows [m]. */
export interface Shown {
  at(y: number): { readonly levels: Float64Array; readonly chances: readonly number[] };
  readonly least: number;
}

/** What works with nothing wrong show, in soils over `SOUND_SOIL`; null where their runs cannot be made to their end. */
export function designShows(site: Site, log: PitLog): Shown | null {
  const none: Slopes = [new Float64Array(0), new Float64Array(0)];
  const nodes = Array.from({ length: DESIGNS + 1 }, (_, i) => nodeAt(site, "asDesigned", i / DESIGNS, 0, log, log.dips, none));
  if (nodes.some((node) => node === null)) return null;
  return {
    least: log.dipError,
    at(y) {
      const i = Math.min(DESIGNS - 1, Math.floor(y * DESIGNS));
      const [a, b, u] = [nodes[i]!, nodes[i + 1]!, y * DESIGNS - i];
      return { levels: a.levels.map((level, p) => level + u * (b.levels[p]! - level)), chances: a.chances.map((chance, c) =>
        chance + u * (b.chances[c]! - chance)) };
    },
  };
}

const X_CELLS = 4;
const Y_CELLS = 2;
const DESIGNS = 8;
const ROUNDS = 6;
/** Cells that are split in one round at most. */
const MOST_SPLIT = 4;
/** Straight pieces of the likelihood along a side of a cell. */
const PIECES = 5;
/** Share of the likelihood from which a cell is worth another run. */
const WORTH = 0.02;
/** Chance that a sighting is wrong. */
const WRONG = 0.05;
/** Slopes are taken by runs with this much less and more load, in its errors. */
const STEP = 1.5;
/** Levels to a millimetre are more than a dip tells. */
const TOLERANCE = 1e-4;

interface Node {
  readonly x: number;
  readonly y: number;
  /** levels at the dips, then at the looks [m], and their slopes with ln(load) */
  readonly levels: Float64Array;
  readonly slopes: Slopes;
  /** chance of each thing seen */
  readonly chances: readonly number[];
}

/** dH/d ln(load), for less water and for more [m]. */
type Slopes = readonly [less: Float64Array, more: Float64Array];

/** The soil over the design's at a place of its axis. */
function soilAt(y: number): number {
  return SOUND_SOIL[0] * (SOUND_SOIL[1] / SOUND_SOIL[0]) ** y;
}

/** One node; null where the run cannot be made to its end. */
function nodeAt(site: Site, fault: Fault, x: number, y: number, log: PitLog, points: readonly Look[], slopes: Slopes | null): Node | null {
  const until = greatestOf([1, log.loadEnd, ...points.map(({ time }) => time)]);
  try {
    const works = faultySite(site, fault, x, soilAt(y));
    const more = Math.log(faultLoad(fault, x));
    const runOf = (load: number): Run => settledRun(works, timesLoad(log.inflows, Math.exp(load + more)), { until, tolerance: TOLERANCE });
    const run = runOf(0);
    return {
      x, y,
      levels: Float64Array.from(points, ({ body, time }) => run.level(body, time)),
      slopes: slopes ?? loadSlopes(run, runOf, STEP * log.loadError, points),
      chances: sightsShown(run, log.seen, log.dips.at(-1)!.time).map((shown) => WRONG + shown * (1 - 2 * WRONG)),
    };
  } catch (failure) {
    if (failure instanceof StoppedRun) return null;
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

/** A rectangle of severity and soil between four runs; a side of no length where a fault has no such axis. */
interface Cell {
  readonly x: readonly [number, number];
  readonly y: readonly [number, number];
  /** at (x0, y0), (x1, y0), (x0, y1), (x1, y1) */
  readonly corners: readonly [Node, Node, Node, Node];
}

/** A place within a cell. */
interface Piece extends LoadLikelihood {
  readonly x: number;
  readonly y: number;
  readonly area: number;
  readonly chances: readonly number[];
  level(point: number, load: number, side: 0 | 1): number;
}

/** One cell, or none where one of its runs cannot be made to its end. */
function cellOf(x: Cell["x"], y: Cell["y"], nodeOf: (x: number, y: number) => Node | null): Cell[] {
  const [a, b, c, d] = [nodeOf(x[0], y[0]), nodeOf(x[1], y[0]), nodeOf(x[0], y[1]), nodeOf(x[1], y[1])];
  return a === null || b === null || c === null || d === null ? [] : [{ x, y, corners: [a, b, c, d] }];
}

/** A cell cut along the side along which its levels move more, or both where they move as much. */
function parts(cell: Cell, { dips, dipError }: PitLog, nodeOf: (x: number, y: number, slopes: Slopes | null) => Node | null): Cell[] {
  const [a, b, c, d] = cell.corners;
  const move = (p: Node, q: Node): number => greatestOf(dips.map((_, i) => Math.abs(q.levels[i]! - p.levels[i]!)));
  const [byX, byY] = [Math.max(move(a, b), move(c, d)), Math.max(move(a, c), move(b, d))];
  const half = ([low, high]: readonly [number, number]): number[] => [low, (low + high) / 2, high];
  const xs = cell.x[0] < cell.x[1] && (byX > dipError && byX > 0.3 * byY || byY <= dipError) ? half(cell.x) : [...cell.x];
  const ys = cell.y[0] < cell.y[1] && byY > dipError && byY > 0.3 * byX ? half(cell.y) : [...cell.y];
  const made = (x: number, y: number): Node | null => {
    const at = weightsAt(cell, x, y);
    const slopes = (side: 0 | 1): Float64Array => a.slopes[side].map((_, p) => at.reduce((sum, weight, k) =>
      sum + weight * cell.corners[k]!.slopes[side][p]!, 0));
    return nodeOf(x, y, [slopes(0), slopes(1)]);
  };
  return xs.slice(1).flatMap((x1, i) => ys.slice(1).flatMap((y1, k) => cellOf([xs[i]!, x1], [ys[k]!, y1], made)));
}

/** Shares of the four corners at a place, straight along either side. */
function weightsAt({ x: [x0, x1], y: [y0, y1] }: Cell, x: number, y: number): readonly [number, number, number, number] {
  const u = x1 > x0 ? (x - x0) / (x1 - x0) : 0;
  const v = y1 > y0 ? (y - y0) / (y1 - y0) : 0;
  return [(1 - u) * (1 - v), u * (1 - v), (1 - u) * v, u * v];
}

function piecesOf(cell: Cell, { dips, dipError, loadError }: PitLog): Piece[] {
  const [wide, high] = [cell.x[1] - cell.x[0], cell.y[1] - cell.y[0]];
  const [across, up] = [wide > 0 ? PIECES : 1, high > 0 ? PIECES : 1];
  const area = (wide > 0 ? wide / across : 1) * (high > 0 ? high / up : 1);
  return Array.from({ length: across * up }, (_, i): Piece => {
    const x = cell.x[0] + (wide * ((i % across) + 0.5)) / across;
    const y = cell.y[0] + (high * (Math.floor(i / across) + 0.5)) / up;
    const at = weightsAt(cell, x, y);
    const mixed = (of: (node: Node) => number): number => cell.corners.reduce((sum, node, k) => sum + at[k]! * of(node), 0);
    const misses = dips.map(({ level }, d) => (level - mixed(({ levels }) => levels[d]!)) / dipError);
    const slopes = (side: 0 | 1): number[] => dips.map((_, d) => mixed((node) => node.slopes[side][d]!) / dipError);
    const likelihood = loadLikelihood(misses, [slopes(0), slopes(1)], loadError);
    const chances = cell.corners[0].chances.map((_, c) => mixed((node) => node.chances[c]!));
    return {
      ...likelihood, x, y, area, chances, weight: likelihood.weight + chances.reduce((sum, chance) => sum + Math.log(chance), 0),
      level: (point, load, side) => mixed((node) => node.levels[point]! + load * node.slopes[side][point]!),
    };
  });
}

/** Cells that hold some of the likelihood and in which a level at a dip, or a sighting, still changes; those that hold most of it. */
function cellsToSplit(cells: readonly Cell[], log: PitLog): Cell[] {
  const pieces = cells.map((cell) => piecesOf(cell, log));
  const most = greatestOf(pieces.flat().map(({ weight }) => weight));
  const sums = pieces.map((each) => each.reduce((sum, { weight, area }) => sum + area * Math.exp(weight - most), 0));
  const all = sums.reduce((sum, each) => sum + each, 0);
  return cells.map((cell, i) => ({ cell, share: sums[i]! / all })).filter(({ cell, share }) => share > WORTH && changes(cell, log))
    .sort((a, b) => b.share - a.share).slice(0, MOST_SPLIT).map(({ cell }) => cell);
}

function changes({ corners, x }: Cell, { dips, dipError }: PitLog): boolean {
  const spread = (of: (node: Node) => number): number => greatestOf(corners.map(of)) - leastOf(corners.map(of));
  return dips.some((_, i) => spread(({ levels }) => levels[i]!) > dipError)
    || (x[1] - x[0] > 0.03 && corners[0].chances.some((_, c) => spread(({ chances }) => chances[c]!) > WRONG));
}

function summed(fault: Fault, cells: readonly Cell[], log: PitLog, made: { readonly runs: number; readonly stopped: number },
  design: Shown | null): FaultFit | null {
  const every = cells.flatMap((cell) => piecesOf(cell, log));
  const pieces = every.filter((piece) => design === null || shows(piece, design)).sort((a, b) => a.x - b.x || a.y - b.y);
  if (pieces.length === 0) return null;
  const best = pieces.reduce((most, piece) => (piece.weight > most.weight ? piece : most));
  const shares = pieces.map(({ weight, area }) => Math.exp(weight - best.weight) * area);
  const all = shares.reduce((sum, share) => sum + share, 0);
  const n = log.dips.length;
  const looks = Array.from({ length: cells[0]!.corners[0].levels.length - n }, (_, l) => foretold(pieces, shares, all, n + l));
  const side = best.load < 0 ? 0 : 1;
  return {
    fault, evidence: best.weight + Math.log(all), severity: best.x, soil: isSoil(fault) ? faultSoil(fault, best.x) : soilAt(best.y),
      band: bandOf(pieces, shares, all),
    load: Math.exp(best.load) * faultLoad(fault, best.x), levels: Float64Array.from(log.dips, (_, i) => best.level(i, best.load, side)),
    squares: Math.max(0, best.squares), misfit: Math.sqrt(Math.max(0, best.squares) / n), looks, ...made,
  };
}

function shows(piece: Piece, design: Shown): boolean {
  const { levels, chances } = design.at(piece.y);
  return levels.some((level, i) => Math.abs(piece.level(i, 0, 0) - level) > design.least)
    || chances.some((chance, i) => Math.abs(piece.chances[i]! - chance) > WRONG);
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

function bandOf(pieces: readonly { readonly x: number }[], shares: readonly number[], all: number): [number, number] {
  let below = 0;
  let [low, high] = [NaN, NaN];
  shares.forEach((share, i) => {
    below += share / all;
    if (Number.isNaN(low) && below >= 0.05) low = pieces[i]!.x;
    if (Number.isNaN(high) && below >= 0.95 - 1e-9) high = pieces[i]!.x;
  });
  return [low, high];
}

/** How likely dips are under a load that is not known exactly. */
interface LoadLikelihood {
  /** ln of the likelihood, the load integrated out */
  readonly weight: number;
  /** squares of what dips and load are off by, in their errors, at the likeliest load */
  readonly squares: number;
  /** likeliest ln(load), over what was given */
  readonly load: number;
  /** both sides, less load and more: share of the likelihood, mean and standard deviation of ln(load) there */
  readonly sides: readonly [LoadSide, LoadSide];
}

interface LoadSide {
  readonly share: number;
  readonly mean: number;
  readonly spread: number;
}

/**
 * The likelihood of misses r at some dips, Gaussian with a standard deviation s each, under a load whose logarithm y is normal about
 * 0 with t and moves the levels by g y, with one g for less load and one for more (a pit that runs over shows no more of more):
 *
 *   L = sum over both of exp(-(r.r/s^2 - m^2/a)/2) sqrt(a)/t Phi,    a = t^2/(1 + t^2 g.g/s^2),    m = a (r.g)/s^2
 *
 * m and a are middle and variance of y on that side, Phi the share of its normal curve that lies there: the exact integral over y.
 *
 * @param misses   dip less level, in s
 * @param slopes   g in s, for less load and for more
 * @param error    t; 0 where the load is known
 * @source  Gaussian integrals, any text on Bayesian regression
 */
export function loadLikelihood(
  misses: ArrayLike<number>, slopes: readonly [less: ArrayLike<number>, more: ArrayLike<number>], error: number,
): LoadLikelihood {
  const [less, more] = [sideOf(misses, slopes[0], error, -1), sideOf(misses, slopes[1], error, 1)];
  const most = Math.max(less.weight, more.weight);
  const [a, b] = [Math.exp(less.weight - most), Math.exp(more.weight - most)];
  const { squares, load } = less.squares < more.squares ? less : more;
  return {
    weight: most + Math.log(a + b), squares, load,
    sides: [{ share: a / (a + b), mean: less.mean, spread: less.spread }, { share: b / (a + b), mean: more.mean, spread: more.spread }],
  };
}

function sideOf(
  misses: ArrayLike<number>, slopes: ArrayLike<number>, error: number, sign: 1 | -1,
): { weight: number; squares: number; load: number; mean: number; spread: number } {
  let [rr, rg, gg] = [0, 0, 0];
  for (let i = 0; i < misses.length; i++) {
    rr += misses[i]! ** 2;
    rg += misses[i]! * slopes[i]!;
    gg += slopes[i]! ** 2;
  }
  if (error === 0) return { weight: -rr / 2 + Math.log(0.5), squares: rr, load: 0, mean: 0, spread: 0 };
  const variance = error ** 2 / (1 + error ** 2 * gg);
  const middle = variance * rg;
  const spread = Math.sqrt(variance);
  const z = (sign * middle) / spread;
  const share = Math.max(LEAST_SHARE, (1 + errorFunction(z / Math.SQRT2)) / 2);
  const load = z > 0 ? middle : 0;
  // mean and variance of a normal curve cut off at 0
  const lift = share > SOME_SHARE ? Math.exp((-z * z) / 2) / (Math.sqrt(2 * Math.PI) * share) : -z;
  return {
    weight: -(rr - variance * rg * rg) / 2 + Math.log(spread / error) + Math.log(share),
    squares: rr + load * (load * gg - 2 * rg) + (load / error) ** 2, load,
    mean: middle + sign * spread * lift, spread: spread * Math.sqrt(Math.max(0, 1 - lift * (lift + z))),
  };
}

/** Floor that keeps log(0) finite. */
const LEAST_SHARE = 1e-300;

/** Of less than this a cut-off curve has all of its rest at 0, to round-off. */
const SOME_SHARE = 1e-12;
