import { type GivenWorks, withFacts } from "./facts.ts";
import type { Site } from "./site.ts";
import { siteNotes } from "./siteNotes.ts";

/**
 * A site with parts of it put in place of its own, for studies of "what if": frozen like any other, its facts and notes made again. The
 * rules of a file are not checked again, so a caller changes only what they allow.
 */
export function changedSite(site: Site, parts: Partial<Omit<Site, "notes" | keyof GivenWorks> & GivenWorks>): Site {
  const changed = withFacts({ ...site, ...parts });
  return deepFreeze({ ...changed, notes: siteNotes(changed) });
}

/**
 * Freezes a value and all that it holds, and gives it back. What is frozen already is taken to be so throughout; a typed array
 * (the readings of a soil test) cannot be.
 */
export function deepFreeze<T>(value: T): T {
  if (typeof value !== "object" || value === null || ArrayBuffer.isView(value) || Object.isFrozen(value)) return value;
  Object.freeze(value);
  for (const inner of Object.values(value)) deepFreeze(inner);
  return value;
}
