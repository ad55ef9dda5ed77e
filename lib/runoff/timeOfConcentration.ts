import { power } from "../numerics/powers.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";

/** One reach of the longest way of the water. Lengths and depths are texts with a unit, slopes and n plain numbers. */
export type FlowReach =
  | {
      readonly kind: "sheet";
      readonly length: string;
      readonly slope: number;
      readonly twoYearRain: string;
      readonly manningN?: number;
      readonly surface?: SheetSurface;
    }
  | { readonly kind: "shallow"; readonly length: string; readonly slope: number; readonly surface: ShallowSurface }
  | {
      readonly kind: "channel";
      readonly length: string;
      readonly slope: number;
      readonly manningN: number;
      readonly area: string;
      readonly wettedPerimeter: string;
    }
  | { readonly kind: "pipe"; readonly length: string; readonly slope: number; readonly manningN: number; readonly diameter: string }
  | { readonly kind: "roof" };

/** Manning's n for sheet flow: TR-55 (2nd ed. 1986) Table 3-1, from memory; dense grass 0.24 as in its Example 3-1. */
const SHEET_N = {
  smooth: 0.011,
  fallow: 0.05,
  "short grass": 0.15,
  "dense grass": 0.24,
  bermudagrass: 0.41,
  "light woods": 0.4,
  "dense woods": 0.8,
} as const;

/**
 * Speed at slope 1 [ft/s], v = k sqrt(slope): paved and unpaved of TR-55 (2nd ed. 1986) appendix F, the others of NRCS NEH
 * 630 chapter 15 (May 2010) Table 15-3 (woodland: its row of trash fallow and woodlands); from memory, unpaved checked against
 * TR-55 Example 3-1.
 */
const SHALLOW_SPEED_FT_S = {
  paved: 20.3282,
  unpaved: 16.1345,
  "bare soil": 9.965,
  "short grass": 6.962,
  woodland: 5.032,
  "forest with heavy litter": 2.516,
} as const;

export type SheetSurface = keyof typeof SHEET_N;
export type ShallowSurface = keyof typeof SHALLOW_SPEED_FT_S;

/** Travel time of roof, gutter and downpipe together [s]: 5 min, common practice as the shortest time worth a rain table. */
const ROOF_TIME = 300;

const FOOT = 0.3048;

/**
 * Time the water takes from the farthest place: the sum over the reaches of its way.
 *
 *   sheet:    t [h] = 0.007 (n L)^0.8 / (P2^0.5 s^0.4)    L [ft], P2 [in]; up to 300 ft
 *   shallow:  v = k sqrt(s)
 *   channel:  v [ft/s] = 1.49 / n R^(2/3) s^(1/2)         R [ft] = area / wetted perimeter; a pipe runs full, R = d/4
 *   roof:     5 min
 *
 * @param reaches  from the top down
 * @returns        [s]
 * @throws InputError  with all that is wrong in any reach
 * @source  TR-55 (2nd ed. 1986) equations 3-3 and 3-4 and appendix F; NRCS NEH 630 chapter 15 (May 2010). NEH 630 would end
 *          sheet flow at 100 ft
 * @example timeOfConcentration([{ kind: "roof" }]); // => 300
 */
export function timeOfConcentration(reaches: readonly FlowReach[]): number {
  const read = optionReader("timeOfConcentration", { reaches }, "The time of concentration cannot be computed:");
  const times = read.children("reaches").map(travelTime);
  read.done();
  return times.reduce((sum, time) => sum + time, 0);
}

/**
 * Time of concentration by the NRCS lag equation, for a whole catchment.
 *
 *   tc [h] = l^0.8 (S + 1)^0.7 / (1140 Y^0.5),   S = 1000 / CN - 10
 *
 * @param catchment.flowLength   text with a unit; l in feet in the equation
 * @param catchment.curveNumber  50 to 95 are what the equation was made for
 * @param catchment.slope        mean land slope, ratio (Y is in percent)
 * @returns  [s]
 * @throws InputError  with all problems
 * @source  NRCS NEH 630 chapter 15 (May 2010), equation 15-4b by number from memory
 * @example lagTimeOfConcentration({ flowLength: "3865 ft", curveNumber: 63, slope: 0.0479 }); // => 4120.5
 */
export function lagTimeOfConcentration(catchment: {
  readonly flowLength: string;
  readonly curveNumber: number;
  readonly slope: number;
}): number {
  const read = optionReader("lagTimeOfConcentration", catchment, "The time of concentration cannot be computed:");
  const length_ft = read.quantity("flowLength", "length", { above: 0 }) / FOOT;
  const curveNumber = read.number("curveNumber", { least: 50, most: 95 });
  const slope = read.number("slope", { above: 0, most: 1 });
  read.done();
  const retention_in = 1000 / curveNumber - 10;
  return (3600 * power(length_ft, 0.8) * power(retention_in + 1, 0.7)) / (1140 * Math.sqrt(100 * slope));
}

function travelTime(reach: OptionReader): number {
  const kind = reach.word("kind", ["sheet", "shallow", "channel", "pipe", "roof"]);
  if (kind === "roof") return ROOF_TIME;
  if (!(kind in TRAVEL)) {
    reach.keys().forEach((key) => reach.has(key));
    return NaN;
  }
  const slope = reach.number("slope", { above: 0, most: 10 });
  return TRAVEL[kind](reach, slope);
}

const TRAVEL: Readonly<Record<"sheet" | "shallow" | "channel" | "pipe", (reach: OptionReader, slope: number) => number>> = {
  sheet(reach, slope) {
    const length_ft = reach.quantity("length", "length", { above: 0, most: 300 * FOOT }) / FOOT;
    const rain_in = reach.quantity("twoYearRain", "length", { above: 0 }) / 0.0254;
    const n = reach.has("surface")
      ? SHEET_N[reach.word("surface", Object.keys(SHEET_N) as SheetSurface[])]
      : reach.number("manningN", { above: 0, most: 1 });
    return (3600 * 0.007 * power(n * length_ft, 0.8)) / (Math.sqrt(rain_in) * power(slope, 0.4));
  },
  shallow(reach, slope) {
    const length = reach.quantity("length", "length", { above: 0 });
    const surface = reach.word("surface", Object.keys(SHALLOW_SPEED_FT_S) as ShallowSurface[]);
    return length / (SHALLOW_SPEED_FT_S[surface] * FOOT * Math.sqrt(slope));
  },
  channel(reach, slope) {
    const length = reach.quantity("length", "length", { above: 0 });
    const area = reach.quantity("area", "area", { above: 0 });
    const perimeter = reach.quantity("wettedPerimeter", "length", { above: 0 });
    return length / manningSpeed(area / perimeter, slope, reach.number("manningN", { above: 0, most: 1 }));
  },
  pipe(reach, slope) {
    const length = reach.quantity("length", "length", { above: 0 });
    const diameter = reach.quantity("diameter", "length", { above: 0 });
    return length / manningSpeed(diameter / 4, slope, reach.number("manningN", { above: 0, most: 1 }));
  },
};

/** The constant is 1 in SI; TR-55's 1.49 in feet is its rounded 1.486, which makes 0.3 percent. */
function manningSpeed(hydraulicRadius: number, slope: number, manningN: number): number {
  return (power(hydraulicRadius, 2 / 3) * Math.sqrt(slope)) / manningN;
}
