import { NRCS_TABLE, type NrcsType } from "./nrcsTable.ts";
import { tableValue, type StormPattern } from "./stormCurve.ts";
import { stormDepth } from "./stormDepth.ts";

const DAY = 86400;

/**
 * A 24-hour distribution of the NRCS: `{ pattern: "nrcs-ii", depth: "3.1 in" }`. Which published table stands behind it,
 * and what is changed in it, is said at `NRCS_TABLE`.
 *
 * With a shorter `duration` the storm is the nested one: the richest stretch of that length in the 24-hour curve, scaled
 * to `depth`, which is then the depth of that duration. Of several equally rich stretches the first is taken.
 *
 * @source  types I, II and III at tenths of an hour, IA at half hours (HDS-2, FHWA-NHI-02-001, 2nd ed. 2002, Table 6.5 p. 6-35): see
 *          `NRCS_TABLE`; nesting as the distributions were built, from memory
 */
export function nrcsStorm(type: NrcsType): StormPattern {
  return (options) => {
    const duration = options.quantity("duration", "time", { above: 0, most: DAY, missing: DAY });
    const depthOf = stormDepth(options, duration);
    options.done();
    const depth = depthOf();
    const shares = NRCS_TABLE[type];
    const corners = shares.map((_, i) => (i * DAY) / (shares.length - 1));
    const shareBy = (time: number): number => tableValue(corners, shares, time);
    const start = richestStart(corners, shareBy, duration);
    const before = shareBy(start);
    const within = shareBy(start + duration) - before;
    const inside = corners.map((corner) => corner - start).filter((time) => time > 0 && time < duration);
    return {
      edges: [0, ...inside, duration],
      depthBy: (time) => (time >= duration ? depth : (depth * (shareBy(start + time) - before)) / within),
    };
  };
}

/** The curve is made of straight lines, so the richest stretch starts or ends at one of its corners. */
function richestStart(corners: readonly number[], shareBy: (time: number) => number, duration: number): number {
  const starts = corners
    .flatMap((corner) => [corner, corner - duration])
    .filter((start) => start >= 0 && start + duration <= DAY)
    .sort((a, b) => a - b);
  const within = (start: number): number => shareBy(start + duration) - shareBy(start);
  return starts.reduce((best, start) => (within(start) > within(best) + 1e-12 ? start : best), 0);
}
