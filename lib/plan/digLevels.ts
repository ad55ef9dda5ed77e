import { materialFigures } from "../site/materials.ts";
import type { Site } from "../site/site.ts";
import { inletDrop } from "./pipeOrder.ts";

/** A level to dig or to set, in the order in which it is done: from the outlet up, then from the floor to the cover. */
export interface DigLevel {
  readonly what: "trenchFloorLow" | "trenchFloorHigh" | "trenchPipeLow" | "trenchPipeHigh" | "inletEnd" | "inletStart" | "pitFloor" | "chamberFoot" | "pipeEnd"
    | "boxHole" | "boxFloor" | "boxOutlet" | "boxRim" | "chamberTop" | "pitStone" | "trenchStoneHigh" | "trenchStoneLow" | "weepHole" | "emitter" | "lip" | "grate";
  /** place of the box in the file's list; null for all else */
  readonly box: number | null;
  readonly level: number;
  /** of the ground there [m], at a box its rim; null where the file gives none */
  readonly ground: number | null;
  /** fall of the pipe or the trench that begins here, a ratio; null where none does or it has no length */
  readonly fall: number | null;
  /** from the end of a pipe down to the next one, where they lie at two levels [m]; null for all else */
  readonly drop: number | null;
  /** what it may be off, by kind */
  readonly care: "floor" | "pipe" | "lid" | "stone" | "rim";
}

/** Every level that a crew sets, in its order. */
export function digLevels(site: Site): DigLevel[] {
  const { settlingBoxes, chamberBank: pit, overflowTrench: trench, emitter, lowSpot } = site;
  const row = (what: DigLevel["what"], level: number, ground: number | null, care: DigLevel["care"], more: { box?: number; fall?: number | null; drop?: number | null } = {}): DigLevel =>
    ({ what, box: more.box ?? null, level, ground, fall: more.fall ?? null, drop: more.drop ?? null, care });
  const slope = (drop: number, length: number): number | null => (length > 0 ? drop / length : null);
  const { boxWall, boxBase } = materialFigures(site).figures;
  const drop = trench === null ? null : inletDrop(trench);
  const along = trench === null ? null : slope(trench.fall, trench.length);
  const inletFall = trench === null ? null : slope(trench.inlet.invert - trench.inlet.outletInvert, trench.inlet.length);
  return [
    ...(trench === null ? [] : [
      row("trenchFloorLow", trench.lowFloor, trench.ground.low, "floor"),
      row("trenchFloorHigh", trench.floor, trench.ground.high, "floor", { fall: along }),
      ...(trench.pipe === null ? [] : [
        row("trenchPipeLow", trench.lowFloor + trench.pipe.rise, trench.ground.low, "pipe"),
        row("trenchPipeHigh", trench.floor + trench.pipe.rise, trench.ground.high, "pipe", { fall: along }),
      ]),
      row("inletEnd", trench.inlet.outletInvert, trench.ground.high, "pipe", { drop: Math.abs(drop ?? 0) < 5e-4 ? null : drop }),
    ]),
    row("pitFloor", pit.floor, pit.ground, "floor"),
    ...(pit.chambers.length === 0 ? [] : [row("chamberFoot", pit.floor + pit.stone.base, pit.ground, "stone")]),
    ...(trench === null ? [] : [row("inletStart", trench.inlet.invert, pit.ground, "pipe", { fall: inletFall })]),
    ...settlingBoxes.flatMap(({ floor, rim, outlet }, box) => [
      row("boxHole", floor - boxWall - boxBase, rim, "floor", { box }),
      row("pipeEnd", outlet.outletInvert, pit.ground, "pipe", { box }),
      row("boxFloor", floor, rim, "floor", { box }),
      row("boxOutlet", outlet.invert, rim, "pipe", { box, fall: slope(outlet.invert - outlet.outletInvert, outlet.length) }),
      row("boxRim", rim, null, "rim", { box }),
    ]),
    ...[...new Set(pit.chambers.map(({ height }) => height))].sort((a, b) => a - b).map((height) => row("chamberTop", pit.floor + pit.stone.base + height, pit.ground, "stone")),
    row("pitStone", pit.stoneTop, pit.ground, "stone"),
    ...(trench === null ? [] : [
      row("trenchStoneLow", trench.stoneTop.low, trench.ground.low, "stone"), row("trenchStoneHigh", trench.stoneTop.high, trench.ground.high, "stone"),
    ]),
    ...(emitter === null || trench === null ? [] : [
      ...(emitter.weepHole === null ? [] : [row("weepHole", emitter.weepHole.elevation, null, "pipe")]),
      row("emitter", emitter.crest, emitter.dischargesTo === null ? trench.ground.low : null, "lid"),
    ]),
    ...(lowSpot === null ? [] : [
      row("lip", lowSpot.lip, null, "rim"), ...(lowSpot.grate === null ? [] : [row("grate", lowSpot.grate.level, null, "rim")]),
    ]),
  ];
}
