import { greatestOf, leastOf } from "../../numerics/extremes.ts";
import { ink, lines } from "../../figures/look.ts";
import { chamberLayout } from "../../plan/chamberLayout.ts";
import { materialFigures } from "../../site/materials.ts";
import type { Site } from "../../site/site.ts";
import type { Markup } from "../markup.ts";
import { draw, svg, type Spot } from "./svg.ts";

/** Where on the section a level stands. */
export type Station = { readonly box: number } | { readonly boxOut: number } | "pit" | "pitOut" | "trenchHigh" | "trenchLow" | "emitter" | "lowSpot";

/** A number on the section, which a table explains. */
export interface SectionMark {
  readonly n: number;
  readonly station: Station;
  readonly level: number;
}

/** Water levels to be drawn, of each box, the pit and the trench, and what runs. */
export interface SectionWater {
  readonly boxes: readonly number[];
  readonly pit: number;
  readonly trench: number | null;
  readonly emitter: boolean;
}

const WIDTH = 700;

/**
 * The works cut open along the water's way: heights to scale, lengths not. It has no words, so that it serves every language; numbers in
 * circles point at levels, and water stands where it is said to.
 */
export function sectionDrawing(site: Site, words: string, options: {
  readonly marks?: readonly SectionMark[]; readonly water?: SectionWater; readonly height?: number }): Markup {
  const { settlingBoxes: boxes, chamberBank: pit, overflowTrench: trench, emitter } = site;
  const { marks = [], water, height = 250 } = options;
  const { boxWall, boxBase } = materialFigures(site).figures;
  const levels = [
    ...boxes.flatMap(({ rim, floor }) => [rim, floor - boxWall - boxBase]), pit.ground, pit.floor,
    ...(trench === null ? [] : [trench.ground.high, trench.ground.low, trench.lowFloor]), ...(emitter === null ? [] : [emitter.opensAt]),
    ...marks.map(({ level }) => level),
  ];
  const [low, high] = [leastOf(levels), greatestOf(levels)];
  const y = (level: number): number => 20 + ((high - level) / (high - low)) * (height - 34);
  const each = boxes.length === 1 ? 78 : 150 / boxes.length;
  const boxEnd = 24 + (boxes.length === 1 ? 78 : 150);
  const [pitLeft, pitRight] = [boxEnd + 52, trench === null ? WIDTH - 40 : boxEnd + 262];
  const [trenchLeft, trenchRight] = [pitRight + 44, WIDTH - 62];
  const boxAt = (i: number): [number, number] => [24 + i * each + 4, 24 + (i + 1) * each - (boxes.length === 1 ? 4 : 12)];
  const strokes: string[] = [];
  const thin = `stroke="${ink.text}" stroke-width="1.3"`;
  const wet = `fill="#9cc3df" stroke="none"`;

  // ground over all
  const ground: Spot[] = [[0, y(boxes[0]!.rim)], [boxEnd + 14, y(boxes[0]!.rim)], [pitLeft, y(pit.ground)], [pitRight, y(pit.ground)],
    ...(trench === null ? [[WIDTH, y(pit.ground)] as Spot] : [[trenchLeft, y(trench.ground.high)] as Spot,
      [trenchRight + 20, y(trench.ground.low)] as Spot, [WIDTH, y(trench.ground.low)] as Spot])];
  strokes.push(draw.area([...ground, [WIDTH, height], [0, height]], `fill="#efe9dc" stroke="none"`), draw.line(ground, `stroke="#6b5636" stroke-width="2"`));

  // pit
  strokes.push(draw.box(pitLeft, y(pit.stoneTop), pitRight - pitLeft, y(pit.floor) - y(pit.stoneTop), `fill="url(#stone)" ${thin}`));
  // the row that is cut through; those behind it stand hidden
  const chambers = pit.chambers.flatMap(({ count, height: tall, outsideDiameter }) =>
    Array.from({ length: count }, () => ({ tall, outsideDiameter }))).slice(0, chamberLayout(pit)?.along ?? 0);
  const pitch = (pitRight - pitLeft) / Math.max(1, chambers.length);
  const foot = pit.floor + pit.stone.base;
  const chamberAt = (i: number): [number, number] => [pitLeft + i * pitch + 0.14 * pitch, 0.72 * pitch];
  const [firstWall, lastWall] = chambers.length === 0 ? [pitLeft, pitRight]
    : [chamberAt(0)[0], chamberAt(chambers.length - 1)[0] + chamberAt(0)[1]];
  // pipes, which run on through the stone to the chambers
  const bore = ({ diameter }: { readonly diameter: number }): number => diameter * (y(0) - y(1));
  boxes.forEach(({ outlet }, i) => {
    const end = y(outlet.outletInvert);
    strokes.push(pipe([boxAt(i)[1], y(outlet.invert)], [pitLeft, end], bore(outlet)), pipe([pitLeft, end], [firstWall, end], bore(outlet)));
  });
  if (trench !== null) {
    const [start, end, wide] = [y(trench.inlet.invert), y(trench.inlet.outletInvert), bore(trench.inlet)];
    strokes.push(pipe([lastWall, start], [pitRight, start], wide), pipe([pitRight, start], [trenchLeft, end], wide));
  }
  chambers.forEach(({ tall }, i) => strokes.push(draw.box(chamberAt(i)[0], y(foot + tall), chamberAt(i)[1], y(foot) - y(foot + tall), `fill="#fff" ${thin}`)));
  if (water !== undefined && water.pit > pit.floor) {
    const top = Math.min(water.pit, pit.ground);
    strokes.push(draw.box(pitLeft, y(top), pitRight - pitLeft, y(pit.floor) - y(top), `${wet} fill-opacity="0.6"`), surface([pitLeft, y(top)], [pitRight, y(top)]));
    chambers.forEach(({ tall }, i) => strokes.push(draw.box(chamberAt(i)[0], y(foot + tall), chamberAt(i)[1], y(foot) - y(foot + tall), `fill="none" ${thin}`)));
  }
  strokes.push(draw.line([[pitLeft, y(pit.ground)], [pitLeft, y(pit.floor)], [pitRight, y(pit.floor)], [pitRight, y(pit.ground)]], `stroke="${lines.pit.color}" stroke-width="2.4"`));

  // boxes
  boxes.forEach(({ rim, floor }, i) => {
    const [left, right] = boxAt(i);
    // its floor, and the bed on which it stands
    const under = floor - boxWall;
    strokes.push(draw.box(left - 6, y(under), right - left + 12, y(under - boxBase) - y(under), `fill="url(#stone)" stroke="#6b5636" stroke-width="1.2"`), draw.box(left, y(floor), right - left, y(under) - y(floor), `fill="${lines.box.color}" stroke="none"`));
    strokes.push(draw.box(left, y(rim), right - left, y(floor) - y(rim), `fill="#fff" stroke="${lines.box.color}" stroke-width="2.2"`));
    const level = water?.boxes[i];
    if (level !== undefined && level > floor) strokes.push(draw.box(left + 1, y(Math.min(level, rim)), right - left - 2,
      y(floor) - y(Math.min(level, rim)) - 1, wet), surface([left, y(Math.min(level, rim))], [right, y(Math.min(level, rim))]));
  });

  // trench
  if (trench !== null) {
    const [hi, lo] = [trench.stoneTop.high, trench.stoneTop.low];
    strokes.push(draw.area([[trenchLeft, y(hi)], [trenchRight, y(lo)], [trenchRight, y(trench.lowFloor)], [trenchLeft, y(trench.floor)]], `fill="url(#stone)" stroke="${lines.trench.color}" stroke-width="1.6"`));
    if (water !== undefined && water.trench !== null && water.trench > trench.lowFloor) {
      const level = Math.min(water.trench, trench.ground.low);
      // the floor falls to the right: water fills the low end first
      const share = trench.fall === 0 ? 0 : Math.max(0, Math.min(1, (trench.floor - level) / trench.fall));
      const from = trenchLeft + share * (trenchRight - trenchLeft);
      strokes.push(draw.area([[from, y(level)], [trenchRight, y(level)], [trenchRight, y(trench.lowFloor)], [from, y(trench.floor - share * trench.fall)]], `${wet} fill-opacity="0.6"`), surface([from, y(level)], [trenchRight, y(level)]));
    }
    if (trench.pipe !== null) {
      const [from, to] = [trench.floor, trench.lowFloor].map((floor) => y(floor + trench.pipe!.rise));
      strokes.push(pipe([trenchLeft, from!], [trenchRight + 12, to!], bore({ diameter: trench.pipe.insideDiameter }), "4 2"));
    }
    if (emitter !== null) {
      const x = trenchRight + 18;
      strokes.push(draw.line([[trenchRight + 8, y(trench.lowFloor + (trench.pipe?.rise ?? 0))], [x, y(trench.lowFloor + (trench.pipe?.rise ?? 0))], [x, y(emitter.crest)]], `stroke="${lines.emitter.color}" stroke-width="6"`));
      strokes.push(draw.line(water?.emitter === true ? [[x - 11, y(emitter.crest) - 3], [x + 9, y(emitter.crest) - 13]] : [[x - 10, y(emitter.crest) - 2], [x + 10, y(emitter.crest) - 2]], `stroke="${ink.text}" stroke-width="3"`));
      if (water?.emitter === true) strokes.push(draw.line([[x + 4, y(emitter.crest) - 1], [x + 16, y(emitter.crest) + 2], [WIDTH, y(Math.min(emitter.crest, trench.ground.low)) + 4]], `stroke="#2b6c9c" stroke-width="3.5"`));
    }
  }

  // numbers, pushed apart where levels lie close
  const columns = new Map<string, { mark: SectionMark; x: number; side: 1 | -1 }[]>();
  for (const mark of marks) {
    const place = placeOf(mark.station);
    if (place === null) continue;
    const key = `${place.x} ${place.side}`;
    columns.set(key, [...columns.get(key) ?? [], { mark, ...place }]);
  }
  for (const column of columns.values()) {
    column.sort((a, b) => b.mark.level - a.mark.level);
    let last = -Infinity;
    const over = Math.max(0, y(column[0]!.mark.level) + 15.5 * (column.length - 1) - (height - 8));
    column.forEach(({ mark, x, side }, i) => {
      const at = Math.max(last + 15.5, Math.max(8, y(mark.level) - (i === 0 ? over : 0)));
      last = at;
      strokes.push(draw.line([[x, y(mark.level)], [x + side * 12, at]], `stroke="${ink.text}" stroke-width="0.8"`), draw.circle([x + side * 18, at], 7.2, `fill="#fff" stroke="${ink.text}" stroke-width="1"`), draw.text([x + side * 18, at + 3.6], String(mark.n), { size: 9.5, anchor: "middle", bold: true }));
    });
  }
  function placeOf(station: Station): { x: number; side: 1 | -1 } | null {
    if (station === "pit") return { x: pitLeft, side: -1 };
    if (station === "pitOut") return { x: pitRight, side: 1 };
    if (station === "trenchHigh") return trench === null ? null : { x: trenchLeft, side: 1 };
    if (station === "trenchLow") return trench === null ? null : { x: trenchRight, side: -1 };
    if (station === "emitter") return emitter === null ? null : { x: trenchRight + 18, side: 1 };
    if (station === "lowSpot") return null;
    return "boxOut" in station ? { x: boxAt(station.boxOut)[1], side: 1 } : { x: boxAt(station.box)[0], side: -1 };
  }
  return svg(WIDTH, height, words, strokes, STONE);
}

const STONE = `<pattern id="stone" width="9" height="9" patternUnits="userSpaceOnUse"><rect width="9" height="9" fill="#f7f4ee"/><circle cx="2.5" cy="2.5" r="1.5" fill="none" stroke="#a8a294" stroke-width="0.7"/><circle cx="7" cy="6.6" r="1.8" fill="none" stroke="#a8a294" stroke-width="0.7"/></pattern>`;

function pipe([x1, y1]: Spot, [x2, y2]: Spot, bore: number, dash: string = "none"): string {
  const thick = Math.max(3, bore);
  return draw.area([[x1, y1], [x2, y2], [x2, y2 - thick], [x1, y1 - thick]], `fill="#fff" stroke="${ink.text}" stroke-width="1" stroke-dasharray="${dash}"`);
}

function surface([x1, y1]: Spot, [x2, y2]: Spot): string {
  return draw.line([[x1, y1], [x2, y2]], `stroke="#1c5f92" stroke-width="2"`);
}
