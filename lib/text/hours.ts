/**
 * A moment of a run as people say it: `hour 12`, `hour 11.9`, to the tenth of an hour in the first two days, and `day 57` far out.
 *
 * @param time  since the run's start [s]
 * @example momentText(43105); // => "hour 12"
 */
export function momentText(time: number): string {
  if (time >= 1000 * 3600) return `day ${Math.round(time / 86_400)}`;
  return `hour ${time < 48 * 3600 ? tenths(time / 3600) : Math.round(time / 3600)}`;
}

/**
 * How long something lasts, as closely as it deserves: `40 s`, `25 min`, `2.5 h`, `44 h`, `5.2 days` from four days on
 * and whole days from ten.
 *
 * @param duration  [s], 0 or more
 * @example lastingText(9000); // => "2.5 h"
 */
export function lastingText(duration: number): string {
  if (duration < 90) return `${Math.round(duration)} s`;
  if (duration < 3570) return `${Math.round(duration / 60)} min`;
  if (duration < 10 * 3600) return `${tenths(duration / 3600)} h`;
  if (duration < 96 * 3600) return `${Math.round(duration / 3600)} h`;
  return `${duration < 9.95 * 86_400 ? tenths(duration / 86_400) : Math.round(duration / 86_400)} days`;
}

function tenths(number: number): string {
  return String(Math.round(number * 10) / 10);
}
