import { greatestOf } from "../numerics/extremes.ts";
import type { Site } from "../site/site.ts";
import type { Sweep, SweepCell, SweepRow, SweptDesign } from "../study/sweep.ts";
import { volumeText } from "../text/format.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import type { Annotation, Figure, Shape } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietConfig } from "./look.ts";
import { soilText } from "./runSubtitle.ts";
import { periodWords, SHORT_STATE, sweepAnswer } from "./sweepAnswer.ts";
import { textWidth } from "./textWidth.ts";

/** The upper left corner of a small picture, and its width [px]. */
interface PicturePlace {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

/** Height of a small picture without its words [px]. */
const PICTURE = 58;

/** Where the parts stand in a small picture, from 0 at its left to 1 at its right. */
const PARTS: Readonly<Record<"pit" | "trench" | "lid", number>> = Object.freeze({ pit: 0.22, trench: 0.66, lid: 0.93 });

/** The works in a nutshell, in pixels that run downwards: pit, trench and lid between ground and pit floor, each with its highest water. */
function smallPicture(site: Site, { answers, state }: SweepCell, { x, y, width }: PicturePlace): Shape[] {
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

/**
 * Storms of many durations and return periods as small pictures of the works, each at its highest water: how far the pit and the
 * trench are filled, whether the lid is up, whether water comes out elsewhere, in words beneath, and what the emitter lets out. The
 * worst duration of each return period is framed, with the word that says of what. The title is the answer.
 *
 * A row is a return period and a column a duration; where they would be too narrow it is the other way round.
 */
export function sweepFigure(sweep: Sweep, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const { site } = sweep.designs[0]!;
  const answer = sweepAnswer(sweep);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(`${plainText(site.name, 60)} · ${soilText(site)}`, Infinity), width);
  const top = title?.height ?? 4;
  const grids = gridsOf(sweep, width);
  const height = grids.at(-1)!.bottom;
  return {
    data: [],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + height + EDGE),
      margin: { l: EDGE, r: EDGE, t: top, b: EDGE },
      hovermode: false,
      dragmode: false,
      // a pixel is a unit of both axes; the second runs downwards
      xaxis: { range: [0, width - 2 * EDGE], showgrid: false, zeroline: false, showticklabels: false, fixedrange: true },
      yaxis: { range: [height, 0], showgrid: false, zeroline: false, showticklabels: false, fixedrange: true },
      annotations: grids.flatMap(({ annotations }) => annotations),
      shapes: grids.flatMap(({ shapes }) => shapes),
    },
    config: quietConfig(),
    answer,
    description: `${answer} ${sweep.designs.map(designWords).join(" ")}`,
  };
}

const EDGE = 8;
/** Width of a small picture, the least and the most [px]. */
const LEAST = 64;
const WIDEST = 150;
/** Rows of words beneath a small picture, in sizes of their letters. */
const WORDS = 2.65;
/** Between a picture's words and the next picture, so that their frames do not meet [px]. */
const BETWEEN = 12;

interface Grid {
  readonly annotations: Annotation[];
  readonly shapes: Shape[];
  /** [px] */
  readonly bottom: number;
}

/** The designs' grids, one below the other. */
function gridsOf(sweep: Sweep, width: number): Grid[] {
  const { small, body } = letterSizes(width);
  let top = 0;
  return sweep.designs.map((design, d) => {
    const heads = {
      durations: sweep.durations.map((each) => plainText(each, 12)),
      periods: design.rows.map(({ returnPeriod }) => periodWords(returnPeriod)),
    };
    const side = (names: readonly string[]): number => Math.ceil(greatestOf(names.map((name) => textWidth(name, small, true)))) + 10;
    const inner = width - 2 * EDGE;
    const upright = (inner - side(heads.periods)) / heads.durations.length >= LEAST;
    const left = side(upright ? heads.periods : heads.durations);
    const columns = upright ? heads.durations : heads.periods;
    const names = upright ? heads.periods : heads.durations;
    // More columns than there is room for go on in a block beneath.
    const abreast = Math.min(columns.length, Math.max(1, Math.floor((inner - left) / LEAST)));
    const cell = { width: Math.min(WIDEST, (inner - left) / abreast), height: PICTURE + WORDS * small + BETWEEN };
    const grid: Grid = { annotations: [], shapes: [], bottom: 0 };
    const text = (words: string, x: number, y: number, bold: boolean, more: Partial<Annotation> = {}): void => {
      grid.annotations.push({
        text: bold ? `<b>${plotText(words, Infinity)}</b>` : plotText(words, Infinity), x: shortNumber(x), y: shortNumber(y), xref: "x", yref: "y",
        xanchor: "center", yanchor: "top", showarrow: false, font: font(small), ...more,
      });
    };
    if (sweep.designs.length > 1) {
      text(plainText(design.name, 60), 0, top, true, { xanchor: "left", font: font(body) });
      top += body * 1.7;
    }
    for (let from = 0; from < columns.length; from += abreast) {
      const block = columns.slice(from, from + abreast);
      block.forEach((name, k) => { text(name, left + (k + 0.5) * cell.width, top, true); });
      const isFirst = d === 0 && from === 0;
      top += small * (isFirst ? 2.8 : 1.8);
      if (isFirst) nameParts(design.site, { x: left, y: top, width: cell.width }, text, small);
      names.forEach((name, r) => {
        text(name, 0, top + r * cell.height + PICTURE / 2, true, { xanchor: "left", yanchor: "middle" });
        block.forEach((_, k) => {
          const [row, c] = upright ? [design.rows[r]!, from + k] : [design.rows[from + k]!, r];
          const place = { x: left + k * cell.width, y: top + r * cell.height, width: cell.width };
          drawCell(grid, design.site, row, row.cells[c]!, place, text, small);
        });
      });
      top += names.length * cell.height + 10;
    }
    return { ...grid, bottom: top };
  });
}

type Write = (words: string, x: number, y: number, bold: boolean, more?: Partial<Annotation>) => void;

/** What is what, over the first small picture; where there is no room for all of it, the lid goes without. */
function nameParts(site: Site, { x, y, width }: PicturePlace, text: Write, small: number): void {
  const there = { pit: true, trench: site.overflowTrench !== null, lid: site.emitter !== null };
  let end = -Infinity;
  for (const name of ["pit", "trench", "lid"] as const) {
    if (!there[name]) continue;
    const middle = x + 4 + PARTS[name] * (width - 8);
    const half = textWidth(name, small) / 2;
    if (middle - half < end + 3) continue;
    text(name, middle, y + 10, false, { yanchor: "bottom", font: font(small, ink.soft) });
    end = middle + half;
  }
}

function drawCell(
  { shapes }: Grid, site: Site, row: SweepRow, cell: SweepCell, place: PicturePlace, text: Write, small: number,
): void {
  for (const each of smallPicture(site, cell, place)) shapes.push(each);
  const worst = worstDuration(row);
  const middle = place.x + place.width / 2;
  const below = place.y + PICTURE + 2;
  if (cell.answers.stopped === 1) {
    text("not run", middle, below, false, { font: font(small, ink.soft) });
    return;
  }
  const isWorst = cell.duration === worst;
  const colour = cell.state === "emitter firing" || cell.state === "out at the surface" ? lines.emitter.color : ink.text;
  text(SHORT_STATE[cell.state], middle, below, isWorst, { font: font(small, colour) });
  const volume = cell.state === "out at the surface" ? cell.answers.spilled : cell.answers.emitterVolume;
  const amount = volume > 0 ? volumeText(volume, site.units) : null;
  const worstWords = amount === null ? "highest" : `most, ${amount}`;
  const under = isWorst && textWidth(worstWords, small, true) < place.width - 6 ? worstWords : amount;
  if (under !== null) text(under, middle, below + small * 1.25, isWorst, { font: font(small, colour) });
  if (isWorst) {
    shapes.push({
      type: "rect", xref: "x", yref: "y", x0: place.x + 2, x1: place.x + place.width - 2, y0: place.y, y1: below + small * WORDS + 3,
      line: { color: ink.soft, width: 1, dash: "dot" }, layer: "below",
    });
  }
}

/** The duration with most out at the surface, or out of the emitter, or with the pit highest. */
function worstDuration({ critical }: SweepRow): string | null {
  return (critical.spilled ?? critical.emitterVolume ?? critical.pitPeak)?.duration ?? null;
}

function designWords({ name, rows, site }: SweptDesign): string {
  const letOut = (volume: number): string => (volume > 0 ? ` ${volumeText(volume, site.units)}` : "");
  const words = rows.map(({ returnPeriod, cells }) => `${periodWords(returnPeriod)}: ${cells
    .map(({ duration, state, answers }) => `${plainText(duration, 20)} ${answers.stopped === 1 ? "not run" : `${state}${letOut(answers.emitterVolume)}`}`).join(", ")}`);
  return `${plainText(name, 60)}. ${words.join("; ")}.`;
}
