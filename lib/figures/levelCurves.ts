import { displayUnits } from "../text/format.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Run } from "../simulate/run.ts";
import { bodyViews, DRY, type BodyView } from "./bodyViews.ts";
import { drawnTimes } from "./drawnTimes.ts";
import type { LineTrace } from "./figure.ts";
import { lines } from "./look.ts";
import { plotText } from "../text/plainText.ts";
import { shortNumber } from "../text/shortNumber.ts";

/** A water level as it is drawn, and what it is called. */
export interface LevelCurve {
  /** the body; null for groundwater */
  readonly body: string | null;
  readonly words: string;
  readonly trace: LineTrace;
}

/**
 * The level of each body as a line, the pit first so that the others lie over it. A body has no line while it is dry;
 * the line reaches down to the floor before it stops.
 *
 * @param tolerance  how far the line may stray from the run [m]
 */
export function levelCurves(run: Run, tolerance: number): LevelCurve[] {
  const pitFirst = [...bodyViews(run)].sort((a, b) => Number(b.tone === "pit") - Number(a.tone === "pit"));
  const times = timesOf(run, tolerance);
  const { label, size } = displayUnits(run.site.units).level;
  return pitFirst.map((view) => {
    const levels = run.levels(view.body, times);
    // A dry point beside a wet one is drawn too: the line comes down to the floor.
    const drawn = levels.map((_, i) => Number([i - 1, i, i + 1].some((at) => (levels[at] ?? view.floor) - view.floor > DRY)));
    return {
      body: view.body,
      words: view.words,
      trace: {
        type: "scatter", name: plotText(view.words), mode: "lines", x: times.map((time) => shortNumber(time / 3600)),
        y: Array.from(levels, (level, i) => (drawn[i] === 1 ? shortNumber(level / size) : null)),
        line: lines[view.tone], connectgaps: false, hovertemplate: `${plotText(view.words)}: %{y:.2f} ${label}<extra></extra>`,
        xaxis: "x", yaxis: "y2", showlegend: false,
      },
    };
  });
}

/** A page draws a run's levels at many widths, from the same points. */
const TIMES = new WeakMap<Run, { readonly tolerance: number; readonly times: readonly number[] }>();

function timesOf(run: Run, tolerance: number): readonly number[] {
  const known = TIMES.get(run);
  if (known?.tolerance === tolerance) return known.times;
  const views = bodyViews(run);
  const times = drawnTimes(views.map(({ body }) => (time: number) => run.level(body, time)), knotsOf(run, views), { tolerance });
  TIMES.set(run, { tolerance, times });
  return times;
}

/** The groundwater round the pit that moves, as a line; none where it is fixed or far below. */
export function groundwaterCurve(run: Run): LevelCurve[] {
  const water = run.site.chamberBank.groundwater;
  if (water === null || water.level.length < 2) return [];
  const { label, size } = displayUnits(run.site.units).level;
  const times = [0, ...water.time.filter((time) => time > 0 && time < run.until), run.until];
  return [{
    body: null,
    words: "groundwater",
    trace: {
      type: "scatter", name: "groundwater", mode: "lines", x: times.map((time) => shortNumber(time / 3600)),
      y: times.map((time) => shortNumber(seriesLevel(water, time) / size)), line: { ...lines.rain, dash: "longdash" },
      hovertemplate: `groundwater: %{y:.2f} ${label}<extra></extra>`, xaxis: "x", yaxis: "y2", showlegend: false,
    },
  }];
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
