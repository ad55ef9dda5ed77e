import { levelAxes, levelFigure, type LevelHold } from "../figures/levelFigure.ts";
import { bodyViews, DRY } from "../figures/bodyViews.ts";
import type { Figure } from "../figures/figure.ts";
import { lines } from "../figures/look.ts";
import { figureSvg } from "../figures/svg/figureSvg.ts";
import { plotFrame, type PlotFrame } from "../figures/svg/plotFrame.ts";
import { textWidth } from "../figures/textWidth.ts";
import type { Run } from "../simulate/run.ts";
import { displayUnits } from "../text/format.ts";
import { element } from "./element.ts";
import type { HandleKey } from "./handle.ts";
import { handleLayer, type HandleEvents, type HandleLayer } from "./handleLayer.ts";
import { stretched } from "./hourLens.ts";
import { levelHandles } from "./levelHandles.ts";
import type { LiveRun } from "./liveRun.ts";
import { timeMarks, type TimeMark } from "./timeMarks.ts";

/** What is being pulled, and the run as it was when it was taken hold of. */
export interface Held {
  readonly key: HandleKey;
  readonly before: Run;
  /** the hour that was looked at then [h] */
  readonly hour: number;
}

/** A picture that can be pulled. */
export interface LivePicture {
  /**
   * @param hour  that is looked at [h]
   * @param held  what is being pulled: scales stand still meanwhile
   */
  readonly draw: (live: LiveRun, hour: number, held: Held | null) => void;
  readonly refuse: HandleLayer["refuse"];
  /** the drawing by itself */
  readonly svg: () => string;
}

/** The level picture, of which the hour alone can be redrawn. */
export interface LevelPicture extends LivePicture {
  readonly drawHour: (live: LiveRun, hour: number) => void;
}

/**
 * The level picture with its handles: rain, its duration, and the hour, which a press on the picture sets too; under its axis the
 * moments to jump to. While the hour is held the axis is stretched where it was taken hold of.
 *
 * @param width  to draw for [px]
 */
export function levelPicture(
  picture: HTMLElement, events: HandleEvents & { readonly jumped: (hour: number) => void }, width: () => number,
): LevelPicture {
  const drawing = element("div", { class: "drawing" });
  const hourLine = element("div", { class: "hour-line" });
  const dots = element("div", { class: "dots" });
  const marks = element("div", { class: "marks", role: "group", "aria-label": "moments of the storm" });
  picture.replaceChildren(drawing, hourLine, dots, marks);
  const layer = handleLayer(picture, events);
  let drawn: { readonly figure: Figure; readonly frame: PlotFrame } | null = null;
  let rainMost = 0;
  let axes: LevelHold["axes"] | null = null;
  let svg = "";

  const drawHour = (live: LiveRun, hour: number): void => {
    const { figure, frame } = drawn!;
    const handles = levelHandles(live, figure.layout, frame, hour);
    layer.show(handles);
    const { x, y, words } = handles.at(-1)!;
    hourLine.style.cssText = `left:${x}px;top:${frame.y("y").to}px;height:${y - frame.y("y").to}px`;
    showDots(dots, live, hour, frame);
    makeRoom(drawing, words, x);
  };
  drawing.addEventListener("click", (event) => {
    if (drawn === null) return;
    const { frame, figure } = drawn;
    const x = event.clientX - picture.getBoundingClientRect().left;
    const end = figure.layout.xaxis.range![1];
    if (x >= frame.left && x <= frame.right) events.moved("hour", `${Number(Math.min(end, frame.x.value(x)).toFixed(2))} h`);
  });
  return {
    draw: (live, hour, held) => {
      const wide = width();
      if (held === null || axes === null) axes = levelAxes(live.run, wide);
      // the foot of the rain can only be pulled where the scale does not follow it
      const peak = levelAxes(live.run, wide).rainMost;
      if (held === null && (peak > 0.95 * rainMost || peak < 0.45 * rainMost)) rainMost = 1.5 * peak;
      const hold = { axes: { ...axes, rainMost: Math.max(rainMost, held === null ? peak : 0) }, before: held?.before ?? live.run };
      const figure = levelFigure(live.run, { width: wide, title: false, hold });
      const plain = plotFrame(figure.layout, wide);
      const frame = held?.key === "hour" ? stretched(plain, held.hour) : plain;
      svg = figureSvg(figure, { width: wide, id: picture.id, frame });
      drawing.innerHTML = svg;
      drawn = { figure, frame };
      picture.style.height = `${frame.height + MARKS}px`;
      picture.setAttribute("aria-label", figure.description);
      showMarks(marks, timeMarks(live.run), frame, figure, events.jumped);
      drawHour(live, hour);
    },
    drawHour,
    refuse: layer.refuse,
    svg: () => svg,
  };
}

/** Hides the figures of an axis that the hour's words would lie on. */
export function makeRoom(drawing: HTMLElement, words: string, x: number): void {
  const room = textWidth(words, 14, true) / 2 + 18;
  for (const tick of drawing.querySelectorAll<SVGElement>("[data-tick]")) {
    tick.style.visibility = Math.abs(Number(tick.getAttribute("x")) - x) < room ? "hidden" : "";
  }
}

/** Room for the moments under the axis [px]. */
const MARKS = 46;

/** A dot on each line at the hour: what the section shows. */
function showDots(dots: HTMLElement, { run }: LiveRun, hour: number, frame: PlotFrame): void {
  const unit = displayUnits(run.site.units).level.size;
  const axis = frame.y("y2");
  const time = Math.min(run.until, hour * 3600);
  dots.replaceChildren(...bodyViews(run).flatMap(({ body, floor, tone }) => {
    const level = run.level(body, time);
    if (level - floor <= DRY) return [];
    return [element("i", { style: `left:${frame.x.pixel(hour)}px;top:${axis.pixel(level / unit)}px;background:${lines[tone].color}` })];
  }));
}

/** The moments as words under the axis, from left to right, with a stroke on the axis where each is. */
function showMarks(
  place: HTMLElement, marks: readonly TimeMark[], frame: PlotFrame, { layout }: Figure, jumped: (hour: number) => void,
): void {
  const end = layout.xaxis.range![1];
  const shown = marks.filter(({ time }) => time / 3600 <= end);
  const key = shown.map(({ words, time }) => `${words} ${time}`).join();
  place.style.top = `${frame.height - 4}px`;
  if (place.dataset["key"] !== key) {
    place.dataset["key"] = key;
    place.replaceChildren(...shown.map(({ words, time }) => {
      const button = element("button", { type: "button", class: "mark" }, words);
      button.addEventListener("click", () => jumped(time / 3600));
      return button;
    }));
  }
}
