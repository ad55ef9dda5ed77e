import { displayUnits } from "../units/format.ts";
import type { LevelSeries } from "../site/site.ts";
import type { Run } from "../simulate/run.ts";
import { DRY, type BodyView } from "./bodyViews.ts";
import { drawnTimes } from "./drawnTimes.ts";
import type { Trace } from "./figure.ts";
import { lines } from "./look.ts";
import { plotText } from "./plainText.ts";
import { shortNumber } from "./shortNumber.ts";

/** A body's water level as it is drawn, and the same in [h] and [m] for placing its name. */
export interface LevelCurve {
  readonly view: BodyView;
  readonly trace: Trace;
}

/**
 * The level of each body as a line, the pit first so that the others lie over it. A body has no line while it is dry;
 * the line reaches down to the floor before it stops.
 *
 * @param tolerance  how far the line may stray from the run [m]
 */
export function levelCurves(run: Run, views: readonly BodyView[], tolerance: number): LevelCurve[] {
  const pitFirst = [...views].sort((a, b) => Number(b.tone === "pit") - Number(a.tone === "pit"));
  const times = drawnTimes(views.map(({ body }) => (time: number) => run.level(body, time)), knotsOf(run, views), { tolerance });
  const { label, size } = displayUnits(run.site.units).level;
  return pitFirst.map((view) => {
    const levels = run.levels(view.body, times);
    // A dry point beside a wet one is drawn too: the line comes down to the floor.
    const drawn = levels.map((_, i) => Number([i - 1, i, i + 1].some((at) => (levels[at] ?? view.floor) - view.floor > DRY)));
    return {
      view,
      trace: {
        type: "scatter", name: plotText(view.words), mode: "lines", x: times.map((time) => shortNumber(time / 3600)),
        y: Array.from(levels, (level, i) => (drawn[i] === 1 ? shortNumber(level / size) : null)),
        line: lines[view.tone], connectgaps: false, hovertemplate: `${plotText(view.words)}: %{y:.2f} ${label}<extra></extra>`,
        xaxis: "x", yaxis: "y2", showlegend: false,
      },
    };
  });
}

/** A groundwater that moves, as a line; null where it is fixed or far below. */
export function groundwaterTrace(run: Run): Trace | null {
  const water = run.site.groundwater.level;
  if (water === null || water.level.length < 2) return null;
  const { label, size } = displayUnits(run.site.units).level;
  const times = [0, ...water.time.filter((time) => time > 0 && time < run.until), run.until];
  return {
    type: "scatter", name: "groundwater", mode: "lines", x: times.map((time) => shortNumber(time / 3600)),
    y: times.map((time) => shortNumber(levelAt(water, time) / size)), line: { ...lines.rain, dash: "longdash" },
    hovertemplate: `groundwater: %{y:.2f} ${label}<extra></extra>`, xaxis: "x", yaxis: "y2", showlegend: false,
  };
}

/** A level series at a time: straight between its points, constant outside [m]. */
export function levelAt({ time, level }: LevelSeries, at: number): number {
  const next = time.findIndex((each) => each > at);
  if (next === 0) return level[0]!;
  if (next < 0) return level.at(-1)!;
  const share = (at - time[next - 1]!) / (time[next]! - time[next - 1]!);
  return level[next - 1]! + share * (level[next]! - level[next - 1]!);
}

/** Where a level may turn: ends of steps, tops, and both ends of every firing. */
function knotsOf(run: Run, views: readonly BodyView[]): number[] {
  const turns = [
    ...run.times,
    ...views.map(({ body }) => run.peaks[body]!.time),
    ...run.firings.flatMap(({ start, end }) => [start, end ?? run.until]),
  ];
  return [0, ...turns.filter((time) => time > 0 && time < run.until), run.until].sort((a, b) => a - b);
}
