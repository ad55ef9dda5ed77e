import { greatestOf } from "../numerics/extremes.ts";
import { isBelow } from "../site/judge.ts";
import type { Site } from "../site/site.ts";
import { lidOffGround } from "../site/trenchGround.ts";
import { chamberLayout } from "./chamberLayout.ts";
import { pipeRuns } from "./pipeRuns.ts";

/** Something that cannot be built as it is drawn: what, where, by how much, and what would mend it [m]. */
export interface Clash {
  readonly kind: "pipeOverChamber" | "crownOverStone" | "crownOverTrenchStone" | "lidUnderGround" | "chambersDoNotFit" | "shoringAcrossPipe";
  /** the pipe that is meant: from a box (by its name where there are several) or to the trench; null where none is */
  readonly pipe: { readonly from: string | null } | "toTrench" | null;
  /** by how much it is too high, too low or too wide; the pipe's invert for a shoring line [m] */
  readonly by: number;
  /**
   * the level that would do: of the pipe's inside bottom there, at most, or of the lid's edge, at least [m]; null where no level mends it
   */
  readonly to: number | null;
  /** the fall of the pipe with that level, a ratio; below 0 its other end has to be moved too; null without a length or a level */
  readonly fall: number | null;
  /** the least pit that would hold the chambers, side by side [m]; null for all else */
  readonly pit: { readonly length: number; readonly width: number } | null;
}

/**
 * What the drawings of a site say that cannot be: a pipe that meets a chamber's wall above its top, a crown over its stone, a lid under
 * the ground and not flush with it, chambers that do not fit into the pit, and a pipe that runs through the line on which a pit of such a
 * depth is shored.
 *
 * @param shoredFrom  depth from which walls are shored or laid back [m]
 */
export function clashes(site: Site, shoredFrom: number): Clash[] {
  const { chamberBank: pit, overflowTrench: trench } = site;
  const { fromBoxes, toTrench } = pipeRuns(site);
  const pipes = [
    ...fromBoxes.map(({ pipe, length }, i) => ({
      pipe: { from: fromBoxes.length === 1 ? null : site.settlingBoxes[i]!.name }, level: pipe.outletInvert,
      diameter: pipe.diameter, length, fall: (to: number) => (pipe.invert - to) / length,
    })),
    ...(toTrench === null ? [] : [{
      pipe: "toTrench" as const, level: toTrench.pipe.invert, diameter: toTrench.pipe.diameter, length: toTrench.length, fall: (to: number) => (to - toTrench.pipe.outletInvert) / toTrench.length,
    }]),
  ];
  const none = { pipe: null, to: null, fall: null, pit: null };
  const chamberTop = pit.chambers.length === 0 ? Infinity
    : pit.floor + pit.stone.base + greatestOf(pit.chambers.map(({ height }) => height));
  const found: Clash[] = pipes.flatMap(({ pipe, level, diameter, length, fall }): Clash[] => {
    // the lower of both edges decides; a pipe under it is under the other too
    const edge = Math.min(chamberTop, pit.stoneTop);
    const crown = level + diameter;
    if (!isBelow(edge, crown)) return [];
    const to = edge - diameter;
    return [{ ...none, kind: edge === chamberTop ? "pipeOverChamber" : "crownOverStone", pipe, by: crown - edge, to, fall: length > 0 ? fall(to) : null }];
  });
  if (trench !== null) {
    const { inlet, stoneTop } = trench;
    const crown = inlet.outletInvert + inlet.diameter;
    if (isBelow(stoneTop.high, crown)) {
      const to = stoneTop.high - inlet.diameter;
      const by = crown - stoneTop.high;
      found.push({ ...none, kind: "crownOverTrenchStone", pipe: "toTrench", by, to, fall: toTrench!.length > 0 ? (inlet.invert - to) / toTrench!.length : null });
    }
    const lid = lidOffGround(site);
    if (lid < 0) found.push({ ...none, kind: "lidUnderGround", by: -lid, to: trench.ground.low });
  }
  const layout = chamberLayout(pit);
  if (layout !== null && !layout.fits) {
    const { least } = layout;
    found.push({
      ...none, kind: "chambersDoNotFit", by: Math.max(least.length - pit.length, least.width - pit.width),
      pit: { length: Math.max(least.length, pit.length), width: Math.max(least.width, pit.width) },
    });
  }
  if (!isBelow(pit.ground - pit.floor, shoredFrom)) {
    for (const { pipe, level, length } of pipes) if (length > 0) found.push({ ...none, kind: "shoringAcrossPipe", pipe, by: level });
  }
  return found;
}
