import { power } from "../numerics/powers.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { depthBetween } from "../rain/rainBetween.ts";
import { optionReader } from "../text/optionReader.ts";
import { checkedGround, type GreenAmptGround, pondedGrowth } from "./greenAmpt.ts";
import type { Hydrograph } from "./hydrograph.ts";

/** Water that is let out on a slope and runs over it as a sheet. */
export interface SheetOptions {
  /** let out at the upper end [m3/s] */
  readonly inflow: Hydrograph;
  /** fall of the ground over its length, above 0 */
  readonly slope: number;
  /** Manning's n of the surface for sheet flow: 0.24 for dense grass */
  readonly manningN: number;
  /** half the sheet's width [m] at a distance from where it is let out [m]; `fanHalfWidth` for a point */
  readonly halfWidth: (distance: number) => number;
  /** as in `greenAmptInfiltration` */
  readonly soil: Omit<GreenAmptGround, "recoveryTime">;
  /** falls on the slope too and takes up the soil first; what it cannot take is not followed. None where missing */
  readonly rain?: Hyetograph;
  /** how far is looked [m], above 0 */
  readonly length: number;
  /** stretches the length is cut into; 100 where missing */
  readonly stretches?: number;
}

export interface SheetFlow {
  /** the farthest that the water came [m]: where it stood a tenth of a millimetre deep at some time; `length` where it went beyond */
  readonly reach: number;
  /** when it first came that far [s] */
  readonly reachedAt: number;
  /** volume that passed each of the n + 1 edges of the stretches, the first the inlet [m3] */
  readonly passed: Float64Array;
  /** volume that went into the soil [m3]; passed[0] = soaked + passed at the end + left */
  readonly soaked: number;
  /** still on the slope when it is no longer looked at [m3] */
  readonly left: number;
  /** the deepest that it stood in each stretch [m] */
  readonly deepest: Float64Array;
  /** width of the sheet at its reach [m] */
  readonly width: number;
}

/**
 * A sheet of water on its way down a slope, as a kinematic wave with Green and Ampt's infiltration: depth and flow go by Manning's law of
 * a wide sheet, and every place takes water in from the moment that it comes.
 *
 *   d(w h)/dt + dQ/dx = -w f,   Q = w h^(5/3) sqrt(S)/n,   f <= K (1 + psi dtheta/F)
 *
 * Explicit and upwind, steps no longer than the wave takes through half a stretch, so that no water is made. It is looked at until a day
 * after the last inflow, or until all has gone.
 *
 * @throws InputError  with all problems
 * @source  kinematic wave of overland flow: Chow, Maidment & Mays, Applied Hydrology, 1988, chapter 9, from memory; Green-Ampt:
 *          `greenAmptInfiltration`. That rain takes up the soil first is our choice
 */
export function sheetFlow(options: SheetOptions): SheetFlow {
  const { inflow, halfWidth, rain } = options;
  const read = optionReader("sheetFlow", { ...options }, "The sheet cannot be followed:");
  const [slope, manningN, length] = (["slope", "manningN", "length"] as const).map((key) => read.number(key, { above: 0 })) as [number, number, number];
  const count = read.number("stretches", { least: 1, most: 10_000, missing: 100 });
  for (const key of ["inflow", "halfWidth", "soil", "rain"] as const) read.has(key);
  read.done();
  const { hydraulicConductivity: K, wettingFrontSuction, moistureChange } = checkedGround("sheetFlow.soil", options.soil);
  const deficit = wettingFrontSuction * moistureChange;
  const dx = length / count;
  const width = Float64Array.from({ length: count }, (_, i) => 2 * halfWidth((i + 0.5) * dx));
  const speed = Math.sqrt(slope) / manningN;
  const [depth, deepest, taken] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
  const passed = new Float64Array(count + 1);
  let [front, wet, soaked, reach, reachedAt] = [0, 0, 0, 0, 0];
  const [start, over] = [inflow.time[0] ?? 0, inflow.time.at(-1) ?? 0];
  let time = Math.min(start, rain?.time[0] ?? start);
  const flows = new Float64Array(count + 1);
  const volume = volumesOf(inflow);
  while (time < over + DAY) {
    let deep = 0;
    for (let i = 0; i < wet; i++) deep = Math.max(deep, depth[i]!);
    let fastest = Math.max(1e-9, (5 / 3) * speed * power(deep, 2 / 3));
    // the inlet's own depth, for a sheet that has only begun
    const entering = volume(time, time + 1);
    if (entering > 0) fastest = Math.max(fastest, (5 / 3) * power(speed, 0.6) * power(entering / width[0]!, 0.4));
    const isWet = wet > 0 || entering > 0;
    if (!isWet && time >= over) break;
    let dt = Math.min(isWet ? (0.5 * dx) / fastest : LONGEST, LONGEST);
    if (!isWet && time < start) dt = Math.min(LONGEST, start - time);
    const fallen = rain === undefined ? 0 : depthBetween(rain, time, time + dt);
    flows[0] = volume(time, time + dt);
    for (let i = 0; i < wet; i++) flows[i + 1] = Math.min(depth[i]! * width[i]! * dx, width[i]! * speed * power(depth[i]!, 5 / 3) * dt);
    for (let i = wet; i < count; i++) flows[i + 1] = 0;
    const dry = pondedGrowth(front, deficit, K * dt);
    const last = Math.min(count, wet + 1);
    let nowWet = 0;
    for (let i = 0; i < last; i++) {
      passed[i] = passed[i]! + flows[i]!;
      const before = i < wet ? taken[i]! : front;
      const here = depth[i]! + (flows[i]! - flows[i + 1]!) / (width[i]! * dx);
      const room = i < wet ? pondedGrowth(before, deficit, K * dt) : dry;
      const ofRain = Math.min(room, fallen);
      const goes = Math.min(here, room - ofRain);
      taken[i] = before + ofRain + goes;
      soaked += goes * width[i]! * dx;
      depth[i] = here - goes;
      // once water came, the stretch keeps its own account of what it took, though it took all of it
      if (here > 0) nowWet = i + 1;
      deepest[i] = Math.max(deepest[i]!, depth[i]!);
      if (depth[i]! > FILM && (i + 1) * dx > reach) [reach, reachedAt] = [(i + 1) * dx, time + dt];
    }
    if (wet === count) passed[count] = passed[count]! + flows[count]!;
    front += Math.min(dry, fallen);
    wet = Math.max(wet, nowWet);
    time += dt;
    if (time > over && isDry(depth, wet)) break;
  }
  const left = depth.reduce((sum, each, i) => sum + each * width[i]! * dx, 0);
  return { reach, reachedAt, passed, soaked, left, deepest, width: 2 * halfWidth(reach) };
}

const DAY = 86400;
/** A step no longer than this follows rain and inflow [s]. */
const LONGEST = 30;
/** Thinner than this no sheet is seen [m]. */
const FILM = 1e-4;

function isDry(depth: Float64Array, wet: number): boolean {
  for (let i = 0; i < wet; i++) if (depth[i]! > 1e-7) return false;
  return true;
}

/** What runs in between two times [m3], exactly, asked for one stretch of time after the other. */
function volumesOf({ time, flow }: Hydrograph): (from: number, to: number) => number {
  let first = 1;
  return (from, to) => {
    while (first < time.length && time[first]! <= from) first++;
    let sum = 0;
    for (let i = first; i < time.length && time[i - 1]! < to; i++) {
      const [t0, t1] = [time[i - 1]!, time[i]!];
      const [a, b] = [Math.max(from, t0), Math.min(to, t1)];
      if (b <= a) continue;
      const at = (t: number): number => flow[i - 1]! + ((flow[i]! - flow[i - 1]!) * (t - t0)) / (t1 - t0);
      sum += ((at(a) + at(b)) / 2) * (b - a);
    }
    return sum;
  };
}

/**
 * Half the width of a sheet that a point lets out on an even slope, at a distance down it: its own depth drives it apart. Steady, no
 * water lost, Manning's law along the line of steepest fall of the water:
 *
 *   S d(h^(5/3))/dx = d/dy(h^(5/3) dh/dy)    has    h = (5 S/26) x^(-3/13) (e^2 - (y/x^(5/13))^2),   b = e x^(5/13)
 *   Q = sqrt(S)/n (5 S/26)^(5/3) B e^(13/3),   B = integral of (1 - u^2)^(5/3) over -1 to 1 = 1.1372
 *
 * @param flow      Q [m3/s], above 0
 * @param slope     S, above 0
 * @param manningN  n, above 0
 * @param distance  x [m], 0 or more
 * @returns         b [m]
 * @source  derived here, the turbulent form of Smith's similarity solution for a viscous point source on an incline (J. Fluid Mech. 58,
 *          1973, from memory); tests put it back into its equation
 * @example fanHalfWidth({ flow: 0.005, slope: 0.02, manningN: 0.24, distance: 10 }); // => 6.65
 */
export function fanHalfWidth({ flow, slope, manningN, distance }: FanOptions): number {
  const e = power((flow * manningN) / (Math.sqrt(slope) * power((5 * slope) / 26, 5 / 3) * FAN), 3 / 13);
  return e * power(distance, 5 / 13);
}

/** Of `fanHalfWidth`: SI. */
export interface FanOptions {
  readonly flow: number;
  readonly slope: number;
  readonly manningN: number;
  readonly distance: number;
}

/** The beta function of 1/2 and 8/3. */
const FAN = 1.137191;
