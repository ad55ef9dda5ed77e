import type { DepthDuration } from "./depthDuration.ts";

/**
 * Rain fallen by a time in the storm whose every stretch around the peak, cut there in the ratio r to 1 - r, has the depth D
 * that the place has for that duration:
 *
 *   r D(T) - r D((r T - t) / r)                    before the peak at r T
 *   r D(T) + (1 - r) D((t - r T) / (1 - r))        after it
 *
 * @param rain      the place's depth by duration
 * @param duration  T [s]
 * @param peakAt    r, 0 to 1
 * @source  derived from the nesting; its derivative is the intensity of Keifer & Chu 1957, and with r = 0.5 it is the curve
 *          0.5 -+ D(d)/(2 D(T)) at T/2 -+ d/2 by which 24-hour distributions are built
 */
export function nestedCurve(rain: DepthDuration, duration: number, peakAt: number): (time: number) => number {
  const peak = peakAt * duration;
  const beforePeak = peakAt * rain(duration);
  // The ends of both branches are the whole storm, however the division rounds.
  return (time) => {
    if (time < peak) return beforePeak - peakAt * rain(Math.min(duration, (peak - time) / peakAt));
    return time > peak ? beforePeak + (1 - peakAt) * rain(Math.min(duration, (time - peak) / (1 - peakAt))) : beforePeak;
  };
}
