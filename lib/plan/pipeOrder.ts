import { pipeRuns } from "./pipeRuns.ts";
import { hasBends, inletDrop, pipeTurns } from "./pipeTurns.ts";
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
  /** of a bend laid level [degrees]; null for all else */
  readonly degrees: number | null;
  /** the pegs at which it goes in; none where the sheets need not say */
  readonly pegs: readonly string[];
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
 * The fittings that what the file holds cannot do without: each pipe's two mouths, a coupling at each joint of two pieces, the bends at
 * which the plan has the pipe turn to the trench and in it, the turn up to the emitter. Tees to several chambers are not in a file.
 */
export function fittings(site: Site, items: readonly PipeItem[]): Fitting[] {
  const { settlingBoxes, overflowTrench: trench, emitter } = site;
  const found: (Pick<Fitting, "name" | "diameter" | "count"> & Partial<Fitting>)[] = settlingBoxes.flatMap(({ outlet: { diameter } }) => [
    { name: "outlet in the box's wall", diameter, count: 1 }, { name: "seal in the box's wall", diameter, count: 1 },
    { name: "screen in front of the box's outlet", diameter, count: 1 }, { name: "plug for the box's outlet, for the fill test", diameter, count: 1 },
    { name: "mouth in the pit", diameter, count: 1 },
  ]);
  found.push({ name: "cap of the standpipe", diameter: settlingBoxes[0]!.outlet.diameter, count: 1 });
  const turns = pipeTurns(site);
  if (trench !== null) {
    const { diameter } = trench.inlet;
    found.push({ name: "mouth in the pit", diameter, count: 1 });
    if (trench.pipe === null) found.push({ name: "mouth in the trench", diameter, count: 1 });
    else if (hasBends(inletDrop(trench)!)) found.push({ name: "bend to the level of the trench pipe", diameter, count: 2 });
    // a flexible coupling at the head of the trench is that one too
    else found.push({ name: "coupling to the trench pipe", diameter, count: turns.some(({ peg, couplings }) => peg === "T1" && couplings > 0) ? 0 : 1 });
    for (const turn of turns) {
      for (const degrees of turn.level) found.push({ name: "bend, laid level", diameter: turn.diameter, count: 1, degrees, pegs: [turn.peg] });
      found.push({ name: "flexible coupling", diameter: turn.diameter, count: turn.couplings, pegs: [turn.peg] });
    }
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

/** Pipes whose diameters differ by more do not go into one another [m]; common practice. */
const SAME_BORE = 0.002;

function riserLength(trench: OverflowTrench, { crest }: Emitter): number {
  return Math.max(0, crest - (trench.lowFloor + (trench.pipe?.rise ?? 0)));
}

/** A weep hole drains the foot of the riser, through the third mouth of a tee. */
function footName({ weepHole }: Emitter): string {
  return weepHole === null ? "elbow under the emitter" : "tee under the emitter, for its weep hole";
}

/** Fittings of one name and size in one line, in the order of the first of them. */
function gathered(found: readonly (Pick<Fitting, "name" | "diameter" | "count"> & Partial<Fitting>)[]): Fitting[] {
  const sums = new Map<string, Fitting>();
  for (const { name, diameter, count, degrees = null, pegs = [] } of found) {
    const key = `${name} ${diameter} ${degrees}`;
    const before = sums.get(key);
    const all = new Set([...before?.pegs ?? [], ...(count > 0 ? pegs : [])]);
    sums.set(key, { name, diameter, degrees, count: count + (before?.count ?? 0), pegs: [...all] });
  }
  return [...sums.values()].filter(({ count }) => count > 0);
}
