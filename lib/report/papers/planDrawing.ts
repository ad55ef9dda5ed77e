import { ink, lines } from "../../figures/look.ts";
import { greatestOf } from "../../numerics/extremes.ts";
import { plainText } from "../../text/plainText.ts";
import { sidesOf, type PlanPoint, type PlanShape } from "../../plane/planShape.ts";
import type { Site } from "../../site/site.ts";
import { worksShapes } from "../../plan/worksShapes.ts";
import { chamberLayout } from "../../plan/chamberLayout.ts";
import { standpipeAt, standpipePlace } from "../../plan/standpipe.ts";
import { setOut, type PipeMouth, type SetOut } from "../../plan/setOut.ts";
import type { Markup } from "../markup.ts";
import type { Reader } from "./reader.ts";
import { draw, svg, type Spot } from "./svg.ts";

/**
 * The works to scale with their pegs, the two fixed points and what stands near, north up.
 *
 * @param options.isWhole  all that has a place on the plan, without pegs; where missing what lies about works and pegs
 * @param options.high     at most so high, 480 wide [px]
 */
export function planDrawing(
  site: Site, out: SetOut, reader: Reader,
  { isWhole = false, high: most = 350 }: { readonly isWhole?: boolean; readonly high?: number } = {},
): Markup {
  const works = worksShapes(site)!;
  const { say } = reader;
  const bench = site.papers?.benchmark?.at ?? null;
  const needed: PlanPoint[] = [...out.pegs.map(({ at }) => at), ...out.fixed.map(({ at }) => at),
    ...works.holes.flatMap(({ shape }) => shape.points), ...out.offsets.map(({ at }) => at), ...(bench === null ? [] : [bench]),
    ...(isWhole ? site.surroundings!.features.flatMap(({ shape }) => shape?.points ?? []) : [])];
  const [west, east] = extent(needed, 0);
  const [south, north] = extent(needed, 1);
  const margin = Math.max(1.5, 0.08 * Math.max(east - west, north - south));
  const [left, bottom, wide, high] = [west - margin, south - margin, east - west + 2 * margin, north - south + 2 * margin];
  const width = 480;
  const scale = Math.min(width / wide, most / high);
  const height = Math.max(200, high * scale);
  const shift: Spot = [(width - wide * scale) / 2, (height - high * scale) / 2];
  const spot = ([x, y]: PlanPoint): Spot => [shift[0] + (x - left) * scale, height - shift[1] - (y - bottom) * scale];
  const strokes: string[] = [];
  const names: PlanName[] = [];
  for (const { kind, shape, name } of site.surroundings!.features) {
    if (shape === null) continue;
    const spots = shape.points.map(spot);
    const label = name === null ? say(`feature.${kind}`) : plainText(name, 24);
    if (shape.closed && kind === "building") strokes.push(draw.area(spots, `fill="#e3e6e8" stroke="${ink.text}" stroke-width="1.2"`));
    else if (shape.closed && kind !== "boundary") strokes.push(draw.area(spots, `fill="#f4f1ea" stroke="${ink.soft}" stroke-dasharray="5 3"`));
    else if (shape.points.length === 1) strokes.push(draw.circle(spots[0]!, 5, `fill="#e3ecd9" stroke="#4d6b2f"`));
    else strokes.push(draw.line(shape.closed ? [...spots, spots[0]!] : spots, `stroke="${ink.text}" stroke-width="${kind === "service" ? 2 : 1}" stroke-dasharray="${kind === "service" ? "2 3" : kind === "boundary" ? "9 3 2 3" : "none"}"`));
    if (kind !== "boundary") names.push({ text: label, size: 11, bold: false, at: labelPlaces(shape, spots) });
  }
  for (const { kind, shape, halfWidth } of works.holes) {
    const spots = shape.points.map(spot);
    if (shape.closed) strokes.push(draw.area(spots, `fill="${kind === "pit" ? "#b9cedf" : "none"}" stroke="${kind === "pit" ? lines.pit.color : lines.box.color}" stroke-width="${kind === "pit" ? 2 : 1}" ${kind === "box" ? 'stroke-dasharray="3 2"' : ""}`));
    else strokes.push(draw.line(spots, `stroke="${kind === "trench" ? "#a9cfc9" : "#c7cdd1"}" stroke-width="${Math.max(3, 2 * halfWidth * scale).toFixed(1)}"`), draw.line(spots, `stroke="${ink.text}" stroke-width="1" stroke-dasharray="6 3"`));
  }
  for (const [x, y] of isWhole ? [] : out.offsets.map(({ at }) => spot(at))) {
    for (const down of [-2.5, 2.5]) strokes.push(draw.line([[x - 2.5, y - down], [x + 2.5, y + down]], `stroke="${ink.text}"`));
  }
  if (bench !== null) {
    const [x, y] = spot(bench);
    strokes.push(draw.area([[x - 5, y + 4], [x + 5, y + 4], [x, y - 5]], `fill="${ink.text}"`));
  }
  works.boxes.forEach(({ points }, i) => {
    const look = `fill="#f4e3bd" stroke="${lines.box.color}" stroke-width="1.5"`;
    const [a, b, c] = points as readonly [PlanPoint, PlanPoint, PlanPoint];
    const middle: PlanPoint = [(a[0] + c[0]) / 2, (a[1] + c[1]) / 2];
    strokes.push("diameter" in site.settlingBoxes[i]!.plan ? draw.circle(spot(middle), (Math.hypot(b[0] - a[0], b[1] - a[1]) / 2) * scale, look) : draw.area(points.map(spot), look));
  });
  strokes.push(draw.circle(spot(standpipeAt(site)!), 2.6, `fill="${ink.text}" stroke="none"`));
  const [a, b] = out.fixed.map(({ at }) => spot(at)) as [Spot, Spot];
  strokes.push(draw.line([a, b], `stroke="${ink.text}" stroke-width="1"`));
  const middle = spot(works.holes.find(({ kind }) => kind === "pit")!.shape.points.reduce<PlanPoint>(([x, y], [px, py]) => [x + px / 4, y + py / 4], [0, 0]));
  const pegs = out.pegs.map(({ at }) => spot(at));
  const round = (at: Spot, apart: number): NamePlace[] => around(at, middle, apart);
  if (!isWhole) for (const at of pegs) strokes.push(draw.circle(at, 3.2, `fill="#fff" stroke="${ink.text}" stroke-width="1.6"`));
  for (const [x, y] of [a, b]) strokes.push(draw.box(x - 5, y - 5, 10, 10, `fill="${ink.text}"`));
  // letters of fixed points and pegs first: what stands near finds what room they leave
  const marks: PlanName[] = [
    ...out.fixed.map(({ letter }, i) => ({ text: letter, size: 14, bold: true, at: round([a, b][i]!, 14) })),
    ...(isWhole ? [] : out.pegs).map(({ mark }, i) => ({ text: mark, size: 12, bold: true, at: round(pegs[i]!, 12) })),
  ];
  const step = scaleBar(reader, wide / 5);
  strokes.push(draw.line([[14, height - 12], [14 + step.length * scale, height - 12]], `stroke="${ink.text}" stroke-width="3"`), draw.text([14, height - 18], step.text, { size: 11 }));
  strokes.push(draw.line([[width - 20, 40], [width - 20, 14]], `stroke="${ink.text}" stroke-width="2"`), draw.area([[width - 25, 18], [width - 20, 6], [width - 15, 18]], `fill="${ink.text}"`), draw.text([width - 20, 53], say("plan.north"), { size: 12, anchor: "middle", bold: true }));
  const about = ([x, y]: Spot, half: number): Box => ({ left: x - half, right: x + half, top: y - half, bottom: y + half });
  const bar: Box = { left: 14, right: 14 + Math.max(step.length * scale, wideOf(step.text, 11)), top: height - 29, bottom: height - 9 };
  const arrow: Box = { left: width - 28, right: width - 12, top: 4, bottom: 56 };
  const taken: Box[] = [...pegs.map((at) => about(at, 4)), ...[a, b].map((at) => about(at, 5)), bar, arrow];
  // lines of the works and of what stands near, in short pieces: a name on a line is hard to read
  const features = site.surroundings!.features.flatMap(({ shape }) => (shape === null ? [] : [shape]));
  const drawn = [...works.holes.map(({ shape }) => shape), ...works.boxes, ...features];
  const pieces = drawn.flatMap((shape) => sidesOf(shape)).flatMap((side) => piecesOf(spot(side[0]), spot(side[1])));
  const texts = placed([...marks, ...names], [...taken, ...pieces], { width, height })
    .map(({ text, size, bold, spot: at, anchor }) => draw.text(at, text, { size, bold, anchor }));
  return svg(width, height, say("plan.words"), [...strokes, ...texts]);
}

/** A name on the plan and the places where it may stand, the best first. */
interface PlanName {
  readonly text: string;
  readonly size: number;
  readonly bold: boolean;
  readonly at: readonly NamePlace[];
}

interface NamePlace {
  readonly spot: Spot;
  readonly anchor: "start" | "middle" | "end";
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/**
 * Each name at the first of its places that is on the drawing and on no other name; the letters of pegs, which cannot be missed, at the
 * least covered one.
 */
function placed(
  names: readonly PlanName[], taken: readonly Box[], { width, height }: { readonly width: number; readonly height: number },
): (PlanName & NamePlace)[] {
  const boxes = [...taken];
  return names.flatMap((name): (PlanName & NamePlace)[] => {
    const { text, size, bold, at } = name;
    const tried = at.map((place) => {
      const box = boxOf(text, size, place);
      const off = box.left < 2 || box.right > width - 2 || box.top < 2 || box.bottom > height - 2;
      return { place, box, covered: boxes.reduce((sum, other) => sum + overlap(box, other), 0) + (off ? 1e6 : 0) };
    });
    if (tried.length === 0) return [];
    const best = tried.reduce((least, each) => (each.covered < least.covered - 1e-9 ? each : least));
    if (!bold && best.covered > 60) return [];
    boxes.push(best.box);
    return [{ ...name, ...best.place }];
  });
}

/** Small squares along a line that is drawn. */
function piecesOf([x, y]: Spot, [u, v]: Spot): Box[] {
  const count = Math.min(400, Math.ceil(Math.hypot(u - x, v - y) / 4));
  return Array.from({ length: count }, (_, i): Box => {
    const [at, down] = [x + ((i + 0.5) / count) * (u - x), y + ((i + 0.5) / count) * (v - y)];
    return { left: at - 1.5, right: at + 1.5, top: down - 1.5, bottom: down + 1.5 };
  });
}

function boxOf(text: string, size: number, { spot: [x, y], anchor }: NamePlace): Box {
  const wide = wideOf(text, size);
  const left = anchor === "start" ? x : anchor === "end" ? x - wide : x - wide / 2;
  return { left, right: left + wide, top: y - 0.78 * size, bottom: y + 0.22 * size };
}

/** About as wide as letters of a size are. */
function wideOf(text: string, size: number): number {
  return 0.6 * size * text.length;
}

function overlap(a: Box, b: Box): number {
  const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
  const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
  return Math.max(0, wide) * Math.max(0, high);
}

/** Places for a letter beside its spot, sixteen round it and as many farther out, those away from the works first. */
function around(at: Spot, middle: Spot, apart: number): NamePlace[] {
  const [dx, dy] = away(at, middle);
  const turns = Array.from({ length: 16 }, (_, i) => (i % 2 === 0 ? 1 : -1) * Math.ceil(i / 2) * (Math.PI / 8));
  return [apart, 1.7 * apart].flatMap((far) => turns.map((turn): NamePlace => {
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
    return { spot: [at[0] + far * (dx * cos - dy * sin), at[1] + far * (dx * sin + dy * cos) + 4], anchor: "middle" };
  }));
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

/** Where the name of a feature can stand: in an area or at its sides, round a point, beside a line. */
function labelPlaces(shape: PlanShape, spots: readonly Spot[]): NamePlace[] {
  if (shape.points.length === 1) {
    const [x, y] = spots[0]!;
    return [{ spot: [x + 8, y + 4], anchor: "start" }, { spot: [x - 8, y + 4], anchor: "end" }, { spot: [x, y - 9], anchor: "middle" }, { spot: [x, y + 17], anchor: "middle" }];
  }
  const middle: Spot = [spots.reduce((sum, [x]) => sum + x / spots.length, 0), spots.reduce((sum, [, y]) => sum + y / spots.length, 0)];
  const beside = sidesOf(shape).flatMap((_, i) => [0.5, 0.3, 0.7, 0.15, 0.85].flatMap((share): NamePlace[] => {
    const [from, to] = [spots[i]!, spots[(i + 1) % spots.length]!];
    const [x, y] = [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
    return [{ spot: [x + 6, y - 4], anchor: "start" }, { spot: [x - 6, y - 4], anchor: "end" }, { spot: [x + 6, y + 13], anchor: "start" }, { spot: [x - 6, y + 13], anchor: "end" }];
  }));
  return shape.closed ? [{ spot: middle, anchor: "middle" }, ...beside] : beside;
}

/** Where pipes cross the pit's edge, along its length and across its width [m]; none without a plan. */
function mouthsOf(site: Site): (Pick<PipeMouth, "mark" | "along" | "chamber"> & { readonly across: number })[] {
  const { length, width } = site.chamberBank;
  const corners: Readonly<Record<string, PlanPoint>> = { P1: [0, 0], P2: [length, 0], P3: [length, width], P4: [0, width] };
  return (setOut(site, site.papers?.fixedPoints ?? null)?.mouths ?? []).map(({ mark, from, towards, along, chamber }) => {
    const [[x, y], [u, v]] = [corners[from]!, corners[towards]!];
    const share = along / Math.hypot(u - x, v - y);
    return { mark, along: x + share * (u - x), across: y + share * (v - y), chamber };
  });
}

/** The pit from above with its chambers, the gaps between them, and its standpipe. */
export function chamberDrawing(site: Site, { say, tape, tapeStep, staff, size }: Reader): Markup {
  const { chamberBank: pit } = site;
  const layout = chamberLayout(pit);
  // what is shown adds up: gaps as a tape tells them, and what they leave at the walls
  const largest = greatestOf([0, ...pit.chambers.map(({ outsideDiameter }) => outsideDiameter)]);
  const wall = (length: number, count: number, gap: number | null): number =>
    (length - count * largest - (count - 1) * (gap === null ? 0 : Math.round(gap / tapeStep) * tapeStep)) / 2;
  const standpipe = standpipePlace(site);
  const width = 330;
  const scale = Math.min((width - 56) / pit.length, 120 / pit.width);
  const [wide, high] = [pit.length * scale, pit.width * scale];
  const [left, top] = [(width - wide) / 2, 32];
  const spot = (along: number, across: number): Spot => [left + along * scale, top + high - across * scale];
  const gaps = [
    ...(layout === null ? [] : [
      [layout.gapAlong === null ? null : say("layout.along", { gap: tape(layout.gapAlong) }),
        layout.gapAcross === null ? null : say("layout.across", { gap: tape(layout.gapAcross) })].filter((text) => text !== null).join(", "),
      say("layout.walls", { along: staff(wall(pit.length, layout.along, layout.gapAlong)), across: staff(wall(pit.width, layout.rows, layout.gapAcross)) }),
    ]),
    say("layout.standpipe", { along: tape(standpipe.along), across: tape(standpipe.across) }),
  ].filter((text) => text !== "");
  const at = layout?.at ?? [];
  const mouths = mouthsOf(site);
  return svg(width, high + 58 + 14 * gaps.length, say("layout.words", { n: at.length }), [
    draw.box(left, top, wide, high, `fill="#f4f1ea" stroke="${lines.pit.color}" stroke-width="2"`),
    ...mouths.flatMap(({ along, across, chamber }) => (chamber === null ? []
      : [draw.line([spot(along, across), spot(at[chamber]!.along, at[chamber]!.across)], `stroke="#8a9297" stroke-width="4"`)])),
    ...at.flatMap(({ along, across, diameter }, i) => {
      const [x, y] = spot(along, across);
      return [draw.circle([x, y], (diameter / 2) * scale, `fill="#fff" stroke="${ink.text}" stroke-width="1.4"`), draw.text([x, y + 4], `C${i + 1}`, { size: 11, anchor: "middle" })];
    }),
    ...mouths.flatMap(({ mark, along, across }) => {
      const [x, y] = spot(along, across);
      // outside the wall
      const dx = along < 0.01 ? -14 : along > pit.length - 0.01 ? 14 : 0;
      const dy = across < 0.01 ? 12 : across > pit.width - 0.01 ? -9 : 0;
      return [draw.circle([x, y], 3, `fill="#fff" stroke="${ink.text}" stroke-width="1.6"`), draw.text([x + dx, y + dy + 4], mark, { size: 11, anchor: "middle", bold: true })];
    }),
    ...(["P1", "P2", "P3", "P4"] as const).map((mark, i) => draw.text([i === 1 || i === 2 ? left + wide + 4 : left - 4, i > 1 ? top + 4 : top + high + 4], mark, { bold: true, anchor: i === 1 || i === 2 ? "start" : "end" })),
    draw.circle(spot(standpipe.along, standpipe.across), 4, `fill="${ink.text}" stroke="none"`),
    draw.text([width / 2, 12], [`${tape(pit.length)} × ${tape(pit.width)}`, ...pit.chambers.map(({ count, outsideDiameter }) => `${count} × ⌀ ${size(outsideDiameter)}`)].join(" · "), { anchor: "middle" }),
    ...gaps.map((text, i) => draw.text([width / 2, top + high + 28 + 14 * i], text, { anchor: "middle" })),
  ]);
}
