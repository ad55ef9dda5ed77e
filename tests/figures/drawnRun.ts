// A run put together from the independent solver's samples (fixtures/reference-runs.json, copied from the model's own
// reference runs), with straight lines between its 97 samples: enough to draw, and independent of the library's stepper.
import { readFileSync } from "node:fs";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Run } from "../../lib/simulate/run.ts";

interface ReferenceRun {
  readonly id: string;
  readonly site: unknown;
  readonly inflow: { readonly time_s: number[]; readonly flow_m3s: number[] };
  readonly end_s: number;
  readonly result: {
    readonly peakBox: { level_m: number; time_s: number };
    readonly peakBank: { level_m: number; time_s: number };
    readonly peakTrench: { level_m: number; time_s: number };
    readonly firings: { start_s: number; end_s: number | null }[];
    readonly ledger_m3: Run["ledger"];
    readonly levels: { time_s: number[]; box_m: number[]; bank_m: number[]; trench_m: number[] };
  };
}

const references = JSON.parse(readFileSync(new URL("fixtures/reference-runs.json", import.meta.url), "utf8")) as ReferenceRun[];

/** One of the four reference runs as a Run. */
export function drawnRun(id: "library-3in" | "library-4in" | "low-point-3in" | "depot-block-1h"): Run {
  const reference = references.find((run) => run.id === id)!;
  const { levels, firings, ledger_m3: ledger } = reference.result;
  const { time_s, flow_m3s } = reference.inflow;
  const samples: Record<string, number[]> = {
    settlingBox: levels.box_m, chamberBank: levels.bank_m, overflowTrench: levels.trench_m,
  };
  const level = (body: string, time: number): number => between(levels.time_s, samples[body]!, time);
  const lasted = ({ start_s, end_s }: (typeof firings)[number]): number => (end_s ?? reference.end_s) - start_s;
  const isOpen = (time: number): boolean => firings.some((each) => each.start_s <= time && time < each.start_s + lasted(each));
  const open = firings.reduce((sum, firing) => sum + lasted(firing), 0);
  // Flows are not among the samples; these have the right volumes and are drawn, not judged.
  const soil = (time: number): number => Math.min(1, Math.max(0, level("chamberBank", time) - samples["chamberBank"]![0]!));
  return {
    site: readSite(reference.site),
    rain: { time: Float64Array.from([0, time_s.at(-1)!]), depth: Float64Array.from([0.05]) },
    options: {},
    inflows: { settlingBox: hydrograph({ time: time_s, flow: flow_m3s }) },
    until: reference.end_s,
    settled: 0,
    bodies: [
      { name: "settlingBox", kind: "box" }, { name: "chamberBank", kind: "bank" }, { name: "overflowTrench", kind: "trench" },
    ],
    passages: ["boxOutlet", "trenchInlet", "bankSeepage", "trenchSeepage", "emitter"],
    level,
    levels: (body, times) => Float64Array.from(times, (time) => level(body, time)),
    flow: (passage, time) => {
      if (passage === "emitter") return isOpen(time) ? ledger.emitter / open : 0;
      if (passage === "boxOutlet") return between(time_s, flow_m3s, time);
      return passage === "bankSeepage" ? (ledger.bankSeepage / 130000) * soil(time) : 0;
    },
    rise: () => null,
    times: Float64Array.from(levels.time_s),
    peaks: {
      settlingBox: { level: reference.result.peakBox.level_m, time: reference.result.peakBox.time_s },
      chamberBank: { level: reference.result.peakBank.level_m, time: reference.result.peakBank.time_s },
      overflowTrench: { level: reference.result.peakTrench.level_m, time: reference.result.peakTrench.time_s },
    },
    firings: firings.map((firing) => ({
      start: firing.start_s, end: firing.end_s, volume: (ledger.emitter * lasted(firing)) / open, peakFlow: 0.004,
    })),
    openTime: open, emitted: ledger.emitter, spilled: ledger.boxSpill + ledger.bankSpill + ledger.trenchSpill,
    seeped: ledger.bankSeepage + ledger.trenchSeepage + ledger.weep,
    ledger,
    groundwaterIn: { bank: 0, trench: 0, lowSpot: 0 },
    drainDown: { full: reference.result.peakBank.time_s, half: 13.2 * 3600, empty: id === "low-point-3in" ? null : 43.6 * 3600 },
    events: [],
    notes: ["trench inlet: its crest 96.10 ft lies 0.5 ft above the trench floor, so that much of the pit stays out of the trench's reach"],
    work: { steps: 97, rejections: 0, evaluations: 0 },
  };
}

function between(times: readonly number[], values: readonly number[], time: number): number {
  if (time < times[0]! || time > times.at(-1)!) return 0;
  const next = Math.max(1, times.findIndex((each) => each >= time));
  const [t0, t1] = [times[next - 1]!, times[next]!];
  return t1 === t0 ? values[next]! : values[next - 1]! + ((time - t0) / (t1 - t0)) * (values[next]! - values[next - 1]!);
}
