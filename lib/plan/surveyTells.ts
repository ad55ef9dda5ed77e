import { depthText } from "../text/format.ts";
import type { Descent } from "./descents.ts";
import type { Site } from "../site/site.ts";

/** What a survey of the site's accuracy can tell, and what it cannot. */
export interface SurveyTells {
  /** what one level may be off [m] */
  readonly error: number;
  /** what a difference of two levels may be off [m] */
  readonly band: number;
  /** the opening head of the emitter's lid, and whether it is more than the band; null without an emitter */
  readonly lid: { readonly head: number; readonly told: boolean } | null;
  /** the smallest of the falls that descend, and whether it is more than the band; null where none does */
  readonly smallest: { readonly descent: Descent; readonly told: boolean } | null;
  /** of all that is to descend, what is no more than the band either way: which of the two lies higher is not told */
  readonly untold: readonly Descent[];
  /** the same in sentences */
  readonly words: readonly string[];
}

/**
 * The survey's error beside the heads that decide. Two levels taken one from the other, each off by e and independently,
 * are off by
 *
 *   band = sqrt(2) e
 *
 * @source  propagation of independent errors, any text on surveying
 */
export function surveyTells({ surveyError: error, emitter, units }: Site, descents: readonly Descent[]): SurveyTells {
  const band = Math.SQRT2 * error;
  const told = (difference: number): boolean => Math.abs(difference) > band;
  const falling = descents.filter(({ runs }) => runs === "down");
  const least = falling.length === 0 ? null : falling.reduce((least, each) => (each.fall < least.fall ? each : least));
  const lid = emitter === null ? null : { head: emitter.opensAtHead, told: told(emitter.opensAtHead) };
  const smallest = least === null ? null : { descent: least, told: told(least.fall) };
  const words = [`Each level may be off by ${depthText(error, units)}, a difference of two by ${depthText(band, units)}.`];
  if (lid !== null) {
    words.push(lid.told
      ? `The lid opens at ${depthText(lid.head, units)} over its crest, more than that: the survey can tell it.`
      : `The lid opens at ${depthText(lid.head, units)} over its crest, which the survey cannot tell: set the crest against standing water.`);
  }
  if (smallest !== null) {
    const { from, to, fall } = smallest.descent;
    const what = falling.length === descents.length ? "The smallest fall" : "The smallest fall of those that do fall";
    words.push(smallest.told
      ? `${what}, ${depthText(fall, units)} from ${from} to ${to}, is more than that: the survey can tell it.`
      : `${what}, ${depthText(fall, units)} from ${from} to ${to}, is no more than that: the survey cannot tell whether it falls.`);
  }
  return { error, band, lid, smallest, untold: descents.filter(({ fall }) => !told(fall)), words };
}
