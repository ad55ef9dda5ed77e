import { buildableStep, stepLength } from "../text/buildable.ts";
import type { UnitSystem } from "../text/format.ts";
import { PIPE_SIZES, type Sizes } from "./resized.ts";
import { isLength } from "./sizeCases.ts";

/** What a search between the steps of a grid asks. */
export interface Search {
  readonly units: UnitSystem;
  /** of every size that was given more than one value, its values from the least up: bounds of a length, all there is of a pipe */
  readonly steps: ReadonlyMap<keyof Sizes, readonly number[]>;
  /** sizes that have one value, which every design has */
  readonly fixed: Sizes;
  /** what a design costs, or what is dug for it; grows with every size */
  readonly price: (sizes: Sizes) => number;
  /** whether it has room; a longer one never has where a shorter one has not */
  readonly fits: (sizes: Sizes) => boolean;
  /** whether it does all that is asked */
  readonly does: (sizes: Sizes) => boolean;
  /** a design that does, to be bettered; null where none is known */
  readonly known: Sizes | null;
  /** told between two designs, and may throw to stop */
  readonly pause: () => Promise<void>;
}

/**
 * The least that does what is asked between the steps of a grid: every number of chambers and every pipe by branch, those left out whose
 * least is dearer than what is known; of two lengths the one by its root for each of the other, along which the least is sought, first in
 * even steps and then by halves round the best of them. Further lengths are taken at their steps. Lengths are whole steps of a tape
 * (`buildableStep`), so that the answer can be set out and is the same wherever the search came from.
 *
 * It takes for granted that more of a length does no less of what is asked, which a grid is looked at for before; where that does not
 * hold the answer is still a design that does all of it, but may not be the least.
 */
export async function refined(search: Search): Promise<Sizes | null> {
  const { steps, units } = search;
  const lengths = [...steps.keys()].filter(isLength);
  const free = lengths.slice(0, 2);
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
    const [first, second] = free;
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
    const [low, high] = bounds(second);
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
    const scan = [...new Set(Array.from({ length: SCAN + 1 }, (_, i) => Math.round(low + ((high - low) * i) / SCAN)))];
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

/** Steps in which the second length is looked over at first. */
const SCAN = 12;

function whole(values: readonly number[]): number[] {
  return Array.from({ length: values.at(-1)! - values[0]! + 1 }, (_, i) => values[0]! + i);
}

function combined(branches: readonly (readonly [keyof Sizes, readonly number[]])[]): Sizes[] {
  return branches.reduce<Sizes[]>((all, [key, values]) => all.flatMap((sizes) => values.map((value) => ({ ...sizes, [key]: value }))),
    [{}]);
}

/** The next smaller value of one size of a design, a step of the tape for a length; null at its bound. */
export function stepDown(sizes: Sizes, key: keyof Sizes, { steps, units }: Pick<Search, "steps" | "units">): Sizes | null {
  const values = steps.get(key)!;
  const value = sizes[key]!;
  const below = isLength(key) ? stepLength(Math.round(value / buildableStep(units)) - 1, units)
    : PIPE_SIZES.includes(key) ? values.findLast((each) => each < value) ?? -Infinity : value - 1;
  return below >= values[0]! - 1e-9 ? { ...sizes, [key]: below } : null;
}
