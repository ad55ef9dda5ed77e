import type { FilledPit, UnknownName } from "./fillModel.ts";
import { deviateOf, movedTo, scatterOf, type FillFit, type Scatter } from "./fillFit.ts";
import { covarianceOf, profileBand, type ProfileBand } from "./profileBand.ts";

/** A fitted model with what can be believed of it. */
export interface FillSolution {
  readonly fit: FillFit;
  readonly scatter: Scatter;
  /** of the unknowns, as the fit counts them */
  readonly covariance: readonly (readonly number[])[];
  /** 95 percent band of each unknown, as the fit counts it */
  readonly bands: readonly ProfileBand[];
}

/**
 * The 95 percent bands of all unknowns of a fit. Where looking for one comes upon values that fit better, the fit moves there
 * and all are looked for again; in a hollow so flat that it still moves after some rounds, what is better by so little counts as
 * no worse, and the bands are the wider for it.
 *
 * @param dipError  standard deviation of a dip [m], null where it is not known
 */
export function solveFill(pit: FilledPit, start: FillFit, dipError: number | null): FillSolution {
  let fit = start;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const solution = bandsOf(pit, fit, dipError, true);
    if (!("better" in solution)) return solution;
    fit = movedTo(fit, pit, solution.better, scatterOf(fit, dipError).deviation);
  }
  return bandsOf(pit, fit, dipError, false) as FillSolution;
}

const MOST_ROUNDS = 6;

function bandsOf(
  pit: FilledPit, fit: FillFit, dipError: number | null, moves: boolean,
): FillSolution | { readonly better: readonly number[] } {
  const scatter = scatterOf(fit, dipError);
  const { atDips: model, unknowns } = fit.model;
  const solved = { measured: pit.dips.level, model, unknowns, fit: fit.fit, others: fit.others, deviation: scatter.deviation };
  const covariance = covarianceOf(solved);
  const deviate = deviateOf(scatter, 0.975);
  const bands: ProfileBand[] = [];
  for (let j = 0; j < unknowns.length; j++) {
    const profiled = profileBand(solved, covariance, j, deviate, moves);
    if ("better" in profiled) return profiled;
    bands.push(profiled.band);
  }
  return { fit, scatter, covariance, bands };
}

/** From the lowest to the highest end of an unknown's bands in several solutions, those that lack it left out. */
export function widest(solutions: readonly FillSolution[], name: UnknownName): ProfileBand {
  const bands = solutions.flatMap(({ fit, bands: own }) => own.filter((_, j) => fit.model.names[j] === name));
  const end = (side: "low" | "high", outer: (...ends: number[]) => number): number | null => {
    const ends = bands.flatMap((band) => band[side] ?? []);
    return ends.length < bands.length ? null : outer(...ends);
  };
  return { low: end("low", Math.min), high: end("high", Math.max) };
}
