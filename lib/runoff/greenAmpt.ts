import type { Hyetograph } from "../rain/hyetograph.ts";
import { hyetograph } from "../rain/hyetograph.ts";
import { optionReader } from "../text/optionReader.ts";
import { infiltrateInterval, type GreenAmptSoil } from "./greenAmptInterval.ts";
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

function checkedGround(where: string, ground: GreenAmptGround): Required<GreenAmptGround> {
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
    front = rain.depth[i] === 0 ? front * Math.exp(-duration / soil.recoveryTime) : front + interval.infiltrated;
    take(i, interval);
  }
}
