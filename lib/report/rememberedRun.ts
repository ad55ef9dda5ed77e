import type { Run } from "../simulate/run.ts";

/**
 * A run that keeps every level and flow it was asked for: a page draws each picture for many widths from the same times,
 * and a flow costs a look at the whole works.
 */
export function rememberedRun(run: Run): Run {
  const level = remembered((body, time) => run.level(body, time));
  return {
    ...run,
    level,
    levels: (body, times) => Float64Array.from(times, (time) => level(body, time)),
    flow: remembered((passage, time) => run.flow(passage, time)),
  };
}

function remembered(ask: (name: string, time: number) => number): (name: string, time: number) => number {
  const known = new Map<string, Map<number, number>>();
  return (name, time) => {
    let values = known.get(name);
    if (values === undefined) known.set(name, (values = new Map<number, number>()));
    let value = values.get(time);
    if (value === undefined) values.set(time, (value = ask(name, time)));
    return value;
  };
}
