import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { displayUnits, type DisplayUnit, type UnitSystem } from "../text/format.ts";
import { unitNamed } from "../text/unitTable.ts";
import type { Criterion } from "../study/criteria.ts";
import type { SizedDesign, Sizing } from "../study/size.ts";
import type { Site } from "../site/site.ts";
import type { Figure, PointTrace } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { NARROW } from "./plotEdges.ts";
import { soilText } from "./runSubtitle.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { criterionWords, several, sizeAnswer, sizesWords } from "./sizeAnswer.ts";
import { sizeLabels, THUMB_SQUARE, type SizePlot } from "./sizeLabels.ts";
import { spilledHead } from "../site/surfaceWords.ts";
import { textWidth } from "./textWidth.ts";

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
