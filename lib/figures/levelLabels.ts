import { greatestOf } from "../numerics/extremes.ts";
import type { Annotation, Shape, YAxis } from "./figure.ts";
import { font, letterSizes, lines } from "./look.ts";
import { placeLabels } from "./placeLabels.ts";
import { plotText } from "../text/plainText.ts";
import type { ReferenceLevel } from "./referenceLevels.ts";
import { textWidth } from "./textWidth.ts";
import { shortNumber } from "../text/shortNumber.ts";

/** A panel of levels: its axis, its range [m], one unit of its axis [m], and its height [px]. */
export interface LevelPanel {
  readonly axis: YAxis;
  readonly low: number;
  readonly high: number;
  readonly unit: number;
  readonly height: number;
}

/** What stands at the right edge of a level panel for each still level: a dotted line, and its name with its figure. */
export interface LevelLabels {
  readonly annotations: Annotation[];
  readonly shapes: Shape[];
}

/**
 * Still levels as dotted lines across a panel, each named at the right edge with its figure. Names that would collide
 * make room for one another and are led back to their line.
 *
 * @param levels  to be named; one outside the panel's range is named at the panel's edge, with an arrow, without a line
 */
export function levelLabels(levels: readonly ReferenceLevel[], panel: LevelPanel, width: number): LevelLabels {
  const { small } = letterSizes(width);
  const pixel = (panel.high - panel.low) / panel.height;
  const heights = levels.map(({ level }) => (Math.min(panel.high, Math.max(panel.low, level)) - panel.low) / pixel);
  const size = labelHeight(width);
  // From the lowest up, so that of two at one level the one listed first stands higher.
  const room = { from: -size / 2, to: panel.height + size / 2 };
  const places = placeLabels([...heights].reverse().map((at) => ({ at, size })), room).reverse();
  const annotations: Annotation[] = [];
  const shapes: Shape[] = [];
  levels.forEach((reference, i) => {
    const { color } = lines[reference.tone];
    const shown = (metres: number): number => shortNumber(metres / panel.unit);
    const label = shown(panel.low + places[i]! * pixel);
    annotations.push({
      text: plotText(labelText(reference, panel, width)), x: 1, y: label, xref: "paper", yref: panel.axis, xanchor: "left", yanchor: "middle",
      xshift: LEADER, showarrow: false, align: "left", font: font(small, color),
    });
    if (reference.level < panel.low || reference.level > panel.high) return;
    // Fainter than the water: what stands still stays in the background.
    const line = { color: `${color}80`, width: 1, dash: "dot" as const };
    const level = shown(reference.level);
    shapes.push(
      { type: "line", xref: "paper", yref: panel.axis, x0: 0, x1: 1, y0: level, y1: level, line, layer: "below" },
      { type: "line", xref: "paper", yref: panel.axis, xsizemode: "pixel", xanchor: 1, x0: 1, x1: LEADER - 1, y0: level, y1: label,
        line: { color, width: 0.8, dash: "solid" }, layer: "above" },
    );
  });
  return { annotations, shapes };
}

/** The room to the right of a panel that its level names need [px]. */
export function levelLabelsWidth(levels: readonly ReferenceLevel[], panel: Pick<LevelPanel, "unit" | "low" | "high">, width: number): number {
  const { small } = letterSizes(width);
  const widest = greatestOf([0, ...levels.map((level) => textWidth(labelText(level, panel, width), small))]);
  return Math.ceil(LEADER + widest + 4);
}

/** The height one level name takes [px]. */
export function labelHeight(width: number): number {
  return Math.ceil(letterSizes(width).small * 1.25);
}

// Length of the line that leads from a level to its name [px].
const LEADER = 14;

function labelText(reference: ReferenceLevel, panel: Pick<LevelPanel, "unit" | "low" | "high">, width: number): string {
  const words = width < 560 ? reference.short : reference.words;
  const arrow = reference.level < panel.low ? " ↓" : reference.level > panel.high ? " ↑" : "";
  return `${words} ${levelFigures(reference.level / panel.unit)}${arrow}`;
}

/** To the hundredth, and to the thousandth of a metre where a level was given so closely. */
function levelFigures(level: number): string {
  const hundredths = level.toFixed(2);
  return Math.abs(level - Number(hundredths)) > 0.004 ? level.toFixed(3) : hundredths;
}
