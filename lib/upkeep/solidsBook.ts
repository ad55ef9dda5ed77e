import { greatestOf } from "../numerics/extremes.ts";
import { sumpFilling } from "../works/sumpFilling.ts";
import type { BySolid, SolidsPlace } from "./solidsIn.ts";

/** Where the solids are after some time [kg]: inflow = held + removed + toPit, for each kind. */
export interface SolidsBook {
  readonly inflow: BySolid;
  /** in the sump */
  readonly held: BySolid;
  /** taken out by cleanings */
  readonly removed: BySolid;
  /** past the box to the pit, and taken to lie on its floor */
  readonly toPit: BySolid;
  /** what lies in the sump, as a share of its room; 0 if missing */
  readonly filling: number;
}

/**
 * The solids of a box or of the pit after some time, from a clean start; a cleaning takes out all that lies in the sump, and at
 * its very moment the sump is clean already.
 *
 * @param cleanEvery  [s], null: never
 * @param time        [s], 0 or more
 * @throws RangeError  for a time below 0 or an interval not above 0
 */
export function solidsBook({ inflow, held, sump }: SolidsPlace, cleanEvery: number | null, time: number): SolidsBook {
  if (!(time >= 0 && time < Infinity)) throw new RangeError(`time: expected 0 s or more, got ${time}`);
  if (cleanEvery !== null && !(cleanEvery > 0)) throw new RangeError(`cleanEvery: expected more than 0 s, got ${cleanEvery}`);
  const filled = (since: number): number => (sump === null ? 0 : sumpFilling(sump, 0, since));
  // the least share over a whole number is round-off of the time
  const cleanings = cleanEvery === null ? 0 : Math.floor(time / cleanEvery + 1e-9);
  const volume = filled(Math.max(0, time - cleanings * (cleanEvery ?? 0)));
  const taken = cleanings === 0 ? 0 : cleanings * filled(cleanEvery!);
  const kinds = bySolid((kind) => {
    const now = { inflow: inflow[kind] * time, held: held[kind] * volume, removed: held[kind] * taken };
    // what never settled or was washed on; not below 0 by round-off where all of a kind is held
    return { ...now, toPit: Math.max(0, now.inflow - now.held - now.removed) };
  });
  return {
    inflow: bySolid((kind) => kinds[kind].inflow),
    held: bySolid((kind) => kinds[kind].held),
    removed: bySolid((kind) => kinds[kind].removed),
    toPit: bySolid((kind) => kinds[kind].toPit),
    filling: sump === null || sump.volume === 0 ? 0 : volume / sump.volume,
  };
}

/** The books of several places in one; the fullest sump counts. */
export function sumOfBooks(books: readonly SolidsBook[]): SolidsBook {
  const sum = (entry: "inflow" | "held" | "removed" | "toPit"): BySolid =>
    bySolid((kind) => books.reduce((all, book) => all + book[entry][kind], 0));
  return {
    inflow: sum("inflow"), held: sum("held"), removed: sum("removed"), toPit: sum("toPit"),
    filling: greatestOf([0, ...books.map(({ filling }) => filling)]),
  };
}

/** All kinds together [kg]. */
export function massOf({ fines, grit, leaves }: BySolid): number {
  return fines + grit + leaves;
}

function bySolid<T>(of: (kind: keyof BySolid) => T): { readonly [Kind in keyof BySolid]: T } {
  return { fines: of("fines"), grit: of("grit"), leaves: of("leaves") };
}
