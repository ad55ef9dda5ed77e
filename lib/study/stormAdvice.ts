import { leastOf } from "../numerics/extremes.ts";
import type { PatternName } from "../rain/storms/designStorm.ts";
import { regionTaken } from "../site/region.ts";
import type { Site } from "../site/site.ts";

/** The type of storm that suits a site, and why. */
export interface StormAdvice {
  readonly pattern: PatternName;
  /** whether the fastest of what drains here answers within an hour */
  readonly minutesMatter: boolean;
  /** in a sentence */
  readonly words: string;
}

/**
 * The type of storm recommended for a site. Where water comes down within minutes, a block of even rain has no peak that lifts a lid or
 * fills a box: then a storm that nests the table of the place, as the site's country uses it. Where all of it takes longer than an
 * hour a block will do.
 *
 * @source  common practice; the hour is chosen, as tables fall steeply below it
 */
export function stormAdvice(site: Site): StormAdvice {
  const fastest_min = leastOf(site.catchments.map(({ timeOfConcentration }) => timeOfConcentration)) / 60;
  const takes = `the fastest of what drains here is down within ${Math.max(1, Math.round(fastest_min))} min`;
  if (fastest_min > 60) {
    return { pattern: "block", minutesMatter: false, words: `Storm to try: a block of even rain will do, as ${takes}, which evens out a peak.` };
  }
  const { pattern, what } = CUSTOM[regionTaken(site).code] ?? OTHERWISE;
  return {
    pattern, minutesMatter: true,
    words: `Storm to try: ${what} (pattern “${pattern}”), as minutes matter: ${takes}, and a block of even rain has no peak.`,
  };
}

const CUSTOM: Readonly<Record<string, { readonly pattern: PatternName; readonly what: string }>> = {
  US: { pattern: "nested", what: "the day that holds the town’s own table round noon" },
  GB: { pattern: "uk-summer", what: "the summer profile, which was made for roofs and paved ground" },
  DE: { pattern: "euler-2", what: "the second type of Euler, made of the place’s own table" },
};

const OTHERWISE = { pattern: "alternating-block", what: "alternating blocks of the place’s own table" } as const;
