import { deepFreeze } from "./deepFreeze.ts";
import { withFacts, type GivenWorks } from "./facts.ts";
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
