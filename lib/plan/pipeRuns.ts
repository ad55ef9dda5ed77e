import type { Pipe, Site } from "../site/site.ts";
import { chamberLayout } from "./chamberLayout.ts";
import { pipeName } from "./levelRows.ts";
import { worksShapes, type PlacedHole } from "./worksShapes.ts";

/** A solid pipe between two bodies, as it is dug, laid and bought [m]. */
export interface PipeRun {
  /** as the order list has it: `pipe from the settling box`, `pipe to the trench` */
  readonly name: string;
  readonly pipe: Pipe;
  /** in its own trench, up to the pit's edge, as the file gives it */
  readonly length: number;
  /** to be bought: that, or the straight way between the pegs where it is longer, and on from the pit's edge to the chamber */
  readonly laid: number;
  /** straight between the pegs, up to the pit's edge; null where the plan does not place it */
  readonly straight: number | null;
}

/**
 * The pipes from the boxes, in their order, and that to the trench; null without one. A mouth in a wall has no length, whatever the plan
 * says.
 */
export function pipeRuns(site: Site): { readonly fromBoxes: readonly PipeRun[]; readonly toTrench: PipeRun | null } {
  const placed = worksShapes(site)?.holes.filter(({ kind }) => kind === "pipe") ?? [];
  const { settlingBoxes, overflowTrench: trench, chamberBank } = site;
  const layout = chamberLayout(chamberBank);
  // without a plan the side at which a pipe comes in is not known: the farther one, so that none is cut too short
  const farther = layout === null ? 0 : Math.max(0, layout.wallAlong, layout.wallAcross);
  const run = (name: string, pipe: Pipe): PipeRun => {
    const hole = placed.find((each) => each.name === name);
    const straight = hole === undefined ? null : lengthOf(hole);
    const laid = pipe.length === 0 ? 0 : Math.max(pipe.length, straight ?? 0) + (hole?.reach ?? farther);
    return { name, pipe, length: pipe.length, laid, straight };
  };
  return {
    fromBoxes: settlingBoxes.map((box) => run(pipeName(box, site), box.outlet)),
    toTrench: trench === null ? null : run("pipe to the trench", trench.inlet),
  };
}

function lengthOf({ shape: { points: [from, to] } }: PlacedHole): number {
  return Math.hypot(to![0] - from![0], to![1] - from![1]);
}
