import { readFileSync } from "node:fs";
import { hydrograph, type Hydrograph } from "../../lib/runoff/hydrograph.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";

interface Points {
  readonly time_s: readonly number[];
  readonly flow_m3s: readonly number[];
}

/** A run of the fixtures: a site, what runs into it, and what an independent solver found. Names of bodies are the library's. */
export interface ReferenceRun {
  readonly id: string;
  readonly site: Site;
  readonly load: Readonly<Record<string, Hydrograph>>;
  readonly until: number;
  readonly times: readonly number[];
  readonly levels: Readonly<Record<string, readonly number[]>>;
  readonly peaks: Readonly<Record<string, number>>;
  readonly rise: { readonly centre_m: readonly number[]; readonly offset_m: readonly number[] } | null;
  readonly firings: readonly {
    readonly start_s: number; readonly end_s: number | null; readonly volume_m3?: number; readonly peak_m3s?: number;
  }[];
  readonly ledger: Readonly<Record<string, number>>;
  readonly groundwaterIn: Readonly<Record<string, number>>;
  /** what of it contradicts the equations, and what of it can still be held against a run */
  readonly contradiction: Contradiction | null;
}

interface Contradiction {
  /** samples after this time count only for bodies that are out of its reach [s] */
  readonly from: number;
  readonly untouched: readonly string[];
  readonly ledger: readonly string[];
}

/**
 * In `bench-pump-lid` the reference's pump goes on taking all of its flow from the bank after that has run dry at about
 * 82 000 s: its inflow of 41.565 m3 is the sum of the hydrographs to the last digit, and the bank owes 2.1 m3 before its
 * level rises again. The model (section 7, flow into any body) has the pump fade with the last millimetre and counts what
 * it really took. With a pump that does not fade, and a bank that may be overdrawn, this library's equations gave every
 * other level within 0.005 mm and every ledger entry within 2e-6 m3 at a tolerance of 1e-7. Held against here: all bodies
 * until the bank runs dry, the bodies upstream of it to the end, and the ledger entries it cannot reach.
 */
const CONTRADICTIONS: Readonly<Record<string, Contradiction>> = {
  "bench-pump-lid": {
    from: 81_000,
    untouched: ["hall", "lowSpot"],
    ledger: ["storedStart", "boxSpill", "bankSpill", "trenchSpill", "emitter", "lowSpotSeepage", "lowSpotOverflow"],
  },
};

interface Case {
  readonly id: string;
  readonly site: unknown;
  readonly inflow?: Points;
  readonly inflows?: Readonly<Record<string, Points>>;
  readonly end_s: number;
  readonly result: {
    readonly levels: Readonly<Record<string, readonly number[]>>;
    readonly peaks?: Readonly<Record<string, { readonly level_m: number }>>;
    readonly peakBox?: { readonly level_m: number };
    readonly peakBank?: { readonly level_m: number };
    readonly peakTrench?: { readonly level_m: number };
    readonly firings: ReferenceRun["firings"];
    readonly ledger_m3: Readonly<Record<string, number>>;
    readonly groundwaterIn_m3?: Readonly<Record<string, number>>;
    readonly rise?: { readonly centre_m: readonly number[]; readonly offset_m: readonly number[] };
  };
}

/** The runs of a file of ./fixtures, all of which were made by an independent implicit Radau solver. */
export function referenceRuns(file: string): ReferenceRun[] {
  const { runs } = JSON.parse(readFileSync(new URL(`./fixtures/${file}`, import.meta.url), "utf8")) as { runs: Case[] };
  return runs.map(referenceRun);
}

function referenceRun({ id, site: text, inflow, inflows, end_s: until, result }: Case): ReferenceRun {
  const site = readSite(text);
  const named = (short: string): string =>
    short === "box" ? site.settlingBoxes[0]!.name : { bank: "chamberBank", trench: "overflowTrench" }[short] ?? short;
  const renamed = <From, To>(entries: Readonly<Record<string, From>>, to: (value: From) => To): Record<string, To> =>
    Object.fromEntries(Object.entries(entries).map(([short, value]) => [named(short.replace(/_m$/, "")), to(value)]));
  const { time_s: times, ...levels } = result.levels;
  const { peakBox: box, peakBank: bank, peakTrench: trench } = result;
  const { error: _error, ...ledger } = result.ledger_m3;
  const contradiction = CONTRADICTIONS[id] ?? null;
  const peaks = result.peaks ?? { box: box!, bank: bank!, ...(trench && { trench }) };
  return {
    id, site, until, contradiction, levels: renamed(levels, (values) => values),
    times: times!,
    load: renamed(inflows ?? { box: inflow! }, (points) => hydrograph({ time: points.time_s, flow: points.flow_m3s })),
    peaks: renamed(peaks, (peak) => peak.level_m),
    firings: result.firings,
    rise: result.rise ?? null,
    ledger: Object.fromEntries(Object.entries(ledger).filter(([entry]) => contradiction?.ledger.includes(entry) ?? true)),
    groundwaterIn: Object.fromEntries(
      Object.entries(contradiction === null ? result.groundwaterIn_m3 ?? {} : {}).map(([key, volume]) => [key.replace("GroundwaterIn", ""), volume]),
    ),
  };
}
