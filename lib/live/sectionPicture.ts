import { lines } from "../figures/look.ts";
import { NARROW } from "../figures/plotEdges.ts";
import { sectionFigure, sectionScale } from "../figures/sectionFigure.ts";
import { sectionPlan } from "../figures/sectionPlan.ts";
import { figureDrawing, figureSvg } from "../figures/svg/figureSvg.ts";
import { plotFrame, type PlotFrame } from "../figures/svg/plotFrame.ts";
import { svgMarkup, svgTag, type SvgTag } from "../figures/svg/svgTag.ts";
import { displayUnits } from "../text/format.ts";
import { drawnPlace } from "./drawnPlace.ts";
import { element, placeAt, say } from "./element.ts";
import { handleLayer, type HandleEvents } from "./handleLayer.ts";
import { SAVED, type LivePicture } from "./levelPicture.ts";
import type { EditKey } from "./liveState.ts";
import type { LiveRun } from "./liveRun.ts";
import { sectionHandles, withoutHandled } from "./sectionHandles.ts";
import { streams } from "./streams.ts";

/** The section, of which the moment alone can be redrawn. */
export interface SectionPicture extends LivePicture {
  /** the drawing alone, at an hour of the same run, while time runs */
  readonly drawMoment: (live: LiveRun, hour: number) => void;
  /** the section of an hour with all its words, and the water that runs then, as SVG, for a width [px] */
  readonly moment: (live: LiveRun, hour: number, width: number) => string;
}

/**
 * The section with what can be changed on it: soil, groundwater and the trench's end by handles, chambers by one more or less,
 * the lid by a tap. There is room to its right into which the trench can be pulled; while it is, its scale stands still.
 */
export function sectionPicture(picture: HTMLElement, events: HandleEvents): SectionPicture {
  const drawing = drawnPlace();
  picture.replaceChildren(drawing.root);
  const layer = handleLayer(picture, events);
  const buttons = sectionButtons(picture, (key, text) => events.moved(key, text));
  const flowing = streams();
  let perMetre = 0;
  let drawnWidth = 0;
  const drawAt = (live: LiveRun, hour: number, wide: number): { figure: ReturnType<typeof sectionFigure>; frame: PlotFrame } => {
    const time = Math.min(live.run.until, hour * 3600);
    const figure = sectionFigure(live.run, time, { width: wide, title: false });
    const frame = plotFrame(figure.layout, wide);
    const still = figureDrawing(withoutHandled(figure), { width: wide, id: picture.id, frame });
    drawing.draw({ ...still, children: [...children(still), svgTag("g", {}, flowing(live.run, time, frame))] });
    return { figure, frame };
  };
  return {
    draw: (live, { hour, held, width }) => {
      const { run } = live;
      const { whole: { from, to } } = sectionPlan(run.site);
      const edges = 58;
      const free = width - roomRight(width);
      if (held === null || perMetre === 0) perMetre = sectionScale(run, free).plan.isBroken ? Infinity : (free - edges) / (to - from);
      // a broken trench is pulled without getting longer on the picture
      drawnWidth = perMetre === Infinity ? free : Math.round(Math.min(width - (width < NARROW ? 0 : 40), perMetre * (to - from) + edges));
      const { figure, frame } = drawAt(live, hour, drawnWidth);
      picture.style.height = `${frame.height}px`;
      if (held === null) picture.setAttribute("aria-label", figure.description);
      layer.show(sectionHandles(live, figure, frame, Math.min(run.until, hour * 3600), width), width);
      buttons(live, frame, Math.min(run.until, hour * 3600), width);
    },
    drawMoment: (live, hour) => {
      drawAt(live, hour, drawnWidth);
    },
    refuse: layer.refuse,
    moment: ({ run }, hour, width) => {
      const time = Math.min(run.until, hour * 3600);
      const figure = sectionFigure(run, time, { width, title: false });
      const frame = plotFrame(figure.layout, width);
      const still = figureDrawing(figure, { width, id: "moment", frame });
      return svgMarkup({ ...still, children: [...children(still), svgTag("g", {}, flowing(run, time, frame))] });
    },
    svg: ({ run }, hour) => (
      figureSvg(sectionFigure(run, Math.min(run.until, hour * 3600), { width: SAVED }), { width: SAVED, id: picture.id })),
  };
}

function children({ children: drawn }: SvgTag): readonly SvgTag[] {
  return typeof drawn === "string" ? [] : drawn;
}

/** Room to pull into, and on a wide page for the words at the groundwater's line [px]. */
function roomRight(width: number): number {
  return width < NARROW ? 30 : 176;
}

type Buttons = (live: LiveRun, frame: PlotFrame, time: number, width: number) => void;

/** The row of buttons in the sky of the section, each over what it changes. */
function sectionButtons(picture: HTMLElement, change: (key: EditKey, text: string) => void): Buttons {
  const less = element("button", { type: "button", "aria-label": "one chamber less", class: "round" }, "−");
  const more = element("button", { type: "button", "aria-label": "one chamber more", class: "round" }, "+");
  const count = element("span", {});
  const chambers = element("div", { class: "chambers", role: "group", "aria-label": "chambers" }, less, count, more);
  const lid = element("button", { type: "button", class: "lid" });
  const leader = element("div", { class: "leader" });
  chambers.style.color = lines.pit.color;
  lid.style.color = leader.style.color = lines.emitter.color;
  picture.append(chambers, leader, lid);
  let number = 1;
  let isShut = false;
  less.addEventListener("click", () => change("chambers", String(number - 1)));
  more.addEventListener("click", () => change("chambers", String(number + 1)));
  lid.addEventListener("click", () => change("lid", isShut ? "free" : "shut"));
  return ({ run }, frame, time, width) => {
    const { site } = run;
    const unit = displayUnits(site.units).level.size;
    const { plan } = sectionScale(run, frame.width);
    const row = frame.top + 38;
    number = site.chamberBank.chambers.reduce((sum, kind) => sum + kind.count, 0);
    less.setAttribute("aria-disabled", String(number <= 1));
    say(count, width < NARROW ? String(number) : `${number} ${number === 1 ? "chamber" : "chambers"}`);
    placeAt(chambers, frame.x.pixel((plan.pit.from + plan.pit.to) / 2 / unit), row);
    const { emitter } = site;
    lid.hidden = leader.hidden = emitter === null || plan.emitter === null;
    if (emitter === null || plan.emitter === null) return;
    isShut = emitter.heldShut.some(({ from, to }) => from <= time && time < to);
    say(lid, isShut ? "lid stuck shut" : "lid free");
    lid.setAttribute("aria-pressed", String(isShut));
    lid.setAttribute("aria-label", isShut ? "lid stuck shut; press to free it" : "lid free; press to have it stuck shut");
    const x = frame.x.pixel((plan.emitter.from + plan.emitter.to) / 2 / unit);
    placeAt(lid, Math.min(x, width - (isShut ? 52 : 36)), row);
    placeAt(leader, x, row + 12);
    leader.style.height = `${Math.max(0, frame.y("y").pixel(emitter.crest / unit) - row - 16)}px`;
  };
}
