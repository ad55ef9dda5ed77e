import type { Hyetograph } from "../rain/hyetograph.ts";
import { COARSE_TOLERANCE } from "../simulate/runOptions.ts";
import { flowOfKind, type Ledger, type Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { readSite } from "../site/readSite.ts";
import type { Cases, Column } from "./cases.ts";
import type { LotsGiven } from "./lotCases.ts";
import { lotSite } from "./lotSite.ts";

/** What the lots of streets let out and soak away over time. */
export interface LotFlowsStudy extends LotsGiven {
  readonly kind: "lotFlows";
  readonly options: {
    readonly rain: Hyetograph;
    /** end of each run [s] */
    readonly until: number;
    /** stretches of time into which a run is cut: for the lids, and for the soil, which is slower */
    readonly lidBins: number;
    readonly soilBins: number;
  };
}

/** The entries of a ledger that add up, in their order in a row. */
export const LEDGER_ENTRIES: readonly (keyof Ledger)[] = [
  "inflow",
  "storedStart",
  "storedEnd",
  "boxSpill",
  "bankSeepage",
  "bankSpill",
  "trenchSeepage",
  "trenchSpill",
  "emitter",
  "weep",
  "lowSpotSeepage",
  "lowSpotOverflow",
  "error",
];

/** Of the numbers of a row before those over time. */
export const FLOWS_BEFORE: number = 1 + LEDGER_ENTRIES.length + 1;

/**
 * A case a lot, with its own soil: its number, the entries of its ledger, `stopped`, and then, stretch of time by stretch, the volume that
 * its lid lets out and the volume that its pit soaks away; what groundwater brings into the pit counts negative.
 */
export function lotFlowCases({ file, keys, values, options: { rain, until, lidBins, soilBins } }: LotFlowsStudy): Cases {
  const pattern = { file, site: readSite({ ...file, name: "pattern" }) };
  const bins = (name: string, count: number): Column[] =>
    Array.from({ length: count }, (_, i) => ({ name: `${name} ${i + 1}`, unit: "m3" }));
  return {
    columns: [
      { name: "lot", unit: "" },
      ...LEDGER_ENTRIES.map((name) => ({ name, unit: "m3" })),
      { name: "stopped", unit: "" },
      ...bins("lid", lidBins),
      ...bins("soaked", soilBins),
    ],
    count: values.length,
    chunk: 10,
    row(lot) {
      try {
        const run = settledRun(lotSite(pattern, keys, values[lot]!, `lot ${lot}`), rain, { tolerance: COARSE_TOLERANCE, until });
        return [
          lot,
          ...LEDGER_ENTRIES.map((entry) => run.ledger[entry] ?? 0),
          0,
          ...inBins(run, "emitter", lidBins),
          ...inBins(run, "bankSeepage", soilBins),
        ];
      } catch (error) {
        if (!(error instanceof StoppedRun)) throw error;
        return [lot, ...LEDGER_ENTRIES.map(() => NaN), 1, ...new Array<number>(lidBins + soilBins).fill(NaN)];
      }
    },
  };
}

/**
 * What passed in each of equal stretches of a run [m3]. A flow is smooth between two steps of the run, since lids move and corners lie at
 * their ends, so that each stretch between steps and edges is integrated by itself, the lid's where it is open.
 */
function inBins(run: Run, kind: "emitter" | "bankSeepage", count: number): number[] {
  const { times, until, firings } = run;
  const volumes = new Array<number>(count).fill(0);
  const width = until / count;
  const flow = (time: number): number => flowOfKind(run, kind, time);
  let bin = 0;
  let firing = 0;
  for (let step = 1; step < times.length; step++) {
    const [start, to] = [times[step - 1]!, times[step]!];
    while (firing < firings.length && (firings[firing]!.end ?? Infinity) <= start) firing++;
    if (kind === "emitter" && (firing === firings.length || firings[firing]!.start >= to)) continue;
    for (let from = start; from < to;) {
      while (bin < count - 1 && from >= (bin + 1) * width) bin++;
      const end = bin === count - 1 ? to : Math.min(to, (bin + 1) * width);
      volumes[bin]! += threePoints(flow, from, end);
      from = end;
    }
  }
  return volumes;
}

/** Integral by the Gauss-Legendre rule of 3 points, whose order is above that of the stepper (Abramowitz & Stegun 1964, table 25.4). */
function threePoints(flow: (time: number) => number, from: number, to: number): number {
  const [middle, half] = [(from + to) / 2, (to - from) / 2];
  const off = half * Math.sqrt(3 / 5);
  return (half * (5 * flow(middle - off) + 8 * flow(middle) + 5 * flow(middle + off))) / 9;
}
