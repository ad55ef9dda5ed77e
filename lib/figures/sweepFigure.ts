import { volumeText } from "../units/format.ts";
import type { Site } from "../site/site.ts";
import type { Sweep, SweepCell, SweepRow, SweptDesign } from "../study/sweep.ts";
import type { Annotation, Figure, Shape } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietConfig } from "./look.ts";
import { plainText, plotText } from "./plainText.ts";
import { opensAt } from "./referenceLevels.ts";
import { soilText } from "./runSubtitle.ts";
import { shortNumber } from "./shortNumber.ts";
import { periodWords, SHORT_STATE, sweepAnswer } from "./sweepAnswer.ts";
import { textWidth } from "./textWidth.ts";

/**
 * Storms of many durations and return periods as small pictures of the works, each at its highest water: how far the pit and the
 * trench are filled, whether the lid is up, whether water comes out elsewhere, in words beneath, and what the emitter lets out. The
 * worst duration of each return period is framed. The title is the answer.
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
/** Height of a small picture without its words, and the least width of one [px]. */
const PICTURE = 58;
const LEAST = 64;

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
  return sweep.designs.map((design) => {
    const heads = {
      durations: sweep.durations.map((each) => plainText(each, 12)),
      periods: design.rows.map(({ returnPeriod }) => periodWords(returnPeriod)),
    };
    const side = (names: readonly string[]): number => Math.ceil(Math.max(...names.map((name) => textWidth(name, small, true)))) + 10;
    const inner = width - 2 * EDGE;
    const upright = (inner - side(heads.periods)) / heads.durations.length >= LEAST;
    const left = side(upright ? heads.periods : heads.durations);
    const columns = upright ? heads.durations : heads.periods;
    const names = upright ? heads.periods : heads.durations;
    const cell = { width: Math.min(130, (inner - left) / columns.length), height: PICTURE + 2.9 * small };
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
    columns.forEach((name, k) => { text(name, left + (k + 0.5) * cell.width, top, true); });
    top += small * 1.8;
    names.forEach((name, r) => {
      text(name, 0, top + r * cell.height + PICTURE / 2, true, { xanchor: "left", yanchor: "middle" });
      columns.forEach((_, k) => {
        const [row, c] = upright ? [design.rows[r]!, k] : [design.rows[k]!, r];
        const place = { x: left + k * cell.width, y: top + r * cell.height, width: cell.width };
        drawCell(grid, design.site, row, row.cells[c]!, place, text, small);
      });
    });
    top += names.length * cell.height + 10;
    return { ...grid, bottom: top };
  });
}

/** The upper left corner of a small picture, and its width [px]. */
interface Place {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

type Write = (words: string, x: number, y: number, bold: boolean, more?: Partial<Annotation>) => void;

function drawCell(
  { shapes }: Grid, site: Site, row: SweepRow, cell: SweepCell, place: Place, text: Write, small: number,
): void {
  shapes.push(...smallPicture(site, cell, place));
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
  if (volume > 0) text(volumeText(volume, site.units), middle, below + small * 1.25, isWorst, { font: font(small, colour) });
  if (isWorst) {
    shapes.push({
      type: "rect", xref: "x", yref: "y", x0: place.x + 2, x1: place.x + place.width - 2, y0: place.y, y1: below + small * 2.65,
      line: { color: ink.soft, width: 1, dash: "dot" }, layer: "below",
    });
  }
}

/** The duration with most out at the surface, or out of the emitter, or with the pit highest. */
function worstDuration({ critical }: SweepRow): string | null {
  return (critical.spilled ?? critical.emitterVolume ?? critical.pitPeak)?.duration ?? null;
}

/** The works in a nutshell: pit, trench and lid between ground and pit floor, each with its highest water. */
function smallPicture(site: Site, { answers, state }: SweepCell, { x, y, width }: Place): Shape[] {
  const { chamberBank: bank, overflowTrench: trench } = site;
  const topLevel = Math.max(bank.ground, trench?.ground ?? -Infinity);
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
  const stoneTop = bank.floor + bank.stone.depth;
  const peak = Math.min(answers.pitPeak, Math.max(stoneTop, bank.ground));
  if (peak > bank.floor) shapes.push(rect(0.06, 0.38, peak, bank.floor, none, `${lines.pit.color}b0`));
  shapes.push(rect(0.06, 0.38, stoneTop, bank.floor, lines.pit.color, none));
  if (trench !== null) {
    const low = trench.floor - trench.fall;
    shapes.push(stroke(at(0.44), down(trench.ground), at(1), down(trench.ground), ink.rule, 1));
    const water = Math.min(answers.trenchPeak, trench.ground);
    if (water > low) shapes.push(rect(0.44, 0.88, water, low, none, `${lines.trench.color}90`));
    shapes.push(rect(0.44, 0.88, trench.floor + trench.stone.depth, low, lines.trench.color, none));
    const sill = opensAt(site);
    if (sill !== null) shapes.push(...lid(at(0.93), down(sill), answers.openTime > 0, stroke));
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

function designWords({ name, rows, site }: SweptDesign): string {
  const letOut = (volume: number): string => (volume > 0 ? ` ${volumeText(volume, site.units)}` : "");
  const words = rows.map(({ returnPeriod, cells }) => `${periodWords(returnPeriod)}: ${cells
    .map(({ duration, state, answers }) => `${plainText(duration, 20)} ${state}${letOut(answers.emitterVolume)}`).join(", ")}`);
  return `${plainText(name, 60)}. ${words.join("; ")}.`;
}
