import { sectionScale, soilName } from "../figures/sectionFigure.ts";
import type { Annotation, Figure } from "../figures/figure.ts";
import { lines } from "../figures/look.ts";
import { NARROW } from "../figures/plotEdges.ts";
import { layerText } from "../figures/runSubtitle.ts";
import { groundwaterAt } from "../figures/sectionDrawing.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { displayUnits, intensityText, lengthText, levelText } from "../text/format.ts";
import type { Handle } from "./handle.ts";
import type { LiveRun } from "./liveRun.ts";
import type { PlotFrame } from "../figures/svg/plotFrame.ts";
import { snapped, stepped } from "./pullSteps.ts";
import { writtenQuantity } from "../text/writtenQuantity.ts";

/**
 * The handles of the section: each layer's conductivity where it is written, the groundwater's line, and the trench's end.
 *
 * @param figure  the section at `time`, whose own texts of soil and groundwater the handles stand for
 * @param time    that it shows [s]
 * @param width   of the picture with the room beside the section [px]
 */
export function sectionHandles(live: LiveRun, figure: Figure, frame: PlotFrame, time: number, width: number): Handle[] {
  const water = groundwaterHandle(live, frame, time, width);
  const soils = soilHandles(live, figure, frame);
  return [...(width < NARROW ? besideSection(soils, water, frame) : soils), water, ...trenchHandle(live, frame)];
}

/** A section without the texts that handles stand for. */
export function withoutHandled(figure: Figure): Figure {
  return { ...figure, layout: { ...figure.layout, annotations: figure.layout.annotations.filter(({ name }) => name === undefined) } };
}

/** A pull of this many pixels makes a conductivity e times as large. */
const PULL_E = 70;

function soilHandles({ run }: LiveRun, { layout: { annotations } }: Figure, frame: PlotFrame): Handle[] {
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
      words: label?.text ?? used, color: "#6b5636", ...place, side: label === undefined ? "left" : "around", along: "up",
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

/** Where a section has no room for a layer's figure: at its right edge, in the middle of what is seen of the layer. */
function besideWorks({ site }: LiveRun["run"], index: number, frame: PlotFrame): { x: number; y: number } {
  const unit = displayUnits(site.units).level.size;
  const axis = frame.y("y");
  const ground = Math.min(site.overflowTrench?.ground.low ?? site.chamberBank.ground, site.lowSpot?.floor ?? Infinity);
  const pixel = (level: number): number => Math.max(frame.top + 40, Math.min(frame.bottom - 12, axis.pixel(level / unit)));
  const top = pixel(index === 0 ? ground : Math.min(ground, site.soil.layers[index]!.top));
  const foot = pixel(site.soil.layers[index + 1]?.top ?? -Infinity);
  return { x: frame.right - 14, y: (top + foot) / 2 };
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
  const figure = levelText(isFar ? lowest : now, units);
  const spoken = isFar ? "far below" : figure;
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

function trenchHandle({ run }: LiveRun, frame: PlotFrame): Handle[] {
  const { site } = run;
  const { overflowTrench: trench, units } = site;
  const { plan: { trench: along } } = sectionScale(run, frame.width);
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
