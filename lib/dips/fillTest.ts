import type { Site } from "../site/site.ts";
import { depthText, threeFigures } from "../text/format.ts";
import type { Dips, DipsGiven } from "./dips.ts";
import { chooseFill } from "./fillChoice.ts";
import { fillLines, type FillLine } from "./fillLine.ts";
import { isLogarithm, type Cause, type FilledPit, type UnknownName } from "./fillModel.ts";
import { solveFill, widest, type FillSolution } from "./fillSolution.ts";
import { fillVerdict, type FillVerdict } from "./fillVerdict.ts";
import { nextDip, type NextDip } from "./nextDip.ts";
import { readFillTest } from "./readFillTest.ts";

/** What was done and read on site, in texts with units. */
export interface FillTestOptions extends DipsGiven {
  /** free text; nothing is made of it */
  readonly about?: string;
  /** the hose, opened at time 0; where missing the first dip is what the pit was filled to, and the times are anybody's */
  readonly inflow?: {
    readonly flow: string;
    readonly duration: string;
    /** the body it runs into; "chamberBank" where missing */
    readonly into?: string;
  };
  /** of the groundwater as it was found on the day, in place of the site's */
  readonly groundwaterLevel?: string;
  /** standard deviation of a dip: two of three are better than this; taken from the scatter of the dips where missing */
  readonly dipError?: string;
  /** what to look for besides the soil; floor, waterTable and leak where missing */
  readonly suspects?: readonly Cause[];
}

/** A number that the test found. */
export interface FittedNumber {
  readonly name: UnknownName;
  /**
   * hose, soil, floor: times what was given or designed (floor: over the sides'); start, waterTable, leakLevel: a level [m];
   * leakFlow: at the highest dip [m3/s]
   */
  readonly value: number;
  /** 95 percent band over the model chosen and its rivals; null where the dips set no bound on that side */
  readonly band: { readonly low: number | null; readonly high: number | null };
}

/** A model that was tried. */
export interface TriedModel {
  readonly causes: readonly Cause[];
  /** false: the design as drawn, only the water that went in was fitted */
  readonly soil: boolean;
  readonly unknowns: number;
  /** root of the mean square of the residuals [m] */
  readonly rms: number;
}

/** A fill test held against the design. */
export interface FillTestResult {
  /** the design, with the groundwater of the day where that was given */
  readonly site: Site;
  readonly verdict: FillVerdict;
  /** what was found to be at work besides the soil, in the order found */
  readonly causes: readonly Cause[];
  /** causes that would do as well, one list a model */
  readonly rivals: readonly (readonly Cause[])[];
  readonly numbers: readonly FittedNumber[];
  /** pairs of numbers that the dips hardly tell apart: coefficients of correlation beyond 0.9 either way */
  readonly tied: readonly { readonly names: readonly [UnknownName, UnknownName]; readonly correlation: number }[];
  /** dips that count, and what the fitted works would have shown [s], [m] */
  readonly dips: Dips & { readonly fitted: Float64Array; readonly residual: Float64Array };
  /** root of the mean square of the residuals [m] */
  readonly rms: number;
  /** standard deviation of a dip that the bands stand on [m], and the degrees of freedom it is known with; Infinity: it was given */
  readonly dipDeviation: number;
  readonly freedom: number;
  readonly tried: readonly TriedModel[];
  /** fitted works with the 95 percent band of their line, and the design filled alike */
  readonly line: FillLine;
  /** the dip that would help most; null where none is worth waiting for */
  readonly nextDip: NextDip | null;
  readonly notes: readonly string[];
}

/**
 * A test of finished works: fill the pit by a hose, dip it while it falls, and hold the levels against this library's own runs.
 *
 * Fitted by least squares are always the water that went in and one factor on the soil, and where the dips ask for it a floor of its
 * own, a water table or a leak (see `fillModel` for the unknowns, `chooseFill` for the choice). Bands are by the likelihood profile, 95
 * percent, wide enough for every cause that the dips do not rule out.
 *
 * A factor on the soil is one on conductivity over porosity: a fill test cannot tell slower soil from stone with more room, except
 * by a hose whose flow is well known.
 *
 * @throws InputError  for options that cannot be read, too few dips, or dips without a fall; all at once
 * @source  method: least squares of a model over its runs (Bates & Watts, 1988); the test itself: common practice
 */
export function fillTest(site: Site, options: FillTestOptions): FillTestResult {
  const { pit, dipError, suspects, notes } = readFillTest(site, options);
  const { chosen, tried, rivals } = chooseFill(pit, suspects, dipError);
  const solution = solveFill(pit, chosen, dipError);
  const solutions = [solution, ...rivals.map((rival) => solveFill(pit, rival, dipError))];
  const { model, fit } = solution.fit;
  const numbers = model.names.map((name, j): FittedNumber => numberOf(name, fit.values[j]!, widest(solutions, name)));
  const count = fit.residual.length;
  const line = fillLines(pit, solution);
  return {
    site: pit.site,
    verdict: fillVerdict(pit, numbers, line, solutions.map((each) => each.fit.model.causes), solution.scatter),
    causes: model.causes,
    rivals: rivals.map((rival) => rival.model.causes),
    numbers,
    tied: tiedNumbers(solution),
    dips: { ...pit.dips, fitted: fit.fitted, residual: fit.residual },
    rms: Math.sqrt(fit.squares / count),
    dipDeviation: solution.scatter.deviation,
    freedom: solution.scatter.freedom,
    tried: tried.map((each) => ({
      causes: each.model.causes, soil: each.model.names.includes("soil"), unknowns: each.model.unknowns.length,
      rms: Math.sqrt(each.fit.squares / count),
    })),
    line,
    nextDip: nextDip(pit, solutions),
    notes: [...notes, ...notesOn(pit, solution, dipError)],
  };
}

function numberOf(name: UnknownName, value: number, { low, high }: FittedNumber["band"]): FittedNumber {
  const shown = (counted: number | null): number | null => (counted === null ? null : isLogarithm(name) ? Math.exp(counted) : counted);
  return { name, value: shown(value)!, band: { low: shown(low), high: shown(high) } };
}

function tiedNumbers({ fit: { model }, covariance }: FillSolution): FillTestResult["tied"] {
  // what went in is the first, and no answer
  return model.names.flatMap((first, j) => model.names.slice(j + 1).flatMap((second, k) => {
    const other = j + 1 + k;
    if (j === 0) return [];
    const correlation = covariance[j]![other]! / Math.sqrt(covariance[j]![j]! * covariance[other]![other]!);
    return Math.abs(correlation) > 0.9 ? [{ names: [first, second] as const, correlation }] : [];
  }));
}

function notesOn({ site, filling }: FilledPit, { scatter, fit }: FillSolution, dipError: number | null): string[] {
  const { units } = site;
  const own = depthText(scatter.deviation, units);
  const factor = site.soil.factorOfSafety;
  return [
    `The soil is held against what the design counts on${factor === 1 ? "" : `, its factor of safety of ${factor} taken off`}.`,
    ...(dipError !== null && scatter.freedom !== Infinity
      ? [`The dips lie ${own} about the line, far more than the ${depthText(dipError, units)} they were said to be off: the model lacks something, or a dip was misread. The bands stand on the larger.`] : []),
    ...(scatter.freedom < 3 ? [`With ${fit.fit.residual.length} dips there is next to nothing left over to judge by; a few more would narrow every band.`] : []),
    ...(site.groundwater.mounding === null ? [] : ["The mound under the pit is left out: the hours of a test are too short for one to show."]),
    ...(filling.by === "hose" ? hoseNotes(Math.exp(fit.fit.values[0]!)) : []),
    filling.by === "hose" ? "A hose's flow is only roughly known, and the stone's room too: the water that went in is fitted along with the rest."
      : "The first dip is taken as any other: the level the pit was filled to is fitted along with the rest.",
  ];
}

/** A hose that is off by more than this was misread, or the room in the pit is not what was drawn; ours. */
const HOSE_OFF = 1.25;

function hoseNotes(factor: number): string[] {
  if (factor < HOSE_OFF && factor > 1 / HOSE_OFF) return [];
  return [`The levels ask for ${threeFigures(factor)} times the water that the hose is said to have brought: check its flow with a bucket and a watch; if it is right, `
    + `the pit has ${factor > 1 ? "less" : "more"} room than drawn, and the soil's factor is off with it.`];
}
