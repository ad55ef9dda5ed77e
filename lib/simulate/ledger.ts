import type { Network } from "./network.ts";
import type { Ledger } from "./run.ts";

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
