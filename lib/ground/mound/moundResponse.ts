import { errorFunction } from "../../numerics/errorFunction.ts";
import type { MoundPit, MoundPoint } from "./moundPit.ts";

/**
 * How a mound answers an instant of recharge: the rise at a point, a time after unit depth of water has sunk in over the
 * rectangle at once. The rise under any recharge w(t) is the convolution of w with it.
 *
 *   u(t) = 1/(4 Sy) [erf((a-x)/r) + erf((a+x)/r)] [erf((c-y)/r) + erf((c+y)/r)],   r = sqrt(4 nu t),   nu = K b/Sy
 *
 * At time 0 it is 1/Sy inside, 0 outside, and half or a quarter of it on a side or corner.
 *
 * @param time  since the water sank in, 0 or more [s]
 * @returns     [m of rise per m of water]
 * @source      Hantush, Water Resources Research 3(1), 1967, linearised; the unit response of the heat equation on a rectangle
 * @example moundResponse({ halfLength: 4, halfWidth: 2, hydraulicConductivity: 2e-5, thickness: 6, specificYield: 0.2 },
 *   { x: 0, y: 0 }, 3600); // => 3.1401
 */
export function moundResponse(pit: MoundPit, { x, y }: MoundPoint, time: number): number {
  const { halfLength, halfWidth, hydraulicConductivity, thickness, specificYield } = pit;
  const reach = Math.sqrt(((4 * hydraulicConductivity * thickness) / specificYield) * time);
  return (across(halfLength, x, reach) * across(halfWidth, y, reach)) / (4 * specificYield);
}

function across(half: number, offset: number, reach: number): number {
  return errorFunction(share(half - offset, reach)) + errorFunction(share(half + offset, reach));
}

/** On a side at time 0 the quotient is 0/0, and the side stays half way between inside and outside. */
function share(distance: number, reach: number): number {
  return distance === 0 ? 0 : distance / reach;
}
