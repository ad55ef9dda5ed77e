import type { Hyetograph } from "../rain/hyetograph.ts";
import { sumHydrographs } from "../runoff/sumHydrographs.ts";
import { passageKind } from "../simulate/run.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Site } from "../site/site.ts";
import { sweepPlan } from "./sweepCases.ts";

/** What leaves the lot with the works, beside the same roof without any. */
export interface WithWorks {
  /** all runoff of a run leaves the lot where there are no works: volume [m3] and greatest flow [m3/s] */
  readonly without: { readonly volume: number; readonly peak: number };
  /** by emitter, over rims and through ground, over the lip of the low spot: what does not run into that */
  readonly with: { readonly volume: number; readonly peak: number };
  /**
   * shares that the works keep back, of the water and of the greatest flow; below 0 where groundwater comes out with it, NaN without any
   * runoff
   */
  readonly kept: { readonly water: number; readonly peak: number };
  /** where the water of the run went [m3]: without = leaves + soaked + stored + error */
  readonly book: { readonly leaves: number; readonly soaked: number; readonly stored: number; readonly error: number };
}

/**
 * A run beside the same roof without works: what leaves the lot, as volume and as greatest flow. Without works all runoff that is led to
 * them leaves the lot as it comes off the roof, with nothing soaking away on its way, which is the roof's worst case and said so.
 *
 * @source  the run's own ledger and flows; "without" is the sum of its inflow hydrographs
 */
export function withWorks(run: Run): WithWorks {
  const { ledger, inflows, site } = run;
  const parts = Object.values(inflows);
  const roof = parts.length === 0 ? null : sumHydrographs(parts);
  const without = { volume: ledger.inflow, peak: roof === null ? 0 : roof.flow.reduce((most, flow) => Math.max(most, flow), 0) };
  const leaves = ledger.emitter + ledger.boxSpill + ledger.bankSpill + ledger.trenchSpill + (ledger.lowSpotOverflow ?? 0);
  const out = run.passages.filter((passage) => leavesLot(passage, run));
  const flowAt = (time: number): number => out.reduce((sum, passage) => sum + Math.max(0, run.flow(passage, time)), 0);
  const jumps = site.emitter?.dischargesTo === null ? run.firings.map(({ peakFlow }) => peakFlow) : [];
  const peak = [...run.times].reduce((most, time) => Math.max(most, flowAt(time)), jumps.reduce((most, flow) => Math.max(most, flow), 0));
  return {
    without, with: { volume: leaves, peak }, kept: { water: 1 - leaves / without.volume, peak: 1 - peak / without.peak },
    book: { leaves, soaked: run.seeped, stored: ledger.storedEnd - ledger.storedStart, error: ledger.error },
  };
}

/** Whether what runs through a passage leaves the lot: not where it runs into the low spot. */
function leavesLot(passage: string, { site }: Run): boolean {
  switch (passageKind(passage)) {
    case "emitter": return site.emitter!.dischargesTo === null;
    case "boxSpill": {
      const name = passage.slice("boxSpill ".length);
      return (site.settlingBoxes.find((box) => box.name === name) ?? site.settlingBoxes[0]!).spillsTo === null;
    }
    case "bankSpill": return site.chamberBank.spillsTo === null;
    case "trenchSpill": return site.overflowTrench!.spillsTo === null;
    case "lowSpotOverflow": return true;
    default: return false;
  }
}

/** Storms of one return period, from the shortest on, each with and without works; null where a run could not go on. */
export interface WithByDuration {
  readonly returnPeriod: string;
  /** by what its rain is multiplied, for a climate to come */
  readonly rainTimes: number;
  readonly rows: readonly { readonly duration: string; readonly found: WithWorks | null }[];
}

/**
 * With and without by the duration of the storm, for the storms that the file's sweep asks for, or else for every duration and return
 * period of its table.
 *
 * @returns  one for each return period; none where the file has neither
 */
export function withByDuration(site: Site): WithByDuration[] {
  const { studies } = site;
  const rainfall = studies?.rainfall ?? null;
  const asked = studies?.sweep ?? (rainfall === null ? null : wholeTable(rainfall));
  if (asked === null || asked === undefined) return [];
  const { designs: _, ...options } = { ...(rainfall === null ? {} : { rainfall }), ...asked } as Readonly<Record<string, unknown>>;
  const { returnPeriods, durations, storms, rainTimes } = sweepPlan(site, options);
  return returnPeriods.map((returnPeriod, r) => ({
    returnPeriod, rainTimes, rows: durations.map((duration, d) => ({ duration, found: compared(site, storms[r]![d]!) })),
  }));
}

function compared(site: Site, rain: Hyetograph): WithWorks | null {
  try {
    return withWorks(settledRun(site, rain));
  } catch (error) {
    if (error instanceof StoppedRun) return null;
    throw error;
  }
}

/** What a sweep would ask of a table; null for what is not a rainfall. */
function wholeTable(rainfall: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> | null {
  const { rows, returnPeriods } = rainfall;
  if (typeof rows !== "object" || rows === null || !Array.isArray(returnPeriods)) return null;
  return { returnPeriods, durations: Object.keys(rows) };
}
