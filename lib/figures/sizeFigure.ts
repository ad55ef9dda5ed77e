import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Site } from "../site/site.ts";
import { spilledHead } from "../site/surfaceWords.ts";
import type { Criterion } from "../study/criteria.ts";
import type { RuleOfThumb, SizedDesign, Sizing } from "../study/size.ts";
import { type DisplayUnit, displayUnits, type UnitSystem } from "../text/format.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { unitNamed } from "../text/unitTable.ts";
import type { Annotation, Figure, PointTrace, Shape } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { type AroundPlace, type AroundWish, placeAround, type Spot, type SpotBox } from "./placeAround.ts";
import { NARROW } from "./plotEdges.ts";
import { soilText } from "./runSubtitle.ts";
import { bindingNames, criterionWords, several, sizeAnswer, sizeParts, sizesWords, thumbWords } from "./sizeAnswer.ts";
import { textWidth, wrapText } from "./textWidth.ts";

/**
 * Every design that was tried: what it costs, or what has to be dug, against what it reaches of the thing that binds, with the limit
 * that was asked as a line. Full points do all that is asked and fit, hollow ones do not; the best is named, with the sizes that bind.
 * The first design that a rule of thumb would be content with stands in a square, for comparison. The title is the answer.
 */
export function sizeFigure(sizing: Sizing, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const { site, best } = sizing;
  const designs = best === null || sizing.designs.includes(best) ? sizing.designs : [...sizing.designs, best];
  const answer = sizeAnswer(sizing);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(`${plainText(site.name, 60)} · ${soilText(site)}`, Infinity), width);
  const top = title?.height ?? 4;
  const c = shownCriterion(sizing);
  const { storm } = sizing.criteria[c]!;
  const { heading, unit } = viewOf(sizing.criteria[c]!, site);
  const margin = { l: narrow ? 44 : 56, r: narrow ? 16 : 24, t: top, b: BOTTOM };
  const panel = { width: width - margin.l - margin.r, height: narrow ? 260 : 310 };
  const whole = `${heading} in “${plainText(sizing.storms[storm]!, 40)}”, ${unit.label}`;
  const words = textWidth(whole, small) < width - margin.l ? whole : `${heading}, ${unit.label}`;
  const stack = stackPanels([{ heading: plotText(words, Infinity), height: panel.height }], width);
  const plot = plotOf(sizing, c, unit.size, panel);
  const shown = designs.filter(({ reached }) => !Number.isNaN(reached[c]!));
  const meets = ({ met, fit }: SizedDesign): boolean => met.every(Boolean) && fit.fits !== false;
  const { annotations, shapes } = sizeLabels(sizing, plot, width);
  return {
    data: [
      thumbSquares(),
      pointsOf(shown.filter((design) => !meets(design)), "misses something, or has no room", true),
      pointsOf(shown.filter(meets), "does all that is asked and fits", false),
    ],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM),
      margin,
      hovermode: "closest",
      dragmode: false,
      xaxis: {
        ...quietAxis(width), range: [...plot.across], anchor: "y", fixedrange: true, nticks: narrow ? 5 : 9, ticks: "outside", ticklen: 4, tickcolor: ink.rule,
        showline: true, linecolor: ink.rule,
        title: { text: sizing.prices !== null ? `cost, ${plotText(plainText(sizing.prices.currency, 12))}, every price half-way` : `dug, ${BULK[site.units]}`, font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: [...plot.up], nticks: 7, fixedrange: true },
      annotations: [...stack.headings, ...annotations],
      shapes,
    },
    config: quietConfig(),
    answer,
    description: `${several(designs.length, "design")}, doing all that is asked with room on the lot: ${designs.filter(meets).length}. ${answer} `
      + `Asked: ${sizing.criteria.map((each) => criterionWords(each, sizing)).join("; ")}.`,
  };

  function pointsOf(some: readonly SizedDesign[], name: string, hollow: boolean): PointTrace {
    const { color } = lines.pit;
    return {
      type: "scatter", mode: "markers", name, x: some.map((design) => shortNumber(plot.spot(design)[0])), y: some.map((design) => shortNumber(plot.spot(design)[1])),
      marker: { color: hollow ? ink.paper : color, size: hollow ? 7 : 8, symbol: "circle", line: { color, width: 1.3 } },
      customdata: some.map(({ sizes }) => plotText(sizesWords(sizes, site.units))), hovertemplate: "%{customdata}<extra></extra>",
      xaxis: "x", yaxis: "y", showlegend: false,
    };
  }

  function thumbSquares(): PointTrace {
    const squared = sizing.rulesOfThumb.flatMap(({ design }) => (design === null || Number.isNaN(design.reached[c]!) ? [] : [design]));
    return {
      type: "scatter", mode: "markers", name: "by rule of thumb", x: squared.map((design) => shortNumber(plot.spot(design)[0])),
      y: squared.map((design) => shortNumber(plot.spot(design)[1])), hoverinfo: "skip",
      marker: { color: ink.paper, size: THUMB_SQUARE, symbol: "square", line: { color: lines.still.color, width: 1.3 } }, xaxis: "x", yaxis: "y", showlegend: false,
    };
  }
}

const BOTTOM = 46;

/** Dug ground is counted in these. */
const BULK: Readonly<Record<UnitSystem, "cu yd" | "m³">> = { us: "cu yd", si: "m³" };

/** What binds most of the sizes; where nothing will do, the first thing that is never met. */
function shownCriterion({ binding, never, apart, criteria }: Sizing): number {
  if (binding.length === 0) return never[0]?.criterion ?? apart[0]?.[0] ?? 0;
  const count = (c: number): number => binding.filter(({ misses }) => misses.includes(c)).length;
  return criteria.reduce((most, _, c) => (count(c) > count(most) ? c : most), 0);
}

function viewOf({ asks }: Criterion, site: Site): { readonly heading: string; readonly unit: DisplayUnit } {
  const { volume, depth, time } = displayUnits(site.units);
  switch (asks) {
    case "noFiring": case "emitterVolumeAtMost": return { heading: "let out by the emitter", unit: volume };
    case "noSpill": return { heading: spilledHead(site), unit: volume };
    case "halfEmptyWithin": return { heading: "time to half empty", unit: time };
    case "emptyWithin": return { heading: "time to empty", unit: time };
    case "boxHeadroom": return { heading: "from the box's water to its rim", unit: depth };
  }
}

function plotOf({ designs: tried, best, criteria, site }: Sizing, c: number, unit: number, panel: Pick<SizePlot, "width" | "height">): SizePlot {
  const { numerator, denominator } = unitNamed(BULK[site.units])!;
  const spot = ({ cost, dug, reached }: SizedDesign): readonly [number, number] => (
    [cost ?? (dug * denominator) / numerator, reached[c]! / unit]
  );
  const designs = best === null ? tried : [...tried, best];
  const limit = criteria[c]!.limit / unit;
  const ups = [...designs.map((design) => spot(design)[1]).filter((y) => !Number.isNaN(y)), limit];
  const acrosses = designs.map((design) => spot(design)[0]);
  return { criterion: c, limit, spot, across: widened(acrosses), up: widened(ups), ...panel };
}

function widened(values: readonly number[]): readonly [number, number] {
  const [low, high] = [leastOf(values), greatestOf(values)];
  const air = 0.12 * (high - low) || 0.05 * Math.abs(high) || 1;
  return [low - air, high + air];
}

/** The panel that `sizeFigure` draws into: where a design stands, and how many pixels there are for what the axes show. */
interface SizePlot {
  /** index of the criterion that is shown */
  readonly criterion: number;
  /** of that criterion, in the unit of the axis */
  readonly limit: number;
  /** a design's place, in the units of both axes */
  readonly spot: (design: SizedDesign) => readonly [number, number];
  readonly across: readonly [number, number];
  readonly up: readonly [number, number];
  /** [px] */
  readonly width: number;
  readonly height: number;
}

/** The limit as a line with its name, the best design's name with what binds, and the names of rules of thumb, none over another. */
function sizeLabels(
  sizing: Sizing, plot: SizePlot, width: number,
): { readonly annotations: Annotation[]; readonly shapes: Shape[] } {
  const letters = letterSizes(width);
  const { designs, best } = sizing;
  const spotOf = (design: SizedDesign): Spot => toPixels(plot.spot(design), plot);
  const [, limit] = toPixels([plot.across[0], plot.limit], plot);
  const standing = designs.filter((design) => !Number.isNaN(design.reached[plot.criterion]!));
  const thumbs = sizing.rulesOfThumb.flatMap((rule) => (
    rule.design !== null && standing.includes(rule.design) ? [{ rule, spot: spotOf(rule.design) }] : []
  ));
  const labels = [
    ...(best === null ? [] : [bestLabel(sizing, best, spotOf(best), plot, letters)]),
    limitLabel(sizing, plot, letters.small, limit),
    ...thumbs.map(({ rule, spot }) => thumbLabel(sizing, rule, spot, plot, letters.small)),
  ];
  const points = [
    ...standing.map((design) => boxRound(spotOf(design), POINT)), ...thumbs.map(({ spot }) => boxRound(spot, THUMB_SQUARE / 2)),
  ];
  const placesOf = (some: readonly SizeLabel[]): ReturnType<typeof placeAround> => (
    placeAround(some.map(({ wish }) => wish), plot, [[[0, limit], [plot.width, limit]]], points));
  let places = placesOf(labels);
  // where the best's name leaves the limit's no room, the limit's goes first
  if (places.slice(0, 2).includes(null)) {
    labels.splice(0, 2, ...labels.slice(0, 2).toReversed());
    places = placesOf(labels);
  }
  const placed = labels.flatMap((label, i) => (places[i] === null ? [] : [{ label, place: places[i]! }]));
  return {
    annotations: placed.map(({ label, place }) => annotationAt(label, place, plot)),
    shapes: [limitLine(plot.limit), ...placed.flatMap(({ label, place }) => leader(label, place, plot))],
  };
}

/** Side of the square round a design that a rule of thumb would build [px]. */
const THUMB_SQUARE = 16;
// Half of a point as it is drawn [px].
const POINT = 4;

function boxRound([x, y]: Spot, half: number): SpotBox {
  return { left: x - half, right: x + half, bottom: y - half, top: y + half };
}

interface SizeLabel {
  /** plotly text */
  readonly text: string;
  readonly size: number;
  readonly color: string;
  readonly wish: AroundWish;
}

/** The best meets every criterion, so that it stands in the panel. */
function bestLabel(
  sizing: Sizing, { sizes }: SizedDesign, spot: Spot, { width }: SizePlot, { small, body }: ReturnType<typeof letterSizes>,
): SizeLabel {
  const room = Math.min(0.5 * width, 320);
  const rows = wrapText(keptTogether(sizeParts(sizes, sizing.site.units).join(", ")), room, body, true);
  const binds = bindingNames(sizing);
  const under = binds === null ? [] : wrapText(binds, room, small);
  const text = [
    ...rows.map((row) => `<b>${plotText(row, Infinity)}</b>`),
    ...under.map((row) => `<span style="font-size:${small}px">${plotText(row, Infinity)}</span>`),
  ];
  return {
    text: text.join("<br>"), size: body, color: lines.pit.color,
    wish: {
      width: greatestOf([...rows.map((row) => textWidth(row, body, true)), ...under.map((row) => textWidth(row, small))]) + 6,
      height: text.length * body * 1.3 + 2, on: [], around: [spot], pull: 1,
    },
  };
}

function limitLabel({ criteria }: Sizing, { criterion, width }: SizePlot, small: number, y: number): SizeLabel {
  const text = criteria[criterion]!.asks === "boxHeadroom" ? "asked: at least this" : "asked: no more than this";
  const wide = textWidth(text, small) + 6;
  const beside = (side: 1 | -1): Spot[] => [0.02, 0.98, 0.25, 0.75, 0.5].map((share): Spot => (
    [wide / 2 + 2 + share * (width - wide - 4), y + side * (small * 0.65 + 8)]
  ));
  // where points crowd along all of the line, the label stands off it with a line of its own
  const around = [0.5, 0.98, 0.75, 0.25, 0.02].map((share): Spot => [wide / 2 + 2 + share * (width - wide - 4), y]);
  const wish = { width: wide, height: small * 1.3, on: [...beside(-1), ...beside(1)], around, pull: 1 };
  return { text, size: small, color: lines.emitter.color, wish };
}

function thumbLabel({ site: { units } }: Sizing, rule: RuleOfThumb, spot: Spot, { width }: SizePlot, small: number): SizeLabel {
  const rows = wrapText(`rule of thumb: ${thumbWords(rule, units)}`, Math.min(0.5 * width, 260), small);
  const wide = greatestOf(rows.map((row) => textWidth(row, small))) + 6;
  return {
    text: rows.map((row) => plotText(row, Infinity)).join("<br>"), size: small, color: ink.soft,
    wish: { width: wide, height: rows.length * small * 1.3, on: [], around: [spot], pull: 1 },
  };
}

function annotationAt({ text, size, color }: SizeLabel, { box }: AroundPlace, plot: SizePlot): Annotation {
  const [x, y] = fromPixels([(box.left + box.right) / 2, (box.bottom + box.top) / 2], plot);
  return {
    text, x, y, xref: "x", yref: "y", xanchor: "center", yanchor: "middle", showarrow: false, font: font(size, color),
    bgcolor: "rgba(255,255,255,0.85)", borderpad: 0,
  };
}

/** A line from a label that had to stand far off to its point. */
function leader({ color }: SizeLabel, { box, from }: AroundPlace, plot: SizePlot): Shape[] {
  if (from === null) return [];
  const nearest: Spot = [Math.min(box.right, Math.max(box.left, from[0])), Math.min(box.top, Math.max(box.bottom, from[1]))];
  const [[x0, y0], [x1, y1]] = [fromPixels(from, plot), fromPixels(nearest, plot)];
  return [{ type: "line", xref: "x", yref: "y", x0, y0, x1, y1, line: { color, width: 1 }, layer: "below" }];
}

function limitLine(limit: number): Shape {
  const y = shortNumber(limit);
  const line = { color: lines.emitter.color, width: 1.5, dash: "dash" } as const;
  return { type: "line", xref: "paper", yref: "y", x0: 0, x1: 1, y0: y, y1: y, line, layer: "below" };
}

function toPixels([x, y]: readonly [number, number], { across, up, width, height }: SizePlot): Spot {
  return [((x - across[0]) / (across[1] - across[0])) * width, ((y - up[0]) / (up[1] - up[0])) * height];
}

function fromPixels([x, y]: Spot, { across, up, width, height }: SizePlot): [number, number] {
  return [shortNumber(across[0] + (x / width) * (across[1] - across[0])), shortNumber(up[0] + (y / height) * (up[1] - up[0]))];
}
