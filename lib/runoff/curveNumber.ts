import { hyetograph } from "../rain/hyetograph.ts";
import { optionReader } from "../text/optionReader.ts";
import { splitWhereFallen } from "./initialLoss.ts";
import type { LossModel } from "./lossModel.ts";

/** What a curve number asks for. */
export interface CurveNumber {
  /** above 0, up to 100 (all runs off) */
  readonly curveNumber: number;
  /** Ia / S, default 0.2 */
  readonly initialAbstractionRatio?: number;
}

/**
 * Runoff of a storm by the NRCS curve number.
 *
 *   S = 1000 / CN - 10 in,  Ia = ratio * S,  Pe = (P - Ia)^2 / (P - Ia + S), 0 up to P = Ia
 *
 * @param storm.depth  rain of the whole storm [m]
 * @returns            runoff [m], from 0 to depth
 * @throws InputError  when the depth is below 0, the number outside 0 to 100 or the ratio outside 0 to 1
 * @source  NRCS NEH 630 chapter 10 (July 2004); TR-55 (2nd ed. 1986) eq. 2-3
 * @example curveNumberRunoff({ depth: 0.1524, curveNumber: 75 }); // => 0.08336
 */
export function curveNumberRunoff(storm: { readonly depth: number } & CurveNumber): number {
  const read = optionReader("curveNumberRunoff", storm, "The runoff cannot be computed:");
  const depth = read.number("depth", { least: 0 });
  const curveNumber = read.number("curveNumber", { above: 0, most: 100 });
  const ratio = read.number("initialAbstractionRatio", { least: 0, most: 1, missing: 0.2 });
  read.done();
  const retention = potentialRetention(curveNumber);
  return runoffDepth(depth, retention, ratio * retention);
}

/**
 * Loss by the curve number within one storm: the runoff of the rain fallen so far, by its time. The moment at which the
 * initial abstraction is filled becomes an edge.
 *
 * @throws InputError  as `curveNumberRunoff`
 */
export function curveNumberLoss(ground: CurveNumber): LossModel {
  const read = optionReader("curveNumberLoss", ground, "The loss cannot be used:");
  const retention = potentialRetention(read.number("curveNumber", { above: 0, most: 100 }));
  const abstraction = retention * read.number("initialAbstractionRatio", { least: 0, most: 1, missing: 0.2 });
  read.done();
  return (rain) => {
    const { time, depth } = splitWhereFallen(rain, abstraction);
    let fallen = 0;
    let runoff = 0;
    const effective = depth.map((amount) => {
      fallen += amount;
      const before = runoff;
      runoff = Math.max(before, runoffDepth(fallen, retention, abstraction));
      return runoff - before;
    });
    return hyetograph({ time, depth: effective });
  };
}

/**
 * Curve number of an area of which a share is sealed (CN 98).
 *
 *   CNc = CNp + share * (98 - CNp) * (1 - R / 2)
 *
 * @param area.pervious           curve number of the rest
 * @param area.sealedShare        0 to 1; with a `unconnectedShare` above 0 at most 0.3
 * @param area.unconnectedShare   R: share of the sealed area that drains over pervious ground first, default 0
 * @throws InputError  with all problems
 * @source  TR-55 (2nd ed. 1986) figures 2-3 and 2-4
 * @example compositeCurveNumber({ pervious: 61, sealedShare: 0.35 }); // => 73.95
 */
export function compositeCurveNumber(area: {
  readonly pervious: number;
  readonly sealedShare: number;
  readonly unconnectedShare?: number;
}): number {
  const read = optionReader("compositeCurveNumber", area, "The composite curve number cannot be computed:");
  const pervious = read.number("pervious", { above: 0, most: 98 });
  const unconnected = read.number("unconnectedShare", { least: 0, most: 1, missing: 0 });
  // Figure 2-4 covers sealed shares up to 30 percent; above that water that crosses pervious ground runs off all the same.
  const sealed = read.number("sealedShare", { least: 0, most: unconnected > 0 ? 0.3 : 1 });
  read.done();
  return pervious + sealed * (98 - pervious) * (1 - unconnected / 2);
}

/** S [m]: 1000 / CN - 10 inches. */
function potentialRetention(curveNumber: number): number {
  return ((1000 / curveNumber - 10) * 254) / 10000;
}

function runoffDepth(rain: number, retention: number, abstraction: number): number {
  const beyond = rain - abstraction;
  return beyond > 0 ? beyond * (beyond / (beyond + retention)) : 0;
}
