import { curveHours, levelAxes, levelDescription, levelDrawing, levelFigure, type LevelHold } from "../figures/levelFigure.ts";
import { bodyViews, DRY } from "../figures/bodyViews.ts";
import type { Layout } from "../figures/figure.ts";
import { lines } from "../figures/look.ts";
import { placeLabels } from "../figures/placeLabels.ts";
import { NARROW } from "../figures/plotEdges.ts";
import { figureDrawing, figureSvg } from "../figures/svg/figureSvg.ts";
import { plotFrame, type PlotFrame } from "../figures/svg/plotFrame.ts";
import { tenth } from "../figures/svg/svgTag.ts";
import { textWidth } from "../figures/textWidth.ts";
import type { Run } from "../simulate/run.ts";
import { displayUnits } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import { drawnPlace } from "./drawnPlace.ts";
import { element, placeAt } from "./element.ts";
import type { HandleKey } from "./handle.ts";
import { handleLayer, type HandleEvents, type HandleLayer } from "./handleLayer.ts";
import { stretched } from "./hourLens.ts";
import { levelHandles } from "./levelHandles.ts";
import type { LiveRun } from "./liveRun.ts";
import { svgNode } from "./svgNode.ts";
import { timeMarks, type TimeMark } from "./timeMarks.ts";

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
