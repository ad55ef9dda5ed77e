import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { bodiesOf, flowOfKind, type Run } from "../simulate/run.ts";
import type { OverflowTrench, Site } from "../site/site.ts";
import { groundAtMiddle } from "../site/trenchGround.ts";
import { displayUnits, flowText, waterText } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { bodyViews, DRY } from "./bodyViews.ts";
import type { Annotation, Figure, LineTrace } from "./figure.ts";
import { NO_FLOW } from "./flowRows.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { placeLabels } from "./placeLabels.ts";
import { NARROW } from "./plotEdges.ts";
import { layerText } from "./runSubtitle.ts";
import { sectionAnswer } from "./sectionAnswer.ts";
import type { DrawnArea } from "./sectionArea.ts";
import { groundLine, groundwaterAt, roomLeft, sectionDrawing, soilColor } from "./sectionDrawing.ts";
import { sectionPlan, type SectionPlan, type Stretch, withLongerTrench } from "./sectionPlan.ts";
import { HALO, type Scale, sectionText } from "./sectionText.ts";
import { textWidth } from "./textWidth.ts";

/**
 * The works cut open along their pipes at a moment of a run: soil by its layers with their conductivity written in them,
 * stone, chambers, boxes and pipes at their true sizes, and the water that stands in them, each level with the
 * draughtsman's water mark. Lengths and heights are to scale, heights stretched as the subtitle says.
 *
 * @param time     of the run [s]
 * @param options  `view` draws it in a layout and scale that stand still while something in them is pulled
 * @throws RangeError  outside the run
 */
export function sectionFigure(run: Run, time: number, options: FigureOptions & { readonly view?: SectionView } = {}): Figure {
  if (!(time >= 0 && time <= run.until)) throw new RangeError(`time: expected 0 to ${run.until} s, got ${time} s`);
  const width = options.width ?? 960;
  const { small } = letterSizes(width);
  const { site } = run;
  const { label, size: unit } = displayUnits(site.units).level;
  const { plan, scale, height } = options.view ?? sectionView(run, width);
  const { low } = scale;
  const high = low + height / scale.up;
  const answer = sectionAnswer(run, time);
  const subtitle = `${plainText(site.name, 60)} · along the pipes, heights ${stretchText(scale, false)} · levels in ${label}`;
  const title = options.title === false ? null : answerTitle(plotText(answer, Infinity), plotText(subtitle, Infinity), width);
  const headroom = title?.height ?? 4;
  const annotations = [
    ...partNames(run, time, plan, scale, width, height), ...soilNames(run, plan, scale, small),
    ...waterMarks(run, time, plan, scale, small), ...soilArrows(run, time, plan, scale, small), ...surfaceArrows(run, time, plan, width),
    ...roomName(run, time, plan, scale, small), lengthBar(run, plan, scale, small, width < NARROW).name,
  ];
  return {
    data: [
      ...sectionDrawing(run, time, plan, low), ...lengthBar(run, plan, scale).strokes, ...waterStrokes(run, time, plan, scale),
    ].map((area) => areaTrace(area, unit)),
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(headroom + height + BOTTOM),
      margin: { l: LEFT, r: RIGHT, t: headroom, b: BOTTOM },
      hovermode: false,
      dragmode: false,
      xaxis: {
        range: [plan.whole.from / unit, plan.whole.to / unit], showgrid: false, zeroline: false, showticklabels: false,
        fixedrange: true,
      },
      yaxis: { ...quietAxis(width), range: [low / unit, high / unit], showgrid: false, fixedrange: true, nticks: 8 },
      annotations: annotations.map((each) => ({ ...each, x: shortNumber(each.x / unit), y: shortNumber(each.y / unit) })),
      shapes: [],
    },
    config: quietConfig(),
    answer,
    description: `Section through the works at ${momentText(time)}. ${answer} ${bodyViews(run)
      .map(({ body: each, words, floor: foot }) => `${words} ${levelWords(run, each, foot, time)}`).join(", ")}.`,
  };
}

/** The name of the text at the groundwater's line. */
export const GROUNDWATER: string = "groundwater";

/** The name of the text in a layer of soil, from the first down. */
export function soilName(layer: number): string {
  return `soil ${layer + 1}`;
}

// Edges of the drawing, and its height [px].
const LEFT = 46;
const RIGHT = 12;
/** with the words of the scale [px] */
const BOTTOM = 20;
const HEIGHT = 360;
/** over the ground, for the names of the parts and a page's buttons [px] */
const SKY = 66;
/** under the lowest floor, for what goes into the soil and a page's knob of the groundwater [px] */
const FOOT = 62;
// Heights are stretched no more than so; the least height that has room for the words.
const MOST_STRETCH = 5;
const LEAST_HEIGHT = 240;

/** A view, and how wide the picture of it is [px]. */
export interface DrawnView {
  readonly view: SectionView;
  readonly width: number;
}

/** How works are laid out and scaled in a section, and its height without its edges [px]. */
export interface SectionView {
  readonly plan: SectionPlan;
  readonly scale: Scale;
  readonly height: number;
}

/**
 * How the works of a run are laid out and scaled in a section of a width: the same at all its times. Where the works are too long
 * for it, the trench is broken.
 *
 * @param width  [px]
 */
export function sectionView(run: Run, width: number): SectionView {
  const { site } = run;
  const whole = sectionPlan(site);
  const floors = [
    site.chamberBank.floor, ...site.settlingBoxes.map(({ floor }) => floor), ...(site.lowSpot === null ? [] : [site.lowSpot.floor]),
  ];
  const floor = leastOf(floors);
  const top = greatestOf([...groundLine(site, whole).map(([, level]) => level), ...run.bodies.map(({ name }) => run.peaks[name]!.level)]);
  const low = floor - 0.25 * (top - floor);
  const room = width - LEFT - RIGHT;
  const plan = sectionPlan(site, (room * MOST_STRETCH * (top - low)) / LEAST_HEIGHT);
  const across = room / (plan.whole.to - plan.whole.from);
  const up = Math.min(HEIGHT / (top - low), MOST_STRETCH * across);
  const foot = Math.min(low, floor - FOOT / up);
  return { plan, scale: { across, up, low: foot, from: plan.whole.from }, height: up * (top - foot) + SKY };
}

/**
 * A view in which the trench is as much longer or shorter as that of a run is, all else and the scale as they were. Where the picture
 * would be wider than it may be, the trench is drawn no longer.
 *
 * @param before  length of the trench that the view is of [m]
 * @param most    the picture may be wide [px]
 */
export function stretchedView({ plan, scale, height }: SectionView, { site }: Run, before: number, most: number): DrawnView {
  const drawn = plan.whole.to - plan.whole.from;
  const longer = plan.trench === null ? 0 : (site.overflowTrench!.length / before - 1) * (plan.trench.to - plan.trench.from);
  const width = Math.min(most, Math.round((drawn + longer) * scale.across + LEFT + RIGHT));
  return { view: { plan: withLongerTrench(plan, (width - LEFT - RIGHT) / scale.across - drawn), scale, height }, width };
}

function areaTrace({ points, fill, pattern, line }: DrawnArea, unit: number): LineTrace {
  return {
    type: "scatter", name: "section", mode: "lines", x: points.map(([along]) => shortNumber(along / unit)),
    y: points.map(([, level]) => shortNumber(level / unit)), line: line ?? { color: "rgba(0,0,0,0)", width: 0 },
    ...(fill === undefined ? {} : { fill: "toself" as const, fillcolor: fill }), ...(pattern === undefined ? {} : { fillpattern: pattern }),
    hoverinfo: "skip", xaxis: "x", yaxis: "y", showlegend: false,
  };
}

function stretchText({ across, up }: Scale, isNarrow: boolean): string {
  const stretch = up / across;
  const times = Math.round(stretch * 10) / 10;
  return stretch < 1.05 ? "as lengths" : isNarrow ? `× ${times}` : `stretched ${times} times`;
}

/** A round length to measure by, at the lower left, and how much heights are stretched over it. */
function lengthBar(
  run: Run, plan: SectionPlan, scale: Scale, size: number = 11, isNarrow: boolean = false,
): { readonly strokes: DrawnArea[]; readonly name: Annotation } {
  const { size: unit, label } = displayUnits(run.site.units).level;
  const round = [1, 2, 5, 10, 20, 50, 100].findLast((each) => each * unit * scale.across <= 90) ?? 1;
  const [from, level] = [plan.whole.from + 8 / scale.across, scale.low + 8 / scale.up];
  const to = from + round * unit;
  const line = { color: ink.text, width: 1.4, dash: "solid" } as const;
  const tick = 4 / scale.up;
  return {
    strokes: [{ points: [[from, level + tick], [from, level], [to, level], [to, level + tick]], line }],
    name: {
      // hung from the bar: words at a level below the axis would not be drawn in a notebook
      ...sectionText(`${round} ${label}, heights ${stretchText(scale, isNarrow)}${plan.isBroken ? ", trench broken" : ""}`, from, level, size, ink.text),
      xanchor: "left", yanchor: "top", yshift: -11,
    },
  };
}

/** The room that the pit has left, named where there is place for the word. */
function roomName(run: Run, time: number, plan: SectionPlan, scale: Scale, size: number): Annotation[] {
  const left = roomLeft(run, time);
  if (left === null || (left.high - left.low) * scale.up < 2.2 * size || (plan.pit.to - plan.pit.from) * scale.across < 90) return [];
  return [{
    ...sectionText("room left", (plan.pit.from + plan.pit.to) / 2, left.high - 3 / scale.up, size, lines.trench.color), xanchor: "center", yanchor: "top", bgcolor: HALO,
  }];
}

/** Names of the parts in one row over the ground, the emitter's with what it lets out where there is room. */
function partNames(run: Run, time: number, plan: SectionPlan, scale: Scale, width: number, height: number): Annotation[] {
  const { body: size } = letterSizes(width);
  const { settlingBoxes, emitter } = run.site;
  const parts: { words: string; along: Stretch; tone: Tone }[] = [
    ...plan.boxes.map((along, i) => ({
      words: settlingBoxes.length === 1 ? "settling box" : plainText(settlingBoxes[i]!.name, 14), along, tone: "box" as const,
    })),
    { words: "pit", along: plan.pit, tone: "pit" },
  ];
  if (plan.trench !== null) parts.push({ words: "trench", along: plan.trench, tone: "trench" });
  if (plan.emitter !== null && emitter !== null) {
    const out = width < NARROW ? 0 : run.flow("emitter", time);
    parts.push({ words: out > NO_FLOW ? `emitter ${flowText(out, run.site.units)}` : "emitter", along: plan.emitter, tone: "emitter" });
  }
  if (plan.lowSpot !== null) parts.push({ words: "low spot", along: plan.lowSpot, tone: "lowSpot" });
  const wishes = parts.map(({ words, along }) => ({
    at: ((along.from + along.to) / 2 - scale.from) * scale.across, size: textWidth(words, size, true) + 12,
  }));
  const places = placeLabels(wishes, { from: 0, to: (plan.whole.to - plan.whole.from) * scale.across });
  return parts.map(({ words, tone }, i) => ({
    ...sectionText(`<b>${plotText(words)}</b>`, scale.from + places[i]! / scale.across, scale.low + (height - 4) / scale.up, size, lines[tone].color),
    xanchor: "center", yanchor: "top",
  }));
}

interface Mark {
  readonly body: string;
  readonly along: number;
  readonly level: number;
}

/** Where each body's water mark stands: beside a box, within pit and trench. */
function markPlaces(run: Run, time: number, plan: SectionPlan, scale: Scale): Mark[] {
  const beside = 22 / scale.across;
  const within = ({ from, to }: Stretch, share: number): number => from + share * (to - from);
  const segments = bodiesOf(run, "trench");
  const { trench } = plan;
  const places = [
    ...run.site.settlingBoxes.map(({ name }, i) => ({ body: name, along: plan.boxes[i]!.to + beside })),
    { body: "chamberBank", along: within(plan.pit, 0.86) },
    ...(trench === null ? [] : segments.map((body, i) => ({ body, along: within(trench, (i + 0.7) / segments.length) }))),
    ...(plan.lowSpot === null ? [] : [{ body: "lowSpot", along: within(plan.lowSpot, 0.5) }]),
  ];
  const floors = new Map(bodyViews(run).map(({ body, floor }) => [body, floor]));
  const wet = places
    .map((place) => ({ ...place, level: run.level(place.body, time) }))
    .filter(({ body, level }) => level - floors.get(body)! > DRY);
  // Of marks that stand too close for their figures the first is kept: neighbours differ by little.
  const kept: Mark[] = [];
  for (const mark of wet) {
    const near = ({ along, level }: Mark): boolean =>
      Math.abs(along - mark.along) * scale.across < 44 && Math.abs(level - mark.level) * scale.up < 34;
    if (!kept.some(near)) kept.push(mark);
  }
  return kept;
}

/** The draughtsman's water mark: a triangle that stands on the water, two strokes under it. */
function waterStrokes(run: Run, time: number, plan: SectionPlan, scale: Scale): DrawnArea[] {
  const line = { color: lines.pit.color, width: 1.3, dash: "solid" } as const;
  const [dx, dy] = [1 / scale.across, 1 / scale.up];
  return markPlaces(run, time, plan, scale).flatMap(({ along, level }): DrawnArea[] => [
    {
      points: [[along, level], [along - 5 * dx, level + 8 * dy], [along + 5 * dx, level + 8 * dy], [along, level]],
      line, fill: ink.paper,
    },
    { points: [[along - 6 * dx, level - 2 * dy], [along + 6 * dx, level - 2 * dy]], line },
    { points: [[along - 3.5 * dx, level - 5 * dy], [along + 3.5 * dx, level - 5 * dy]], line },
  ]);
}

function waterMarks(run: Run, time: number, plan: SectionPlan, scale: Scale, size: number): Annotation[] {
  const unit = displayUnits(run.site.units).level.size;
  const marks = markPlaces(run, time, plan, scale).map(({ along, level }): Annotation => ({
    ...sectionText(`<b>${(level / unit).toFixed(2)}</b>`, along, level + 9 / scale.up, size, lines.pit.color),
    xanchor: "center", yanchor: "bottom", bgcolor: HALO,
  }));
  const water = groundwaterAt(run, time);
  if (!(water > scale.low)) return marks;
  return [...marks, {
    name: GROUNDWATER, ...sectionText(`groundwater ${(water / unit).toFixed(2)}`, plan.whole.to, water + 2 / scale.up, size, lines.rain.color),
    xanchor: "right", yanchor: "bottom", bgcolor: HALO,
  }];
}

/** Each layer's conductivity, written where the layer lies bare: under the trench, over it, or under the box. */
function soilNames(run: Run, plan: SectionPlan, scale: Scale, size: number): Annotation[] {
  const { soil } = run.site;
  return soil.layers.flatMap((each, i) => {
    const words = layerText(run.site, each);
    const layer = { foot: Math.max(scale.low, soil.layers[i + 1]?.top ?? scale.low), top: i === 0 ? Infinity : each.top };
    const place = bareGround(run.site, plan, scale.low)
      .map(({ along, foot, top: head }) => ({ along, foot: Math.max(foot, layer.foot), head: Math.min(head, layer.top) }))
      .find(({ along, foot, head }) =>
        (along.to - along.from) * scale.across > textWidth(words, size) + 20 && (head - foot) * scale.up > size * 1.6);
    if (place === undefined) return [];
    const { along, foot, head } = place;
    return [{
      name: soilName(i), ...sectionText(words, (along.from + along.to) / 2, (head + foot) / 2, size, "#6b5636"),
      xanchor: "center" as const, yanchor: "middle" as const, bgcolor: soilColor(i),
    }];
  });
}

/** Rectangles of the section where nothing is built, the widest first. */
function bareGround({ overflowTrench, settlingBoxes, chamberBank }: Site, plan: SectionPlan, low: number): Bare[] {
  const right = { from: plan.pit.to, to: plan.whole.to };
  const underBox = {
    along: { from: plan.whole.from, to: plan.pit.from }, foot: low, top: leastOf(settlingBoxes.map(({ floor }) => floor)),
  };
  if (overflowTrench === null || plan.trench === null) return [{ along: right, foot: low, top: chamberBank.ground }, underBox];
  const { lowFloor, stoneTop, ground } = overflowTrench;
  // The half that has no water mark over it.
  const { from, to } = plan.trench;
  const middle = groundAtMiddle(ground);
  const overTrench = { along: { from, to: (from + to) / 2 }, foot: stoneTop.high, top: Math.min(ground.high, middle) };
  return [{ along: right, foot: low, top: lowFloor }, ...(overflowTrench.segments === 1 ? [overTrench] : []), underBox];
}

interface Bare {
  readonly along: Stretch;
  readonly foot: number;
  readonly top: number;
}

function levelWords(run: Run, body: string, floor: number, time: number): string {
  const level = run.level(body, time);
  return level - floor <= DRY ? "dry" : waterText(level, run.site.units);
}

/**
 * What goes into the soil around the pit, as arrows with a figure: down from its floor, or out of its walls where groundwater
 * stands above the floor, between the two waters; up through the floor where groundwater comes in.
 */
function soilArrows(run: Run, time: number, plan: SectionPlan, scale: Scale, size: number): Annotation[] {
  const flow = run.flow("bankSeepage", time);
  if (Math.abs(flow) < NO_FLOW) return [];
  const { floor } = run.site.chamberBank;
  const down = flow > 0;
  const around = groundwaterAt(run, time);
  const beside = down && around > floor;
  const weight = arrowWeight(run, flow);
  const arrows = beside ? wallArrows(plan, weight, (around + Math.min(run.level("chamberBank", time), run.site.chamberBank.stoneTop)) / 2, size, scale)
    : [0.2, 0.5, 0.8].map((share): Annotation => ({
      ...sectionText("", plan.pit.from + share * (plan.pit.to - plan.pit.from), floor - (down ? 30 : 6) / scale.up, size, lines.pit.color),
      showarrow: true, ax: 0, ay: down ? -24 : 24, arrowcolor: lines.pit.color, arrowwidth: weight, arrowhead: 3,
    }));
  const words = `${flowText(Math.abs(flow), run.site.units)} ${down ? "into the soil" : "of groundwater in"}`;
  return [...arrows, {
    ...sectionText(words, (plan.pit.from + plan.pit.to) / 2, floor - (beside ? 6 : 36) / scale.up, size, lines.pit.color),
    xanchor: "center", yanchor: "top", bgcolor: HALO,
  }];
}

/** The stroke of an arrow by its flow, against what soaks away at the highest water, or comes in before the rain [px]. */
function arrowWeight(run: Run, flow: number): number {
  let most = MOST.get(run);
  if (most === undefined) {
    most = Math.max(Math.abs(run.flow("bankSeepage", run.peaks["chamberBank"]!.time)), Math.abs(run.flow("bankSeepage", 0)));
    MOST.set(run, most);
  }
  return 0.9 + 2 * Math.sqrt(Math.min(1, Math.abs(flow) / Math.max(1e-12, most)));
}

const MOST = new WeakMap<Run, number>();

/** Out of both walls of the pit at a level. */
function wallArrows({ pit }: SectionPlan, weight: number, level: number, size: number, scale: Scale): Annotation[] {
  return ([[pit.from, -1], [pit.to, 1]] as const).map(([wall, away]): Annotation => ({
    ...sectionText("", wall + (away * 24) / scale.across, level, size, lines.pit.color),
    showarrow: true, ax: -20 * away, ay: 0, arrowcolor: lines.pit.color, arrowwidth: weight, arrowhead: 3,
  }));
}

/** Water on its way out at the surface, or down the grate: an arrow where it leaves, and how much. */
function surfaceArrows(run: Run, time: number, plan: SectionPlan, width: number): Annotation[] {
  const { site } = run;
  const { small: size } = letterSizes(width);
  const flow = (kind: string): number => flowOfKind(run, kind, time);
  const middle = ({ from, to }: Stretch): number => (from + to) / 2;
  const places = [
    ...site.settlingBoxes.map(({ name, rim }, i) => ({
      out: run.flow(site.settlingBoxes.length > 1 ? `boxSpill ${name}` : "boxSpill", time), along: plan.boxes[i]!.from, level: rim, tone: "box" as const,
    })),
    { out: flow("bankSpill"), along: middle(plan.pit), level: site.chamberBank.ground, tone: "pit" as const },
    ...(plan.trench === null ? [] : [{ out: flow("trenchSpill"), ...overTrench(site.overflowTrench!, plan.trench), tone: "trench" as const }]),
    ...(plan.grate === null ? [] : [{ out: -flow("grate"), along: middle(plan.grate), level: site.lowSpot!.grate!.level, tone: "lowSpot" as const }]),
    ...(plan.lowSpot === null ? [] : [{ out: flow("lowSpotOverflow"), along: plan.lowSpot.to, level: site.lowSpot!.lip, tone: "lowSpot" as const }]),
  ];
  return places.filter(({ out }) => Math.abs(out) > NO_FLOW).map(({ out, along, level, tone }): Annotation => ({
    // a narrow picture has no room for more figures than the levels
    ...sectionText(width < NARROW ? "" : flowText(Math.abs(out), site.units), along, level, size, lines[tone].color),
    // a text at the arrow's tail: up out of the ground where water leaves, down into it where it enters
    showarrow: true, ax: 0, ay: -30, xanchor: "center", yanchor: "bottom", arrowcolor: lines[tone].color, arrowwidth: 2, arrowhead: 3, bgcolor: HALO,
    ...(out > 0 ? { arrowside: "start" as const, startarrowhead: 3 as const } : {}),
  }));
}

/** Where water comes up first over the trench: in the middle of a level ground, near the lower end of one that slopes. */
function overTrench({ ground: { high, low } }: OverflowTrench, { from, to }: Stretch): { along: number; level: number } {
  const share = high === low ? 0.5 : low < high ? 0.9 : 0.1;
  return { along: from + share * (to - from), level: high + share * (low - high) };
}
