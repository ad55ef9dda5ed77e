import type { Hyetograph } from "../rain/hyetograph.ts";

/** A row of the block-storm table: what falls in a duration, what soaks away meanwhile, what has to be stored [m3]. */
export interface BlockStormRow {
  /** [s] */
  readonly duration: number;
  /** the most that falls in that time anywhere in the storm [m] */
  readonly depth: number;
  readonly inflow: number;
  readonly outflow: number;
  readonly storage: number;
}

/**
 * The published block-storm method for soakaways: storage S = I - O for each duration D shorter than the storm, and for the whole of it,
 *
 *   I = A_runoff x depth(D),      O = a_s50 x f x D
 *
 * a_s50 half of the wetted wall, floor left out, f the infiltration rate.
 *
 * @param runoffArea  sum of area times coefficient [m2]
 * @param halfWall    wall up to half of the effective depth [m2]
 * @param rate        infiltration [m/s]
 * @source  BRE Digest 365, from memory
 */
export function blockStormTable(rain: Hyetograph, runoffArea: number, halfWall: number, rate: number,
  durations: readonly number[] = DURATIONS): BlockStormRow[] {
  const long = rain.time.at(-1)! - rain.time[0]!;
  return [...durations.filter((duration) => duration < long * (1 - 1e-9)), long].map((duration) => {
    const depth = mostIn(rain, duration);
    const [inflow, outflow] = [runoffArea * depth, halfWall * rate * duration];
    return { duration, depth, inflow, outflow, storage: Math.max(0, inflow - outflow) };
  });
}

const DURATIONS: readonly number[] = [5, 10, 15, 30, 60, 120, 240, 360, 600, 1440, 2880].map((minutes) => minutes * 60);

/** The greatest depth in any window of a duration [m]; it begins or ends at an edge of the hyetograph. */
function mostIn({ time, depth }: Hyetograph, duration: number): number {
  const sums = [0];
  for (const each of depth) sums.push(sums.at(-1)! + each);
  const at = (moment: number): number => {
    if (moment <= time[0]!) return 0;
    for (let i = 0; i < depth.length; i++) {
      if (moment < time[i + 1]!) return sums[i]! + (depth[i]! * (moment - time[i]!)) / (time[i + 1]! - time[i]!);
    }
    return sums.at(-1)!;
  };
  return Array.from(time).reduce((most, edge) => Math.max(most, at(edge + duration) - at(edge), at(edge) - at(edge - duration)), 0);
}

/**
 * Length of a gravel trench that holds and soaks away a volume while it fills:
 *
 *   L = V / [w (n d + f T)]       floor alone, filling time T
 *
 * @source  infiltration trench sizing, a published form of the 1980s, from memory
 * @example gravelTrenchLength({ volume: 10, width: 1, depth: 1.5, porosity: 0.4, rate: 1e-5, fillTime: 7200 }).toFixed(2); // => "14.88"
 */
export function gravelTrenchLength({ volume, width, depth, porosity, rate, fillTime }: {
  readonly volume: number; readonly width: number; readonly depth: number;
  readonly porosity: number; readonly rate: number; readonly fillTime: number;
}): number {
  return volume / (width * (porosity * depth + rate * fillTime));
}

/**
 * Time in which a prism of stone empties through floor and sides into one soil, gradient 1, from one depth to another:
 *
 *   t = (n A / (K P)) ln[(A + P y1) / (A + P y2)]
 *
 * @source  integral of n A dy/dt = -K (A + P y), closed form
 * @example prismEmptying({ area: 10, perimeter: 14, porosity: 0.4, conductivity: 1e-5, from: 1, to: 0 }).toFixed(0); // => "25013"
 */
export function prismEmptying({ area, perimeter, porosity, conductivity, from, to }: {
  readonly area: number; readonly perimeter: number; readonly porosity: number;
  readonly conductivity: number; readonly from: number; readonly to: number;
}): number {
  return ((porosity * area) / (conductivity * perimeter)) * Math.log((area + perimeter * from) / (area + perimeter * to));
}
