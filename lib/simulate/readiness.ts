import { freeVolume } from "./freeVolume.ts";
import type { Run } from "./run.ts";
import { depthThatFills } from "./servedRunoff.ts";

/** How much the works could take again, in the course of a run. */
export interface Readiness {
  /** [s] */
  readonly time: Float64Array;
  /** room up to where water comes out [m3] at each time */
  readonly freeVolume: Float64Array;
  /** depth of rain that would fill it [m], as `rainToFill`; null where nothing drains to boxes or pit */
  readonly rain: Float64Array | null;
}

/**
 * Readiness for the next storm: the room left in boxes, pit and trench up to where water comes out, against time.
 *
 * @param times  [s] within the run, default 97 evenly spaced ones
 * @throws RangeError  for a time outside the run
 */
export function readiness(run: Run, times?: ArrayLike<number>): Readiness {
  const { site, until } = run;
  const time = times === undefined ? Float64Array.from({ length: 97 }, (_, i) => (i / 96) * until) : Float64Array.from(times);
  const free = time.map((at) => freeVolume(site, (body) => body.volume(run.level(body.name, at))));
  return {
    time,
    freeVolume: free,
    rain: depthThatFills(site, 1) === null ? null : free.map((volume) => depthThatFills(site, volume)!),
  };
}
