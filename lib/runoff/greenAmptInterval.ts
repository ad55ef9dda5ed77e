/** Green and Ampt's soil. */
export interface GreenAmptSoil {
  /** K [m/s], 0 or more */
  readonly hydraulicConductivity: number;
  /** psi [m], 0 or more */
  readonly wettingFrontSuction: number;
  /** dtheta, porosity less the moisture at the start, 0 to 1 */
  readonly moistureChange: number;
}

/** What one interval of constant rain does. */
export interface InfiltratedInterval {
  /** time from the interval's start until water ponds [s]; the whole interval where it never does */
  readonly dryTime: number;
  /** [m] */
  readonly infiltrated: number;
  /** rain that finds no way in [m], 0 or more */
  readonly excess: number;
}

/**
 * Infiltration in one interval of constant rain.
 *
 * Dry surface: all goes in, until F reaches the depth at which the capacity has fallen to the rain,
 *
 *   Fp = K psi dtheta / (i - K)          (never where i <= K)
 *
 * and from then on F grows by Green and Ampt's equation, which rain no harder in the interval cannot leave again.
 *
 * @param front     F at the start [m], 0 or more
 * @param rain      depth in the interval [m]
 * @param duration  [s], more than 0
 * @source  Chow, Maidment & Mays, Applied Hydrology, 1988, sections 4.4 and 5.4 (from memory)
 */
export function infiltrateInterval(soil: GreenAmptSoil, front: number, rain: number, duration: number): InfiltratedInterval {
  const { hydraulicConductivity } = soil;
  const deficit = soil.wettingFrontSuction * soil.moistureChange;
  const intensity = rain / duration;
  if (intensity <= hydraulicConductivity) return { dryTime: duration, infiltrated: rain, excess: 0 };
  const pondingDepth = (hydraulicConductivity * deficit) / (intensity - hydraulicConductivity);
  const dryTime = Math.max(0, pondingDepth - front) / intensity;
  if (dryTime >= duration) return { dryTime: duration, infiltrated: rain, excess: 0 };
  const dryDepth = Math.max(0, pondingDepth - front);
  const ponded = pondedGrowth(front + dryDepth, deficit, hydraulicConductivity * (duration - dryTime));
  const infiltrated = Math.min(rain, dryDepth + ponded);
  return { dryTime, infiltrated, excess: rain - infiltrated };
}

/**
 * Growth x of F under ponding from F1, the root of
 *
 *   x - S ln(1 + x / (F1 + S)) = K t,   S = psi dtheta
 *
 * by Newton's method in u = x / (F1 + S), where the left side is F1 u + S (u - ln(1 + u)): convex and rising, so that
 * from a start above the root every iterate stays above it and falls. The start is the root of the quadratic that
 * u - ln(1 + u) >= u^2 / (2 (1 + u)) makes of it.
 */
function pondedGrowth(front: number, deficit: number, gravity: number): number {
  if (deficit === 0 || gravity === 0) return gravity;
  const a = 2 * front + deficit;
  const b = 2 * (front - gravity);
  const root = Math.sqrt(b * b + 8 * a * gravity);
  let u = b > 0 ? (4 * gravity) / (b + root) : (root - b) / (2 * a);
  for (let i = 0; i < 50; i++) {
    const residual = front * u + deficit * lessLog(u) - gravity;
    const next = u - (residual * (1 + u)) / (front * (1 + u) + deficit * u);
    if (!(next < u * (1 - Number.EPSILON)) || !(next > 0)) break;
    u = next;
  }
  return u * (front + deficit);
}

/** u - ln(1 + u) without the cancellation of small u. */
function lessLog(u: number): number {
  if (u > 0.1) return u - Math.log1p(u);
  let sum = 0;
  let power = -u;
  for (let k = 2; k <= 18; k++) {
    power *= -u;
    sum += power / k;
  }
  return sum;
}
