import { ink, lines } from "../../figures/look.ts";
import { plainText } from "../../text/plainText.ts";
import { sidesOf, type PlanPoint, type PlanShape } from "../../plane/planShape.ts";
import type { Site } from "../../site/site.ts";
import { worksShapes } from "../../plan/worksShapes.ts";
import { chamberLayout } from "../../plan/chamberLayout.ts";
import { standpipeAt, standpipePlace } from "../../plan/standpipe.ts";
import type { SetOut } from "../../plan/setOut.ts";
import type { Markup } from "../markup.ts";
import type { Reader } from "./reader.ts";
import { draw, svg, type Spot } from "./svg.ts";

/** The works to scale with their pegs, the two fixed points and what stands near, north up. */
export function planDrawing(site: Site, out: SetOut, reader: Reader): Markup {
  const works = worksShapes(site)!;
  const { say } = reader;
  const needed: PlanPoint[] = [...out.pegs.map(({ at }) => at), ...out.fixed.map(({ at }) => at),
    ...works.holes.flatMap(({ shape }) => shape.points)];
  const [west, east] = extent(needed, 0);
  const [south, north] = extent(needed, 1);
  const margin = Math.max(1.5, 0.08 * Math.max(east - west, north - south));
  const [left, bottom, wide, high] = [west - margin, south - margin, east - west + 2 * margin, north - south + 2 * margin];
  const width = 480;
  const scale = Math.min(width / wide, 350 / high);
  const height = Math.max(200, high * scale);
  const shift: Spot = [(width - wide * scale) / 2, (height - high * scale) / 2];
  const spot = ([x, y]: PlanPoint): Spot => [shift[0] + (x - left) * scale, height - shift[1] - (y - bottom) * scale];
  const strokes: string[] = [];
  for (const { kind, shape, name } of site.surroundings!.features) {
    if (shape === null) continue;
    const spots = shape.points.map(spot);
    const label = name === null ? say(`feature.${kind}`) : plainText(name, 24);
    if (shape.closed && kind === "building") strokes.push(draw.area(spots, `fill="#e3e6e8" stroke="${ink.text}" stroke-width="1.2"`));
    else if (shape.closed && kind !== "boundary") strokes.push(draw.area(spots, `fill="#f4f1ea" stroke="${ink.soft}" stroke-dasharray="5 3"`));
    else if (shape.points.length === 1) strokes.push(draw.circle(spots[0]!, 5, `fill="#e3ecd9" stroke="#4d6b2f"`));
    else strokes.push(draw.line(shape.closed ? [...spots, spots[0]!] : spots, `stroke="${ink.text}" stroke-width="${kind === "service" ? 2 : 1}" stroke-dasharray="${kind === "service" ? "2 3" : kind === "boundary" ? "9 3 2 3" : "none"}"`));
    const place = labelPlace(shape, spots, width, height);
    if (place !== null && kind !== "boundary") strokes.push(draw.text(place, label, { size: 11, anchor: shape.closed ? "middle" : place[0] > width - 90 ? "end" : "start", color: ink.text }));
  }
  for (const { kind, shape, halfWidth } of works.holes) {
    const spots = shape.points.map(spot);
    if (shape.closed) strokes.push(draw.area(spots, `fill="${kind === "pit" ? "#b9cedf" : "none"}" stroke="${kind === "pit" ? lines.pit.color : lines.box.color}" stroke-width="${kind === "pit" ? 2 : 1}" ${kind === "box" ? 'stroke-dasharray="3 2"' : ""}`));
    else strokes.push(draw.line(spots, `stroke="${kind === "trench" ? "#a9cfc9" : "#c7cdd1"}" stroke-width="${Math.max(3, 2 * halfWidth * scale).toFixed(1)}"`), draw.line(spots, `stroke="${ink.text}" stroke-width="1" stroke-dasharray="6 3"`));
  }
  for (const box of works.boxes) strokes.push(draw.area(box.points.map(spot), `fill="#f4e3bd" stroke="${lines.box.color}" stroke-width="1.5"`));
  strokes.push(draw.circle(spot(standpipeAt(site)!), 2.6, `fill="${ink.text}" stroke="none"`));
  const [a, b] = out.fixed.map(({ at }) => spot(at)) as [Spot, Spot];
  strokes.push(draw.line([a, b], `stroke="${ink.text}" stroke-width="1"`));
  const middle = spot(works.holes.find(({ kind }) => kind === "pit")!.shape.points.reduce<PlanPoint>(([x, y], [px, py]) => [x + px / 4, y + py / 4], [0, 0]));
  for (const { mark, at } of out.pegs) {
    const [x, y] = spot(at);
    const [dx, dy] = away([x, y], middle);
    strokes.push(draw.circle([x, y], 3.2, `fill="#fff" stroke="${ink.text}" stroke-width="1.6"`), draw.text([x + 12 * dx, y + 12 * dy + 4], mark, { size: 12, bold: true, anchor: "middle" }));
  }
  for (const [i, [x, y]] of [a, b].entries()) {
    strokes.push(draw.box(x - 5, y - 5, 10, 10, `fill="${ink.text}"`), draw.text(beside([x, y], middle), out.fixed[i]!.letter, { size: 14, bold: true, anchor: "middle" }));
  }
  const step = scaleBar(reader, wide / 5);
  strokes.push(draw.line([[14, height - 12], [14 + step.length * scale, height - 12]], `stroke="${ink.text}" stroke-width="3"`), draw.text([14, height - 18], step.text, { size: 11 }));
  strokes.push(draw.line([[width - 20, 40], [width - 20, 14]], `stroke="${ink.text}" stroke-width="2"`), draw.area([[width - 25, 18], [width - 20, 6], [width - 15, 18]], `fill="${ink.text}"`), draw.text([width - 20, 53], say("plan.north"), { size: 12, anchor: "middle", bold: true }));
  return svg(width, height, say("plan.words"), strokes);
}

/** A letter's place beside its spot, on the side away from the works. */
function beside([x, y]: Spot, middle: Spot): Spot {
  const [dx, dy] = away([x, y], middle);
  return [x + 14 * dx, y + 14 * dy + 5];
}

/** A round length for the bar [m]. */
function scaleBar({ units, number }: Reader, about: number): { readonly length: number; readonly text: string } {
  const unit = units === "us" ? 0.3048 : 1;
  const magnitude = 10 ** Math.floor(Math.log10(about / unit));
  const round = [5, 2, 1].find((each) => each * magnitude <= about / unit)! * magnitude;
  return { length: round * unit, text: number(`${round} ${units === "us" ? "ft" : "m"}`) };
}

function extent(points: readonly PlanPoint[], axis: 0 | 1): [number, number] {
  return points.reduce<[number, number]>(([least, most], point) => [Math.min(least, point[axis]), Math.max(most, point[axis])],
    [Infinity, -Infinity]);
}

function away([x, y]: Spot, [mx, my]: Spot): Spot {
  const far = Math.hypot(x - mx, y - my);
  return far < 1 ? [0, -1] : [(x - mx) / far, (y - my) / far];
}

/** Where the name of a feature can stand: in an area, beside a point, by the part of a line that is drawn; null where it is not on it. */
function labelPlace(shape: PlanShape, spots: readonly Spot[], width: number, height: number): Spot | null {
  const seen = ([x, y]: Spot): boolean => x > 8 && x < width - 8 && y > 16 && y < height - 28;
  if (shape.points.length === 1) return seen(spots[0]!) ? [spots[0]![0] + 8, spots[0]![1] + 4] : null;
  const candidates = shape.closed
    ? [[spots.reduce((sum, [x]) => sum + x, 0) / spots.length, spots.reduce((sum, [, y]) => sum + y, 0) / spots.length] as Spot]
    : sidesOf(shape).flatMap((_, i) => [0.5, 0.3, 0.7, 0.15, 0.85].map((share): Spot => [
      spots[i]![0] + share * (spots[i + 1]![0] - spots[i]![0]) + 5, spots[i]![1] + share * (spots[i + 1]![1] - spots[i]![1]),
    ]));
  return candidates.find(seen) ?? null;
}

/** The pit from above with its chambers, the gaps between them, and its standpipe. */
export function chamberDrawing(site: Site, { say, tape, size }: Reader): Markup {
  const { chamberBank: pit } = site;
  const layout = chamberLayout(pit);
  const standpipe = standpipePlace(site);
  const width = 330;
  const scale = Math.min((width - 30) / pit.length, 120 / pit.width);
  const [wide, high] = [pit.length * scale, pit.width * scale];
  const [left, top] = [(width - wide) / 2, 18];
  const spot = (along: number, across: number): Spot => [left + along * scale, top + high - across * scale];
  const gaps = [
    ...(layout === null ? [] : [
      layout.gapAlong === null ? null : say("layout.along", { gap: tape(layout.gapAlong) }),
      layout.gapAcross === null ? null : say("layout.across", { gap: tape(layout.gapAcross) }),
      say("layout.walls", { along: tape(layout.wallAlong), across: tape(layout.wallAcross) }),
    ]),
    say("layout.standpipe", { along: tape(standpipe.along), across: tape(standpipe.across) }),
  ].filter((text) => text !== null);
  const at = layout?.at ?? [];
  return svg(width, high + 34 + 14 * gaps.length, say("layout.words", { n: at.length }), [
    draw.box(left, top, wide, high, `fill="#f4f1ea" stroke="${lines.pit.color}" stroke-width="2"`),
    ...at.map(({ along, across, diameter }) => draw.circle(spot(along, across), (diameter / 2) * scale, `fill="#fff" stroke="${ink.text}" stroke-width="1.4"`)),
    ...(["P1", "P2", "P3", "P4"] as const).map((mark, i) => draw.text([i === 1 || i === 2 ? left + wide + 4 : left - 4, i > 1 ? top + 4 : top + high + 4], mark, { bold: true, anchor: i === 1 || i === 2 ? "start" : "end" })),
    draw.circle(spot(standpipe.along, standpipe.across), 4, `fill="${ink.text}" stroke="none"`),
    draw.text([width / 2, top - 6], [`${tape(pit.length)} × ${tape(pit.width)}`, ...pit.chambers.map(({ count, outsideDiameter }) => `${count} × ⌀ ${size(outsideDiameter)}`)].join(" · "), { anchor: "middle" }),
    ...gaps.map((text, i) => draw.text([width / 2, top + high + 18 + 14 * i], text, { anchor: "middle" })),
  ]);
}
