import { momentText } from "../text/hours.ts";
import { ink, lines } from "../figures/look.ts";
import type { Layout } from "../figures/figure.ts";
import { depthText, displayUnits, durationText } from "../text/format.ts";
import { quantity } from "../text/quantity.ts";
import type { Handle } from "./handle.ts";
import type { LiveRun } from "./liveRun.ts";
import type { PlotFrame } from "../figures/svg/plotFrame.ts";
import { snapped, stepped } from "./pullSteps.ts";
import { totalDepth } from "./stormRain.ts";
import { writtenQuantity } from "../text/writtenQuantity.ts";

/**
 * The handles of the level picture: the foot of the hanging rain, the rain's end where its pattern has a duration, and the hour
 * on the time axis.
 *
 * @param hour  that is looked at [h]
 */
export function levelHandles(live: LiveRun, layout: Layout, frame: PlotFrame, hour: number): Handle[] {
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
