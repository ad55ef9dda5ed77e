import { hyetograph, type Hyetograph } from "./hyetograph.ts";
import { optionReader } from "../units/optionReader.ts";

/** What the degree-day method asks for. */
export interface SnowmeltOptions {
  /** precipitation, as water */
  readonly precipitation: Hyetograph;
  /** mean air temperature of each of its intervals [degC] */
  readonly temperature: ArrayLike<number>;
  /** melt for each degree above `meltsAbove`, default "4 mm/day" */
  readonly meltRate?: string;
  /** default "0 degC" */
  readonly meltsAbove?: string;
  /** at and below it precipitation is snow, default "1 degC" */
  readonly snowsBelow?: string;
  /** snow that lies at the start, as water; default "0 mm" */
  readonly snowAtStart?: string;
}

/** Water that reaches the ground, and the snow that is left. */
export interface Snowmelt {
  /** rain and melt, the precipitation's edges and one more wherever the snow is gone */
  readonly water: Hyetograph;
  /** as water, at the precipitation's edges [m] */
  readonly snow: Float64Array;
}

/**
 * Rain and snowmelt by the degree-day method: in each interval
 *
 *   snow where T <= snowsBelow, else rain;   melt rate = meltRate * max(0, T - meltsAbove), while there is snow
 *
 * Rain runs through the snow at once, and no water freezes again; both let water come sooner than it does.
 *
 * @throws InputError  with all problems
 * @source  degree-day method, common practice; factors of 2 to 6 mm a day and degree are usual (from memory)
 * @example snowmelt({ precipitation: hyetograph({ time: [0, 86400], depth: [0] }), temperature: [3],
 *   snowAtStart: "50 mm" }).water.depth[0]; // => 0.012
 */
export function snowmelt(options: SnowmeltOptions): Snowmelt {
  const read = optionReader("snowmelt", options, "The snowmelt cannot be computed:");
  const meltRate = read.has("meltRate") ? read.quantity("meltRate", "speed", { least: 0 }) : 0.004 / 86400;
  const meltsAbove = read.quantity("meltsAbove", "temperature", { missing: 0 });
  const snowsBelow = read.quantity("snowsBelow", "temperature", { missing: 1 });
  const snowAtStart = read.quantity("snowAtStart", "length", { least: 0, missing: 0 });
  const { precipitation, temperature } = options;
  read.has("precipitation");
  const count = read.has("temperature") ? temperature.length : 0;
  if (count !== precipitation.depth.length) {
    read.problem("temperature", `one for each interval (${precipitation.depth.length})`, String(count));
  } else {
    const wrong = Array.from(temperature).findIndex((degrees) => !Number.isFinite(degrees));
    if (wrong >= 0) read.problem(`temperature[${wrong}]`, "a temperature in degC", String(temperature[wrong]));
  }
  read.done();

  const time = [precipitation.time[0]!];
  const depth: number[] = [];
  const snow = new Float64Array(count + 1);
  snow[0] = snowAtStart;
  const until = (edge: number, water: number): void => {
    time.push(edge);
    depth.push(water);
  };
  for (let i = 0; i < count; i++) {
    const [start, end] = [precipitation.time[i]!, precipitation.time[i + 1]!];
    const isSnow = temperature[i]! <= snowsBelow;
    const rain = isSnow ? 0 : precipitation.depth[i]!;
    const pack = snow[i]! + (isSnow ? precipitation.depth[i]! : 0);
    const wanted = meltRate * Math.max(0, temperature[i]! - meltsAbove) * (end - start);
    snow[i + 1] = Math.max(0, pack - wanted);
    const gone = start + (end - start) * (pack / wanted);
    if (wanted > pack && gone > start && gone < end) {
      until(gone, pack + rain * (pack / wanted));
      until(end, rain * (1 - pack / wanted));
    } else until(end, rain + Math.min(pack, wanted));
  }
  return { water: hyetograph({ time, depth }), snow };
}
