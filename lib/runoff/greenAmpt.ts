import { exponential, logarithmOf1Plus } from "../numerics/powers.ts";
import { type Hyetograph, hyetograph } from "../rain/hyetograph.ts";
import { optionReader } from "../text/optionReader.ts";
import type { LossModel } from "./lossModel.ts";

/** What Green and Ampt's law asks of a soil. */
export interface GreenAmptGround extends GreenAmptSoil {
  /**
   * [s]; in rainless intervals the depth that holds the wetting front back shrinks by exp(-t / recoveryTime), as the
   * soil drains. Default: never.
   */
  readonly recoveryTime?: number;
}

/**
 * Infiltration by Green and Ampt's law under rain, solved exactly in every interval, ponding inside it included; what
 * does not go in runs off at once.
 *
 *   f = K (1 + psi dtheta / F),   ponded: F2 - F1 - psi dtheta ln((F2 + psi dtheta) / (F1 + psi dtheta)) = K t
 *
 * @param storm.hyetograph             rain
 * @param storm.hydraulicConductivity  K [m/s], 0 or more
 * @param storm.wettingFrontSuction    psi [m], 0 or more
 * @param storm.moistureChange         dtheta, 0 to 1
 * @param storm.recoveryTime           [s], default never; see `GreenAmptGround`
 * @returns      n + 1 cumulative depths [m] at the edges, the first 0; the same however an interval is split
 * @throws InputError  when a parameter is outside its bounds
 * @source  Chow, Maidment & Mays, Applied Hydrology, 1988, sections 4.3, 4.4 and 5.4 (from memory); the recovery is an
 *          assumption of this library's own, exponential drainage
 * @example greenAmptInfiltration({ hyetograph: hyetograph({ time: [0, 3600], depth: [0.05] }),
 *   hydraulicConductivity: 0.0065 / 3600, wettingFrontSuction: 0.167, moistureChange: 0.3402 })[1]; // => 0.03018
 */
export function greenAmptInfiltration(storm: { readonly hyetograph: Hyetograph } & GreenAmptGround): Float64Array {
  const { hyetograph: rain, ...ground } = storm;
  const cumulative = new Float64Array(rain.depth.length + 1);
  infiltrate(rain, checkedGround("greenAmptInfiltration", ground), (i, { infiltrated }) => {
    cumulative[i + 1] = cumulative[i]! + infiltrated;
  });
  return cumulative;
}

/**
 * Loss by Green and Ampt's law. The moment at which ponding starts becomes an edge; after it the runoff rate rises inside
 * an interval, and the depth is spread evenly over it: give rain split as finely as that matters (`splitEvery`; rain no
 * harder than K never ponds).
 *
 * @throws InputError  as `greenAmptInfiltration`
 */
export function greenAmptLoss(ground: GreenAmptGround): LossModel {
  const soil = checkedGround("greenAmptLoss", ground);
  return (rain) => {
    const time = [rain.time[0]!];
    const depth: number[] = [];
    infiltrate(rain, soil, (i, { dryTime, excess }) => {
      const [from, to] = [rain.time[i]!, rain.time[i + 1]!];
      const ponded = from + dryTime;
      if (excess > 0 && ponded > from && ponded < to) {
        time.push(ponded);
        depth.push(0);
      }
      time.push(to);
      depth.push(excess);
    });
    return hyetograph({ time, depth });
  };
}

export function checkedGround(where: string, ground: GreenAmptGround): Required<GreenAmptGround> {
  const read = optionReader(where, ground, "The infiltration cannot be computed:");
  const checked = {
    hydraulicConductivity: read.number("hydraulicConductivity", { least: 0 }),
    wettingFrontSuction: read.number("wettingFrontSuction", { least: 0 }),
    moistureChange: read.number("moistureChange", { least: 0, most: 1 }),
    recoveryTime: ground.recoveryTime === Infinity ? Infinity : read.number("recoveryTime", { above: 0, missing: Infinity }),
  };
  read.has("recoveryTime");
  read.done();
  return checked;
}

function infiltrate(
  rain: Hyetograph,
  soil: Required<GreenAmptGround>,
  take: (i: number, interval: ReturnType<typeof infiltrateInterval>) => void,
): void {
  let front = 0; // depth of water that the wetting front has behind it
  for (let i = 0; i < rain.depth.length; i++) {
    const duration = rain.time[i + 1]! - rain.time[i]!;
    const interval = infiltrateInterval(soil, front, rain.depth[i]!, duration);
    front = rain.depth[i] === 0 ? front * exponential(-duration / soil.recoveryTime) : front + interval.infiltrated;
    take(i, interval);
  }
}

/** Green and Ampt's soil. */
interface GreenAmptSoil {
  /** K [m/s], 0 or more */
  readonly hydraulicConductivity: number;
  /** psi [m], 0 or more */
  readonly wettingFrontSuction: number;
  /** dtheta, porosity less the moisture at the start, 0 to 1 */
  readonly moistureChange: number;
}

/** What one interval of constant rain does. */
interface InfiltratedInterval {
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
function infiltrateInterval(soil: GreenAmptSoil, front: number, rain: number, duration: number): InfiltratedInterval {
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
export function pondedGrowth(front: number, deficit: number, gravity: number): number {
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
  if (u > 0.1) return u - logarithmOf1Plus(u);
  let sum = 0;
  let power = -u;
  for (let k = 2; k <= 18; k++) {
    power *= -u;
    sum += power / k;
  }
  return sum;
}
