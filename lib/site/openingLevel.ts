import type { Site } from "./site.ts";

/**
 * The level of the water in the trench at which the emitter's lid opens [m]: its opening head over its crest, over the water
 * that stands outside, or over the floor of the dry low spot it stands in, whichever is highest. Null without an emitter.
 */
export function openingLevel({ emitter, lowSpot }: Pick<Site, "emitter" | "lowSpot">): number | null {
  if (emitter === null) return null;
  const { crest, tailwater, opensAtHead, dischargesTo } = emitter;
  const hollow = dischargesTo === null || lowSpot === null ? crest : lowSpot.floor;
  return Math.max(crest, tailwater ?? crest, hollow) + opensAtHead;
}
