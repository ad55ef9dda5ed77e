import type { PlotFrame } from "../figures/svg/plotFrame.ts";

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
