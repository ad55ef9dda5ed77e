import { describe } from "../text/describe.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { hyetograph, type Hyetograph } from "./hyetograph.ts";
import { splitAt } from "./splitAt.ts";

/** What the degree-day method asks for. */
export interface SnowmeltOptions {
  /** precipitation, as water */
  readonly precipitation: Hyetograph;
  /** mean air temperatures in intervals of their own, which cover the precipitation: n + 1 edges [s] and n means [degC] */
  readonly temperature: { readonly time: ArrayLike<number>; readonly mean: ArrayLike<number> };
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
  /** rain and melt, with the edges of precipitation and temperature and one more wherever the snow is gone */
  readonly water: Hyetograph;
  /** as water, at the edges of `water` [m] */
  readonly snow: Float64Array;
}

/**
 * Rain and snowmelt by the degree-day method: in each interval
 *
 *   snow where T <= snowsBelow, else rain;   melt rate = meltRate * max(0, T - meltsAbove), while there is snow
 *
 * Rain runs through the snow at once, and no water freezes again; both let water come sooner than it does. A site file has no
 * key for it, as temperatures belong to a winter and not to a site: give `water` to `simulate` in the rain's place.
 *
 * @throws InputError  with all problems
 * @source  degree-day method, common practice; factors of 2 to 6 mm a day and degree are usual (from memory)
 * @example snowmelt({ precipitation: hyetograph({ time: [0, 86400], depth: [0] }), temperature: { time: [0, 86400], mean: [3] },
 *   snowAtStart: "50 mm" }).water.depth[0]; // => 0.012
 */
export function snowmelt(options: SnowmeltOptions): Snowmelt {
  const read = optionReader("snowmelt", options, "The snowmelt cannot be computed:");
  const meltRate = read.quantity("meltRate", "speed", { least: 0, missing: 0.004 / 86400 });
  const meltsAbove = read.quantity("meltsAbove", "temperature", { missing: 0 });
  const snowsBelow = read.quantity("snowsBelow", "temperature", { missing: 1 });
  let snowLeft = read.quantity("snowAtStart", "length", { least: 0, missing: 0 });
  read.has("precipitation");
  checkTemperature(read, options);
  read.done();

  const { time: edges, mean } = options.temperature;
  const precipitation = splitAt(options.precipitation, edges);
  const time = [precipitation.time[0]!];
  const depth: number[] = [];
  const snow = [snowLeft];
  const until = (edge: number, water: number, left: number): void => {
    time.push(edge);
    depth.push(water);
    snow.push(left);
  };
  let day = 0;
  for (let i = 0; i < precipitation.depth.length; i++) {
    const [start, end, fallen] = [precipitation.time[i]!, precipitation.time[i + 1]!, precipitation.depth[i]!];
    while (edges[day + 1]! <= start) day++;
    const isSnow = mean[day]! <= snowsBelow;
    const rain = isSnow ? 0 : fallen;
    const pack = snowLeft + fallen - rain;
    const wanted = meltRate * Math.max(0, mean[day]! - meltsAbove) * (end - start);
    const gone = start + (end - start) * (pack / wanted);
    snowLeft = Math.max(0, pack - wanted);
    if (wanted > pack && gone > start && gone < end) {
      until(gone, pack + rain * (pack / wanted), 0);
      until(end, rain * (1 - pack / wanted), 0);
    } else until(end, rain + Math.min(pack, wanted), snowLeft);
  }
  return { water: hyetograph({ time, depth }), snow: Float64Array.from(snow) };
}

function checkTemperature(read: OptionReader, { precipitation, temperature }: SnowmeltOptions): void {
  if (!read.has("temperature") || temperature.time.length !== temperature.mean.length + 1 || temperature.mean.length === 0) {
    const got = read.has("temperature") ? `${temperature.time.length} edges and ${temperature.mean.length} means` : "nothing";
    return read.problem("temperature", "one edge more than means, and one mean or more", got);
  }
  const { time, mean } = temperature;
  const wrong = Array.from(mean).findIndex((degrees) => !Number.isFinite(degrees));
  if (wrong >= 0) read.problem(`temperature.mean[${wrong}]`, "a temperature in degC", describe(mean[wrong]));
  const still = Array.from(time).findIndex((edge, i) => i > 0 && !(edge > time[i - 1]!));
  if (still >= 0) read.problem(`temperature.time[${still}]`, `later than ${time[still - 1]} s`, `${time[still]} s`);
  const [start, end] = [precipitation.time[0]!, precipitation.time[precipitation.depth.length]!];
  if (!(time[0]! <= start && time[time.length - 1]! >= end)) {
    read.problem("temperature.time", `all of the precipitation, ${start} s to ${end} s`, `${time[0]} s to ${time[time.length - 1]} s`);
  }
}
