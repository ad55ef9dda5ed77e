import { pipeRuns } from "./pipeRuns.ts";
import type { MaterialFigures } from "../site/materials.ts";
import type { Emitter, OverflowTrench, Site } from "../site/site.ts";

/** A pipe to be bought [m]. */
export interface PipeItem {
  readonly name: string;
  /** inside diameter */
  readonly diameter: number;
  readonly length: number;
  /** of the lengths it is sold in, whole ones */
  readonly pieces: number;
}

/** A fitting to be bought; its inside diameter [m]. */
export interface Fitting {
  readonly name: string;
  readonly diameter: number;
  readonly count: number;
}

/** What the order list calls the pipe in the trench. */
export const PERFORATED_PIPE = "pipe in the trench, perforated";

/** The pipes on the water's way, up to the chambers; the emitter's riser from the trench pipe up to its crest. */
export function pipeItems(site: Site, { pipeLength }: MaterialFigures): PipeItem[] {
  const { settlingBoxes, overflowTrench: trench, emitter } = site;
  const item = (name: string, diameter: number, length: number): PipeItem =>
    ({ name, diameter, length, pieces: Math.ceil(length / pipeLength - 1e-9) });
  const { fromBoxes, toTrench } = pipeRuns(site);
  return [
    ...fromBoxes.map(({ name, pipe, laid }) => item(name, pipe.diameter, laid)),
    ...(trench === null ? [] : [
      item(toTrench!.name, trench.inlet.diameter, toTrench!.laid),
      ...(trench.pipe === null ? [] : [item(PERFORATED_PIPE, trench.pipe.insideDiameter, trench.length)]),
      ...(emitter === null ? [] : [item("riser of the emitter", emitter.diameter, riserLength(trench, emitter))]),
    ]),
    // down which a tape reads the water: from the pit's floor to over the ground, as wide as the first pipe into it
    item("standpipe", settlingBoxes[0]!.outlet.diameter, site.chamberBank.ground - site.chamberBank.floor + CUT_OFF),
  ].filter(({ length }) => length > 0);
}

/**
 * The fittings that what the file holds cannot do without: each pipe's two mouths, a coupling at each joint of two pieces, the
 * turn up to the emitter. Bends on the way and tees to several chambers are not in a file.
 */
export function fittings(site: Site, items: readonly PipeItem[]): Fitting[] {
  const { settlingBoxes, overflowTrench: trench, emitter } = site;
  const found: Fitting[] = settlingBoxes.flatMap(({ outlet: { diameter } }) => [
    { name: "outlet in the box's wall", diameter, count: 1 }, { name: "seal in the box's wall", diameter, count: 1 },
    { name: "screen in front of the box's outlet", diameter, count: 1 }, { name: "plug for the box's outlet, for the fill test", diameter, count: 1 },
    { name: "mouth in the pit", diameter, count: 1 },
  ]);
  found.push({ name: "cap of the standpipe", diameter: settlingBoxes[0]!.outlet.diameter, count: 1 });
  if (trench !== null) {
    const { diameter } = trench.inlet;
    found.push({ name: "mouth in the pit", diameter, count: 1 });
    if (trench.pipe === null) found.push({ name: "mouth in the trench", diameter, count: 1 });
    else if (hasBends(inletDrop(trench)!)) found.push({ name: "bend to the level of the trench pipe", diameter, count: 2 });
    else found.push({ name: "coupling to the trench pipe", diameter, count: 1 });
    if (trench.pipe !== null && Math.abs(trench.pipe.insideDiameter - diameter) > SAME_BORE) found.push({ name: "reducer to the trench pipe", diameter, count: 1 });
    if (trench.pipe !== null && emitter !== null && Math.abs(trench.pipe.insideDiameter - emitter.diameter) > SAME_BORE) found.push({ name: "reducer to the riser", diameter: emitter.diameter, count: 1 });
    if (emitter !== null) found.push({ name: footName(emitter), diameter: emitter.diameter, count: 1 });
    else if (trench.pipe !== null) found.push({ name: "end cap of the trench pipe", diameter: trench.pipe.insideDiameter, count: 1 });
  }
  for (const each of items.map(({ diameter, pieces }) => ({ name: "coupling between pieces", diameter, count: pieces - 1 }))) found.push(each);
  return gathered(found);
}

/** Of the standpipe, over the ground, to be cut off at its mark [m]; common practice. */
const CUT_OFF = 0.15;

/** A step that no coupling takes up: two bends do [m]; common practice. */
const STEEP = 0.025;

/** Whether a step from one pipe to the next takes two bends. */
export function hasBends(drop: number): boolean {
  return Math.abs(drop) > STEEP;
}

/**
 * The two bends that take up the step to the pipe in the trench: the steepest that leave room for both, and how far their middles lie
 * apart, along the slope between them [m]; null where a coupling does.
 *
 *   apart = step / sin(angle)
 */
export function dropBends(trench: OverflowTrench, units: Site["units"]): { readonly degrees: number; readonly apart: number } | null {
  const drop = Math.abs(inletDrop(trench) ?? 0);
  if (!hasBends(drop)) return null;
  const apart = (degrees: number): number => drop / Math.sin((degrees * Math.PI) / 180);
  const sold = BENDS[units];
  const degrees = sold.find((each) => apart(each) >= BEND_ROOM * trench.inlet.diameter) ?? sold.at(-1)!;
  return { degrees, apart: apart(degrees) };
}

/** Bends as they are sold [degrees], the steepest first; common practice. */
const BENDS: Readonly<Record<Site["units"], readonly number[]>> = Object.freeze({ us: [45, 22.5, 11.25], si: [45, 30, 15] });

/** Between the middles of two bends, in diameters of the pipe; common practice. */
const BEND_ROOM = 1.5;

/** Pipes whose diameters differ by more do not go into one another [m]; common practice. */
const SAME_BORE = 0.002;

/** From the end of the pipe to the trench down to the pipe in it, both at the inside bottom [m]; null without a pipe in the trench. */
export function inletDrop({ inlet, floor, pipe }: OverflowTrench): number | null {
  return pipe === null ? null : inlet.outletInvert - (floor + pipe.rise);
}

function riserLength(trench: OverflowTrench, { crest }: Emitter): number {
  return Math.max(0, crest - (trench.lowFloor + (trench.pipe?.rise ?? 0)));
}

/** A weep hole drains the foot of the riser, through the third mouth of a tee. */
function footName({ weepHole }: Emitter): string {
  return weepHole === null ? "elbow under the emitter" : "tee under the emitter, for its weep hole";
}

/** Fittings of one name and size in one line, in the order of the first of them. */
function gathered(all: readonly Fitting[]): Fitting[] {
  const sums = new Map<string, Fitting>();
  for (const fitting of all) {
    const key = `${fitting.name} ${fitting.diameter}`;
    sums.set(key, { ...fitting, count: fitting.count + (sums.get(key)?.count ?? 0) });
  }
  return [...sums.values()].filter(({ count }) => count > 0);
}
