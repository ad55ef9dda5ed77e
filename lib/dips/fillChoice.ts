import { normalQuantile } from "../numerics/normalQuantile.ts";
import { studentQuantile } from "../numerics/studentQuantile.ts";
import { fitFill, scatterOf, type FillFit } from "./fillFit.ts";
import type { Cause, FilledPit } from "./fillModel.ts";

/** What the dips ask for, and what else would do. */
export interface FillChoice {
  readonly chosen: FillFit;
  /** all models that were fitted, the design as drawn first */
  readonly tried: readonly FillFit[];
  /** models with other causes that the dips do not rule out */
  readonly rivals: readonly FillFit[];
}

/**
 * Chooses among nested models: the design as drawn, another soil, and beside that a floor of its own, a water table, a leak. A
 * cause comes in when what it takes off the squares would happen in one test of a hundred without it (extra sum of squares):
 *
 *   F = ((S0 - S1)/q)/(S1/(n - p)) > F(q, n - p; 0.99),    where dips' error s is known (S0 - S1)/s^2 > chi2(q; 0.99)
 *
 * of several the one with the lowest information criterion (Akaike's, corrected for few dips). A second cause comes in beside the
 * first by the same rule. A model of as many causes with another in it is a rival while its likelihood, by that criterion, is a
 * twentieth of the chosen one's or more.
 *
 * @source  extra sum of squares: Bates & Watts, Nonlinear Regression Analysis and Its Applications, 1988, 3.10; the criterion: Hurvich &
 *          Tsai, Biometrika 76, 1989; both from memory. For q = 1 F is t squared, for q = 2 its tail is (1 + 2 F/v)^(-v/2).
 */
export function chooseFill(pit: FilledPit, suspects: readonly Cause[], dipError: number | null): FillChoice {
  const spread = dipError ?? USUAL;
  const count = pit.dips.level.length;
  const design = fitFill(pit, [], spread, null, false);
  const tried = [design, fitFill(pit, [], spread)];
  let chosen = tried[1]!;
  let beside: FillFit[] = [];
  while (chosen.model.causes.length < MOST_CAUSES) {
    const before = chosen;
    const larger = suspects.filter((cause) => !before.model.causes.includes(cause))
      .map((cause) => [...before.model.causes, cause]).filter((causes) => unknownsOf(causes) < count + (dipError === null ? -1 : 0))
      .map((causes) => fitFill(pit, causes, spread, before));
    for (const each of larger) tried.push(each);
    const asked = larger.filter((after) => isAskedFor(before, after, dipError));
    if (asked.length === 0) break;
    chosen = asked.reduce((best, each) => (criterion(each, dipError) < criterion(best, dipError) ? each : best));
    beside = asked.filter((each) => each !== chosen);
  }
  const rivals = beside.filter((each) => criterion(each, dipError) - criterion(chosen, dipError) < 2 * Math.log(20));
  return { chosen, tried, rivals };
}

/** What a dip by tape is off, where nobody says; only the scale of the search [m]. */
const USUAL = 0.003;

/** More at once no fill test tells apart. */
const MOST_CAUSES = 2;

/** One in a hundred. */
const RARE = 0.01;

/** The fill, the soil, and what the causes add. */
function unknownsOf(causes: readonly Cause[]): number {
  return 2 + causes.reduce((sum, cause) => sum + (cause === "leak" ? 2 : 1), 0);
}

function isAskedFor(before: FillFit, after: FillFit, dipError: number | null): boolean {
  const more = after.model.unknowns.length - before.model.unknowns.length;
  const { deviation, freedom } = scatterOf(after, dipError);
  const gain = (before.fit.squares - after.fit.squares) / deviation ** 2;
  if (freedom === Infinity) return gain > (more === 1 ? normalQuantile(1 - RARE / 2) ** 2 : -2 * Math.log(RARE));
  return gain / more > (more === 1 ? studentQuantile(1 - RARE / 2, freedom) ** 2 : (freedom / 2) * (RARE ** (-2 / freedom) - 1));
}

/** -2 ln of the likelihood, with what the unknowns cost: 2 p where the scatter is known, else with it as one more, corrected. */
function criterion(fit: FillFit, dipError: number | null): number {
  const { deviation, freedom } = scatterOf(fit, dipError);
  const count = fit.fit.residual.length;
  const unknowns = fit.model.unknowns.length;
  if (freedom === Infinity) return fit.fit.squares / deviation ** 2 + 2 * unknowns + 2 * count * Math.log(deviation);
  const all = unknowns + 1;
  const likelihood = 2 * count * Math.log(deviation) + count * Math.log(freedom / count) + count;
  return likelihood + 2 * all + (2 * all * (all + 1)) / Math.max(1, count - all - 1);
}
