import { bodyViews, DRY } from "../figures/bodyViews.ts";
import type { Layout } from "../figures/figure.ts";
import { NO_FLOW } from "../figures/flowRows.ts";
import { curveHours, levelAxes, levelDescription, levelDrawing, levelFigure, type LevelHold } from "../figures/levelFigure.ts";
import { ink, lines } from "../figures/look.ts";
import { placeLabels } from "../figures/placeLabels.ts";
import { NARROW } from "../figures/plotEdges.ts";
import { DAY_3 } from "../figures/stateMoments.ts";
import { figureDrawing, figureSvg } from "../figures/svg/figureSvg.ts";
import { plotFrame, type PlotFrame } from "../figures/svg/plotFrame.ts";
import { tenth } from "../figures/svg/svgTag.ts";
import { textWidth } from "../figures/textWidth.ts";
import { flowOfKind, type Run } from "../simulate/run.ts";
import { depthText, displayUnits, durationText } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import { quantity } from "../text/quantity.ts";
import { writtenQuantity } from "../text/writtenQuantity.ts";
import { drawnPlace } from "./drawnPlace.ts";
import { element, placeAt } from "./element.ts";
import type { Handle, HandleKey } from "./handle.ts";
import { type HandleEvents, handleLayer, type HandleLayer } from "./handleLayer.ts";
import type { LiveRun } from "./liveRun.ts";
import { snapped, stepped } from "./pullSteps.ts";
import { totalDepth } from "./stormRain.ts";
import { svgNode } from "./svgNode.ts";

/** What is being pulled, and the run as it was when it was taken hold of. */
export interface Held {
  readonly key: HandleKey;
  readonly before: Run;
  /** the hour that was looked at then [h] */
  readonly hour: number;
}

/** How a picture is to be drawn. */
export interface Drawn {
  /** that is looked at [h] */
  readonly hour: number;
  /** what is being pulled: scales stand still meanwhile */
  readonly held: Held | null;
  /** to draw for [px] */
  readonly width: number;
  /** with every word in the drawing itself: nothing can be pulled on paper */
  readonly isPaper?: boolean;
}

/** A picture that can be pulled. */
export interface LivePicture {
  readonly draw: (live: LiveRun, how: Drawn) => void;
  readonly refuse: HandleLayer["refuse"];
  /** the whole figure by itself, with its title, to be saved as SVG */
  readonly svg: (live: LiveRun, hour: number) => string;
}

/** How wide a saved picture is [px]. */
export const SAVED = 960;

/** The level picture, of which the hour alone can be redrawn. */
export interface LevelPicture extends LivePicture {
  readonly drawHour: (live: LiveRun, hour: number) => void;
  /** what can wait for the hand to pause: the moments under the axis, and what is read aloud */
  readonly drawWords: (live: LiveRun) => void;
}

/**
 * The level picture with its handles: rain, its duration, and the hour, which a press on the picture sets too; under its axis the
 * moments to jump to. While the hour is held the axis is stretched where it was taken hold of.
 */
export function levelPicture(picture: HTMLElement, events: HandleEvents & { readonly jumped: (hour: number) => void }): LevelPicture {
  const drawing = drawnPlace();
  const hourLine = element("div", { class: "hour-line" });
  const dots = element("div", { class: "dots" });
  const marks = element("div", { class: "marks", role: "group", "aria-label": "moments of the storm" });
  picture.replaceChildren(drawing.root, hourLine, dots, marks);
  const layer = handleLayer(picture, events);
  let drawn: { readonly layout: Layout; readonly frame: PlotFrame } | null = null;
  let rainMost = 0;
  let axes: LevelHold["axes"] | null = null;
  let names: LevelHold["names"] = null;

  const drawHour = (live: LiveRun, hour: number): void => {
    const { layout, frame } = drawn!;
    const handles = levelHandles(live, layout, frame, hour);
    layer.show(handles, frame.width);
    const { x, y, words } = handles.at(-1)!;
    placeAt(hourLine, x, frame.y("y").to);
    hourLine.style.height = `${y - frame.y("y").to}px`;
    showDots(dots, live, hour, frame);
    makeRoom(drawing.root, words, x);
  };
  drawing.root.addEventListener("click", (event) => {
    if (drawn === null) return;
    const { frame, layout } = drawn;
    const x = event.clientX - picture.getBoundingClientRect().left;
    const end = layout.xaxis.range![1];
    if (x >= frame.left && x <= frame.right) events.moved("hour", `${Number(Math.min(end, frame.x.value(x)).toFixed(2))} h`);
  });
  return {
    draw: (live, { hour, held, width }) => {
      const isPulled = held !== null && held.key !== "hour";
      if (!isPulled || axes === null) {
        axes = levelAxes(live.run, width);
        // the foot of the rain can only be pulled where the scale does not follow it
        if (axes.rainMost > 0.95 * rainMost || axes.rainMost < 0.45 * rainMost) rainMost = 1.5 * axes.rainMost;
      }
      const { data, layout } = levelDrawing(live.run, width, {
        axes: { ...axes, rainMost }, before: held?.before ?? null, names: isPulled ? names : null,
      });
      if (!isPulled || names === null) names = curveHours(layout);
      const plain = plotFrame(layout, width);
      const frame = held?.key === "hour" ? stretched(plain, held.hour) : plain;
      drawing.draw(figureDrawing({ data, layout }, { width, id: picture.id, frame }));
      drawn = { layout, frame };
      picture.style.height = `${frame.height + MARKS}px`;
      drawHour(live, hour);
    },
    drawHour,
    drawWords: ({ run }) => {
      if (drawn === null) return;
      picture.setAttribute("aria-label", levelDescription(run));
      showMarks(marks, timeMarks(run), drawn.frame, drawn.layout, events.jumped);
    },
    refuse: layer.refuse,
    svg: ({ run }) => figureSvg(levelFigure(run, { width: SAVED }), { width: SAVED, id: picture.id }),
  };
}

/** Hides the figures of an axis that the hour's words would lie on. */
export function makeRoom(drawing: HTMLElement, words: string, x: number): void {
  const room = textWidth(words, 14, true) / 2 + 18;
  for (const text of drawing.querySelectorAll("text")) {
    const isHidden = text.hasAttribute("data-tick") && Math.abs(Number(text.getAttribute("x")) - x) < room;
    if (isHidden === text.hasAttribute("visibility")) continue;
    if (isHidden) text.setAttribute("visibility", "hidden");
    else text.removeAttribute("visibility");
  }
}

/** Room for the moments under the axis [px]. */
const MARKS = 58;

/** A dot on each line at the hour: what the section shows. */
function showDots(dots: HTMLElement, { run }: LiveRun, hour: number, frame: PlotFrame): void {
  const unit = displayUnits(run.site.units).level.size;
  const axis = frame.y("y2");
  const time = Math.min(run.until, hour * 3600);
  const wet = bodyViews(run).flatMap(({ body, floor, tone }) => {
    const level = run.level(body, time);
    return level - floor <= DRY ? [] : [{ y: axis.pixel(level / unit), color: lines[tone].color }];
  });
  while (dots.children.length < wet.length) dots.append(element("i", {}));
  for (const [i, dot] of [...dots.children].entries()) {
    if (!(dot instanceof HTMLElement)) continue;
    const at = wet[i];
    dot.hidden = at === undefined;
    if (at === undefined) continue;
    placeAt(dot, frame.x.pixel(hour), at.y);
    dot.style.background = at.color;
  }
}

/** The moments as words under the axis, from left to right, each as near its hour as the others let it, with a stroke from there. */
function showMarks(
  place: HTMLElement, marks: readonly TimeMark[], frame: PlotFrame, layout: Layout, jumped: (hour: number) => void,
): void {
  const end = layout.xaxis.range![1];
  const shown = marks.filter(({ time }) => time / 3600 <= end)
    .map((mark) => ({ ...mark, said: frame.width < NARROW ? mark.short : mark.words }));
  const key = shown.map(({ said, time }) => `${said} ${time} ${frame.width}`).join();
  place.style.top = `${frame.height - 4}px`;
  if (place.dataset["key"] === key) return;
  place.dataset["key"] = key;
  const at = shown.map(({ time }) => frame.x.pixel(time / 3600));
  const wishes = shown.map(({ said }, i) => ({ at: at[i]!, size: Math.max(FINGER, textWidth(said, 13) + 6) }));
  const middles = placeLabels(wishes, { from: 0, to: frame.width });
  place.replaceChildren(svgNode("svg", { width: frame.width, height: STROKE, "aria-hidden": "true" }, [svgNode("path", {
    d: at.map((x, i) => `M${tenth(x)} 0V4L${tenth(middles[i]!)} ${STROKE}`).join(""), fill: "none", stroke: lines.pit.color,
  })]), ...shown.map(({ words, said, time }, i) => {
    const button = element("button", { type: "button", class: "mark", "aria-label": `${words}, ${momentText(time)}` }, said);
    button.addEventListener("click", () => jumped(time / 3600));
    placeAt(button, middles[i]!, STROKE);
    return button;
  }));
}

/** the strokes' height, and a finger's width [px] */
const [STROKE, FINGER] = [12, 44];

/**
 * A frame whose time axis is stretched round an hour: an hour to each side of it takes three fifths of the room on that side, so
 * that a firing of twenty minutes among four days can be gone through by a finger. The hour stays where it was.
 *
 * @param hour  [h], on the axis
 */
export function stretched(frame: PlotFrame, hour: number): PlotFrame {
  const { from, to, pixel, value } = frame.x;
  const [first, last] = [value(from), value(to)];
  const at = pixel(hour);
  const knots: (readonly [hour: number, pixel: number])[] = [[first, from]];
  if (hour - first > NEAR && (at - from) * SHARE > at - pixel(hour - NEAR)) knots.push([hour - NEAR, at - SHARE * (at - from)]);
  if (hour > first) knots.push([hour, at]);
  if (last - hour > NEAR && (to - at) * SHARE > pixel(hour + NEAR) - at) knots.push([hour + NEAR, at + SHARE * (to - at)]);
  if (hour < last) knots.push([last, to]);
  const along = (given: number, a: 0 | 1, b: 0 | 1): number => {
    let i = 1;
    while (i < knots.length - 1 && given > knots[i]![a]) i++;
    const [one, two] = [knots[i - 1]!, knots[i]!];
    return one[b] + ((given - one[a]) / (two[a] - one[a])) * (two[b] - one[b]);
  };
  return { ...frame, x: { from, to, pixel: (hours) => along(hours, 0, 1), value: (pixels) => along(pixels, 1, 0) } };
}

/** To each side [h], and of the room there. */
const NEAR = 1;
const SHARE = 0.6;

/** A moment of a run to jump to. */
interface TimeMark {
  readonly words: string;
  /** the same on a phone */
  readonly short: string;
  /** [s] */
  readonly time: number;
}

/**
 * The moments of a run that one would want to see: the first water in the pit, the pit running over into the trench, the lid
 * lifting, the highest water, the pit empty again or
 * only groundwater left in it, and the third day's beginning; those that come, in order.
 */
export function timeMarks(run: Run): TimeMark[] {
  const { until, firings, peaks } = run;
  const start = run.level("chamberBank", 0);
  const first = run.times.find((time) => run.level("chamberBank", time) > start + 10 * DRY);
  const over = run.times.find((time) => flowOfKind(run, "trenchInlet", time) > NO_FLOW);
  const peak = peaks["chamberBank"]!;
  const { empty } = run.drainDown;
  const marks: TimeMark[] = [];
  const add = (words: string, time: number | null | undefined, short: string = words): void => {
    if (time !== null && time !== undefined && time >= 0 && time <= until) marks.push({ words, short, time });
  };
  add("first water", first, "water");
  add("pit runs over", over, "over");
  add("lid lifts", firings[0]?.start, "lid");
  add("highest", peak.level > start + 10 * DRY ? peak.time : null);
  const emptyAt = empty === null || empty === 0 ? null : run.drainDown.full + empty;
  add(emptyAt !== null && run.level("chamberBank", emptyAt) - run.site.chamberBank.floor > 0.02 ? "groundwater left" : "empty", emptyAt, "empty");
  add("day 3 begins", DAY_3, "day 3");
  return marks.sort((a, b) => a.time - b.time);
}

/**
 * The handles of the level picture: the foot of the hanging rain, the rain's end where its pattern has a duration, and the hour
 * on the time axis.
 *
 * @param hour  that is looked at [h]
 */
function levelHandles(live: LiveRun, layout: Layout, frame: PlotFrame, hour: number): Handle[] {
  return [...rainHandle(live, frame), ...durationHandle(live, frame), hourHandle(live, layout, frame, hour)];
}

/** The deepest rain a hand can pull [m], about the world's most in a day. */
const MOST_RAIN = 1.9;

function rainHandle({ run }: LiveRun, frame: PlotFrame): Handle[] {
  const { rain, site: { units } } = run;
  if (rain === null) return [];
  const depth = totalDepth(rain);
  const { middle, intensity } = heaviest(rain.time, rain.depth);
  const axis = frame.y("y");
  const top = axis.pixel(0);
  const foot = axis.pixel(intensity / displayUnits(units).intensity.size);
  const x = frame.x.pixel(middle / 3600);
  const written = (value: number): string => writtenQuantity(Math.min(MOST_RAIN, value), "rain", units);
  const spoken = depthText(depth, units);
  // where nothing falls there is no foot to measure a pull by: a tenth of an inch for two pixels
  const perPixel = foot - top < 2 ? 0.00127 : depth / (foot - top);
  return [{
    key: "rain", name: "depth of the rain", words: spoken, color: lines.rain.color, x, y: foot, side: x > frame.right - 70 ? "left" : "right",
    along: "up", value: depth, least: 0, most: MOST_RAIN, spoken: `${spoken} of rain`, typed: written(depth),
    grab: () => (_, down) => written(snapped(depth + down * perPixel, "rain", units)),
    step: (steps, large) => written(stepped(depth, "rain", units, steps, large)),
    ends: [written(snapped(0, "rain", units)), written(MOST_RAIN)],
  }];
}

/** The middle of the heaviest rain [s], of a block its whole, and how hard it falls then [m/s]. */
function heaviest(time: ArrayLike<number>, depth: ArrayLike<number>): { middle: number; intensity: number } {
  let intensity = 0;
  for (let i = 0; i < depth.length; i++) intensity = Math.max(intensity, depth[i]! / (time[i + 1]! - time[i]!));
  let from = 0;
  while (from < depth.length - 1 && depth[from]! / (time[from + 1]! - time[from]!) < 0.999 * intensity) from += 1;
  let to = from;
  while (to < depth.length - 1 && depth[to + 1]! / (time[to + 2]! - time[to + 1]!) > 0.999 * intensity) to += 1;
  return { middle: (time[from]! + time[to + 1]!) / 2, intensity };
}

/** Nested storms of the NRCS are made for a day at most; others for as long as one likes, which is here a week. */
function durationHandle({ run, state, file }: LiveRun, frame: PlotFrame): Handle[] {
  const storm = (file["storms"] as readonly Readonly<Record<string, unknown>>[])[state.storm]!;
  const { pattern } = storm;
  const ofDay = typeof pattern === "string" && pattern.startsWith("nrcs");
  if (typeof storm["duration"] !== "string" && !ofDay) return [];
  const { units } = run.site;
  const duration = typeof storm["duration"] === "string" ? quantity(storm["duration"], "time", "duration") : DAY;
  const most = ofDay ? DAY : 7 * DAY;
  const written = (value: number): string => writtenQuantity(Math.min(most, value), "duration", units);
  const spoken = durationText(duration);
  const x = frame.x.pixel(duration / 3600);
  const perPixel = 3600 * (frame.x.value(1) - frame.x.value(0));
  return [{
    key: "duration", name: "how long it rains", words: `over ${spoken}`, color: lines.rain.color, x, y: frame.y("y").pixel(0),
    side: x > frame.right - 90 ? "left" : "right", along: "across", value: duration, least: 300, most, spoken,
    typed: writtenQuantity(duration, "duration", units),
    grab: () => (right) => written(snapped(duration + right * perPixel, "duration", units)),
    step: (steps, large) => written(stepped(duration, "duration", units, steps, large)),
    ends: [written(300), written(most)],
  }];
}

const DAY = 86400;

function hourHandle({ run }: LiveRun, layout: Layout, frame: PlotFrame, hour: number): Handle {
  const end = layout.xaxis.range![1];
  const last = run.until / 3600;
  const written = (value: number): string => `${Number(Math.min(last, Math.max(0, value)).toFixed(3))} h`;
  const perPixel = frame.x.value(1) - frame.x.value(0);
  // to the pixel, and no finer than people say it
  const grid = perPixel > 0.25 ? 0.25 : 0.1;
  const words = momentText(hour * 3600);
  return {
    key: "hour", name: "hour that the section shows", words, color: ink.text, x: frame.x.pixel(Math.min(hour, end)),
    y: frame.y(layout.xaxis.anchor ?? "y").from, side: "below", along: "across", value: hour, least: 0, most: last, spoken: words, typed: written(hour),
    // as the axis is drawn: where it is stretched a pixel is less
    grab: () => {
      const at = frame.x.pixel(Math.min(hour, end));
      return (right) => {
        const here = Math.min(end, Math.max(0, frame.x.value(at + right)));
        const fine = Math.abs(frame.x.value(at + right + 1) - here);
        return written(fine < 0.1 ? here : Math.round(here / grid) * grid);
      };
    },
    step: (steps, large) => written((Math.round(hour * 4) + steps * (large ? 12 : 1)) / 4),
    ends: [written(0), written(last)],
  };
}
