import type { Run } from "../simulate/run.ts";

/** The level at or above which a body's water stands for half of a run [m], to the run's own steps. */
export function medianLevel(run: Run, body: string): number {
  const pieces = Array.from({ length: run.times.length - 1 }, (_, step) => {
    const [from, to] = [run.times[step]!, run.times[step + 1]!];
    return { level: run.level(body, (from + to) / 2), lasts: to - from };
  }).sort((a, b) => b.level - a.level);
  let above = 0;
  for (const { level, lasts } of pieces) {
    above += lasts;
    if (above >= run.until / 2) return level;
  }
  return run.level(body, 0);
}
