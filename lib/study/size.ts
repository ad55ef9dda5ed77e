import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Site } from "../site/site.ts";
import { takeOff } from "../plan/takeOff.ts";
import { ANSWERS, type AnswerName } from "./answerRow.ts";
import type { AskedRun } from "./askedRuns.ts";
import type { Criterion } from "./criteria.ts";
import { stoppedRuns } from "./quantiles.ts";
import { chamberCount, type Sizes } from "./resized.ts";
import { servesThumb, type Thumb } from "./rulesOfThumb.ts";
import { runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";
import { sizePlan, type SizeOptions, type SizePlan } from "./sizeCases.ts";

/** One of the designs that were tried. */
export interface SizedDesign {
  readonly sizes: Sizes;
  readonly site: Site;
  /** dug for box, pipes, pit and trench [m3]; what is smallest without prices */
  readonly dug: number;
  /** by the user's prices; null without any */
  readonly cost: number | null;
  /** one for each criterion: what was reached, in the unit of its limit; NaN where not within the run, or the run was stopped */
  readonly reached: readonly number[];
  /** one for each criterion: how far it is on the right side of its limit, negative where it misses it; NaN as `reached` */
  readonly margins: readonly number[];
  /** one for each criterion: whether it is met */
  readonly met: readonly boolean[];
  /** one for each criterion: the run that decides it, the worst of those of its storm */
  readonly decided: readonly AskedRun[];
}

/** A size that cannot be less: a step down, and criteria are missed. */
export interface Binding {
  readonly size: keyof Sizes;
  /** the next smaller one, all other sizes as they are in the best */
  readonly design: SizedDesign;
  /** indices of the criteria it misses */
  readonly misses: readonly number[];
}

export interface Sizing {
  readonly site: Site;
  readonly storms: readonly string[];
  readonly criteria: readonly Criterion[];
  readonly priced: boolean;
  /** whether silt lay over the floors of every design */
  readonly sidesOnly: boolean;
  /** from the least cost, or the least dug, up */
  readonly designs: readonly SizedDesign[];
  /** the first of them that meets every criterion; null where none does */
  readonly best: SizedDesign | null;
  /** the sizes whose next smaller step, all others as they are in the best, misses something; none where all are the least tried */
  readonly binding: readonly Binding[];
  /** where there is no best: criteria that no design meets, with the nearest that was reached */
  readonly never: readonly { readonly criterion: number; readonly nearest: number }[];
  /** where each criterion is met by some design: pairs that no design meets both; none where only more of them together are not met */
  readonly apart: readonly (readonly [number, number])[];
  /** rule-of-thumb sizes for comparison: common practice, or the user's own */
  readonly rulesOfThumb: readonly RuleOfThumb[];
  readonly stopped: number;
  readonly table: StudyTable;
}

export interface RuleOfThumb extends Thumb {
  /** the first design that is as large as it asks; null where none of those tried is */
  readonly design: SizedDesign | null;
}

/**
 * The smallest works, or with prices the cheapest, that do what is asked in some storms, out of every combination of the sizes given.
 * All of them are run, so that the answer is sure and one sees what binds; where none will do, one sees why.
 *
 * @throws InputError  with all problems
 */
export async function size(site: Site, options: SizeOptions, how: StudyOptions = {}): Promise<Sizing> {
  const plan = sizePlan(site, options);
  const table = await runStudy({ kind: "size", site, options }, how);
  const { criteria, sidesOnly } = plan;
  const designs = plan.sizes.map((sizes, d) => designOf(plan, sizes, table, d))
    .sort((a, b) => priceOf(a) - priceOf(b) || a.dug - b.dug);
  const best = designs.find(({ met }) => met.every(Boolean)) ?? null;
  const never = best === null ? neverMet(criteria, designs) : [];
  return {
    site, designs, best, never, criteria, sidesOnly, table,
    storms: plan.storms.map(({ name }) => name),
    priced: plan.prices !== null,
    binding: best === null ? [] : bindingOf(best, designs),
    apart: best === null && never.length === 0 ? neverTogether(criteria.length, designs) : [],
    rulesOfThumb: plan.thumbs.map((thumb) => ({ ...thumb, design: designs.find((design) => servesThumb(thumb, design.site)) ?? null })),
    stopped: stoppedRuns(table),
  };
}

function priceOf({ cost, dug }: SizedDesign): number {
  return cost ?? dug;
}

function designOf({ storms, criteria, prices, siteOf }: SizePlan, sizes: Sizes, { values }: StudyTable, index: number): SizedDesign {
  const site = siteOf(sizes);
  const { dig, fill } = takeOff(site);
  const starts = storms.map((_, s) => storms.slice(0, s).reduce((sum, { runs }) => sum + runs.length, 0));
  const all = storms.reduce((sum, { runs }) => sum + runs.length, 0);
  const answer = (run: number, name: AnswerName): number => (
    values[(index * all + run) * ANSWERS.length + ANSWERS.findIndex((each) => each.name === name)]!
  );
  const worst = criteria.map(({ storm, asks }) => {
    const { runs } = storms[storm]!;
    const badness = runs.map((_, r) => {
      const value = answer(starts[storm]! + r, ANSWER_OF[asks]);
      return Number.isNaN(value) ? Infinity : asks === "boxHeadroom" ? -value : value;
    });
    const at = badness.indexOf(greatestOf(badness));
    return { run: runs[at]!, value: answer(starts[storm]! + at, ANSWER_OF[asks]) };
  });
  const reached = worst.map(({ value }) => value);
  return {
    sizes, site, reached,
    dug: dig.volume,
    cost: prices && prices.dig * dig.volume + prices.stone * fill.stone + prices.chamber * chamberCount(site)
      + prices.trench * (site.overflowTrench?.length ?? 0),
    margins: criteria.map(({ asks, limit }, c) => (asks === "boxHeadroom" ? reached[c]! - limit : limit - reached[c]!)),
    met: criteria.map((criterion, c) => isMet(criterion, reached[c]!)),
    decided: worst.map(({ run }) => run),
  };
}

const ANSWER_OF: Readonly<Record<Criterion["asks"], AnswerName>> = {
  noFiring: "emitterVolume", emitterVolumeAtMost: "emitterVolume", noSpill: "spilled", halfEmptyWithin: "half", emptyWithin: "empty",
  boxHeadroom: "boxHeadroom",
};

/** Less than a tenth of a litre is no water [m3]. */
const NOTHING = 1e-4;

/** NaN meets nothing: it was not reached within the run. */
function isMet({ asks, limit }: Criterion, reached: number): boolean {
  if (asks === "boxHeadroom") return reached >= limit;
  return reached <= (asks === "noFiring" || asks === "noSpill" ? NOTHING : limit);
}

function bindingOf(best: SizedDesign, designs: readonly SizedDesign[]): Binding[] {
  return (Object.keys(best.sizes) as (keyof Sizes)[]).flatMap((key) => {
    const smaller = designs.filter(({ sizes }) => sizes[key]! < best.sizes[key]! && othersAlike(sizes, best.sizes, key));
    const [neighbour] = smaller.sort((a, b) => b.sizes[key]! - a.sizes[key]!);
    if (neighbour === undefined) return [];
    const misses = neighbour.met.flatMap((met, c) => (met ? [] : [c]));
    return misses.length === 0 ? [] : [{ size: key, design: neighbour, misses }];
  });
}

function othersAlike(a: Sizes, b: Sizes, but: keyof Sizes): boolean {
  return (Object.keys(b) as (keyof Sizes)[]).every((key) => key === but || a[key] === b[key]);
}

function neverMet(criteria: readonly Criterion[], designs: readonly SizedDesign[]): { criterion: number; nearest: number }[] {
  return criteria.flatMap((criterion, c) => {
    if (designs.some(({ met }) => met[c])) return [];
    const values = designs.map(({ reached }) => reached[c]!).filter((value) => !Number.isNaN(value));
    const nearest = criterion.asks === "boxHeadroom" ? greatestOf(values) : leastOf(values);
    return [{ criterion: c, nearest: values.length === 0 ? NaN : nearest }];
  });
}

function neverTogether(count: number, designs: readonly SizedDesign[]): [number, number][] {
  const all = Array.from({ length: count }, (_, i) => i);
  return all.flatMap((i) => all.filter((j) => j > i && !designs.some(({ met }) => met[i] && met[j])).map((j): [number, number] => [i, j]));
}
