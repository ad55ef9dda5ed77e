import { conductivityAt } from "../ground/soilProfile.ts";
import { remembered } from "../numerics/remembered.ts";
import { seepagePath } from "../site/seepagePath.ts";
import type { OverflowTrench, TrenchGround } from "../site/site.ts";
import { groundAtMiddle, groundOfSegment, isLevelGround, lowerEnd } from "../site/trenchGround.ts";
import { emitterRow, pipeRow, slitsRow, slopedWeirRow, stoneBorderRow, weepHoleRow } from "../works/passageRows.ts";
import { pipeBodyStorage, trenchStorage } from "../works/trenchStorage.ts";
import { seepageRow } from "../works/seepage.ts";
import type { StorageCurve } from "../works/storageTable.ts";
import { addCover, addSpill, pipeShape, type Draft } from "./draft.ts";
import { LAW, OUT, SOIL, type Body, type EmitterSwitch } from "./network.ts";

/**
 * The overflow trench as bodies: one, or one a segment from the high end down; with a slit pipe the pipe and the stone
 * apart. The inlet runs into the first, the emitter and its weep hole sit at the last.
 */
export function addTrench(draft: Draft, bank: number, trench: OverflowTrench): Omit<EmitterSwitch, "passage"> | null {
  const count = trench.segments;
  const slit = hasSlitPipe(trench);
  const segments = Array.from({ length: count }, (_, i) => addSegment(draft, trench, i, slit));
  const first = segments[0]!;
  const last = segments[count - 1]!;
  draft.addPassage("trenchInlet", LAW.pipe, bank, first.pipe, null, pipeRow(pipeShape(trench.inlet)));
  for (let i = 0; i + 1 < count; i++) addBorder(draft, trench, i, segments[i]!, segments[i + 1]!);
  return addEmitter(draft, last.pipe, trench.emitterFloor);
}

/** How many bodies `addTrench` adds. */
export function trenchBodies(trench: OverflowTrench | null): number {
  return trench === null ? 0 : trench.segments * (hasSlitPipe(trench) ? 2 : 1);
}

function hasSlitPipe({ pipe }: OverflowTrench): boolean {
  return pipe !== null && pipe.openArea !== null;
}

/** bodies of a segment: alike where pipe and stone share one level */
interface Segment {
  readonly stone: number;
  readonly pipe: number;
}

function lowEnd(trench: OverflowTrench, segment: number): number {
  return trench.floor - (trench.fall * (segment + 1)) / trench.segments;
}

/** The storage of a segment's stone, and of the pipe in it where that is no body of its own. */
export function segmentStorage(trench: OverflowTrench, i: number): StorageCurve {
  const [length, fall] = [trench.length / trench.segments, trench.fall / trench.segments];
  const { width, stone, pipe, coverPorosity, cover } = trench;
  return storageOf({
    floor: lowEnd(trench, i) + fall, fall, length, width, ground: groundOfSegment(trench, i),
    stone: { depth: stone.depth, porosity: stone.porosity }, pipe, pipeInside: !hasSlitPipe(trench), coverPorosity, cover,
  });
}

/** The storage of a shape is asked for again by every site that has the same trench in other water or soil. */
const storageOf = remembered(trenchStorage, 32, (shape) => JSON.stringify(shape));

function addSegment(draft: Draft, trench: OverflowTrench, i: number, slit: boolean): Segment {
  const { soil, groundwater } = draft.site;
  const count = trench.segments;
  const numbered = (name: string): string => (count > 1 ? `${name} ${i + 1}` : name);
  const length = trench.length / count;
  const fall = trench.fall / count;
  const low = lowEnd(trench, i);
  const high = low + fall;
  const own = trench.groundwater;
  const ground = groundOfSegment(trench, i);
  const stoneTop = high + trench.stone.depth;
  const stone = draft.addBody(
    {
      name: numbered("overflowTrench"), kind: "trench", stoneTop, groundwater: own,
      turf: trench.cover === null ? null : thinnestTurf(ground, { high: stoneTop, low: stoneTop - fall }),
      start: (G) => Math.max(low, Math.min(G, lowerEnd(ground))),
    },
    segmentStorage(trench, i),
  );
  const highEnd = i === 0;
  const outerEnd = i === count - 1;
  draft.addPassage(numbered("trenchSeepage"), LAW.seepage, stone, SOIL, "trenchSeepage", seepageRow({
    highFloor: fall < 1e-6 ? low : high, lowFloor: low, depth: trench.stone.depth, length, width: trench.width,
    highEnd, lowEnd: outerEnd,
    floorShare: soil.floor ? trench.openFloorShare : 0,
    sides: soil.sides,
    pathLength: seepagePath(groundwater, trench.width),
  }, draft.soil));
  const ends = { atHigh: highEnd ? trench.width : 0, atLow: outerEnd ? trench.width : 0 };
  if (trench.cover !== null) {
    const middle = groundAtMiddle(ground);
    const thickness = middle - (stoneTop - fall / 2);
    addCover(draft, numbered("trenchSpill"), stone, "trenchSpill", { ...trench, ground: middle }, length * trench.width, thickness);
  } else if (trench.spillsTo === null && !isLevelGround(ground)) {
    draft.addPassage(numbered("trenchSpill"), LAW.slopedWeir, stone, OUT, "trenchSpill", slopedWeirRow(ground, length, ends));
  } else {
    addSpill(draft, numbered("trenchSpill"), stone, "trenchSpill", lowerEnd(ground), 2 * length + ends.atHigh + ends.atLow, trench.spillsTo);
  }
  if (!slit) return { stone, pipe: stone };

  const { insideDiameter, openArea, rise } = trench.pipe!;
  const invert = low + rise;
  const pipe = draft.addBody(
    { name: numbered("trenchPipe"), kind: "pipe", stoneTop: null, groundwater: own, turf: null, start: (G) => Math.max(invert, Math.min(G, lowerEnd(ground))) },
    pipeBodyStorage({ invert: invert + fall, fall, length, diameter: insideDiameter }),
  );
  draft.addPassage(numbered("slits"), LAW.slits, pipe, stone, null, slitsRow(invert, openArea!, length, insideDiameter));
  return { stone, pipe };
}

/** The cover at the end where it is thinnest; of ends alike the one that lifts first. */
function thinnestTurf(ground: TrenchGround, stoneTop: TrenchGround): Turf {
  const [high, low] = (["high", "low"] as const).map((end) => ({ ground: ground[end], thickness: ground[end] - stoneTop[end] })) as [Turf, Turf];
  if (Math.abs(high.thickness - low.thickness) < 1e-9) return high.ground < low.ground ? high : low;
  return high.thickness < low.thickness ? high : low;
}

type Turf = NonNullable<Body["turf"]>;

/** What joins two segments: the trench's own pipe, by friction alone, and the stone. */
function addBorder(draft: Draft, trench: OverflowTrench, i: number, upper: Segment, lower: Segment): void {
  const z = lowEnd(trench, i);
  const length = trench.length / trench.segments;
  if (trench.pipe !== null) {
    draft.addPassage(`trenchPipe ${i + 1} to ${i + 2}`, LAW.pipe, upper.pipe, lower.pipe, null, pipeRow({
      diameter: trench.pipe.insideDiameter, crest: z + trench.pipe.rise, length, manningN: trench.pipe.manningN, losses: 0,
    }));
  }
  draft.addPassage(`stone ${i + 1} to ${i + 2}`, LAW.stone, upper.stone, lower.stone, null,
    stoneBorderRow(z, trench.stone.hydraulicConductivity, trench.width, length, trench.stone.depth));
}

/** The emitter, its switch and its weep hole, at a trench's or a slit pipe's low end. */
function addEmitter(draft: Draft, from: number, lowEnd: number): Omit<EmitterSwitch, "passage"> | null {
  const emitter = draft.site.emitter;
  if (emitter === null) return null;
  const into = emitter.dischargesTo === null ? OUT : draft.lowSpot;
  draft.addPassage(
    "emitter", LAW.emitter, from, into, into === OUT ? "emitter" : null,
    emitterRow(emitter.crest, emitter.tailwater, emitter.diameter),
  );
  if (emitter.weepHole !== null) {
    const { diameter, elevation, soakArea } = emitter.weepHole;
    draft.addPassage("weep", LAW.weepHole, from, SOIL, "weep", weepHoleRow({
      elevation, diameter, soakArea, floor: lowEnd,
      conductivity: conductivityAt(draft.soil, Math.max(elevation, lowEnd)),
      pathLength: seepagePath(draft.site.groundwater, Math.sqrt(soakArea)),
    }));
  }
  const { opensAtHead, closesAtHead } = emitter;
  return { opensAtHead, closesAtHead, heldShut: union(emitter.heldShut) };
}

/** The union of intervals that may overlap, as intervals that are apart and rise. */
function union(intervals: readonly { readonly from: number; readonly to: number }[]): { from: number; to: number }[] {
  const apart: { from: number; to: number }[] = [];
  for (const { from, to } of [...intervals].sort((a, b) => a.from - b.from)) {
    const last = apart[apart.length - 1];
    if (last !== undefined && from <= last.to) last.to = Math.max(last.to, to);
    else apart.push({ from, to });
  }
  return apart;
}
