import { leastOf } from "../numerics/extremes.ts";
import { networkOf } from "../simulate/assemble.ts";
import { firstOver } from "../simulate/firstOver.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { hydrograph } from "../runoff/hydrograph.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { materialFigures } from "../site/materials.ts";
import type { Site } from "../site/site.ts";
import { pipeRuns } from "../plan/pipeRuns.ts";
import { fillModel, type FilledPit } from "./fillModel.ts";

/** What a fill test of a site is going to look like, for those who have to make it. */
export interface FillSheet {
  /** level the pit stands at before, its floor or its groundwater [m] */
  readonly start: number;
  /**
   * level to fill to, below every pipe's crest and, where that leaves half as much to fill, the bed of its trench, so that the pit is
   * tested alone; the start where groundwater leaves no room for that [m]
   */
  readonly target: number;
  /** that the pit takes from its start up to there, without the soil [m3] */
  readonly volume: number;
  /** how long hoses of several flows run to get there, the soil as designed; null: never, the soil takes it all [m3/s], [s] */
  readonly hoses: readonly { readonly flow: number; readonly duration: number | null }[];
  /** levels after the hose is shut, in soil of a third, as designed and three times as fast [s], [m] */
  readonly rows: readonly { readonly time: number; readonly slow: number; readonly designed: number; readonly fast: number }[];
}

/** Of the height up to the lowest crest, what has to be left below the beds for the test to stop there; ours. */
const LEAST_BELOW_BEDS = 0.5;

/** Of the height from the pit's floor to there: a hand's breadth is left for a hose shut late; ours. */
const FILL_SHARE = 0.9;

/** Hoses from a garden tap to a hydrant, 5 to 50 gal/min or 0.3 to 3 L/s. */
const HOSES: Readonly<Record<Site["units"], readonly number[]>> = {
  us: [5, 10, 20, 50].map((flow) => (flow * 3.785411784e-3) / 60), si: [0.3, 0.6, 1.2, 3].map((flow) => flow / 1000),
};

const MINUTE = 60;

/** When to look: often while the water falls fast. */
const LOOKS: readonly number[] = [0, 15, 30, 60, 120, 180, 240, 360, 480, 720, 1440].map((minutes) => minutes * MINUTE);

/** When the paper asks whether the test passes, after the hose is shut [s]. */
export const PASS_AFTER: number = 12 * 3600;

/**
 * The level of a pit as drawn that stands at a level as the first look is taken, at times after that [m]: with the design's soil the
 * line at or below which a fill test passes, on the crew's paper and on the page of what was read.
 *
 * @param soil  times the design's
 */
export function fallFrom(site: Site, start: number, soil: number, times: readonly number[]): Float64Array {
  const pit: FilledPit = { site, filling: { by: "firstDip" }, dips: { time: Float64Array.of(0), level: Float64Array.of(start) } };
  const { levels } = fillModel(pit, []);
  const lost = start - levels([start, soil], [0])[0]!;
  return levels([start + lost, soil], times);
}

const LONGEST_FILL = 24 * 3600;

/**
 * The sheet of a site, by the library's own runs. A third of the design's soil and three times it is what soils on one site differ by
 * easily (see `WITHIN_SITE_FACTOR`).
 */
export function fillSheet(site: Site): FillSheet {
  const { chamberBank: pit, settlingBoxes, overflowTrench } = site;
  const bank = networkOf(site).bodies.find(({ kind }) => kind === "bank")!;
  const start = bank.start(seriesLevel(bank.groundwater, 0));
  const crest = leastOf(
    [pit.stoneTop, ...settlingBoxes.map(({ outlet }) => outlet.crest),
    ...(overflowTrench === null ? [] : [overflowTrench.inlet.crest])],
  );
  const bed = leastOf([crest, ...bedFloors(site)]);
  const brim = bed - start >= LEAST_BELOW_BEDS * (crest - start) ? bed : crest;
  const target = start + FILL_SHARE * Math.max(0, brim - start);
  return {
    start,
    target,
    volume: bank.volume(target) - bank.volume(start),
    hoses: HOSES[site.units].map((flow) => ({ flow, duration: fillTime(site, bank.name, flow, target) })),
    rows: rowsOf(site, target),
  };
}

/** Where the beds of the pipes begin at the pit's wall: water over them would run off along the pipes. */
function bedFloors(site: Site): number[] {
  const { pipeBed } = materialFigures(site).figures;
  const { fromBoxes, toTrench } = pipeRuns(site);
  return [
    ...fromBoxes.filter(({ length }) => length > 0).map(({ pipe }) => pipe.outletInvert - pipeBed),
    ...(toTrench === null || toTrench.length === 0 ? [] : [toTrench.pipe.invert - pipeBed]),
  ];
}

function fillTime(site: Site, bank: string, flow: number, target: number): number | null {
  const run = settledRun(site, { [bank]: hydrograph({ time: [0, LONGEST_FILL], flow: [flow, flow] }) }, { until: LONGEST_FILL });
  return firstOver(run, (time) => run.level(bank, time) - target);
}

/** In each soil. */
function rowsOf(site: Site, target: number): FillSheet["rows"] {
  const falling = (soil: number): Float64Array => fallFrom(site, target, soil, LOOKS);
  const [slow, designed, fast] = [falling(1 / 3), falling(1), falling(3)];
  return LOOKS.map((time, i) => ({ time, slow: slow[i]!, designed: designed[i]!, fast: fast[i]! }));
}
