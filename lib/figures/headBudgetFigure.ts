import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { depthText, displayUnits, levelText } from "../text/format.ts";
import { headBudget, type HeadBudget, type HeadLoss, type HeadPart, type HeadPlace } from "../simulate/headBudget.ts";
import type { Run } from "../simulate/run.ts";
import type { Annotation, BarTrace, Figure, Shape } from "./figure.ts";
import { NO_FLOW } from "./flowRows.ts";
import { momentText } from "../text/hours.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { runSubtitle } from "./runSubtitle.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { textWidth } from "./textWidth.ts";

/**
 * Where the head goes from the box's water to the emitter's jet at a run's worst moment: each loss as a bar in its place,
 * end to end down to the last level, beside the band in which a difference of two surveyed levels lies. What is lost in
 * many places by less than a millimetre stands in one row.
 */
export function headBudgetFigure(run: Run, options: FigureOptions & { readonly surveyError?: number } = {}): Figure {
  const { width = 960, surveyError } = options;
  const budget = headBudget(run, surveyError === undefined ? {} : { surveyError });
  const { body, small } = letterSizes(width);
  const { label, size } = displayUnits(run.site.units).depth;
  const rows = endToEnd(budget.losses);
  const answer = budgetAnswer(run, budget);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(runSubtitle(run, options.storm), Infinity), width);
  const top = title?.height ?? 4;
  const rowHeight = body * 1.3 + BAR + GAP;
  const height = (rows.length + 1) * rowHeight;
  const ends = [0, ...rows.flatMap(({ from, head }) => [from, from + head]), budget.surveyBand];
  const [least, most] = [leastOf(ends), greatestOf([...ends, 1e-3])];
  const plotWidth = width - LEFT - RIGHT;
  const perPixel = (most - least) / plotWidth;
  const barTop = (i: number): number => i * rowHeight + body * 1.3 + 4;
  const name = (words: string, amount: string, from: number, i: number, color: string): Annotation => {
    const room = plotWidth - textWidth(words, body, true) - textWidth(`  ${amount}`, body) - 4;
    const left = Math.max(0, Math.min((from - least) / perPixel, room));
    return {
      text: `<b>${plotText(words)}</b>  ${amount}`, x: shortNumber((least + left * perPixel) / size), y: barTop(i) - 1, xref: "x", yref: "y",
      xanchor: "left", yanchor: "bottom", xshift: -2, showarrow: false, align: "left", font: font(body, color),
    };
  };
  const bar = (words: string, from: number, head: number, i: number, color: string, fill: string): BarTrace => ({
    type: "bar", orientation: "h", name: plotText(words), x: [shortNumber(head / size)], y: [barTop(i) + BAR / 2],
    base: [shortNumber(from / size)], width: [BAR], marker: { color: fill, line: { color, width: 1 } }, hoverinfo: "skip",
    xaxis: "x", yaxis: "y", showlegend: false,
  });
  const band = `± ${depthText(budget.surveyBand, run.site.units)}`;
  return {
    data: [
      ...rows.map(({ words, tone, from, head }, i) => bar(words, from, head, i, lines[tone].color, lines[tone].color)),
      bar(SURVEY, 0, budget.surveyBand, rows.length, ink.soft, ink.paper),
    ],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + height + BOTTOM),
      margin: { l: LEFT, r: RIGHT, t: top, b: BOTTOM },
      hovermode: false,
      dragmode: false,
      barmode: "overlay",
      xaxis: {
        ...quietAxis(width), range: [least / size, (most + 2 * perPixel) / size].map(shortNumber) as [number, number], anchor: "y",
        nticks: width < 560 ? 4 : 8, fixedrange: true, ticks: "outside", ticklen: 4, tickcolor: ink.rule, showline: true, linecolor: ink.rule,
        title: { text: `${label} below the water in the box`, font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { range: [height, 0], showticklabels: false, showgrid: false, zeroline: false, fixedrange: true },
      annotations: [
        ...rows.map(({ words, tone, from, head }, i) =>
          name(words, depthText(head, run.site.units), Math.min(from, from + head), i, lines[tone].color)),
        name(SURVEY, band, 0, rows.length, ink.soft),
      ],
      shapes: [endLine((budget.from - budget.to) / size, height)],
    },
    config: quietConfig(),
    answer,
    description: `Where the head goes from the box to ${endOf(run, budget)}. ${answer} ${rows
      .map(({ words, head }) => `${words} ${depthText(head, run.site.units)}`).join(", ")}; ${SURVEY} ${band}.`,
  };
}

interface BudgetRow {
  readonly words: string;
  readonly tone: Tone;
  /** where its bar begins, and its length [m]; negative where the water stands higher behind it */
  readonly from: number;
  readonly head: number;
}

// A bar, the air under it, and the edges [px].
const BAR = 11;
const GAP = 8;
const BOTTOM = 46;
const LEFT = 6;
const RIGHT = 16;

const SURVEY = "what the survey may be off";
/** What the way ends at: over a crest that stands under water it is that water. */
function endOf({ site: { emitter } }: Run, { endsAt, to }: HeadBudget): string {
  if (endsAt !== "emitter") return `the water in the ${endsAt}`;
  return to - emitter!.crest > SMALL ? "the water outside the emitter" : "the emitter's sill";
}

const PLACE: Readonly<Record<HeadPlace, { readonly words: string; readonly tone: Tone }>> = Object.freeze({
  boxOutlet: { words: "box outlet", tone: "box" },
  pit: { words: "down into the pit", tone: "pit" },
  trenchInlet: { words: "trench inlet", tone: "trench" },
  trench: { words: "trench", tone: "trench" },
  emitter: { words: "emitter", tone: "emitter" },
});

const PART: Readonly<Record<HeadPart, string>> = Object.freeze({
  entrance: "into the pipe", entranceLimit: "its mouth passes no more", shut: "nothing runs through", friction: "friction", bends: "bends",
  exit: "out of the pipe", drop: "fall", along: "along it", lid: "lid and rim", velocity: "the jet's speed",
});

/** The losses of a millimetre and more in the water's way, the smaller ones summed up in a last row. */
function endToEnd(losses: readonly HeadLoss[]): BudgetRow[] {
  const large = losses.filter(({ head }) => Math.abs(head) >= SMALL);
  const small = losses.filter(({ head }) => Math.abs(head) < SMALL);
  let from = 0;
  const rows = large.map(({ place, part, head }): BudgetRow => {
    const row = { words: lossWords(place, part), tone: PLACE[place].tone, from, head };
    from += head;
    return row;
  });
  const rest = small.reduce((sum, { head }) => sum + head, 0);
  if (Math.abs(rest) < 5e-5) return rows;
  return [...rows, { words: small.length === 1 ? lossWords(small[0]!.place, small[0]!.part) : "small losses elsewhere", tone: "still", from, head: rest }];
}

/** a loss worth a row of its own [m] */
const SMALL = 1e-3;

function lossWords(place: HeadPlace, part: HeadPart): string {
  if (part === "drop") return place === "pit" ? "down into the pit" : "down into the trench";
  return `${PLACE[place].words}, ${PART[part]}`;
}

function budgetAnswer(run: Run, budget: HeadBudget): string {
  const { time, box, from, to, flow, losses, surveyBand } = budget;
  const end = endOf(run, budget);
  const { units, settlingBoxes } = run.site;
  const named = settlingBoxes.length === 1 ? "the box" : `box “${plainText(box, 24)}”`;
  if (Object.values(flow).every((each) => Math.abs(each) <= NO_FLOW)) return `No water runs on from ${named} at ${momentText(time)}, when it stands highest there.`;
  if (Math.abs(from - to) < SMALL) return `The water in ${named} stands level with ${end} at ${momentText(time)}.`;
  const difference = `The water in ${named} stands ${depthText(Math.abs(from - to), units)} ${from >= to ? "over" : "below"} ${end} at ${momentText(time)}`;
  const largest = losses.reduce((most, loss) => (loss.head > most.head ? loss : most), { place: "boxOutlet", part: "shut", head: 0 } as HeadLoss);
  if (Math.abs(from - to) < surveyBand) return `${difference}, less than the survey can tell.`;
  if (largest.head < SMALL) return `${difference} (${levelText(from, units)} and ${levelText(to, units)}).`;
  const [lost, where] = [depthText(largest.head, units), LARGEST[largest.part](PLACE[largest.place].words)];
  if (largest.head <= from - to + SMALL) return `${difference}; the most, ${lost}, goes ${where}.`;
  // behind a fall of more than the whole the water stands lower than where the way ends
  return `${difference}; on its way ${from >= to ? `more than that, ${lost},` : lost} goes ${where}.`;
}

/** Where a loss goes, in a sentence. */
const LARGEST: Readonly<Record<HeadPart, (place: string) => string>> = Object.freeze({
  entrance: (place: string) => `into the ${place}`, entranceLimit: (place: string) => `to the mouth of the ${place}, which passes no more`,
  shut: (place: string) => `to the ${place}, through which nothing runs`, friction: (place: string) => `to friction in the ${place}`,
  bends: (place: string) => `to bends of the ${place}`, exit: (place: string) => `out of the ${place}`,
  drop: (place: string) => (place === "trench" ? "down into the trench" : place), along: () => "to the way along the trench",
  lid: () => "to the emitter's lid", velocity: () => "to the speed of the emitter's jet",
});

function endLine(x: number, height: number): Shape {
  return { type: "line", xref: "x", yref: "y", x0: x, x1: x, y0: 0, y1: height, line: { color: ink.text, width: 1, dash: "dot" }, layer: "below" };
}
