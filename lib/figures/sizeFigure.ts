import { displayUnits, type DisplayUnit } from "../units/format.ts";
import { bulkText } from "../units/bulkText.ts";
import type { Criterion } from "../study/sizeCases.ts";
import type { SizedDesign, Sizing } from "../study/size.ts";
import type { Annotation, Figure, PointTrace, Shape } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { placeLabels } from "./placeLabels.ts";
import { plainText, plotText } from "./plainText.ts";
import { NARROW } from "./plotEdges.ts";
import { soilText } from "./runSubtitle.ts";
import { shortNumber } from "./shortNumber.ts";
import { criterionWords, sizeAnswer, sizesWords } from "./sizeAnswer.ts";
import { textWidth } from "./textWidth.ts";

/**
 * Every design that was tried: what it costs, or what has to be dug, against what it reaches of the thing that binds, with the limit
 * that was asked as a line. Full points do all that is asked, hollow ones miss something; the best is named. Sizes by rule of thumb
 * stand as upright lines, for comparison. The title is the answer.
 */
export function sizeFigure(sizing: Sizing, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { small, body } = letterSizes(width);
  const { site } = sizing;
  const c = sizing.binding[0] ?? sizing.never[0]?.criterion ?? 0;
  const criterion = sizing.criteria[c]!;
  const view = viewOf(criterion, site.units);
  const across = (design: SizedDesign): number => design.cost ?? design.dug / BULK[site.units].size;
  const answer = sizeAnswer(sizing);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(`${plainText(site.name, 60)} · ${soilText(site)}`, Infinity), width);
  const top = title?.height ?? 4;
  const height = narrow ? 240 : 300;
  const stack = stackPanels([{ heading: plotText(`${view.heading} in “${plainText(sizing.storms[criterion.storm]!, 40)}”, ${view.unit.label}`, Infinity), height }], width);
  const shown = sizing.designs.filter(({ reached }) => !Number.isNaN(reached[c]!));
  const ups = [...shown.map(({ reached }) => reached[c]! / view.unit.size), criterion.limit / view.unit.size];
  const ruled = sizing.priced ? [] : sizing.rulesOfThumb.flatMap(({ dug }) => (dug === null ? [] : [dug / BULK[site.units].size]));
  const acrosses = [...sizing.designs.map(across), ...ruled];
  const [low, high] = widened(Math.min(...ups), Math.max(...ups));
  const [left, right] = widened(Math.min(...acrosses), Math.max(...acrosses));
  const margin = { l: narrow ? 44 : 56, r: narrow ? 16 : 24, t: top, b: BOTTOM };
  const plotWidth = width - margin.l - margin.r;
  const pixel = (right - left) / plotWidth;
  const rules = sizing.priced ? [] : ruleMarks(sizing, { left, pixel, width: plotWidth, small });
  return {
    data: [pointsOf(shown.filter(({ met }) => !met.every(Boolean)), "misses something", true), pointsOf(shown.filter(({ met }) => met.every(Boolean)), "does all that is asked", false)],
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + stack.height + BOTTOM + rules.length * small * 1.3),
      margin: { ...margin, t: top + rules.length * small * 1.3 },
      hovermode: "closest",
      dragmode: false,
      xaxis: {
        ...quietAxis(width), range: [left, right], anchor: "y", fixedrange: true, nticks: narrow ? 5 : 9, ticks: "outside", ticklen: 4, tickcolor: ink.rule,
        showline: true, linecolor: ink.rule,
        title: { text: sizing.priced ? "cost, by the prices given" : `dug, ${BULK[site.units].label}`, font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: [low, high], nticks: 7, fixedrange: true },
      annotations: [...stack.headings, limitName(), ...bestName(), ...rules.map(({ name }) => name)],
      shapes: [limitLine(), ...rules.map(({ line }) => line)],
    },
    config: quietConfig(),
    answer,
    description: `${sizing.designs.length} designs, ${sizing.designs.filter(({ met }) => met.every(Boolean)).length} of which do all that is asked. ${answer} `
      + `Asked: ${sizing.criteria.map((each) => criterionWords(each, sizing)).join("; ")}.`,
  };

  function pointsOf(designs: readonly SizedDesign[], name: string, hollow: boolean): PointTrace {
    const { color } = lines.pit;
    return {
      type: "scatter", mode: "markers", name, x: designs.map((design) => shortNumber(across(design))),
      y: designs.map(({ reached }) => shortNumber(reached[c]! / view.unit.size)),
      marker: { color: hollow ? ink.paper : color, size: hollow ? 7 : 8, symbol: "circle", line: { color, width: 1.3 } },
      customdata: designs.map(({ sizes }) => plotText(sizesWords(sizes, site.units))), hovertemplate: "%{customdata}<extra></extra>",
      xaxis: "x", yaxis: "y", showlegend: false,
    };
  }

  function limitLine(): Shape {
    const y = shortNumber(criterion.limit / view.unit.size);
    return { type: "line", xref: "paper", yref: "y", x0: 0, x1: 1, y0: y, y1: y, line: { color: lines.emitter.color, width: 1.5, dash: "dash" }, layer: "below" };
  }

  function limitName(): Annotation {
    const isFloor = criterion.asks === "boxHeadroom";
    // at the end with the fewer points beside the line
    const near = shown.filter(({ reached }) => Math.abs(reached[c]! - criterion.limit) / view.unit.size < 0.08 * (high - low)).map(across);
    const isLeft = near.filter((x) => x < (left + right) / 2).length < near.length / 2;
    return {
      text: isFloor ? "asked: at least this" : "asked: no more than this", x: isLeft ? 0 : 1, y: shortNumber(criterion.limit / view.unit.size),
      xref: "paper", yref: "y", xanchor: isLeft ? "left" : "right", yanchor: isFloor ? "top" : "bottom", showarrow: false, font: font(small, lines.emitter.color), bgcolor: "rgba(255,255,255,0.8)", borderpad: 0,
    };
  }

  function bestName(): Annotation[] {
    const { best } = sizing;
    if (best === null || Number.isNaN(best.reached[c]!)) return [];
    const words = sizesWords(best.sizes, site.units);
    const room = plotWidth - textWidth(words, body, true);
    const at = Math.max(0, Math.min((across(best) - left) / pixel, room));
    const y = shortNumber(best.reached[c]! / view.unit.size);
    return [{
      text: `<b>${plotText(words)}</b>`, x: shortNumber(left + at * pixel), y, xref: "x", yref: "y", xanchor: "left", yanchor: "bottom", yshift: 7,
      showarrow: false, font: font(body, lines.pit.color), bgcolor: "rgba(255,255,255,0.8)", borderpad: 0,
    }];
  }
}

const BOTTOM = 46;

/** Dug ground is counted in these. */
const BULK: Readonly<Record<"us" | "si", DisplayUnit>> = { us: { label: "cu yd", size: 0.764554857984 }, si: { label: "m³", size: 1 } };

function viewOf({ asks }: Criterion, units: "us" | "si"): { readonly heading: string; readonly unit: DisplayUnit } {
  const { volume, depth, time } = displayUnits(units);
  switch (asks) {
    case "noFiring": case "emitterVolumeAtMost": return { heading: "let out by the emitter", unit: volume };
    case "noSpill": return { heading: "out at the surface elsewhere", unit: volume };
    case "halfEmptyWithin": return { heading: "time to half empty", unit: time };
    case "emptyWithin": return { heading: "time to empty", unit: time };
    case "boxHeadroom": return { heading: "from the box's water to its rim", unit: depth };
  }
}

function widened(low: number, high: number): [number, number] {
  const air = 0.07 * (high - low) || 0.05 * Math.abs(high) || 1;
  return [low - air, high + air];
}

/** Rules of thumb as upright lines, named above the panel, each in a line of its own so that none meets another. */
function ruleMarks(
  { rulesOfThumb, site }: Sizing, plot: { readonly left: number; readonly pixel: number; readonly width: number; readonly small: number },
): { readonly line: Shape; readonly name: Annotation }[] {
  const drawn = rulesOfThumb.filter((rule): rule is typeof rule & { dug: number } => rule.dug !== null);
  return drawn.map(({ words, dug }, i) => {
    const x = shortNumber(dug / BULK[site.units].size);
    const text = `${words}: ${bulkText(dug, site.units)} (rule of thumb)`;
    const length = textWidth(text, plot.small);
    const [middle] = placeLabels([{ at: (x - plot.left) / plot.pixel, size: length }], { from: 0, to: plot.width });
    return {
      line: { type: "line", xref: "x", yref: "paper", x0: x, x1: x, y0: 0, y1: 1, line: { color: lines.still.color, width: 1, dash: "dot" }, layer: "below" },
      name: {
        text: plotText(text, Infinity), x: shortNumber(plot.left + middle! * plot.pixel), y: 1, xref: "x", yref: "paper", xanchor: "center", yanchor: "bottom",
        yshift: plot.small * 1.3 * i + 4, showarrow: false, font: font(plot.small, lines.still.color),
      },
    };
  });
}
