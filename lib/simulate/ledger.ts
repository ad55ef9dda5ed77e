import { LAW, type Network } from "./network.ts";
import type { Firing, Ledger, Run } from "./run.ts";

/**
 * Where the water went, and whether all of it was found:
 *
 *   error = inflow + stored at start - stored at end - all that left
 *
 * @param totals  volumes of all flows, in the order of `WaterSystem` [m3]
 * @param start   volumes of the bodies at the start and at the end, what follows them in the array has no say [m3]
 */
export function ledgerOf({ bodies, passages }: Network, totals: Float64Array, start: Float64Array, end: Float64Array): Ledger {
  const left = {
    boxSpill: 0, bankSeepage: 0, bankSpill: 0, trenchSeepage: 0, trenchSpill: 0, emitter: 0, weep: 0,
    ...(bodies.some((body) => body.kind === "lowSpot") ? { lowSpotSeepage: 0, lowSpotOverflow: 0 } : {}),
  } as Record<NonNullable<(typeof passages)[number]["ledger"]>, number>;
  passages.forEach(({ ledger }, p) => {
    if (ledger !== null) left[ledger] += totals[p]!;
  });
  let [inflow, storedStart, storedEnd] = [0, 0, 0];
  for (let b = 0; b < bodies.length; b++) {
    inflow += totals[passages.length + b]!;
    storedStart += start[b]!;
    storedEnd += end[b]!;
  }
  const gone = Object.values(left).reduce((sum, part) => sum + part, 0);
  return { inflow, storedStart, storedEnd, error: inflow + storedStart - storedEnd - gone, ...left };
}

/** Volumes of all flows, net, and what of them flowed forward [m3]. */
interface FlowSums {
  readonly totals: Float64Array;
  readonly forward: Float64Array;
}

/** The sums of a run that its parts are told by, as `Run` defines them. */
export function runSums(
  network: Network, sums: FlowSums, ledger: Ledger, firings: readonly Firing[], until: number,
): Pick<Run, "openTime" | "emitted" | "spilled" | "seeped"> {
  return {
    openTime: firings.reduce((sum, { start, end }) => sum + (end ?? until) - start, 0),
    emitted: firings.reduce((sum, { volume }) => sum + volume, 0),
    spilled: spilledOf(network, sums),
    seeped: ledger.bankSeepage + ledger.trenchSeepage + ledger.weep + (ledger.lowSpotSeepage ?? 0),
  };
}

/** What came to the surface elsewhere than at the emitter so far [m3], as `Run` defines it. */
export function spilledOf({ passages }: Network, { totals, forward }: FlowSums): number {
  let spilled = 0;
  passages.forEach(({ law }, p) => {
    if (law === LAW.weir || law === LAW.slopedWeir || law === LAW.cover) spilled += totals[p]!;
    else if (law === LAW.sharedWeir) spilled += forward[p]!;
    // a grate takes from the low spot: what comes up it flows back
    else if (law === LAW.grate) spilled += forward[p]! - totals[p]!;
  });
  return spilled;
}
