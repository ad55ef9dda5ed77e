import type { Integration } from "../numerics/integrate.ts";
import { denseComponent, topComponent } from "../numerics/rodas4p2.ts";
import { stepWork } from "../numerics/stepWork.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { separateStorms } from "../rain/separateStorms.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import type { Site } from "../site/site.ts";
import { levelAt } from "../works/storageTable.ts";
import { ledgerOf, runSums, spilledOf } from "./ledger.ts";
import { march, setOut } from "./march.ts";
import { levelWatch, type Watch, type Watched } from "./levelWatch.ts";
import type { Network } from "./network.ts";
import type { Run } from "./run.ts";
import { COARSE_TOLERANCE, type SimulateOptions } from "./runOptions.ts";

export interface RecordRunOptions extends SimulateOptions {
  /** dry spell that parts two storms [s], 6 h where missing */
  readonly dryTime?: number;
  /** what the rain brings to each body, as `inflowHydrographs` makes it, for runs that share it; worked out where missing */
  readonly inflows?: Readonly<Record<string, Hydrograph>>;
  /** levels to be watched */
  readonly watch?: readonly Watch[];
}

/** One storm of a record, and how high the water came until the next one began. */
export interface RecordStorm {
  /** first and last moment of its rain [s] */
  readonly start: number;
  readonly end: number;
  /** rain [m] */
  readonly depth: number;
  readonly peaks: Run["peaks"];
  /** let out by the emitter, and come to the surface elsewhere, until the next storm [m3]: as `Run` has them */
  readonly emitted: number;
  readonly spilled: number;
}

/** What years of rain did: no levels between the storms' peaks are kept, so a long record takes no more memory than a short one. */
export interface RecordRun extends Pick<Run, "until" | "bodies" | "firings" | "openTime" | "emitted" | "spilled" | "seeped" | "ledger" | "work"> {
  readonly storms: readonly RecordStorm[];
  /** one for each level that was to be watched */
  readonly watched: readonly Watched[];
}

/**
 * Runs years of rain through the works of a site, the water of one storm carried over to the next.
 *
 * @param rain     a record, such as `readRain` makes
 * @param options  those of `simulate`, `dryTime`, `inflows` and `watch`; the default tolerance is that of
 *                 `COARSE_TOLERANCE`, with which each storm's peaks stay within 0.1 mm
 * @throws InputError   for options that cannot be run
 * @throws StepFailure  when the integration cannot go on
 */
export function simulateRecord(site: Site, rain: Hyetograph, options: RecordRunOptions = {}): RecordRun {
  const { dryTime = 6 * 3600, watch = [], inflows, ...others } = options;
  const tolerance = COARSE_TOLERANCE;
  const run = setOut(site, inflows ?? rain, { tolerance, ...others });
  const { network, integration, until, totals, lid } = run;
  const start = stepWork.start.slice(0, integration.system.size);
  const storms = separateStorms(rain, dryTime).map(({ first, last }) => ({
    start: rain.time[first]!, end: rain.time[last + 1]!, depth: rain.depth.subarray(first, last + 1).reduce((sum, depth) => sum + depth, 0),
  }));
  const starts = storms.map((storm) => storm.start);
  const peaks = stormPeaks(network, starts);
  const emitted = stormVolumes(starts, () => (network.emitter === null ? 0 : totals[network.emitter.passage]!));
  const spilled = stormVolumes(starts, () => spilledOf(network, run));
  const levels = levelWatch(network, watch);
  march(run, (step) => {
    peaks.look(step);
    levels.look(step);
    emitted.look(step);
    spilled.look(step);
  });
  const { steps, rejections, evaluations } = integration;
  const firings = lid.firings(totals);
  const ledger = ledgerOf(network, totals, start, stepWork.start);
  return {
    until,
    bodies: network.bodies.map(({ name, kind }) => ({ name, kind })),
    storms: storms.map((storm, i) => ({ ...storm, peaks: peaks.of(i), emitted: emitted.of(i), spilled: spilled.of(i) })),
    watched: levels.results(),
    firings,
    ...runSums(network, run, ledger, firings, until),
    ledger,
    work: { steps, rejections, evaluations },
  };
}

/** Parts a sum of flows by the starts of storms; what ran before the first belongs to none. */
function stormVolumes(starts: readonly number[], sum: () => number) {
  const atStart = new Float64Array(starts.length + 1);
  let [storm, before] = [-1, 0];
  return {
    look({ time: end }: Integration): void {
      while (storm + 1 < starts.length && end > starts[storm + 1]!) atStart[++storm] = before;
      before = sum();
      atStart[storm + 1] = before;
    },
    of: (i: number): number => (i > storm ? 0 : atStart[i + 1]! - atStart[i]!),
  };
}

/** Keeps, step by step, the largest volume of each body from the start of one storm to that of the next. */
function stormPeaks({ bodies }: Network, starts: readonly number[]) {
  const count = bodies.length;
  const volume = new Float64Array(starts.length * count);
  const time = new Float64Array(starts.length * count);
  let storm = -1;

  return {
    look({ time: end, taken }: Integration): void {
      const begun = storm + 1 < starts.length && end > starts[storm + 1]!;
      if (begun) storm++;
      if (storm < 0) return;
      for (let b = 0; b < count; b++) {
        const at = storm * count + b;
        if (begun) {
          volume[at] = stepWork.start[b]!;
          time[at] = end - taken;
        }
        if (stepWork.end[b]! > volume[at]!) {
          volume[at] = stepWork.end[b]!;
          time[at] = end;
        }
        const u = topComponent(b);
        if (u > 0 && denseComponent(b, u) > volume[at]!) {
          volume[at] = denseComponent(b, u);
          time[at] = end - (1 - u) * taken;
        }
      }
    },
    of: (i: number): Run["peaks"] => Object.fromEntries(bodies.map(({ name, storage }, b) => (
      [name, { level: levelAt(storage, volume[i * count + b]!), time: time[i * count + b]! }]
    ))),
  };
}
