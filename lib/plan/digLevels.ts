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
  /** how what begins here falls: level of its other end, and how far off that is [m]; null where nothing does or it has no length */
  readonly falls: { readonly to: number; readonly length: number } | null;
  /** level of the pipe that follows on the end of this one, where they lie at two levels [m]; null for all else */
  readonly dropsTo: number | null;
  /** what it may be off, by kind */
  readonly care: "floor" | "pipe" | "lid" | "stone" | "rim";
}

/** Every level that a crew digs and sets, in the order of its work. */
export function digLevels(site: Site): DigLevel[] {
  const { settlingBoxes, chamberBank: pit, overflowTrench: trench, emitter, lowSpot } = site;
  const row = (task: DigTask, what: DigLevel["what"], level: number, ground: number | null, care: DigLevel["care"], more: { box?: number; falls?: DigLevel["falls"]; dropsTo?: number | null } = {}): DigLevel =>
    ({ what, task, box: more.box ?? null, level, ground, falls: more.falls ?? null, dropsTo: more.dropsTo ?? null, care });
  const falls = (to: number, length: number): DigLevel["falls"] => (length > 0 ? { to, length } : null);
  const { boxWall, boxBase, pipeBed } = materialFigures(site).figures;
  const { fromBoxes, toTrench } = pipeRuns(site);
  const fallOf = ({ pipe, length }: PipeRun, under = 0): DigLevel["falls"] => falls(pipe.outletInvert - under, length);
  const drop = trench === null ? null : inletDrop(trench);
  const hasBed = ({ length }: PipeRun): boolean => length > 0 && pipeBed > 0;
  return [
    ...(trench === null ? [] : [
      row("trench", "trenchFloorLow", trench.lowFloor, trench.ground.low, "floor"),
      row("trench", "trenchFloorHigh", trench.floor, trench.ground.high, "floor", { falls: falls(trench.lowFloor, trench.length) }),
    ]),
    row("pit", "pitFloor", pit.floor, pit.ground, "floor"),
    ...settlingBoxes.flatMap(({ floor, rim, outlet }, box) => [
      row("boxes", "boxHole", floor - boxWall - boxBase, rim, "floor", { box }),
      ...(hasBed(fromBoxes[box]!) ? [
        row("boxes", "pipeBedBox", outlet.invert - pipeBed, rim, "floor", { box, falls: fallOf(fromBoxes[box]!, pipeBed) }),
        row("boxes", "pipeBedPit", outlet.outletInvert - pipeBed, pit.ground, "floor", { box }),
      ] : []),
    ]),
    ...(trench === null || !hasBed(toTrench!) ? [] : [
      row("boxes", "inletBedStart", trench.inlet.invert - pipeBed, pit.ground, "floor", { falls: fallOf(toTrench!, pipeBed) }),
      row("boxes", "inletBedEnd", trench.inlet.outletInvert - pipeBed, trench.ground.high, "floor"),
    ]),
    ...settlingBoxes.flatMap(({ floor, rim }, box) => [
      row("boxes", "boxFloor", floor, rim, "floor", { box }), row("boxes", "boxRim", rim, null, "rim", { box }),
    ]),
    ...(trench === null ? [] : [
      ...(trench.pipe === null ? [] : [
        row("outlet", "trenchPipeLow", trench.lowFloor + trench.pipe.rise, trench.ground.low, "pipe"),
        row("outlet", "trenchPipeHigh", trench.floor + trench.pipe.rise, trench.ground.high, "pipe", { falls: falls(trench.lowFloor + trench.pipe.rise, trench.length) }),
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
      row("pipes", "boxOutlet", outlet.invert, rim, "pipe", { box, falls: fallOf(fromBoxes[box]!) }),
      row("pipes", "pipeEnd", outlet.outletInvert, pit.ground, "pipe", { box }),
    ]),
    ...(trench === null ? [] : [
      row("pipes", "inletStart", trench.inlet.invert, pit.ground, "pipe", { falls: fallOf(toTrench!) }),
      row("pipes", "inletEnd", trench.inlet.outletInvert, trench.ground.high, "pipe", { dropsTo: Math.abs(drop ?? 0) < 5e-4 ? null : trench.floor + trench.pipe!.rise }),
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
