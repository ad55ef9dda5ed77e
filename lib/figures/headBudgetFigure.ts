import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { depthText, displayUnits, levelText, type UnitSystem } from "../text/format.ts";
import { headBudget, type HeadBudget, type HeadLoss, type HeadPart, type HeadPlace } from "../simulate/headBudget.ts";
import type { Run } from "../simulate/run.ts";
import type { Annotation, BarTrace, Figure, LineTrace, Shape } from "./figure.ts";
import { axisTicks } from "./svg/axisTicks.ts";
import { NO_FLOW } from "./flowRows.ts";
import { momentText } from "../text/hours.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { placeLabels } from "./placeLabels.ts";
import { NARROW } from "./plotEdges.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { runSubtitle } from "./runSubtitle.ts";
import type { Point } from "./sectionArea.ts";
import { sectionDrawing } from "./sectionDrawing.ts";
import { sectionView } from "./sectionFigure.ts";
import type { SectionPlan } from "./sectionPlan.ts";
import { shortNumber } from "../text/shortNumber.ts";

/**
 * Where the head goes from the box's water to the emitter's jet at a run's worst moment: each loss as a drop of its true height, one under
 * the other, with its name and a number that says on the section beside where it is lost; and as high as the losses together the band in
 * which a difference of two surveyed levels lies. What is lost in many places by less than a millimetre stands in one drop.
 *
 * @param options.time         [s], the run's worst moment where not given
 * @param options.surveyError  of one level of the survey [m], the site's where not given
 */
export function headBudgetFigure(
  run: Run, options: FigureOptions & { readonly surveyError?: number; readonly time?: number } = {},
): Figure {
  const { width = 960, surveyError, time } = options;
  const budget = headBudget(run, { ...(surveyError === undefined ? {} : { surveyError }), ...(time === undefined ? {} : { time }) });
  const { small } = letterSizes(width);
  const { label, size } = displayUnits(run.site.units).depth;
  const rows = endToEnd(budget.losses);
  const answer = budgetAnswer(run, budget);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(runSubtitle(run, options.storm), Infinity), width);
  const top = (title?.height ?? 4) + small * 1.6;
  const narrow = width < NARROW;
  const names = narrow ? 58 : 78;
  const plotWidth = width - LEFT - RIGHT;
  const section = besideDrops(run, budget, rows, narrow ? plotWidth : plotWidth - NAMES);
  const lineHeight = small * 1.45;
  const drops = Math.max(narrow ? 150 : section.height, (rows.length + 1) * lineHeight);
  const height = drops + (narrow ? section.height + 24 : 0);
  const ends = [0, ...rows.flatMap(({ from, head }) => [from, from + head]), budget.surveyBand];
  const [least, most] = [leastOf(ends), greatestOf([...ends, 1e-3])];
  // from pixels down the picture to the axis' own unit
  const perPixel = (most - least) / drops / size;
  const down = (pixel: number): number => shortNumber(least / size + pixel * perPixel);
  const named = [
    ...rows.map(({ words, tone, from, head, number }) => ({
      words: `${number === null ? "" : `<b>${number}</b>  `}${plotText(words)}  <b>${dropText(head, run.site.units)}</b>`, color: lines[tone].color, at: from + head / 2,
    })),
    { words: `${SURVEY}  ± ${dropText(budget.surveyBand, run.site.units)}`, color: ink.soft, at: budget.surveyBand / 2 },
  ];
  const places = placeLabels(named.map(({ at }) => ({ at: (at - least) / size / perPixel, size: lineHeight })), { from: 0, to: drops });
  const bar = (words: string, x: number, wide: number, from: number, head: number, color: string, fill: string): BarTrace => ({
    type: "bar", name: plotText(words), x: [x], y: [shortNumber(head / size)], base: [shortNumber(from / size)], width: [wide],
    marker: { color: fill, line: { color: fill === color ? ink.paper : color, width: 1 } }, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  });
  const sectionX = narrow ? 0 : NAMES;
  const sectionY = narrow ? drops + 24 : (drops - section.height) / 2;
  const range: [number, number] = [shortNumber((least / size) + height * perPixel), shortNumber(least / size)];
  return {
    data: [
      ...section.traces.map((trace): LineTrace => ({
        ...trace, x: trace.x.map((x) => shortNumber(x + sectionX)), y: trace.y.map((y) => (y === null ? null : down(y + sectionY))),
      })),
      // what rises again stands beside what fell
      ...rows.map(({ words, tone, from, head }) => {
        const { color } = lines[tone];
        return bar(words, head < 0 ? COLUMN * 1.5 + 2 : COLUMN / 2, COLUMN, from, head, color, head < 0 ? ink.paper : color);
      }),
      bar(SURVEY, COLUMN + (rows.some(({ head }) => head < 0) ? COLUMN : 0) + 9, 7, 0, budget.surveyBand, ink.soft, ink.paper),
    ],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + height + BOTTOM),
      margin: { l: LEFT, r: RIGHT, t: top, b: BOTTOM },
      hovermode: false,
      dragmode: false,
      barmode: "overlay",
      xaxis: { range: [0, plotWidth], showgrid: false, zeroline: false, showticklabels: false, fixedrange: true },
      yaxis: {
        ...quietAxis(width), range, showgrid: false, zeroline: false, fixedrange: true,
        tickvals: axisTicks({ range: [least / size, most / size], nticks: Math.max(2, Math.floor(drops / 40)) })
          .map(({ at }) => shortNumber(at)),
      },
      annotations: [
        ...named.map(({ words, color }, i): Annotation => ({
          text: words, x: names, y: down(places[i]!), xref: "x", yref: "y", xanchor: "left", yanchor: "middle", showarrow: false, align: "left", font: font(small, color),
        })),
        ...section.numbers.map((each): Annotation => ({ ...each, x: each.x + sectionX, y: down(each.y + sectionY) })),
        {
          text: `${label} below the water in the box`, x: 0, y: down(0), xref: "paper", yref: "y", xanchor: "left", yanchor: "bottom", xshift: 4 - LEFT, yshift: 4, showarrow: false,
          align: "left", font: font(small, ink.soft),
        },
      ],
      shapes: named.map(({ at, color }, i): Shape => ({
        type: "line", xref: "x", yref: "y", x0: i === named.length - 1 ? names - 14 : COLUMN + 2, x1: names - 3, y0: shortNumber(at / size), y1: down(places[i]!),
        line: { color: `${color}90`, width: 0.8, dash: "solid" }, layer: "above",
      })),
    },
    config: quietConfig(),
    answer,
    description: `Where the head goes from the box to ${endOf(run, budget)}. ${answer} ${rows
      .map(({ words, head }) => `${words} ${dropText(head, run.site.units)}`).join(", ")}; ${SURVEY} ± ${dropText(budget.surveyBand, run.site.units)}.`,
  };
}

/** Whether a run's water stands level from the box to where its way ends, so that there is no head to lose. */
export function isLevelBudget({ from, to, flow }: HeadBudget): boolean {
  return Math.abs(from - to) < SMALL || Object.values(flow).every((each) => Math.abs(each) <= NO_FLOW);
}

/** The works at the moment, small and without words, and on them the numbers of the losses; all in pixels from its upper left corner. */
function besideDrops(run: Run, { time }: HeadBudget, rows: readonly BudgetRow[], width: number): {
  readonly height: number; readonly traces: readonly LineTrace[]; readonly numbers: readonly Annotation[];
} {
  // the section has edges of its own for figures, which this one has not
  const { plan, scale, height } = sectionView(run, width);
  const across = width / (plan.whole.to - plan.whole.from);
  const most = height - SKY_LEFT;
  const at = ([along, level]: Point): Point => [(along - plan.whole.from) * across, most - (level - scale.low) * scale.up];
  const traces = sectionDrawing(run, time, plan, scale.low).map(({ points, fill, pattern, line }): LineTrace => ({
    type: "scatter", name: "section", mode: "lines", x: points.map((point) => at(point)[0]), y: points.map((point) => at(point)[1]),
    line: line ?? { color: "rgba(0,0,0,0)", width: 0 }, ...(fill === undefined ? {} : { fill: "toself" as const, fillcolor: fill }),
    ...(pattern === undefined ? {} : { fillpattern: pattern }), hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  }));
  const seen = new Map(rows.flatMap(({ number, place, tone }) =>
    (number === null || place === null ? [] : [[number, { place, tone }]] as const)));
  const numbers = [...seen].map(([number, { place, tone }]): Annotation => {
    const [x, y] = at(placeOnSection(run, plan, place));
    return {
      text: `<b>${number}</b>`, x, y, xref: "x", yref: "y", xanchor: "center", yanchor: "bottom", showarrow: false,
      font: font(15, lines[tone].color), bgcolor: "rgba(255,255,255,0.85)",
    };
  });
  return { height: most, traces, numbers };
}

/** Over the ground a section keeps room for names that this one has not [px]. */
const SKY_LEFT = 34;

function placeOnSection({ site }: Run, plan: SectionPlan, place: HeadPlace): Point {
  const middle = (from: number, to: number): number => (from + to) / 2;
  const { pit, trench, emitter, boxes } = plan;
  const outlet = site.settlingBoxes[0]!.outlet;
  const works = site.overflowTrench;
  if (place === "boxOutlet") return [middle(boxes.at(-1)!.to, pit.from), outlet.invert + outlet.diameter];
  if (place === "pit" || works === null || trench === null) return [middle(pit.from, pit.to), site.chamberBank.stoneTop];
  if (place === "trenchInlet") return [middle(pit.to, trench.from), works.inlet.invert + works.inlet.diameter];
  if (place === "trench" || emitter === null || site.emitter === null) return [middle(trench.from, trench.to), works.floor + works.stone.depth];
  return [middle(emitter.from, emitter.to), site.emitter.crest];
}

interface BudgetRow {
  readonly words: string;
  readonly tone: Tone;
  /** where on the section it is lost, and the number there; of many places none */
  readonly place: HeadPlace | null;
  readonly number: number | null;
  /** where its bar begins, and its length [m]; negative where the water stands higher behind it */
  readonly from: number;
  readonly head: number;
}

// The column of drops, how much room it takes with its names, and the edges [px].
const COLUMN = 24;
const NAMES = 330;
const BOTTOM = 12;
const LEFT = 40;
const RIGHT = 8;

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
  entrance: "into the pipe", entranceLimit: "held at its mouth", shut: "nothing runs through", friction: "friction", bends: "bends",
  exit: "out of the pipe", drop: "fall", along: "along it", lid: "lid and rim", velocity: "the jet's speed",
});

/** The losses of a millimetre and more in the water's way, the smaller ones summed up in a last row. */
function endToEnd(losses: readonly HeadLoss[]): BudgetRow[] {
  const large = losses.filter(({ head }) => Math.abs(head) >= SMALL);
  const small = losses.filter(({ head }) => Math.abs(head) < SMALL);
  const places: HeadPlace[] = [];
  let from = 0;
  const rows = large.map(({ place, part, head }): BudgetRow => {
    if (!places.includes(place)) places.push(place);
    const row = { words: lossWords(place, part), tone: PLACE[place].tone, place, number: places.indexOf(place) + 1, from, head };
    from += head;
    return row;
  });
  const rest = small.reduce((sum, { head }) => sum + head, 0);
  if (Math.abs(rest) < 5e-5) return rows;
  return [...rows, { words: small.length === 1 ? lossWords(small[0]!.place, small[0]!.part) : "small losses elsewhere", tone: "still", place: null, number: null, from, head: rest }];
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
  const difference = `The water in ${named} stands ${dropText(Math.abs(from - to), units)} ${from >= to ? "over" : "below"} ${end} at ${momentText(time)}`;
  const largest = losses.reduce((most, loss) => (loss.head > most.head ? loss : most), { place: "boxOutlet", part: "shut", head: 0 } as HeadLoss);
  if (Math.abs(from - to) < surveyBand) return `${difference}, less than the survey can tell.`;
  if (largest.head < SMALL) return `${difference} (${levelText(from, units)} and ${levelText(to, units)}).`;
  const [lost, where] = [dropText(largest.head, units), LARGEST[largest.part](PLACE[largest.place].words)];
  if (largest.head <= from - to + SMALL) return `${difference}; the most, ${lost}, goes ${where}.`;
  // behind a fall of more than the whole the water stands lower than where the way ends
  return `${difference}; on its way ${from >= to ? `more than that, ${lost},` : lost} goes ${where}.`;
}

/** A drop of the water's level, to a tenth of an inch where it is one, or the millimetre: it hangs on the pipes and not on the soil. */
function dropText(head: number, units: UnitSystem): string {
  return units === "us" && Math.abs(head) >= 0.05 * displayUnits(units).depth.size ? `${(head / displayUnits(units).depth.size).toFixed(1)} in` : depthText(head, units);
}

/** Where a loss goes, in a sentence. */
const LARGEST: Readonly<Record<HeadPart, (place: string) => string>> = Object.freeze({
  entrance: (place: string) => `into the ${place}`, entranceLimit: (place: string) => `to the mouth of the ${place}, which passes no more`,
  shut: (place: string) => `to the ${place}, through which nothing runs`, friction: (place: string) => `to friction in the ${place}`,
  bends: (place: string) => `to bends of the ${place}`, exit: (place: string) => `out of the ${place}`,
  drop: (place: string) => (place === "trench" ? "down into the trench" : place), along: () => "to the way along the trench",
  lid: () => "to the emitter's lid", velocity: () => "to the speed of the emitter's jet",
});
