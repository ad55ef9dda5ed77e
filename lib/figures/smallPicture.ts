import type { Site } from "../site/site.ts";
import type { SweepCell } from "../study/sweep.ts";
import type { Shape } from "./figure.ts";
import { ink, lines } from "./look.ts";
import { shortNumber } from "../text/shortNumber.ts";

/** The upper left corner of a small picture, and its width [px]. */
export interface PicturePlace {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

/** Height of a small picture without its words [px]. */
export const PICTURE = 58;

/** Where the parts stand in a small picture, from 0 at its left to 1 at its right. */
export const PARTS: Readonly<Record<"pit" | "trench" | "lid", number>> = Object.freeze({ pit: 0.22, trench: 0.66, lid: 0.93 });

/** The works in a nutshell, in pixels that run downwards: pit, trench and lid between ground and pit floor, each with its highest water. */
export function smallPicture(site: Site, { answers, state }: SweepCell, { x, y, width }: PicturePlace): Shape[] {
  const { chamberBank: bank, overflowTrench: trench, emitter } = site;
  const topLevel = Math.max(bank.ground, trench?.ground.high ?? -Infinity, trench?.ground.low ?? -Infinity);
  const perMetre = (PICTURE - 16) / (topLevel - bank.floor);
  const down = (level: number): number => shortNumber(y + 12 + (topLevel - Math.min(topLevel, Math.max(bank.floor, level))) * perMetre);
  const at = (share: number): number => shortNumber(x + 4 + share * (width - 8));
  const rect = (from: number, to: number, high: number, low: number, line: string, fill: string): Shape => ({
    type: "rect", xref: "x", yref: "y", x0: at(from), x1: at(to), y0: down(high), y1: down(low), line: { color: line, width: 1 },
    fillcolor: fill, layer: "below",
  });
  const stroke: Stroke = (x0, y0, x1, y1, color, thick) => ({
    type: "line", xref: "x", yref: "y", x0, y0, x1, y1, line: { color, width: thick }, layer: "above",
  });
  const none = "rgba(0,0,0,0)";
  const shapes: Shape[] = [stroke(at(0), down(bank.ground), at(trench === null ? 1 : 0.44), down(bank.ground), ink.rule, 1)];
  const { stoneTop } = bank;
  const peak = Math.min(answers.pitPeak, Math.max(stoneTop, bank.ground));
  if (peak > bank.floor) shapes.push(rect(0.06, 0.38, peak, bank.floor, none, `${lines.pit.color}b0`));
  shapes.push(rect(0.06, 0.38, stoneTop, bank.floor, lines.pit.color, none));
  if (trench !== null) {
    const low = trench.lowFloor;
    shapes.push(stroke(at(0.44), down(trench.ground.high), at(1), down(trench.ground.low), ink.rule, 1));
    const water = Math.min(answers.trenchPeak, trench.lowestGround);
    if (water > low) shapes.push(rect(0.44, 0.88, water, low, none, `${lines.trench.color}90`));
    shapes.push(rect(0.44, 0.88, trench.stoneTop.high, low, lines.trench.color, none));
    const sill = down(trench.inlet.crest);
    shapes.push(stroke(at(0.38), sill, at(0.44), sill, ink.soft, 2));
    if (emitter !== null) for (const each of lid(at(PARTS.lid), down(emitter.opensAt), answers.openTime > 0, stroke)) shapes.push(each);
  }
  // three strokes over the ground: water where it should not be
  if (state === "out at the surface") {
    const ground = down(bank.ground);
    for (const share of [0.14, 0.22, 0.3]) shapes.push(stroke(at(share), ground - 3, at(share) + 3, ground - 11, lines.emitter.color, 2));
  }
  return shapes;
}

type Stroke = (x0: number, y0: number, x1: number, y1: number, color: string, thick: number) => Shape;

/** Shut it lies flat; up it stands aslant over its jet. */
function lid(x: number, y: number, isUp: boolean, stroke: Stroke): Shape[] {
  const { color } = lines.emitter;
  if (!isUp) return [stroke(x - 4, y, x + 4, y, color, 2)];
  return [stroke(x - 4, y, x + 3, y - 8, color, 2), stroke(x, y, x + 4, y - 4, color, 1.2), stroke(x + 2, y, x + 6, y - 3, color, 1.2)];
}
