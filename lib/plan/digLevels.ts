import { materialFigures } from "../site/materials.ts";
import type { Site } from "../site/site.ts";
import { pipeRuns, type PipeRun } from "./pipeRuns.ts";
import { inletDrop } from "./pipeTurns.ts";

/** A day's work of the crew, in its order; the outlet is dug and laid first, so that water can leave whatever happens. */
export type DigTask = "trench" | "pit" | "boxes" | "outlet" | "base" | "chambers" | "pipes" | "stone" | "cover";

/** A level to dig or to set. */
export interface DigLevel {
  readonly what: "trenchFloorLow" | "trenchFloorHigh" | "pitFloor" | "boxHole" | "pipeBedBox" | "pipeBedPit" | "inletBedStart" | "inletBedEnd" | "boxFloor" | "boxRim"
    | "trenchPipeLow" | "trenchPipeHigh" | "weepHole" | "emitter" | "chamberFoot" | "chamberTop" | "standpipe" | "boxOutlet" | "pipeEnd" | "inletStart" | "inletEnd"
    | "pitStone" | "trenchStoneLow" | "trenchStoneHigh" | "lip" | "grate";
  /** the work in which it is dug or set */
  readonly task: DigTask;
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

/** Every level that a crew digs and sets, in the order of its work. */
export function digLevels(site: Site): DigLevel[] {
  const { settlingBoxes, chamberBank: pit, overflowTrench: trench, emitter, lowSpot } = site;
  const row = (task: DigTask, what: DigLevel["what"], level: number, ground: number | null, care: DigLevel["care"], more: { box?: number; fall?: number | null; drop?: number | null } = {}): DigLevel =>
    ({ what, task, box: more.box ?? null, level, ground, fall: more.fall ?? null, drop: more.drop ?? null, care });
  const slope = (drop: number, length: number): number | null => (length > 0 ? drop / length : null);
  const { boxWall, boxBase, pipeBed } = materialFigures(site).figures;
  const { fromBoxes, toTrench } = pipeRuns(site);
  const fallOf = ({ pipe, length }: PipeRun): number | null => slope(pipe.invert - pipe.outletInvert, length);
  const drop = trench === null ? null : inletDrop(trench);
  const along = trench === null ? null : slope(trench.fall, trench.length);
  const hasBed = ({ length }: PipeRun): boolean => length > 0 && pipeBed > 0;
  return [
    ...(trench === null ? [] : [
      row("trench", "trenchFloorLow", trench.lowFloor, trench.ground.low, "floor"),
      row("trench", "trenchFloorHigh", trench.floor, trench.ground.high, "floor", { fall: along }),
    ]),
    row("pit", "pitFloor", pit.floor, pit.ground, "floor"),
    ...settlingBoxes.flatMap(({ floor, rim, outlet }, box) => [
      row("boxes", "boxHole", floor - boxWall - boxBase, rim, "floor", { box }),
      ...(hasBed(fromBoxes[box]!) ? [
        row("boxes", "pipeBedBox", outlet.invert - pipeBed, rim, "floor", { box, fall: fallOf(fromBoxes[box]!) }),
        row("boxes", "pipeBedPit", outlet.outletInvert - pipeBed, pit.ground, "floor", { box }),
      ] : []),
    ]),
    ...(trench === null || !hasBed(toTrench!) ? [] : [
      row("boxes", "inletBedStart", trench.inlet.invert - pipeBed, pit.ground, "floor", { fall: fallOf(toTrench!) }),
      row("boxes", "inletBedEnd", trench.inlet.outletInvert - pipeBed, trench.ground.high, "floor"),
    ]),
    ...settlingBoxes.flatMap(({ floor, rim }, box) => [
      row("boxes", "boxFloor", floor, rim, "floor", { box }), row("boxes", "boxRim", rim, null, "rim", { box }),
    ]),
    ...(trench === null ? [] : [
      ...(trench.pipe === null ? [] : [
        row("outlet", "trenchPipeLow", trench.lowFloor + trench.pipe.rise, trench.ground.low, "pipe"),
        row("outlet", "trenchPipeHigh", trench.floor + trench.pipe.rise, trench.ground.high, "pipe", { fall: along }),
      ]),
      ...(emitter === null ? [] : [
        ...(emitter.weepHole === null ? [] : [row("outlet", "weepHole", emitter.weepHole.elevation, null, "pipe")]),
        row("outlet", "emitter", emitter.crest, emitter.dischargesTo === null ? trench.ground.low : null, "lid"),
      ]),
    ]),
    ...(pit.chambers.length === 0 ? [] : [row("base", "chamberFoot", pit.floor + pit.stone.base, pit.ground, "stone")]),
    ...[...new Set(pit.chambers.map(({ height }) => height))].sort((a, b) => a - b).map((height) => row("chambers", "chamberTop", pit.floor + pit.stone.base + height, pit.ground, "stone")),
    row("chambers", "standpipe", pit.ground, pit.ground, "rim"),
    ...settlingBoxes.flatMap(({ rim, outlet }, box) => [
      row("pipes", "boxOutlet", outlet.invert, rim, "pipe", { box, fall: fallOf(fromBoxes[box]!) }),
      row("pipes", "pipeEnd", outlet.outletInvert, pit.ground, "pipe", { box }),
    ]),
    ...(trench === null ? [] : [
      row("pipes", "inletStart", trench.inlet.invert, pit.ground, "pipe", { fall: fallOf(toTrench!) }),
      row("pipes", "inletEnd", trench.inlet.outletInvert, trench.ground.high, "pipe", { drop: Math.abs(drop ?? 0) < 5e-4 ? null : drop }),
    ]),
    row("stone", "pitStone", pit.stoneTop, pit.ground, "stone"),
    ...(trench === null ? [] : [
      row("stone", "trenchStoneLow", trench.stoneTop.low, trench.ground.low, "stone"), row("stone", "trenchStoneHigh", trench.stoneTop.high, trench.ground.high, "stone"),
    ]),
    ...(lowSpot === null ? [] : [
      row("cover", "lip", lowSpot.lip, null, "rim"), ...(lowSpot.grate === null ? [] : [row("cover", "grate", lowSpot.grate.level, null, "rim")]),
    ]),
  ];
}
