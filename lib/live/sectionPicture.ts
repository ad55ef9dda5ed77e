import type { Annotation, Figure } from "../figures/figure.ts";
import { NO_FLOW } from "../figures/flowRows.ts";
import { lines } from "../figures/look.ts";
import { NARROW } from "../figures/plotEdges.ts";
import { layerText } from "../figures/runSubtitle.ts";
import { groundwaterAt } from "../figures/sectionDrawing.ts";
import { type DrawnView, sectionFigure, sectionView, type SectionView, soilName, stretchedView } from "../figures/sectionFigure.ts";
import type { SectionPlan } from "../figures/sectionPlan.ts";
import { figureDrawing, figureSvg } from "../figures/svg/figureSvg.ts";
import { plotFrame, type PlotFrame } from "../figures/svg/plotFrame.ts";
import { svgMarkup, svgTag, type SvgTag, tenth } from "../figures/svg/svgTag.ts";
import { flowOfKind, type Run } from "../simulate/run.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { displayUnits, intensityText, lengthText, waterText } from "../text/format.ts";
import { writtenQuantity } from "../text/writtenQuantity.ts";
import { drawnPlace } from "./drawnPlace.ts";
import { element, placeAt, say } from "./element.ts";
import type { Handle } from "./handle.ts";
import { type HandleEvents, handleLayer } from "./handleLayer.ts";
import { type LivePicture, SAVED } from "./levelPicture.ts";
import type { LiveRun } from "./liveRun.ts";
import type { EditKey } from "./liveState.ts";
import { snapped, stepped } from "./pullSteps.ts";

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
  /** as it was when nothing was held, and the length of the trench that was seen then [m] */
  let still: { readonly view: SectionView; readonly trench: number } | null = null;
  let drawn: DrawnView | null = null;
  const drawAt = (live: LiveRun, time: number, { view, width }: DrawnView, isWhole: boolean): { figure: Figure; frame: PlotFrame } => {
    const figure = sectionFigure(live.run, time, { width, title: false, view });
    const frame = plotFrame(figure.layout, width);
    const plain = figureDrawing(isWhole ? figure : withoutHandled(figure), { width, id: picture.id, frame });
    drawing.draw({ ...plain, children: [...children(plain), svgTag("g", {}, flowing(live.run, time, frame, view.plan))] });
    return { figure, frame };
  };
  return {
    draw: (live, { hour, held, width, isPaper = false }) => {
      const { run } = live;
      const free = isPaper ? width : width - roomRight(width);
      if (held === null || still === null) still = { view: sectionView(run, free), trench: run.site.overflowTrench?.length ?? 0 };
      const most = width - (width < NARROW ? 0 : 40);
      drawn = held === null ? { view: still.view, width: free } : stretchedView(still.view, run, still.trench, most);
      const time = Math.min(run.until, hour * 3600);
      const { figure, frame } = drawAt(live, time, drawn, isPaper);
      picture.style.height = `${frame.height}px`;
      if (held === null) picture.setAttribute("aria-label", figure.description);
      layer.show(sectionHandles(live, figure, frame, drawn.view.plan, time, width), width);
      buttons(live, frame, drawn.view.plan, time, width);
    },
    drawMoment: (live, hour) => {
      if (drawn !== null) drawAt(live, Math.min(live.run.until, hour * 3600), drawn, false);
    },
    refuse: layer.refuse,
    moment: ({ run }, hour, width) => {
      const time = Math.min(run.until, hour * 3600);
      const view = sectionView(run, width);
      const figure = sectionFigure(run, time, { width, title: false, view });
      const frame = plotFrame(figure.layout, width);
      const whole = figureDrawing(figure, { width, id: "moment", frame });
      return svgMarkup({ ...whole, children: [...children(whole), svgTag("g", {}, flowing(run, time, frame, view.plan))] });
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

type Buttons = (live: LiveRun, frame: PlotFrame, plan: SectionPlan, time: number, width: number) => void;

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
  return ({ run }, frame, plan, time, width) => {
    const { site } = run;
    const unit = displayUnits(site.units).level.size;
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

/**
 * The handles of the section: each layer's conductivity where it is written, the groundwater's line, and the trench's end.
 *
 * @param figure  the section at `time`, whose own texts of soil and groundwater the handles stand for
 * @param time    that it shows [s]
 * @param width   of the picture with the room beside the section [px]
 */
function sectionHandles(live: LiveRun, figure: Figure, frame: PlotFrame, plan: SectionPlan, time: number, width: number): Handle[] {
  const water = groundwaterHandle(live, frame, time, width);
  const soils = soilHandles(live, figure, frame, width);
  return [...(width < NARROW ? besideSection(soils, water, frame) : soils), water, ...trenchHandle(live, frame, plan)];
}

/** A section without the texts that handles stand for. */
function withoutHandled(figure: Figure): Figure {
  return { ...figure, layout: { ...figure.layout, annotations: figure.layout.annotations.filter(({ name }) => name === undefined) } };
}

/** A pull of this many pixels makes a conductivity e times as large. */
const PULL_E = 70;

function soilHandles({ run }: LiveRun, { layout: { annotations } }: Figure, frame: PlotFrame, width: number): Handle[] {
  const { soil, units } = run.site;
  return soil.layers.map((layer, i): Handle => {
    const { conductivity } = layer;
    const label = annotations.find(({ name }) => name === soilName(i));
    const used = intensityText(conductivity / soilDivisor(soil), units);
    const place = label === undefined ? besideWorks(run, i, frame) : placeOf(label, frame);
    const written = (value: number): string => writtenQuantity(value, "conductivity", units);
    const step = (steps: number, large: boolean): string => written(stepped(conductivity, "conductivity", units, steps, large));
    return {
      key: `soil${i + 1}`, name: soil.layers.length === 1 ? "conductivity of the soil" : `conductivity of soil layer ${i + 1} from the top`,
      // a column beside the section has room for the figure that is used
      words: width < NARROW ? used : label?.text ?? used, color: "#6b5636", ...place, side: label !== undefined ? "around" : width - place.x < BESIDE ? "left" : "right", along: "up",
      value: conductivity, least: 0, most: Math.max(conductivity, MOST_CONDUCTIVITY),
      spoken: layerText(run.site, layer), typed: written(conductivity),
      // nothing cannot be multiplied: it is pulled up from a tight clay's conductivity
      grab: () => (_, down) => written(snapped(Math.max(conductivity, TIGHT) * Math.exp(-down / PULL_E), "conductivity", units)),
      step, ends: [written(0), written(snapped(MOST_CONDUCTIVITY, "conductivity", units))],
    };
  });
}

/** Clean coarse sand, and tight clay [m/s]; common practice. */
const MOST_CONDUCTIVITY = 5e-4;
const TIGHT = 1e-8;

function placeOf({ x, y, yref }: Annotation, frame: PlotFrame): { x: number; y: number } {
  return { x: frame.x.pixel(x), y: frame.y(yref === "paper" ? "y" : yref).pixel(y) };
}

/** A knob and a conductivity beside it [px]. */
const BESIDE = 110;

/** Where a section has no room for a layer's figure: beyond its right edge, in the middle of what is seen of the layer. */
function besideWorks({ site }: LiveRun["run"], index: number, frame: PlotFrame): { x: number; y: number } {
  const unit = displayUnits(site.units).level.size;
  const axis = frame.y("y");
  const ground = Math.min(site.overflowTrench?.ground.low ?? site.chamberBank.ground, site.lowSpot?.floor ?? Infinity);
  const pixel = (level: number): number => Math.max(frame.top + 40, Math.min(frame.bottom - 12, axis.pixel(level / unit)));
  const top = pixel(index === 0 ? ground : Math.min(ground, site.soil.layers[index]!.top));
  const foot = pixel(site.soil.layers[index + 1]?.top ?? -Infinity);
  return { x: frame.right + 14, y: (top + foot) / 2 };
}

/** A finger's width [px]. */
const APART = 44;

/**
 * On a phone the works fill the section: the layers' knobs stand in a column beside it, words under them, each as near its layer as the
 * one over it and the groundwater's knob let it.
 */
function besideSection(handles: readonly Handle[], { y: water }: Handle, frame: PlotFrame): Handle[] {
  let free = frame.top;
  return handles.map((handle, i) => {
    let y = Math.max(handle.y, free);
    // over the groundwater's knob, or under it where there is no room
    if (Math.abs(y - water) < APART) y = water - APART >= free && y <= water ? water - APART : water + APART;
    y = Math.min(y, frame.bottom + 14 - APART * (handles.length - 1 - i));
    free = y + APART;
    return { ...handle, x: frame.right + 14, y, side: "below" };
  });
}

function groundwaterHandle({ run }: LiveRun, frame: PlotFrame, time: number, width: number): Handle {
  const { site } = run;
  const { units } = site;
  const unit = displayUnits(units).level.size;
  const axis = frame.y("y");
  const now = groundwaterAt(run, time);
  const first = groundwaterAt(run, 0);
  const isFar = !Number.isFinite(first);
  const lowest = axis.value(frame.bottom) * unit;
  const ground = site.chamberBank.ground;
  // a line below the drawing is held by its foot
  const held = Math.max(lowest, isFar ? -Infinity : first);
  const written = (level: number): string => (level < lowest ? "none" : writtenQuantity(Math.min(ground, level), "level", units));
  const figure = waterText(isFar ? lowest : now, units);
  // a table that moves stands elsewhere at this hour than at the start, which is what is pulled
  const spoken = isFar ? "far below" : Math.abs(now - first) < 0.005 ? figure : `${figure} now`;
  const isNarrow = width < NARROW;
  return {
    key: "groundwater", name: "level of the groundwater", words: `${isNarrow ? "" : "groundwater "}${spoken}${!isFar && now < lowest ? " ↓" : ""}`,
    color: lines.rain.color, x: frame.right - 1,
    y: Math.min(frame.bottom - 10, Math.max(frame.top + 10, axis.pixel((isFar ? lowest : now) / unit))),
    side: isNarrow ? "below" : width - frame.width < 150 ? "left" : "right", along: "up", value: isFar ? lowest : first, least: Math.min(lowest, isFar ? lowest : first), most: ground,
    spoken, typed: isFar ? "none" : writtenQuantity(first, "level", units),
    grab: () => {
      const perPixel = unit * (axis.value(0) - axis.value(1));
      return (_, down) => {
        // pulled off the foot by half a knob's width, it is gone
        const pulled = held - down * perPixel;
        return written(pulled < lowest - 8 * perPixel ? -Infinity : snapped(Math.max(pulled, lowest + 0.02), "level", units));
      };
    },
    step: (steps, large) => {
      if (isFar) return steps > 0 ? written(snapped(lowest + 0.02, "level", units)) : "none";
      return written(stepped(first < lowest && steps > 0 ? lowest : first, "level", units, steps, large));
    },
    ends: ["none", writtenQuantity(ground, "level", units)],
  };
}

function trenchHandle({ run }: LiveRun, frame: PlotFrame, { trench: along }: SectionPlan): Handle[] {
  const { site } = run;
  const { overflowTrench: trench, units } = site;
  if (trench === null || along === null) return [];
  const unit = displayUnits(units).level.size;
  const written = (length: number): string => writtenQuantity(length, "length", units);
  const spoken = lengthText(trench.length, units);
  return [{
    key: "trench", name: "length of the trench", words: frame.width < NARROW ? spoken : `trench ${spoken}`, color: lines.trench.color,
    x: frame.x.pixel(along.to / unit), y: frame.y("y").pixel((trench.floor - trench.fall) / unit) + 16, side: "left", along: "across",
    value: trench.length, least: unit, most: MOST_TRENCH, spoken, typed: written(trench.length),
    grab: () => {
      // a broken trench is longer than it is drawn
      const perPixel = unit * (frame.x.value(1) - frame.x.value(0)) * (trench.length / (along.to - along.from));
      return (right) => written(Math.max(snapped(unit, "length", units), snapped(trench.length + right * perPixel, "length", units)));
    },
    step: (steps, large) => written(stepped(trench.length, "length", units, steps, large)),
    ends: [written(snapped(1, "length", units)), written(snapped(MOST_TRENCH, "length", units))],
  }];
}

/** The longest trench a hand can pull [m]. */
const MOST_TRENCH = 60;

/** Draws what runs at a time of a run over the section. */
type Streams = (run: Run, time: number, frame: PlotFrame, plan: SectionPlan) => SvgTag[];

/**
 * Water that moves in the pipes, as strokes that wander along them with what has run through: the more runs, the faster, and
 * backwards where time goes back; and the water that falls from the lifted lid.
 */
function streams(): Streams {
  let last: { readonly run: Run; readonly time: number } | null = null;
  const gone = new Map<string, number>();
  return (run, time, frame, plan) => {
    const elapsed = last === null || last.run !== run ? 0 : time - last.time;
    last = { run, time };
    const { site } = run;
    const unit = displayUnits(site.units).level.size;
    const x = (along: number): number => tenth(frame.x.pixel(along / unit));
    const y = (level: number): number => tenth(frame.y("y").pixel(level / unit));
    const stream = (name: string, flow: number, path: string, wide: number, color: string): SvgTag[] => {
      if (Math.abs(flow) <= NO_FLOW) return [];
      // no more than a dash a frame, or the eye sees it run backwards
      const step = Math.sign(flow) * Math.sign(elapsed) * Math.min(7, 0.6 + 90 * Math.sqrt(Math.abs(flow)));
      gone.set(name, (gone.get(name) ?? 0) + (elapsed === 0 ? 0 : step));
      return [svgTag("path", {
        d: path, fill: "none", stroke: color, "stroke-width": wide, "stroke-dasharray": "7 9", "stroke-dashoffset": tenth(-gone.get(name)!), "stroke-linecap": "round",
      })];
    };
    const { overflowTrench: trench, emitter } = site;
    const drawn: SvgTag[][] = [];
    site.settlingBoxes.forEach(({ name, outlet }, i) => {
      const flow = run.flow(site.settlingBoxes.length > 1 ? `boxOutlet ${name}` : "boxOutlet", time);
      const low = outlet.diameter * 0.3;
      drawn.push(stream(name, flow, `M${x(plan.boxes[i]!.to)} ${y(outlet.invert + low)}L${x(plan.pit.from)} ${y(outlet.outletInvert + low)}`, 2, "#fff"));
    });
    if (trench !== null && plan.trench !== null) {
      const { inlet } = trench;
      const low = inlet.diameter * 0.3;
      drawn.push(stream(
        "inlet", flowOfKind(run, "trenchInlet", time), `M${x(plan.pit.to)} ${y(inlet.invert + low)}L${x(plan.trench.from)} ${y(inlet.outletInvert + low)}`, 2, "#fff",
      ));
    }
    if (emitter !== null && plan.emitter !== null) {
      const flow = run.flow("emitter", time);
      const [from, top] = [x(plan.emitter.to), y(emitter.crest) - 3];
      const far = 6 + Math.min(40, 620 * Math.sqrt(Math.max(0, flow)) * 0.6);
      drawn.push(stream("emitter", flow, `M${from} ${top}q${tenth(far * 0.5)} ${tenth(-far * 0.45)} ${tenth(far)} ${tenth(far * 0.35)}`, 2.6, "#145c91"));
    }
    return drawn.flat();
  };
}
