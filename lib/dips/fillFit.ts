import { normalQuantile } from "../numerics/normalQuantile.ts";
import { studentQuantile } from "../numerics/studentQuantile.ts";
import { fillModel, type Cause, type FilledPit, type FillModel, type UnknownName } from "./fillModel.ts";
import { leastSquares, type LeastSquaresFit, type Unknown } from "./leastSquares.ts";

/** A model of a fill test fitted to its dips. */
export interface FillFit {
  readonly model: FillModel;
  readonly fit: LeastSquaresFit;
  /** what the search from other starts ended in, the best left out: the model may have several hollows */
  readonly others: readonly LeastSquaresFit[];
}

/** The dips' own scatter, and how surely it is known. */
export interface Scatter {
  /** standard deviation of a dip [m] */
  readonly deviation: number;
  /** n - p; Infinity where the dips' error was given */
  readonly freedom: number;
}

/**
 * The best fit of a model from several starts; a cause comes in beside what was found without it.
 *
 * @param before  a fit with fewer causes, whose values are the start
 * @param spread  about what a dip may be off [m]
 */
export function fitFill(pit: FilledPit, causes: readonly Cause[], spread: number, before: FillFit | null = null, soil = true): FillFit {
  const model = fillModel(pit, causes, soil);
  const { unknowns, atDips } = model;
  const fits = startsOf(model, before).map((starts) => leastSquares(pit.dips.level, atDips, withStarts(unknowns, starts), spread));
  const [fit, ...others] = fits.sort((a, b) => a.squares - b.squares);
  return { model, fit: fit!, others };
}

/**
 * What a dip is off, by a fit's own residuals or as it was given. An error that was given is not believed where the residuals are
 * twice as large, nor are residuals finer than any tape.
 */
export function scatterOf({ fit, model }: Pick<FillFit, "fit" | "model">, dipError: number | null): Scatter {
  const freedom = fit.residual.length - model.unknowns.length;
  const own = Math.max(FINEST, freedom > 0 ? Math.sqrt(fit.squares / freedom) : 0);
  if (dipError !== null && own < 2 * dipError) return { deviation: dipError, freedom: Infinity };
  return { deviation: own, freedom };
}

/** Half a millimetre: what no tape in a stand pipe tells [m]. */
const FINEST = 0.0005;

/** Student's t that a deviate stays below with a probability, or the normal's where the scatter is known. */
export function deviateOf({ freedom }: Scatter, probability: number): number {
  return freedom === Infinity ? normalQuantile(probability) : studentQuantile(probability, freedom);
}

/** @returns  the fit moved to other values, where a search came upon a better one */
export function movedTo({ model, fit, others }: FillFit, pit: FilledPit, values: readonly number[], spread: number): FillFit {
  return { model, fit: leastSquares(pit.dips.level, model.atDips, withStarts(model.unknowns, values), spread), others: [fit, ...others] };
}

function withStarts(unknowns: readonly Unknown[], starts: readonly number[]): Unknown[] {
  return unknowns.map((unknown, j) => ({ ...unknown, start: Math.min(unknown.high, Math.max(unknown.low, starts[j]!)) }));
}

/** Starts from which a new cause is tried, in the order of its unknowns, and what the soil is then multiplied by. */
const TRIES: Readonly<Record<Cause, (unknowns: readonly Unknown[]) => readonly Try[]>> = {
  floor: () => [{ at: [1], soil: 1 }, { at: [0.1], soil: 1.6 }],
  waterTable: (unknowns) => {
    const { low, high, start } = unknowns[0]!;
    return [{ at: [start], soil: 1.2 }, { at: [low + 0.3 * (start - low)], soil: 1 }, { at: [start + 0.5 * (high - start)], soil: 2 }];
  },
  dry: (unknowns) => [{ at: [unknowns[0]!.start / 2], soil: 0.7 }, { at: [unknowns[0]!.start], soil: 0.3 }],
  leak: (unknowns) => {
    const [level, flow] = [unknowns[0]!, unknowns[1]!];
    return [0.05, 0.35, 0.65, 0.85].map((share) => ({
      at: [level.low + share * (level.high - level.low), flow.start], soil: 0.5 + 0.5 * share,
    }));
  },
};

interface Try {
  readonly at: readonly number[];
  readonly soil: number;
}

/** Fits without the cause farther off than this are no start: twentyfold of the soil, and of the level it was filled to [m]. */
const FAR_SOIL = 20;
const FAR_START = 0.15;

function startsOf({ causes, names, unknowns }: FillModel, before: FillFit | null): number[][] {
  const known = (name: UnknownName, missing: number): number => {
    const at = before?.model.names.indexOf(name) ?? -1;
    const value = before?.fit.values[at] ?? missing;
    // a model that lacks the cause may have been driven far off in its place
    const far = (name === "soil" && !(value > 1 / FAR_SOIL && value < FAR_SOIL)) || (name === "start" && Math.abs(value - missing) > FAR_START);
    return far ? missing : value;
  };
  const base = names.map((name, j) => known(name, unknowns[j]!.start));
  const added = causes.filter((cause) => !(before?.model.causes ?? []).includes(cause));
  return added.reduce<number[][]>((starts, cause) => {
    const own = names.flatMap((name, j) => (name === cause || name.startsWith(cause) ? [j] : []));
    const tries = TRIES[cause](own.map((j) => unknowns[j]!));
    return starts.flatMap((start) => tries.map(({ at, soil }) => {
      const moved = start.map((value, j) => (names[j] === "soil" ? value * soil : value));
      own.forEach((j, k) => (moved[j] = at[k]!));
      return moved;
    }));
  }, [base]);
}
