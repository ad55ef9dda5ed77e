import { evenEdges } from "./evenEdges.ts";
import type { StormPattern } from "./stormCurve.ts";
import { stormDepth } from "./stormDepth.ts";

/** From memory. */
const PROFILES = { winter: { a: 0.06, b: 1.026 }, summer: { a: 0.1, b: 0.815 } } as const;

/**
 * The profiles of the United Kingdom: `{ pattern: "uk-summer", depth: "25 mm", duration: "1 h" }`, the same on both sides of the
 * middle. The summer's is the more peaked one and meant for roofs and paved ground, the winter's for the country.
 *
 *   y = (1 - a^(x^b))/(1 - a)     share y of the depth in the middle share x of the duration
 *   winter a 0.060, b 1.026;      summer a 0.100, b 0.815
 *
 * `interval` is the length of the intervals the profile is cut into (default a 24th of the duration), each with its exact depth.
 *
 * @source  Flood Studies Report, 1975, 75 percent winter and 50 percent summer profiles, with a and b FROM MEMORY
 */
export function ukProfileStorm(season: keyof typeof PROFILES): StormPattern {
  const { a, b } = PROFILES[season];
  return (options) => {
    const duration = options.quantity("duration", "time", { above: 0 });
    const interval = options.quantity("interval", "time", { above: 0, missing: duration / 24 });
    if (duration / interval > 10000) options.problem("interval", "a ten-thousandth of the duration or more");
    const depth = stormDepth(options, duration);
    options.done();
    const total = depth();
    return {
      edges: evenEdges(duration, interval, duration / 2),
      depthBy(time) {
        const x = (2 * time) / duration - 1;
        return (total / 2) * (1 + (Math.sign(x) * (1 - a ** (Math.abs(x) ** b))) / (1 - a));
      },
    };
  };
}
