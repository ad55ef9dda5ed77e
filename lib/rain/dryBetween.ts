import { hyetograph, type Hyetograph } from "./hyetograph.ts";

/**
 * Wet intervals as rain, each dry stretch before, between and after them one interval.
 *
 * @param start    first edge [s]
 * @param end      last edge [s], where no wet interval ends later
 * @param eachWet  hands over the wet intervals in order: from and to [s], depth [m]
 */
export function dryBetween(
  start: number,
  end: number,
  eachWet: (take: (from: number, to: number, depth: number) => void) => void,
): Hyetograph {
  const time = [start];
  const fallen: number[] = [];
  const until = (edge: number, depth: number): void => {
    if (edge <= time[time.length - 1]!) return;
    time.push(edge);
    fallen.push(depth);
  };
  eachWet((from, to, depth) => {
    until(from, 0);
    until(to, depth);
  });
  until(end, 0);
  return hyetograph({ time, depth: fallen });
}
