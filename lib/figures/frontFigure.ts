import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { SizedDesign, Sizing } from "../study/size.ts";
import { bulkText, displayUnits, volumeText } from "../text/format.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { unitNamed } from "../text/unitTable.ts";
import type { Annotation, Figure, PointTrace } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { placeAround, type Spot, type SpotBox } from "./placeAround.ts";
import { NARROW } from "./plotEdges.ts";
import { costText, sizesWords } from "./sizeAnswer.ts";
import { textWidth, wrapText } from "./textWidth.ts";

/**
 * What more digging, or more money, buys: the designs that fit and that no other beats, as a staircase of what the emitter lets out in the
 * worst of the storms asked for; the chosen design and the drawn one as points of their own, on it or not.
 *
 * @returns  null where there is no emitter, or nothing to choose between
 */
export function frontFigure(sizing: Sizing, options: FigureOptions = {}): Figure | null {
  const { front, best, asDrawn, site: { units, emitter }, prices } = sizing;
  if (emitter === null || front.length < 2) return null;
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { small } = letterSizes(width);
  const { volume } = displayUnits(units);
  const bulk = unitNamed(BULK[units])!;
  const spot = ({ cost, dug, letOut }: SizedDesign): readonly [number, number] => (
    [cost ?? (dug * bulk.denominator) / bulk.numerator, letOut / volume.size]);
  const marked = [
    ...(best === null ? [] : [{ design: best, name: `chosen: ${sizesWords(best.sizes, units)}`, symbol: "circle" as const, full: true }]),
    ...(Number.isNaN(asDrawn.letOut) || best?.site === asDrawn.site ? [] : [{
      design: asDrawn, name: asDrawn.fit.fits === false ? "as drawn, which does not fit" : "as drawn", symbol: "square" as const, full: false,
    }]),
  ].filter(({ design }) => !Number.isNaN(design.letOut));
  const spots = [...front, ...marked.map(({ design }) => design)].map(spot);
  const [across, up] = [0, 1].map((axis) => widened(spots.map((each) => each[axis]!), axis === 1)) as [Range, Range];
  const margin = { l: narrow ? 46 : 58, r: narrow ? 16 : 24, t: 4, b: BOTTOM };
  const panel = { width: width - margin.l - margin.r, height: narrow ? 240 : 270 };
  const heading = `most that the emitter lets out in a storm asked for, ${volume.label}`;
  const shown = textWidth(heading, small) < width - margin.l ? heading : `let out by the emitter, ${volume.label}`;
  const stack = stackPanels([{ heading: shown, height: panel.height }], width);
  const pixels = ([x, y]: readonly [number, number]): Spot => (
    [((x - across[0]) / (across[1] - across[0])) * panel.width, ((y - up[0]) / (up[1] - up[0])) * panel.height]);
  const stairs = front.flatMap((design, i) => (
    i === 0 ? [spot(design)] : [[spot(design)[0], spot(front[i - 1]!)[1]] as const, spot(design)]));
  const labels = marked.map(({ design, name }) => {
    const rows = wrapText(keptTogether(name), Math.min(0.45 * panel.width, 300), small, true);
    const wide = greatestOf(rows.map((row) => textWidth(row, small, true))) + 6;
    return { rows, wish: { width: wide, height: rows.length * small * 1.3 + 2, on: [], around: [pixels(spot(design))], pull: 1 } };
  });
  const box = ([x, y]: Spot): SpotBox => ({ left: x - 5, right: x + 5, bottom: y - 5, top: y + 5 });
  const strokes = stairs.slice(1).map((each, i) => [pixels(stairs[i]!), pixels(each)] as const);
  const places = placeAround(labels.map(({ wish }) => wish), panel, strokes, spots.map((each) => box(pixels(each))));
  const axis = prices !== null ? `cost, ${plotText(plainText(prices.currency, 12))}, every price half-way` : `dug, ${BULK[units]}`;
  const answer = frontAnswer(sizing);
  return {
    data: [
      {
        type: "scatter", mode: "lines", name: "what nothing beats", x: stairs.map(([x]) => shortNumber(x)),
        y: stairs.map(([, y]) => shortNumber(y)), line: { color: lines.emitter.color, width: 1.5 }, hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
      },
      ...[true, false].flatMap((does) => {
        const some = front.filter(({ met }) => met.every(Boolean) === does);
        return some.length === 0 ? [] : [pointsOf(does ? "do what is asked" : "miss something asked", some, "circle", 6, does)];
      }),
      ...marked.map(({ design, name, symbol, full }) => pointsOf(plotText(name, Infinity), [design], symbol, 11, full)),
    ],
    layout: {
      ...baseLayout(width), height: Math.round(4 + stack.height + BOTTOM), margin, hovermode: "closest", dragmode: false,
      xaxis: {
        ...quietAxis(width), range: [...across], anchor: "y", fixedrange: true, nticks: narrow ? 5 : 9, ticks: "outside", ticklen: 4,
        tickcolor: ink.rule, showline: true, linecolor: ink.rule, title: { text: axis, font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { ...quietAxis(width), domain: stack.domains[0]!, range: [...up], nticks: 6, fixedrange: true },
      annotations: [...stack.headings, ...labels.flatMap(({ rows }, i): Annotation[] => {
        const place = places[i];
        if (place === null || place === undefined) return [];
        const middle = [(place.box.left + place.box.right) / 2, (place.box.bottom + place.box.top) / 2] as const;
        return [{
          text: rows.map((row) => `<b>${plotText(row, Infinity)}</b>`).join("<br>"),
          x: shortNumber(across[0] + (middle[0] / panel.width) * (across[1] - across[0])),
          y: shortNumber(up[0] + (middle[1] / panel.height) * (up[1] - up[0])),
          xref: "x", yref: "y", xanchor: "center", yanchor: "middle", showarrow: false, font: font(small, lines.pit.color),
          bgcolor: "rgba(255,255,255,0.85)",
        }];
      })],
      shapes: [],
    },
    config: quietConfig(),
    answer,
    description: `A staircase of ${front.length} designs, each ${prices === null ? "digging" : "costing"} less or letting less out than any other${asDrawn.fit.fits === null ? "" : " that fits"}. ${answer}`,
  };

  function pointsOf(name: string, some: readonly SizedDesign[], symbol: "circle" | "square", size: number, full: boolean): PointTrace {
    const { color } = lines.pit;
    return {
      type: "scatter", mode: "markers", name, x: some.map((design) => shortNumber(spot(design)[0])),
      y: some.map((design) => shortNumber(spot(design)[1])),
      marker: { color: full ? color : ink.paper, size, symbol, line: { color, width: 1.5 } },
      customdata: some.map(({ sizes }) => plotText(sizesWords(sizes, units))), hovertemplate: "%{customdata}<extra></extra>",
      xaxis: "x", yaxis: "y", showlegend: false,
    };
  }
}

const BOTTOM = 46;

/** Dug ground is counted in these. */
const BULK = { us: "cu yd", si: "m³" } as const;

type Range = readonly [number, number];

function widened(values: readonly number[], fromZero: boolean): Range {
  const [low, high] = [fromZero ? 0 : leastOf(values), greatestOf(values)];
  const air = 0.1 * (high - low) || 0.05 * Math.abs(high) || 1;
  return [low - air, high + air];
}

/** From the least to the most of what nothing beats, and where the chosen one stands. */
function frontAnswer({ front, best, site: { units }, prices }: Sizing): string {
  const priced = ({ cost, dug }: SizedDesign): string => (prices === null ? `${bulkText(dug, units)} dug` : costText(cost!, prices));
  const at = (design: SizedDesign): string => `${volumeText(design.letOut, units)} for ${priced(design)}`;
  const ends = `In the worst of the storms asked for the emitter lets out ${at(front[0]!)}, down to ${at(front.at(-1)!)}`;
  if (best === null) return `${ends}.`;
  if (Number.isNaN(best.letOut)) return `${ends}; of the chosen design a run could not go on to its end.`;
  return front.includes(best) ? `${ends}; the chosen design ${at(best)}.`
    : `${ends}; the chosen design ${at(best)}: what lets out no more for less misses something else that is asked.`;
}
