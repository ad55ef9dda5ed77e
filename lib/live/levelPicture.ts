import { levelFigure } from "../figures/levelFigure.ts";
import { bodyViews, DRY } from "../figures/bodyViews.ts";
import type { Figure } from "../figures/figure.ts";
import { lines } from "../figures/look.ts";
import { textWidth } from "../figures/textWidth.ts";
import { displayUnits } from "../text/format.ts";
import { drawFigure } from "./drawFigure.ts";
import { element } from "./element.ts";
import { handleLayer, type HandleEvents, type HandleLayer } from "./handleLayer.ts";
import { levelHandles } from "./levelHandles.ts";
import type { LiveRun } from "./liveRun.ts";
import { plotFrame, type PlotFrame } from "./plotFrame.ts";

/** A picture that can be pulled. */
export interface LivePicture {
  /**
   * @param hour    that is looked at [h]
   * @param isHeld  something is being pulled: scales stand still
   */
  readonly draw: (live: LiveRun, hour: number, isHeld: boolean) => void;
  readonly refuse: HandleLayer["refuse"];
}

/** The level picture, of which the hour alone can be redrawn. */
export interface LevelPicture extends LivePicture {
  readonly drawHour: (live: LiveRun, hour: number) => void;
}

/** The level picture with its handles: rain, its duration, and the hour, which a press anywhere on the picture sets too. */
export function levelPicture(picture: HTMLElement, events: HandleEvents): LevelPicture {
  const hourLine = element("div", { class: "hour-line" });
  const dots = element("div", { class: "dots" });
  picture.append(hourLine, dots);
  const layer = handleLayer(picture, events);
  let drawn: { readonly svg: SVGElement; readonly figure: Figure; readonly frame: PlotFrame } | null = null;
  let rainMost = 0;

  const drawHour = (live: LiveRun, hour: number): void => {
    const { svg, figure, frame } = drawn!;
    const [handle] = levelHandles(live, figure.layout, frame, hour).slice(-1);
    layer.show(levelHandles(live, figure.layout, frame, hour));
    const { x, y, words } = handle!;
    hourLine.style.cssText = `left:${x}px;top:${frame.y("y").to}px;height:${y - frame.y("y").to}px`;
    showDots(dots, live, hour, frame);
    const room = textWidth(words, 14, true) / 2 + 10;
    for (const tick of svg.querySelectorAll<SVGElement>("[data-tick]")) {
      tick.style.visibility = Math.abs(Number(tick.getAttribute("x")) - x) < room + 8 ? "hidden" : "";
    }
  };
  picture.addEventListener("pointerdown", (event) => {
    if (drawn === null || event.button !== 0 || !(event.target as Element).closest("svg.drawing")) return;
    const { frame, figure } = drawn;
    const x = event.clientX - picture.getBoundingClientRect().left;
    const end = figure.layout.xaxis.range![1];
    if (x >= frame.left && x <= frame.right) events.moved("hour", `${Number(Math.min(end, frame.x.value(x)).toFixed(1))} h`);
  });
  return {
    draw: (live, hour, isHeld) => {
      const width = picture.clientWidth;
      const figure = levelFigure(live.run, { width, title: false });
      // the foot of the rain can only be pulled where the scale does not follow it
      const peak = figure.layout.yaxis.range![0];
      if (!isHeld && (peak > 0.95 * rainMost || peak < 0.45 * rainMost)) rainMost = 1.5 * peak;
      const most = Math.max(rainMost, peak);
      const scaled: Figure = { ...figure, layout: { ...figure.layout, yaxis: { ...figure.layout.yaxis, range: [most, 0] } } };
      const frame = plotFrame(scaled.layout, width);
      const svg = drawFigure(scaled, frame, picture.id);
      svg.classList.add("drawing");
      if (drawn === null) picture.prepend(svg);
      else drawn.svg.replaceWith(svg);
      drawn = { svg, figure: scaled, frame };
      picture.style.height = `${frame.height}px`;
      picture.setAttribute("aria-label", figure.description);
      drawHour(live, hour);
    },
    drawHour,
    refuse: layer.refuse,
  };
}

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
