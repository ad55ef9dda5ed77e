import type { Site } from "../site/site.ts";

/**
 * Where water leaves a site but through the emitter: `over a rim or the ground`. What runs into the low spot has not left, so that
 * works that spill into it leave over its lip.
 */
export function surfaceWords({ settlingBoxes, chamberBank, overflowTrench, lowSpot }: Site): string {
  const isOpen = ({ spillsTo }: { readonly spillsTo: unknown }): boolean => spillsTo === null;
  const rim = settlingBoxes.some(isOpen) ? ["a rim"] : [];
  const ground = [chamberBank, ...(overflowTrench === null ? [] : [overflowTrench])].some(isOpen) ? ["the ground"] : [];
  const edges = [...rim, ...ground, ...(lowSpot === null ? [] : ["the low spot's lip"])];
  return `over ${edges.length < 2 ? edges.join("") : `${edges.slice(0, -1).join(", ")} or ${edges.at(-1)!}`}`;
}
