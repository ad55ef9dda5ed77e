import { displayUnits, type UnitSystem } from "../text/format.ts";
import type { PlanPoint } from "../plane/planShape.ts";
import type { Site } from "../site/site.ts";
import type { Siting, SitingRow } from "../plan/siting.ts";
import { distanceText } from "../text/distanceText.ts";
import type { Annotation } from "./figure.ts";
import { font, ink } from "./look.ts";
import { plainText, plotText } from "../text/plainText.ts";
import type { PlanFrame } from "./planFrame.ts";
import type { PlanStroke } from "./planStrokes.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { shownCrossing, shownName } from "./sitingAnswer.ts";
import { wrapText } from "./textWidth.ts";

/** The strip under a plan: a scale bar, the north arrow, and in words what the drawing does not show. */
export interface PlanFoot {
  /** [px] */
  readonly height: number;
  readonly strokes: readonly PlanStroke[];
  readonly notes: readonly Annotation[];
}

/** @param unplaced  names that found no room in the drawing, plotly text */
export function planFoot(site: Site, siting: Siting, unplaced: readonly string[], frame: PlanFrame, size: number): PlanFoot {
  const unit = displayUnits(site.units).level.size;
  const words = footLines(site, siting, unplaced, frame.width, size);
  return {
    height: 44 + words.length * size * 1.35,
    strokes: footStrokes(frame, unit),
    notes: footNotes(frame, unit, size, words, site),
  };
}

/** A feature and how far it is from a hole, in words. */
export function distanceWords(row: SitingRow, units: UnitSystem): string {
  const { feature, phrase, distance } = row;
  return distance === 0 ? shownCrossing(row, units) : `${shownName(feature)} ${distanceText(distance, units)} from ${plainText(phrase, 60)}`;
}

/** What the drawing itself cannot show: features without a place, those far off, and names that found no room. */
function footLines(site: Site, { rows, unplaced: holes }: Siting, unplaced: readonly string[], width: number, size: number): string[] {
  const off = rows.filter(({ way }) => way === null).map((each) => distanceWords(each, site.units));
  const said = [
    ...(off.length === 0 ? [] : [`Not drawn, given by distance: ${plotText(off.join(", "), 300)}.`]),
    ...(holes.length === 0 ? [] : [`Not on the plan: ${plotText(holes.join(", "), 300)}.`]),
    ...(unplaced.length === 0 ? [] : [`Drawn without room for a name: ${unplaced.join(", ")}.`]),
  ];
  return said.flatMap((line) => wrapText(line, width, size));
}

/** A scale bar and the north arrow, in the strip under the drawing. */
function footStrokes(frame: PlanFrame, unit: number): PlanStroke[] {
  const { corner: [west, south], scale, width } = frame;
  const bar = barLength(frame, unit);
  const px = 1 / scale;
  const y = south - 26 * px;
  const box = (from: number, to: number): PlanPoint[] =>
    [[west + from, y], [west + to, y], [west + to, y + 5 * px], [west + from, y + 5 * px], [west + from, y]];
  const start = 8 * px;
  const x = west + (width - 12) * px;
  const line = { color: ink.text, width: 1 };
  return [
    { name: "scale", parts: [box(start, start + bar / 2)], fill: ink.text, line },
    { name: "scale", parts: [box(start + bar / 2, start + bar)], fill: ink.paper, line },
    { name: "north", parts: [[[x, y - 6 * px], [x, y + 20 * px]]], line: { ...line, width: 1.4 } },
    {
      name: "north", parts: [[[x - 5 * px, y + 10 * px], [x, y + 22 * px], [x + 5 * px, y + 10 * px], [x - 5 * px, y + 10 * px]]],
      fill: ink.text, line,
    },
  ];
}

/** About a fifth of the drawing, a round number of the site's unit [m]. */
function barLength({ width, scale }: PlanFrame, unit: number): number {
  const wanted = Math.max(width / 5, 60) / scale / unit;
  const decade = 10 ** Math.floor(Math.log10(wanted));
  return ([5, 2, 1].find((each) => each * decade <= wanted) ?? 1) * decade * unit;
}

function footNotes(frame: PlanFrame, unit: number, size: number, foot: readonly string[], site: Site): Annotation[] {
  const { corner: [west, south], scale, width } = frame;
  const bar = barLength(frame, unit);
  const note = (text: string, x: number, below: number, xanchor: Annotation["xanchor"]): Annotation => ({
    text, x: shortNumber((west + x / scale) / unit), y: shortNumber((south - below / scale) / unit), xref: "x", yref: "y", xanchor, yanchor: "middle",
    showarrow: false, align: "left", font: font(size, ink.text),
  });
  const end = 8 + bar * scale;
  return [
    note("0", 8, 12, "center"), note(distanceText(bar, site.units), end, 12, "center"), note("<b>N</b>", width - 20, 24, "right"),
    ...foot.map((line, i) => note(line, 0, 46 + i * size * 1.35, "left")),
  ];
}
