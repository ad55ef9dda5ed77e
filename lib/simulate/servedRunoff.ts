import { curveNumberRunoff } from "../runoff/curveNumber.ts";
import type { Catchment, Site } from "../site/site.ts";

/** Catchments whose water the works have to store: those that reach a box or the pit; what drains to the low spot is not theirs. */
export function servedCatchments({ catchments }: Site): Catchment[] {
  return catchments.filter(({ drainsTo }) => drainsTo !== "lowSpot");
}

/**
 * Volume that a depth of rain sends to boxes and pit, all of it in one storm [m3]:
 *
 *   sum of A r(P),   r = C (P - loss) for a runoff coefficient, by curve number after its loss, P - loss for Green-Ampt
 *
 * Green-Ampt ground takes in what its hours allow, which a depth alone does not say: all of it is taken to run off.
 *
 * @param depth  [m], 0 or more
 */
export function servedRunoff(site: Site, depth: number): number {
  return servedCatchments(site).reduce((sum, { area, initialLoss, loss }) => {
    const left = Math.max(0, depth - initialLoss);
    if (loss.kind === "runoffCoefficient") return sum + loss.runoffCoefficient * area * left;
    if (loss.kind === "greenAmpt") return sum + area * left;
    const { curveNumber, initialAbstractionRatio } = loss;
    return sum + area * curveNumberRunoff({ depth: left, curveNumber, initialAbstractionRatio });
  }, 0);
}

/**
 * The depth of rain whose runoff is a volume, the inverse of `servedRunoff`: V / sum of C A for runoff coefficients alone.
 *
 * @param volume  [m3], 0 or more
 * @returns       [m]; null where nothing drains to boxes or pit
 */
export function depthThatFills(site: Site, volume: number): number | null {
  if (volume <= 0) return 0;
  const area = servedCatchments(site).reduce((sum, { area, loss }) => sum + (loss.kind === "runoffCoefficient" ? loss.runoffCoefficient : 1) * area, 0);
  if (!(area > 0)) return null;
  // a curve number's loss never exceeds its initial abstraction and retention, so the doubling ends
  let high = volume / area;
  while (servedRunoff(site, high) < volume) high *= 2;
  let low = 0;
  for (let i = 0; i < 200 && high - low > 1e-15 * high; i++) {
    const middle = (low + high) / 2;
    if (servedRunoff(site, middle) < volume) low = middle;
    else high = middle;
  }
  return high;
}
