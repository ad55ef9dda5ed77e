import { costOf, type Cost } from "../plan/cost.ts";
import { takeOff } from "../plan/takeOff.ts";
import type { Prices } from "../site/prices.ts";
import type { Site } from "../site/site.ts";
import type { HowOften } from "./often.ts";
import type { SizedDesign, Sizing } from "./size.ts";
import { NOTHING, priceOf } from "./sizedDesign.ts";

/** One of the designs that are set side by side with their costs. */
export interface WorksOption {
  /** the least that has room; what is asked; more than that; the file's own where nothing was sized or nothing tried will do */
  readonly kind: "least" | "asked" | "generous" | "drawn";
  /** what makes the generous one more: it does what is asked with silt over its floors too, or lets least out of all that fit */
  readonly by: "silt" | "lid" | "room" | null;
  readonly site: Site;
  /** whether it has room on the lot; null where that was not looked at */
  readonly fits: boolean | null;
  /** dug [m3] */
  readonly dug: number;
  readonly cost: Cost;
  /** how many of the things asked it misses; null where nothing is asked */
  readonly missed: { readonly count: number; readonly of: number } | null;
  /** years of rain through it; null where the file has none */
  readonly years: HowOften | null;
}

/**
 * Three designs for one lot, by the same prices: the least of those tried that has room, the one that does what is asked, and a generous
 * one, which is the least that still does it with silt over the floors, or else the one that lets least out of all that fit. A design
 * that would cost no less, or no more, than the one asked for is not among the three.
 *
 * @param sizing  null where the file asks for no sizes
 * @param chosen  the design that everything else is about, as it is run
 * @param years   runs a design through the years of rain that the file gives; null where it gives none
 */
export async function worksOptions(
  sizing: Sizing | null, chosen: Site, prices: Prices, years: ((site: Site) => Promise<HowOften>) | null,
): Promise<WorksOption[]> {
  const options: WorksOption[] = [];
  for (const { kind, by, site, fits, missed } of designsOf(sizing, chosen)) {
    const list = takeOff(site);
    const [cost, its] = [costOf(site, prices, list), years === null ? null : await years(site)];
    options.push({ kind, by, site, fits, missed, dug: list.dig.volume, cost, years: its });
  }
  return options;
}

type Chosen = Pick<WorksOption, "kind" | "by" | "site" | "fits" | "missed">;

function designsOf(sizing: Sizing | null, chosen: Site): Chosen[] {
  if (sizing === null) return [{ kind: "drawn", by: null, site: chosen, fits: null, missed: null }];
  const { best, asDrawn, designs } = sizing;
  const misses = ({ met }: SizedDesign): WorksOption["missed"] => ({ count: met.filter((each) => !each).length, of: met.length });
  const fitting = designs.filter(({ fit }) => fit.fits !== false);
  const middle = best ?? asDrawn;
  const asked: Chosen = { kind: best === null ? "drawn" : "asked", by: null, site: chosen, fits: middle.fit.fits, missed: misses(middle) };
  const least = fitting.filter((design) => priceOf(design) < priceOf(middle) * (1 - SAME)).map((design): Chosen => (
    { kind: "least", by: null, site: design.site, fits: design.fit.fits, missed: misses(design) }))[0];
  return [...(least === undefined ? [] : [least]), asked, ...generousOf(sizing, middle, fitting).map((more): Chosen => ({
    kind: "generous", by: more.by, site: more.design.site, fits: more.design.fit.fits, missed: misses(more.design),
  }))];
}

/** Costs that differ by less are one. */
const SAME = 1e-9;

function generousOf(
  { best, sealed }: Sizing, middle: SizedDesign, fitting: readonly SizedDesign[],
): { readonly design: SizedDesign; readonly by: WorksOption["by"] }[] {
  const more = (design: SizedDesign): boolean => priceOf(design) > priceOf(middle) * (1 + SAME);
  if (best !== null && sealed !== null && more(sealed)) return [{ design: sealed, by: "silt" }];
  const dearer = fitting.filter(more);
  const drier = dearer.filter(({ letOut }) => letOut < middle.letOut - NOTHING);
  const [lid] = drier.sort((a, b) => a.letOut - b.letOut || priceOf(a) - priceOf(b));
  if (lid !== undefined) return [{ design: lid, by: "lid" }];
  const largest = dearer.at(-1);
  return largest === undefined ? [] : [{ design: largest, by: "room" }];
}

/** Whether two sites have works of the same sizes. */
export function sameWorks(a: Site, b: Site): boolean {
  const works = ({ settlingBoxes, chamberBank: pit, overflowTrench: trench }: Site): string => JSON.stringify([settlingBoxes, pit, trench]);
  return works(a) === works(b);
}
