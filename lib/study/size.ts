import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { changedSite } from "../site/changedSite.ts";
import type { Prices } from "../site/prices.ts";
import type { Site } from "../site/site.ts";
import { floorsTake } from "../site/takesIn.ts";
import { ANSWERS, type AnswerName } from "./answerRow.ts";
import type { AskedRun } from "./askedRuns.ts";
import type { Criterion } from "./criteria.ts";
import { fitted, type Fit } from "./fit.ts";
import { stoppedRuns } from "./quantiles.ts";
import { sizeProblems, type Sizes, PIPE_SIZES } from "./resized.ts";
import { servesThumb, type Thumb } from "./rulesOfThumb.ts";
import { runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";
import { withSealedFloors } from "./sidesOnly.ts";
import { isLength, sizePlan, type SizeOptions, type SizePlan } from "./sizeCases.ts";
import { ANSWER_OF, isMet, NOTHING, priceOf, priced } from "./sizedDesign.ts";
import { buildableStep, stepLength } from "../text/buildable.ts";
import type { UnitSystem } from "../text/format.ts";

/** One of the designs that were tried. */
export interface SizedDesign {
  readonly sizes: Sizes;
  /** runs as it is; its plan says where it lies */
  readonly site: Site;
  /** whether it has room on the lot, and what it does not keep where it has not */
  readonly fit: Fit;
  /** dug for box, pipes, pit and trench [m3]; what is smallest without prices */
  readonly dug: number;
  /** by the prices of the site, each half-way of its range; null without any */
  readonly cost: number | null;
  /** one for each criterion: what was reached, in the unit of its limit; NaN where not within the run, or the run was stopped */
  readonly reached: readonly number[];
  /** one for each criterion: how far it is on the right side of its limit, negative where it misses it; NaN as `reached` */
  readonly margins: readonly number[];
  /** one for each criterion: whether it is met */
  readonly met: readonly boolean[];
  /** one for each criterion: the run that decides it, the worst of those of its storm */
  readonly decided: readonly AskedRun[];
  /** one for each criterion: the highest water in the trench in its storm [m]; NaN without a trench, or where a run was stopped */
  readonly trenchPeaks: readonly number[];
  /** the most that the emitter lets out in any run asked for [m3] */
  readonly letOut: number;
}

/** A size that cannot be less: a step down, and criteria are missed, or there is no room. */
export interface Binding {
  readonly size: keyof Sizes;
  /** the next smaller one, all other sizes as they are in the best */
  readonly design: SizedDesign;
  /** indices of the criteria it misses */
  readonly misses: readonly number[];
}

/** A criterion that no size tried changes: what would. */
export interface Limit {
  readonly criterion: number;
  /** what was reached by every design, by as good as one figure */
  readonly reached: number;
  /**
   * parts of the works, each of which brings another figure when it is made larger by half, with what is then reached; none where none
   * does
   */
  readonly by: readonly { readonly part: "boxOutlet" | "trenchInlet" | "emitter"; readonly reached: number }[];
}

export interface Sizing {
  readonly site: Site;
  readonly storms: readonly string[];
  /** what falls in each of them, over each duration that it is tried at, without a day before it [s], [m] */
  readonly rains: readonly (readonly { readonly duration: number; readonly depth: number }[])[];
  readonly criteria: readonly Criterion[];
  /** of the site, by which the cheapest is best; null: the least dug is */
  readonly prices: Prices | null;
  /** whether silt lay over the floors of every design */
  readonly sidesOnly: boolean;
  /** every combination of the steps, from the least cost, or the least dug, up */
  readonly designs: readonly SizedDesign[];
  /** the least that fits and meets every criterion, sought between the steps too; null where none does */
  readonly best: SizedDesign | null;
  /** the file's own design, judged by the same runs */
  readonly asDrawn: SizedDesign;
  /** the least of `designs` that does; `best` is no dearer */
  readonly ofSteps: SizedDesign | null;
  /** the sizes that were sought between their steps, with the bounds that were given [m], or numbers of chambers */
  readonly sought: readonly { readonly size: keyof Sizes; readonly from: number; readonly to: number }[];
  /** the least that meets every criterion with silt over the floors; null where none does, and where that is not looked at */
  readonly sealed: SizedDesign | null;
  /** whether designs were judged with silt over the floors too: not where the floors take in nothing, or all were judged so */
  readonly sealedToo: boolean;
  /** the sizes whose next smaller step, all others as they are in the best, misses something; none where all are the least tried */
  readonly binding: readonly Binding[];
  /** where there is no best: criteria that no design meets, with the nearest that was reached */
  readonly never: readonly { readonly criterion: number; readonly nearest: number }[];
  /** where each criterion is met by some design: pairs that no design meets both; none where only more of them together are not met */
  readonly apart: readonly (readonly [number, number])[];
  /** where there is no best: the least that meets every criterion but has no room */
  readonly roomless: SizedDesign | null;
  /** where there is no best: of those that fit the one with most dug; null where none fits */
  readonly largest: SizedDesign | null;
  /** where there is no best: criteria that no size tried changes */
  readonly limits: readonly Limit[];
  /** of criteria with one duration of a return period: a duration not asked for in which the best, or else the drawn design, misses them */
  readonly elsewhere: readonly { readonly criterion: number; readonly duration: string; readonly reached: number }[];
  /** of the designs that fit, the best among them, those that nothing beats: each costs or digs less, or lets less out, than any other */
  readonly front: readonly SizedDesign[];
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
 * The smallest works, or with prices the cheapest, that do what is asked in some storms and have room on their lot. Every combination of
 * the sizes given is run, so that one sees what binds; between the steps of three lengths and over all numbers of chambers the least is
 * then sought further (`refined`). Where none will do, one sees why: what is never met, what has no room, which pipe binds.
 *
 * @throws InputError  with all problems
 *
 *   (await size(site, { criteria: [{ storm: "wet day", noFiring: true }], steps: { chambers: [2, 3, 4] } })).best?.sizes;
 */
export async function size(site: Site, options: SizeOptions, how: StudyOptions = {}): Promise<Sizing> {
  const plan = sizePlan(site, options);
  const table = await runStudy({ kind: "size", site, options }, how);
  const { criteria, sidesOnly } = plan;
  const designs = plan.sizes.map((sizes, d) => designOf(plan, site, sizes, rowsOf(table, d, plan.runCount))).sort(byPrice);
  const does = (design: SizedDesign): boolean => design.met.every(Boolean) && design.fit.fits !== false;
  const ofSteps = designs.find(does) ?? null;
  const stop = (): void => { how.signal?.throwIfAborted(); };
  const best = await bettered(plan, site, ofSteps, sidesOnly, stop);
  const asDrawn = designOf(plan, site, {}, freshRows(plan, sidesOnly ? withSealedFloors(site) : site));
  const never = best === null ? neverMet(criteria, designs) : [];
  const sealedToo = !sidesOnly && floorsTake(site);
  const roomy = designs.filter(({ fit }) => fit.fits !== false);
  return {
    site, designs, best, asDrawn, ofSteps, never, criteria, sidesOnly, table, sealedToo,
    storms: plan.storms.map(({ name }) => name),
    rains: plan.storms.map(({ runs }) => runs.filter(({ dayBefore }) => dayBefore === null).map(({ rain: { time, depth } }) => (
      { duration: time.at(-1)! - time[0]!, depth: depth.reduce((sum, each) => sum + each, 0) }
    ))),
    prices: plan.prices,
    sought: [...plan.steps].filter(([key]) => key === "chambers" || soughtLengths(plan).includes(key))
      .map(([key, values]) => ({ size: key, from: values[0]!, to: values.at(-1)! })),
    sealed: sealedToo ? await bettered(plan, site, null, true, stop) : null,
    binding: best === null ? [] : bindingOf(plan, site, best),
    apart: best === null && never.length === 0 ? neverTogether(criteria.length, roomy.length > 0 ? roomy : designs) : [],
    roomless: best === null ? designs.find(({ met }) => met.every(Boolean)) ?? null : null,
    largest: best === null ? roomy.at(-1) ?? null : null,
    limits: best === null ? never.flatMap(({ criterion }) => limitOf(plan, site, criterion, designs)) : [],
    elsewhere: elsewhereOf(plan, (best ?? asDrawn).site),
    front: frontOf(best === null || roomy.includes(best) ? roomy : [...roomy, best].sort(byPrice)),
    rulesOfThumb: plan.thumbs.map((thumb) => ({ ...thumb, design: designs.find((design) => servesThumb(thumb, design.site)) ?? null })),
    stopped: stoppedRuns(table),
  };
}

type Rows = (run: number) => readonly number[];

function rowsOf({ values }: StudyTable, design: number, runCount: number): Rows {
  return (run) => Array.from(values.subarray((design * runCount + run) * ANSWERS.length, (design * runCount + run + 1) * ANSWERS.length));
}

function byPrice(a: SizedDesign, b: SizedDesign): number {
  return priceOf(a) - priceOf(b) || a.dug - b.dug;
}

function designOf(plan: SizePlan, drawn: Site, sizes: Sizes, rows: Rows): SizedDesign {
  const { storms, criteria } = plan;
  const fit = fitted(drawn, plan.siteOf(sizes));
  const worst = criteria.map((criterion) => worstOf(storms, criterion, rows, fit.site));
  const reached = worst.map(({ value }) => value);
  const letOut = Array.from({ length: plan.runCount }, (_, run) => rows(run)[at("emitterVolume")]!);
  return {
    sizes, site: fit.site, fit, reached, ...priced(plan, fit.site),
    margins: criteria.map(({ asks, limit }, c) => (asks === "boxHeadroom" ? reached[c]! - limit : limit - reached[c]!)),
    met: criteria.map((criterion, c) => isMet(criterion, reached[c]!)),
    decided: worst.map(({ run }) => run),
    trenchPeaks: criteria.map(({ storm }) => {
      const start = storms.slice(0, storm).reduce((sum, { runs }) => sum + runs.length, 0);
      const peaks = storms[storm]!.runs.map((_, r) => rows(start + r)[at("trenchPeak")]!);
      return peaks.some(Number.isNaN) ? NaN : greatestOf(peaks);
    }),
    letOut: letOut.some(Number.isNaN) ? NaN : greatestOf([0, ...letOut]),
  };
}

/** The run of a criterion's storm in which it fares worst; of those in which as little comes out, the one that comes nearest to more. */
function worstOf(
  storms: SizePlan["storms"], { storm, asks }: Criterion, rows: Rows, site: Site,
): { readonly run: AskedRun; readonly value: number } {
  const start = storms.slice(0, storm).reduce((sum, { runs }) => sum + runs.length, 0);
  const { runs } = storms[storm]!;
  const values = runs.map((_, r) => rows(start + r)[at(ANSWER_OF[asks])]!);
  const badness = values.map((value) => (Number.isNaN(value) ? Infinity : asks === "boxHeadroom" ? -value : value));
  const most = greatestOf(badness);
  const alike = [...runs.keys()].filter((r) => badness[r] === most);
  const spares = alike.map((r) => (most === 0 ? spareOf(site, asks, rows(start + r)) : 0));
  const worst = alike[spares.indexOf(leastOf(spares))] ?? alike[0]!;
  return { run: runs[worst]!, value: values[worst]! };
}

/** How far water in a run stops below where it would come out, in which none does [m]. */
function spareOf(site: Site, asks: Criterion["asks"], row: readonly number[]): number {
  const { emitter, overflowTrench: trench, chamberBank: pit, lowSpot } = site;
  const [pitPeak, trenchPeak, headroom] = [row[at("pitPeak")]!, row[at("trenchPeak")]!, row[at("boxHeadroom")]!];
  // what does not run over into the trench is as far off as the pipe into it
  const inTrench = (level: number): number => (trench === null ? Infinity
    : pitPeak > trench.inlet.crest ? level - trenchPeak : Math.max(level, trench.inlet.crest) - pitPeak);
  if (asks === "noFiring" || asks === "emitterVolumeAtMost") return emitter === null ? 0 : inTrench(emitter.opensAt);
  const ground = Math.min(pit.ground, lowSpot?.grate?.level ?? Infinity);
  return Math.min(headroom, ground - pitPeak, trench === null ? Infinity : inTrench(trench.lowestGround));
}

function at(name: AnswerName): number {
  return ANSWERS.findIndex((each) => each.name === name);
}

/** Runs of a design, each made when it is asked for. */
function freshRows({ rowOf }: SizePlan, site: Site): Rows {
  const made = new Map<number, readonly number[]>();
  return (run) => {
    if (!made.has(run)) made.set(run, rowOf(site, run));
    return made.get(run)!;
  };
}

function soughtLengths({ steps }: SizePlan): readonly (keyof Sizes)[] {
  return [...steps.keys()].filter(isLength).slice(0, MOST_FREE);
}

/** The least there is between the steps too, with silt over the floors or as the file has them. */
async function bettered(plan: SizePlan, drawn: Site, known: SizedDesign | null, sealed: boolean, stop: () =>
  void): Promise<SizedDesign | null> {
  const { steps, criteria, storms } = plan;
  const asRun = (site: Site): Site => (sealed ? withSealedFloors(site) : site);
  const first = plan.sizes[0]!;
  const fixed = Object.fromEntries(Object.entries(first).filter(([key]) => !steps.has(key as keyof Sizes))) as Sizes;
  // one design is asked for its price, its room and what it does, one after the other
  let last: { readonly key: string; readonly site: Site | null } | null = null;
  const siteOf = (sizes: Sizes): Site | null => {
    const key = JSON.stringify(sizes);
    if (last?.key !== key) last = { key, site: sizeProblems(drawn, sizes).length === 0 ? plan.siteOf(sizes) : null };
    return last.site;
  };
  // what was missed last is looked at first: a design that misses it needs no other run
  const runs = storms.flatMap(({ runs: of }, storm) => of.map(() => storm)).map((storm, run) => ({ storm, run }));
  let sinceTold = 0;
  const found = await refined({
    units: drawn.units, steps, fixed, known: known?.sizes ?? null,
    price: (sizes) => {
      const site = siteOf(sizes);
      return site === null ? Infinity : priceOf(priced(plan, site));
    },
    fits: (sizes) => {
      const site = siteOf(sizes);
      return site !== null && fitted(drawn, site).fits !== false;
    },
    does: (sizes) => {
      const sized = siteOf(sizes);
      if (sized === null) return false;
      const site = asRun(sized);
      return runs.every(({ storm, run }, i) => {
        const row = plan.rowOf(site, run);
        const met = criteria.every((criterion) => criterion.storm !== storm || isMet(criterion, row[at(ANSWER_OF[criterion.asks])]!));
        if (!met) runs.unshift(...runs.splice(i, 1));
        return met;
      });
    },
    pause: async () => {
      if (Date.now() - sinceTold < 50) return;
      sinceTold = Date.now();
      await new Promise((go) => { setTimeout(go); });
      stop();
    },
  });
  if (found === null || found === known?.sizes) return known;
  return designOf(plan, drawn, found, freshRows(plan, asRun(fitted(drawn, plan.siteOf(found)).site)));
}

function bindingOf(plan: SizePlan, drawn: Site, best: SizedDesign): Binding[] {
  const search = { steps: plan.steps, units: drawn.units };
  return [...plan.steps.keys()].flatMap((key) => {
    const sizes = stepDown(best.sizes, key, search);
    if (sizes === null || sizeProblems(drawn, sizes).length > 0) return [];
    const site = plan.sidesOnly ? withSealedFloors(plan.siteOf(sizes)) : plan.siteOf(sizes);
    const design = designOf(plan, drawn, sizes, freshRows(plan, site));
    const misses = design.met.flatMap((met, c) => (met ? [] : [c]));
    return misses.length === 0 ? [] : [{ size: key, design, misses }];
  });
}

/** Where every design reaches as good as the same, no size tried matters: the parts are looked for that do. */
function limitOf(plan: SizePlan, drawn: Site, criterion: number, designs: readonly SizedDesign[]): Limit[] {
  const values = designs.map(({ reached }) => reached[criterion]!).filter((value) => !Number.isNaN(value));
  const [low, high] = [leastOf(values), greatestOf(values)];
  if (values.length < 2 || high - low > ALIKE * Math.max(Math.abs(high), ALIKE)) return [];
  const { sizes, site } = designs.at(-1)!;
  const asked = plan.criteria[criterion]!;
  const asRun = (each: Site): Site => (plan.sidesOnly ? withSealedFloors(each) : each);
  const reached = (other: Site): number => worstOf(plan.storms, asked, freshRows(plan, asRun(other)), other).value;
  const by = PARTS.flatMap((part): Limit["by"][number][] => {
    const larger = widened(site, part);
    if (larger === null || (part !== "emitter" && plan.steps.has(part) && sizes[part] === undefined)) return [];
    const value = reached(larger);
    return Math.abs(value - high) > 5 * ALIKE * Math.max(Math.abs(high), ALIKE) ? [{ part, reached: value }] : [];
  });
  return [{ criterion, reached: high, by }];
}

/** Figures nearer than this share of themselves are one. */
const ALIKE = 0.01;

const PARTS: readonly Limit["by"][number]["part"][] = ["boxOutlet", "trenchInlet", "emitter"];

/** The works with a part larger by half; null where they have none. */
function widened(site: Site, part: Limit["by"][number]["part"]): Site | null {
  const { settlingBoxes, overflowTrench: trench, emitter } = site;
  const wide = <P extends { readonly diameter: number }>(pipe: P): P => ({ ...pipe, diameter: 1.5 * pipe.diameter });
  switch (part) {
    case "boxOutlet": return changedSite(site, { settlingBoxes: settlingBoxes.map((box) => ({ ...box, outlet: wide(box.outlet) })) });
    case "trenchInlet": return trench && changedSite(site, { overflowTrench: { ...trench, inlet: wide(trench.inlet) } });
    case "emitter": return emitter && changedSite(site, { emitter: wide(emitter) });
  }
}

/** The worst of the durations that a criterion does not ask for, where it is missed there. */
function elsewhereOf(plan: SizePlan, site: Site): Sizing["elsewhere"] {
  const its = plan.sidesOnly ? withSealedFloors(site) : site;
  return plan.criteria.flatMap((criterion, c) => {
    const { notAsked } = plan.storms[criterion.storm]!;
    if (notAsked.length === 0) return [];
    const rows = notAsked.map(({ rain }) => plan.runOf(its, { rain, dayBefore: null }, criterion.storm));
    const { run, value } = worstOf([{ name: "", runs: notAsked, notAsked: [] }], { ...criterion, storm: 0 }, (r) => rows[r]!, its);
    return isMet(criterion, value) ? [] : [{ criterion: c, duration: run.duration!, reached: value }];
  });
}

/** From the least price up, each letting out less than all before it. */
function frontOf(designs: readonly SizedDesign[]): SizedDesign[] {
  let least = Infinity;
  return designs.filter(({ letOut }) => {
    if (!(letOut < least - NOTHING)) return false;
    least = letOut;
    return true;
  });
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

/** What a search between the steps of a grid asks. */
interface Search {
  readonly units: UnitSystem;
  /** of every size that was given more than one value, its values from the least up: bounds of a length, all there is of a pipe */
  readonly steps: ReadonlyMap<keyof Sizes, readonly number[]>;
  /** sizes that have one value, which every design has */
  readonly fixed: Sizes;
  /** what a design costs, or what is dug for it; no less where a length is longer, all else alike, whatever it does with other sizes */
  readonly price: (sizes: Sizes) => number;
  /** whether it has room; a longer one never has where a shorter one has not */
  readonly fits: (sizes: Sizes) => boolean;
  /** whether it does all that is asked */
  readonly does: (sizes: Sizes) => boolean;
  /** a design that does, to be bettered; null where none is known */
  readonly known: Sizes | null;
  /** called between two designs; may throw to stop */
  readonly pause: () => Promise<void>;
}

/**
 * The least that does what is asked between the steps of a grid: every number of chambers and every pipe by branch, those left out whose
 * least is dearer than what is known; of the lengths the first by its root for each of the second, along which the least is sought, first
 * in even steps and then by halves round the best of them, and that again for each of the third. Further lengths are taken at their steps.
 * Lengths are whole steps of a tape (`buildableStep`), so that the answer can be set out and is the same wherever the search came from.
 *
 * It takes for granted that more of a length does no less of what is asked, which a grid is looked at for before; where that does not
 * hold the answer is still a design that does all of it, but may not be the least.
 */
async function refined(search: Search): Promise<Sizes | null> {
  const { steps, units } = search;
  const lengths = [...steps.keys()].filter(isLength);
  const free = lengths.slice(0, MOST_FREE);
  const branches = [...steps].filter(([key]) => !free.includes(key)).map(([key, values]) => [key, key === "chambers" ? whole(values) : values] as const);
  let best = search.known;
  let least = best === null ? Infinity : search.price(best);
  const better = (sizes: Sizes): void => {
    const price = search.price(sizes);
    if (price < least) [best, least] = [sizes, price];
  };
  const lows = Object.fromEntries(free.map((key) => [key, bounds(key)[0]])) as Record<string, number>;
  const all = combined(branches).map((branch): Sizes => ({ ...search.fixed, ...branch }))
    .map((branch) => ({ branch, floor: search.price({ ...branch, ...lengthsOf(lows) }) })).sort((a, b) => a.floor - b.floor);
  for (const { branch, floor } of all) {
    if (floor >= least) break;
    await inBranch(branch);
  }
  return best;

  /** the first and the last whole step between the least and the greatest value given */
  function bounds(key: keyof Sizes): readonly [number, number] {
    const [step, values] = [buildableStep(units), steps.get(key)!];
    return [Math.ceil(values[0]! / step - 1e-6), Math.floor(values.at(-1)! / step + 1e-6)];
  }

  function lengthsOf(counts: Readonly<Record<string, number>>): Sizes {
    return Object.fromEntries(Object.entries(counts).map(([key, count]) => [key, stepLength(count, units)]));
  }

  async function inBranch(branch: Sizes): Promise<void> {
    const [first, second, third] = free;
    // where the shortest have no room none longer has, and what the longest do not do none shorter does
    if (!search.fits({ ...branch, ...lengthsOf(lows) })) return;
    const longest = Object.fromEntries(free.map((key) => [key, bounds(key)[1]]));
    await search.pause();
    if (free.length > 0 && !search.does({ ...branch, ...lengthsOf(longest) })) return;
    if (first === undefined) {
      if (search.fits(branch) && search.does(branch)) better(branch);
      await search.pause();
      return;
    }
    if (second === undefined) {
      await root(branch, first, bounds(first));
      return;
    }
    if (third === undefined) {
      await leastOfTwo(branch, first, second);
      return;
    }
    await along(bounds(third), SCAN_THIRD, (count) => leastOfTwo({ ...branch, ...lengthsOf({ [third]: count }) }, first, second));
  }

  /** The least price of two lengths with which a design does; Infinity where none does. */
  async function leastOfTwo(branch: Sizes, first: keyof Sizes, second: keyof Sizes): Promise<number> {
    // a longer second never asks for more of the first
    const found = new Map<number, number>();
    const at = async (count: number): Promise<number> => {
      if (found.has(count)) return found.get(count)!;
      const shorter = [...found].filter(([other]) => other < count).sort(([a], [b]) => b - a)[0]?.[1] ?? Infinity;
      const longer = [...found].filter(([other]) => other > count).sort(([a], [b]) => a - b)[0]?.[1] ?? -Infinity;
      const [from, to] = bounds(first);
      const root_ = await root({ ...branch, ...lengthsOf({ [second]: count }) }, first, [
        Number.isFinite(longer) ? Math.max(from, longer) : from, Number.isFinite(shorter) ? Math.min(to, shorter) : to,
      ]);
      found.set(count, root_);
      return root_;
    };
    const price = async (count: number): Promise<number> => {
      const root_ = await at(count);
      return Number.isFinite(root_) ? search.price({ ...branch, ...lengthsOf({ [second]: count, [first]: root_ }) }) : Infinity;
    };
    return along(bounds(second), SCAN, price);
  }

  /** Goes along a length for the least of `price`: in even steps, then by halves round the two best of them. */
  async function along([low, high]: readonly [number, number], steps: number, its: (count: number) => Promise<number>): Promise<number> {
    const found = new Map<number, number>();
    const price = async (count: number): Promise<number> => {
      if (!found.has(count)) found.set(count, await its(count));
      return found.get(count)!;
    };
    const scan = [...new Set(Array.from({ length: steps + 1 }, (_, i) => Math.round(low + ((high - low) * i) / steps)))];
    const prices: number[] = [];
    for (const count of scan.toReversed()) prices.unshift(await price(count));
    const sorted = scan.map((count, i) => ({ count, i, price: prices[i]! })).filter((each) => Number.isFinite(each.price)).sort((a, b) =>
      a.price - b.price);
    // a frontier may have two hollows, and the first that does may lie before the first of the scan that does
    for (const { i } of sorted.slice(0, 2)) {
      let [from, middle, to] = [scan[Math.max(0, i - 1)]!, scan[i]!, scan[Math.min(scan.length - 1, i + 1)]!];
      while (to - from > 2) {
        const [left, right] = [Math.floor((from + middle) / 2), Math.ceil((middle + to) / 2)];
        const [pl, pm, pr] = [await price(left), await price(middle), await price(right)];
        if (pl < pm && pl <= pr) [middle, to] = [left, middle];
        else if (pr < pm) [from, middle] = [middle, right];
        else if (left === from && right === to) break;
        else [from, to] = [left, right];
      }
    }
    return leastOf([...found.values()]);
  }

  /** The least count of one length with which a design does; Infinity where none does. Nothing dearer than the best is looked for. */
  async function root(others: Sizes, key: keyof Sizes, [from, to]: readonly [number, number]): Promise<number> {
    const of = (count: number): Sizes => ({ ...others, ...lengthsOf({ [key]: count }) });
    const does = async (count: number): Promise<boolean> => {
      await search.pause();
      return search.does(of(count));
    };
    if (from > to || search.price(of(from)) >= least || !search.fits(of(from))) return Infinity;
    if (await does(from)) {
      better(of(from));
      return from;
    }
    let [no, yes] = [from, longestThatFits(of, from, to)];
    if (!(await does(yes))) return Infinity;
    while (yes - no > 1) {
      const middle = Math.floor((no + yes) / 2);
      if (await does(middle)) yes = middle;
      else no = middle;
    }
    better(of(yes));
    return yes;
  }

  function longestThatFits(of: (count: number) => Sizes, from: number, to: number): number {
    if (search.fits(of(to))) return to;
    let [yes, no] = [from, to];
    while (no - yes > 1) {
      const middle = Math.floor((no + yes) / 2);
      if (search.fits(of(middle))) yes = middle;
      else no = middle;
    }
    return yes;
  }
}

/** Steps in which the second length is looked over at first, and the third. */
const SCAN = 12;
const SCAN_THIRD = 6;

/** Lengths that are sought between their steps; each more takes some twenty times as long. */
const MOST_FREE = 3;

function whole(values: readonly number[]): number[] {
  return Array.from({ length: values.at(-1)! - values[0]! + 1 }, (_, i) => values[0]! + i);
}

function combined(branches: readonly (readonly [keyof Sizes, readonly number[]])[]): Sizes[] {
  return branches.reduce<Sizes[]>((all, [key, values]) => all.flatMap((sizes) => values.map((value) => ({ ...sizes, [key]: value }))),
    [{}]);
}

/** The next smaller value of one size of a design, a step of the tape for a length; null at its bound. */
function stepDown(sizes: Sizes, key: keyof Sizes, { steps, units }: Pick<Search, "steps" | "units">): Sizes | null {
  const values = steps.get(key)!;
  const value = sizes[key]!;
  const below = isLength(key) ? stepLength(Math.round(value / buildableStep(units)) - 1, units)
    : PIPE_SIZES.includes(key) ? values.findLast((each) => each < value) ?? -Infinity : value - 1;
  return below >= values[0]! - 1e-9 ? { ...sizes, [key]: below } : null;
}
