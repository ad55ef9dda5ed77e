import type { Site } from "../site/site.ts";
import { takeOff } from "../site/takeOff.ts";
import { ANSWERS, type AnswerName } from "./answerRow.ts";
import { stoppedRuns } from "./quantiles.ts";
import { chamberCount, type Sizes } from "./resized.ts";
import { runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";
import { sizePlan, type Criterion, type SizeOptions, type SizePlan } from "./sizeCases.ts";

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
  /** one for each criterion: whether it is met */
  readonly met: readonly boolean[];
}

export interface Sizing {
  readonly site: Site;
  readonly storms: readonly string[];
  readonly criteria: readonly Criterion[];
  readonly priced: boolean;
  /** from the least cost, or the least dug, up */
  readonly designs: readonly SizedDesign[];
  /** the first of them that meets every criterion; null where none does */
  readonly best: SizedDesign | null;
  /** indices of the criteria that the smaller neighbours of the best miss: what binds */
  readonly binding: readonly number[];
  /** where none does: criteria that no design meets, with the nearest that was reached; empty where only together they are not met */
  readonly never: readonly { readonly criterion: number; readonly nearest: number }[];
  /** rule-of-thumb sizes for comparison: common practice, no source */
  readonly rulesOfThumb: readonly RuleOfThumb[];
  readonly stopped: number;
  readonly table: StudyTable;
}

/** A size by rule of thumb: room for so much rain on the roofs. */
export interface RuleOfThumb {
  readonly words: string;
  /** room for water that it asks for [m3] */
  readonly room: number;
  /** dug by the first design that has it; null where none of those tried has */
  readonly dug: number | null;
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
  const designs = plan.sizes.map((sizes, d) => designOf(plan, sizes, table, d))
    .sort((a, b) => priceOf(a) - priceOf(b) || a.dug - b.dug);
  const best = designs.find(({ met }) => met.every(Boolean)) ?? null;
  return {
    site, designs, best, table,
    storms: plan.storms.map(({ name }) => name),
    criteria: plan.criteria,
    priced: plan.prices !== null,
    binding: best === null ? [] : bindingOf(best, designs),
    never: best === null ? neverMet(plan.criteria, designs) : [],
    rulesOfThumb: rulesOfThumb(site, designs),
    stopped: stoppedRuns(table),
  };
}

function priceOf({ cost, dug }: SizedDesign): number {
  return cost ?? dug;
}

function designOf({ storms, criteria, prices, siteOf }: SizePlan, sizes: Sizes, { values }: StudyTable, index: number): SizedDesign {
  const site = siteOf(sizes);
  const { dig, fill } = takeOff(site);
  const answer = (storm: number, name: AnswerName): number => (
    values[(index * storms.length + storm) * ANSWERS.length + ANSWERS.findIndex((each) => each.name === name)]!
  );
  const reached = criteria.map(({ storm, asks }) => answer(storm, ANSWER_OF[asks]));
  return {
    sizes, site, reached,
    dug: dig.volume,
    cost: prices && prices.dig * dig.volume + prices.stone * fill.stone + prices.chamber * chamberCount(site)
      + prices.trench * (site.overflowTrench?.length ?? 0),
    met: criteria.map((criterion, c) => isMet(criterion, reached[c]!)),
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

/** Criteria missed by the designs that differ from the best in one size alone, by one step down. */
function bindingOf(best: SizedDesign, designs: readonly SizedDesign[]): number[] {
  const missed = new Set<number>();
  for (const key of Object.keys(best.sizes) as (keyof Sizes)[]) {
    const smaller = designs.filter(({ sizes }) => sizes[key]! < best.sizes[key]! && othersAlike(sizes, best.sizes, key));
    const [neighbour] = smaller.sort((a, b) => b.sizes[key]! - a.sizes[key]!);
    neighbour?.met.forEach((met, c) => {
      if (!met) missed.add(c);
    });
  }
  return [...missed].sort((a, b) => a - b);
}

function othersAlike(a: Sizes, b: Sizes, but: keyof Sizes): boolean {
  return (Object.keys(b) as (keyof Sizes)[]).every((key) => key === but || a[key] === b[key]);
}

function neverMet(criteria: readonly Criterion[], designs: readonly SizedDesign[]): { criterion: number; nearest: number }[] {
  return criteria.flatMap((criterion, c) => {
    if (designs.some(({ met }) => met[c])) return [];
    const values = designs.map(({ reached }) => reached[c]!).filter((value) => !Number.isNaN(value));
    const nearest = criterion.asks === "boxHeadroom" ? Math.max(...values) : Math.min(...values);
    return [{ criterion: c, nearest: values.length === 0 ? NaN : nearest }];
  });
}

/** Common practice, no source: room for an inch, and for an inch and a half, of rain on all that drains to the works. */
function rulesOfThumb(site: Site, designs: readonly SizedDesign[]): RuleOfThumb[] {
  const area = site.catchments.filter(({ drainsTo }) => drainsTo !== "lowSpot").reduce((sum, each) => sum + each.area, 0);
  return [1, 1.5].map((inches) => {
    const room = area * inches * 0.0254;
    const having = designs.filter((design) => roomOf(design.site) >= room).sort((a, b) => a.dug - b.dug);
    return { words: `room for ${inches} in of rain on the roofs`, room, dug: having[0]?.dug ?? null };
  });
}

/** Clear room in chambers and stone of pit and trench [m3], as a rule of thumb counts it. */
function roomOf({ chamberBank: { length, width, stone, chambers }, overflowTrench: trench }: Site): number {
  const circle = (diameter: number): number => (Math.PI / 4) * diameter * diameter;
  const inside = chambers.reduce((sum, each) => sum + each.count * circle(each.insideDiameter) * each.height, 0);
  const outside = chambers.reduce((sum, each) => sum + each.count * circle(each.outsideDiameter) * each.height, 0);
  const pit = inside + stone.porosity * (length * width * stone.depth - outside);
  return pit + (trench === null ? 0 : trench.stone.porosity * trench.length * trench.width * trench.stone.depth);
}
