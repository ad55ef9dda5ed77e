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
  /** the site file, and what it reads as */
  readonly text: unknown;
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
}

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
  const peaks = result.peaks ?? { box: box!, bank: bank!, ...(trench && { trench }) };
  return {
    id, text, site, until, levels: renamed(levels, (values) => values),
    times: times!,
    load: renamed(inflows ?? { box: inflow! }, (points) => hydrograph({ time: points.time_s, flow: points.flow_m3s })),
    peaks: renamed(peaks, (peak) => peak.level_m),
    firings: result.firings,
    rise: result.rise ?? null,
    ledger,
    groundwaterIn: Object.fromEntries(
      Object.entries(result.groundwaterIn_m3 ?? {}).map(([key, volume]) => [key.replace("GroundwaterIn", ""), volume]),
    ),
  };
}
