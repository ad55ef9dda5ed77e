import { greatestOf } from "../numerics/extremes.ts";
import { normalQuantile } from "../numerics/normalQuantile.ts";
import { studentQuantile } from "../numerics/studentQuantile.ts";
import { depthText, durationText } from "../text/format.ts";
import { staffText } from "../text/staffText.ts";
import { type FillFit, fitFill, scatterOf } from "./fillFit.ts";
import type { Cause, FilledPit } from "./fillModel.ts";
import type { FillFinding } from "./fillTest.ts";

/**
 * The choice among models, with one misread dip left out where there is one: the dip without which the others fit so much better that it
 * would happen in one test of a hundred by chance, whichever dip it is, and which then lies more than a tape's width off their line.
 *
 *   (S - S')/(S'/(n' - p)) > t^2(1 - 0.01/(2 n), n' - p)
 *
 * with S' the squares of the best model without it. It is tried with the dips farthest off, for a misread dip may have brought a cause in.
 *
 * @source  the deleted residual with Bonferroni's bound: Cook & Weisberg, Residuals and Influence in Regression, 1982, from memory
 */
export function withoutMisread(
  pit: FilledPit, suspects: readonly Cause[], dipError: number | null,
): { readonly pit: FilledPit; readonly choice: FillChoice; readonly misread: readonly FillFinding[] } {
  const choice = chooseFill(pit, suspects, dipError);
  const count = pit.dips.level.length;
  const own = scatterOf(choice.chosen, dipError).deviation;
  const plain = choice.tried.find(({ model }) => model.causes.length === 0 && model.names.includes("soil"))!;
  const isSuspicious = greatestOf(plain.fit.residual.map(Math.abs)) > LEAST_OFF;
  if (count < FEWEST || !isSuspicious || own < CLEAN) return { pit, choice, misread: [] };
  const tries = new Set([...farthest(choice.chosen.fit.residual), ...farthest(plain.fit.residual), ...jagged(pit.dips.level)]);
  let best: { readonly at: number; readonly pit: FilledPit; readonly choice: FillChoice; readonly gain: number } | null = null;
  for (const at of tries) {
    const others = { ...pit, dips: { time: pit.dips.time.filter((_, i) => i !== at), level: pit.dips.level.filter((_, i) => i !== at) } };
    const without = chooseFill(others, suspects, dipError);
    const freedom = count - 1 - without.chosen.model.unknowns.length;
    if (freedom < 2) continue;
    const variance = Math.max(without.chosen.fit.squares / freedom, LEAST_VARIANCE);
    const off = pit.dips.level[at]! - without.chosen.model.levels(without.chosen.fit.values, [pit.dips.time[at]!])[0]!;
    const gain = off ** 2 / variance;
    if (Math.abs(off) < LEAST_OFF || gain < studentQuantile(1 - 0.005 / count, freedom) ** 2) continue;
    if (best === null || without.chosen.fit.squares < best.choice.chosen.fit.squares) best = { at, pit: others, choice: without, gain };
  }
  if (best === null) return { pit, choice, misread: [] };
  const { chosen } = best.choice;
  const [time, level] = [pit.dips.time[best.at]!, pit.dips.level[best.at]!];
  const off = level - chosen.model.levels(chosen.fit.values, [time])[0]!;
  const { chamberBank: { floor }, units } = pit.site;
  const after = pit.filling.by === "hose" ? "the hose was opened" : "the first";
  const since = pit.filling.by === "hose" ? time : time - pit.dips.time[0]!;
  return {
    pit: best.pit, choice: best.choice,
    misread: [{
      kind: "misread",
      words: `The dip ${durationText(since)} after ${after} (${staffText(level - floor, units)} of water) lies ${depthText(Math.abs(off), units)} ${off > 0 ? "above" : "below"} the line of all others${slip(off)}: taken as misread, and left out.`,
    }],
  };
}

/** Fewer leave too little to call one of them wrong. */
const FEWEST = 6;
/** A dip less far off is not worth a word [m]. */
const LEAST_OFF = 0.012;
/** Dips that lie so well about their line have none among them that was misread [m]. */
const CLEAN = 0.003;
/** A millimetre, which no tape reads better [m2]. */
const LEAST_VARIANCE = 1e-6;

function farthest(residual: Float64Array): number[] {
  return Array.from(residual.keys()).sort((a, b) => Math.abs(residual[b]!) - Math.abs(residual[a]!)).slice(0, 3);
}

/** Dips that stick out from the line between their neighbours, the farthest two. */
function jagged(level: Float64Array): number[] {
  const out = level.map((water, i) => (i === 0 || i === level.length - 1 ? 0 : Math.max(0, water - Math.max(level[i - 1]!,
    level[i + 1]!), Math.min(level[i - 1]!, level[i + 1]!) - water)));
  return Array.from(out.keys()).filter((i) => out[i]! > LEAST_OFF).sort((a, b) => out[b]! - out[a]!).slice(0, 2);
}

/** What such a miss mostly is. */
function slip(off: number): string {
  const slips: readonly (readonly [number, string])[] = [[0.3048, "a foot"], [0.6096, "two feet"], [0.0254, "an inch"], [0.1, "ten centimetres"], [0.5, "half a metre"], [1, "a metre"]];
  const near = slips.filter(([size]) => Math.abs(Math.abs(off) - size) < Math.min(0.02, 0.15 * size)).map(([, words]) => words);
  return near.length === 0 ? "" : `, about ${near[0]} misread`;
}

/** What the dips ask for, and what else would do. */
interface FillChoice {
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
