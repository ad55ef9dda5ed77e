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
    const values = known.get(name) ?? new Map<number, number>();
    known.set(name, values);
    const value = values.get(time) ?? ask(name, time);
    values.set(time, value);
    return value;
  };
}
