import type { Site } from "./site.ts";

/** Where a site's water comes to the surface elsewhere than at the emitter, as `Run.spilled` counts it: `over a rim or the ground`. */
export function surfaceWords({ lowSpot }: Site): string {
  if (lowSpot === null) return "over a rim or the ground";
  return `over a rim, the ground or the low spot's lip${lowSpot.grate === null ? "" : ", or up the grate"}`;
}

/** The same over a column of volumes: water that passes two such edges, out of the works and over the lip, is counted at each. */
export function spilledHead(site: Site): string {
  return `comes out ${surfaceWords(site)}${site.lowSpot === null ? "" : ", counted at each"}`;
}
