import type { Site } from "../site/site.ts";
import { InputError } from "../text/problem.ts";
import { ANSWERS, type AnswerName } from "./answerRow.ts";
import type { Sizes } from "./resized.ts";
import { ANSWER_OF, isMet, priced, priceOf } from "./sizedDesign.ts";
import { sizePlan, type SizeOptions, type SizePlan } from "./sizeCases.ts";
import { withSealedFloors } from "./sidesOnly.ts";

/** The works of a lot in the first of some sizes that does what is asked. */
export interface SmallestWorks {
  /** its place among the combinations of the steps, the last named size fastest */
  readonly design: number;
  readonly sizes: Sizes;
  readonly site: Site;
}

/**
 * The smallest works, or with prices the cheapest, of the steps that do what is asked: designs are run from the least price up until one
 * does, so that of the combinations `size` would run only some are. Between the steps nothing is sought, and no room is looked for.
 *
 * @param options  as in `size`
 * @returns        the design that `size` calls `ofSteps`; null where none does, or a size cannot be built with this site
 */
export function smallestWorks(site: Site, options: SizeOptions): SmallestWorks | null {
  const plan = planOf(site, options);
  if (plan === null) return null;
  const designs = plan.sizes.map((sizes, design) => {
    const works = plan.siteOf(sizes);
    return { design, sizes, site: works, ...priced(plan, works) };
  });
  designs.sort((a, b) => priceOf(a) - priceOf(b) || a.dug - b.dug);
  const { storms, criteria, sidesOnly, rowOf } = plan;
  const runs = storms.flatMap(({ runs: of }, storm) => of.map(() => storm));
  const found = designs.find((design) => {
    const works = sidesOnly ? withSealedFloors(design.site) : design.site;
    return runs.every((storm, run) => {
      const row = rowOf(works, run);
      const reached = (asked: AnswerName): number => row[ANSWERS.findIndex(({ name }) => name === asked)]!;
      return criteria.every((each) => each.storm !== storm || isMet(each, reached(ANSWER_OF[each.asks])));
    });
  });
  return found === undefined ? null : { design: found.design, sizes: found.sizes, site: found.site };
}

/** What works of one lot can be, those of another cannot: a size that does not fit is no fault of the study. */
function planOf(site: Site, options: SizeOptions): SizePlan | null {
  try {
    return sizePlan(site, options);
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}
