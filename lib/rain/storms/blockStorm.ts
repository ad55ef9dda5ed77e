import type { StormPattern } from "./stormCurve.ts";
import { stormDepth } from "./stormDepth.ts";

/**
 * Constant intensity: `{ pattern: "block", depth: "34 mm", duration: "1 h" }`; instead of the depth an
 * `intensity: "140 mm/h"` may stand.
 *
 * @source  HDS-2 (FHWA-NHI-02-001, 2nd ed. 2002), constant-intensity design storm, Example 6.5 p. 6-32
 */
export const blockStorm: StormPattern = (options) => {
  const duration = options.quantity("duration", "time", { above: 0 });
  const depth = options.has("intensity")
    ? duration * options.quantity("intensity", "speed", { least: 0 }) * options.number("climateFactor", { above: 0, most: 10, missing: 1 })
    : stormDepth(options, duration);
  options.done();
  const total = typeof depth === "number" ? depth : depth();
  return { edges: [0, duration], depthBy: (time) => total * (time / duration) };
};
