import { greatestOf } from "../numerics/extremes.ts";
import { isBelow } from "../site/judge.ts";
import type { Site } from "../site/site.ts";
import { lidOffGround } from "../site/trenchGround.ts";
import { chamberLayout } from "./chamberLayout.ts";

/** Something that cannot be built as it is drawn: what, where, and by how much [m]. */
export interface Clash {
  readonly kind: "pipeOverChamber" | "crownOverStone" | "crownOverTrenchStone" | "lidUnderGround" | "chambersDoNotFit" | "shoringAcrossPipe";
  /** the pipe that is meant: from a box (by its name where there are several) or to the trench; null where none is */
  readonly pipe: { readonly from: string | null } | "toTrench" | null;
  /** by how much it is too high, too low or too wide; the pipe's invert for a shoring line [m] */
  readonly by: number;
}

/**
 * What the drawings of a site say that cannot be: a pipe that meets a chamber's wall above its top, a crown over its stone, a lid under
 * the ground and not flush with it, chambers that do not fit into the pit, and a pipe that runs through the line on which a pit of such a
 * depth is shored.
 *
 * @param shoredFrom  depth from which walls are shored or laid back [m]
 */
export function clashes(site: Site, shoredFrom: number): Clash[] {
  const { settlingBoxes, chamberBank: pit, overflowTrench: trench } = site;
  const pipes = [
    ...settlingBoxes.map(({ name, outlet }) => ({ pipe: { from: settlingBoxes.length === 1 ? null : name }, level: outlet.outletInvert,
      diameter: outlet.diameter, length: outlet.length })),
    ...(trench === null ? [] : [{ pipe: "toTrench" as const, level: trench.inlet.invert, diameter: trench.inlet.diameter, length: trench.inlet.length }]),
  ];
  const chamberTop = pit.chambers.length === 0 ? null : pit.floor + pit.stone.base + greatestOf(pit.chambers.map(({ height }) => height));
  const found: Clash[] = pipes.flatMap(({ pipe, level, diameter }): Clash[] => {
    const crown = level + diameter;
    return [
      ...(chamberTop !== null && isBelow(chamberTop, crown) ? [{ kind: "pipeOverChamber" as const, pipe, by: crown - chamberTop }] : []),
      ...(isBelow(pit.stoneTop, crown) ? [{ kind: "crownOverStone" as const, pipe, by: crown - pit.stoneTop }] : []),
    ];
  });
  if (trench !== null) {
    const crown = trench.inlet.outletInvert + trench.inlet.diameter;
    if (isBelow(trench.stoneTop.high, crown)) found.push({ kind: "crownOverTrenchStone", pipe: "toTrench", by: crown - trench.stoneTop.high });
    const lid = lidOffGround(site);
    if (lid < 0) found.push({ kind: "lidUnderGround", pipe: null, by: -lid });
  }
  const layout = chamberLayout(pit);
  if (layout !== null && !layout.fits) found.push({ kind: "chambersDoNotFit", pipe: null, by: Math.max(-layout.wallAlong, -layout.wallAcross, -(layout.gapAlong ?? 0), -(layout.gapAcross ?? 0)) });
  if (!isBelow(pit.ground - pit.floor, shoredFrom)) {
    for (const { pipe, level, length } of pipes) if (length > 0) found.push({ kind: "shoringAcrossPipe", pipe, by: level });
  }
  return found;
}
