import type { Sums } from "./kernel.ts";
import { LAW, type Network } from "./network.ts";
import type { Firing, Ledger, Run } from "./run.ts";

/**
 * Where the water went, and whether all of it was found:
 *
 *   error = inflow + stored at start - stored at end - all that left
 *
 * @param start  volumes of the bodies at the start and at the end, what follows them in the array is ignored [m3]
 */
export function ledgerOf({ bodies, passages }: Network, { forth, back, entered }: Sums, start: Float64Array, end: Float64Array): Ledger {
  const left = {
    boxSpill: 0, bankSeepage: 0, bankSpill: 0, trenchSeepage: 0, trenchSpill: 0, emitter: 0, weep: 0,
    ...(bodies.some((body) => body.kind === "lowSpot") ? { lowSpotSeepage: 0, lowSpotOverflow: 0 } : {}),
  } as Record<NonNullable<(typeof passages)[number]["ledger"]>, number>;
  passages.forEach(({ ledger }, p) => {
    if (ledger !== null) left[ledger] += forth[p]! - back[p]!;
  });
  let [inflow, storedStart, storedEnd] = [0, 0, 0];
  for (let b = 0; b < bodies.length; b++) {
    inflow += entered[b]!;
    storedStart += start[b]!;
    storedEnd += end[b]!;
  }
  const gone = Object.values(left).reduce((sum, part) => sum + part, 0);
  return { inflow, storedStart, storedEnd, error: inflow + storedStart - storedEnd - gone, ...left };
}

/** The sums of a run, as `Run` defines them. */
export function runSums(
  network: Network, sums: Sums, ledger: Ledger, firings: readonly Firing[], until: number,
): Pick<Run, "openTime" | "emitted" | "spilled" | "seeped"> {
  return {
    openTime: firings.reduce((sum, { start, end }) => sum + (end ?? until) - start, 0),
    emitted: firings.reduce((sum, { volume }) => sum + volume, 0),
    spilled: spilledOf(network, sums),
    seeped: ledger.bankSeepage + ledger.trenchSeepage + ledger.weep + (ledger.lowSpotSeepage ?? 0),
  };
}

/** What came to the surface elsewhere than at the emitter so far [m3], as `Run` defines it. */
export function spilledOf({ passages }: Network, { forth, back }: Sums): number {
  let spilled = 0;
  passages.forEach(({ law }, p) => {
    if (law === LAW.weir || law === LAW.slopedWeir || law === LAW.cover) spilled += forth[p]! - back[p]!;
    else if (law === LAW.sharedWeir) spilled += forth[p]!;
    // a grate takes from the low spot: what comes up it flows back
    else if (law === LAW.grate) spilled += back[p]!;
  });
  return spilled;
}

/** Groundwater that came into each body through its seepage [m3]. */
export function groundwaterInto({ bodies, passages }: Network, { back }: Sums): Float64Array {
  const into = new Float64Array(bodies.length);
  passages.forEach(({ law, from }, p) => {
    if (law === LAW.seepage || law === LAW.hollowSeepage) into[from]! += back[p]!;
  });
  return into;
}
