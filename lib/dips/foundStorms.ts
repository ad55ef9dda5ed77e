import { designStormAt } from "../rain/storms/designStorm.ts";
import type { Site } from "../site/site.ts";
import type { RecordedStorm } from "../study/criteria.ts";
import { stormAnswer, type StormAnswer } from "./asBuilt.ts";

/** One storm of the file with the works as drawn, and as they were measured with the band of their soil. */
export interface FoundStorm {
  readonly storm: string;
  readonly drawn: StormAnswer;
  readonly best: StormAnswer;
  /** at the slow end of the soil's band, and at the fast one; null where the measurement sets no bound on that side */
  readonly low: StormAnswer | null;
  readonly high: StormAnswer | null;
}

/** Works as measured, and at both ends of what the soil may be. */
export interface FoundEnds {
  readonly low: Site | null;
  readonly best: Site;
  readonly high: Site | null;
}

/**
 * The storms of a site file once more with the works as they were measured: what the design says, changed by what was read.
 *
 * @param drawn     the site as drawn
 * @param recorded  rain of the site's recorded storms; those that are not here are not rerun
 */
export function foundStorms(drawn: Site, { low, best, high }: FoundEnds, recorded: readonly RecordedStorm[]): FoundStorm[] {
  return drawn.storms.flatMap(({ name, options }): FoundStorm[] => {
    const record = recorded.find((each) => each.name === name)?.rain;
    if ("file" in options && record === undefined) return [];
    const rain = record ?? designStormAt("designStorm", options);
    const of = (site: Site | null): StormAnswer | null => (site === null ? null : stormAnswer(site, rain));
    return [{ storm: name, drawn: stormAnswer(drawn, rain), best: stormAnswer(best, rain), low: of(low), high: of(high) }];
  });
}
