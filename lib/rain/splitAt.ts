import { hyetograph, type Hyetograph } from "./hyetograph.ts";

/**
 * The same rain with more edges: depths are shared out evenly, as the intensity inside an interval is constant.
 *
 * @param times  rising [s]; those outside the rain, and its own edges, change nothing
 */
export function splitAt(rain: Hyetograph, times: ArrayLike<number>): Hyetograph {
  const time = [rain.time[0]!];
  const depth: number[] = [];
  let next = 0;
  for (let i = 0; i < rain.depth.length; i++) {
    const [from, to] = [rain.time[i]!, rain.time[i + 1]!];
    const until = (edge: number): void => {
      depth.push(rain.depth[i]! * ((edge - time[time.length - 1]!) / (to - from)));
      time.push(edge);
    };
    while (next < times.length && times[next]! <= from) next++;
    while (next < times.length && times[next]! < to) until(times[next++]!);
    until(to);
  }
  return hyetograph({ time, depth });
}
