import type { StorageTable } from "../works/storageTable.ts";
import type { BodyKind, Ledger } from "./run.ts";
import type { LevelSeries } from "../site/site.ts";

/**
 * A site as the stepper sees it: bodies that hold water, passages between them or out of the works. Any small graph.
 * Made once a site by `assemble`; a run changes nothing in it.
 */
export interface Network {
  readonly bodies: readonly Body[];
  /** in the order of their laws */
  readonly passages: readonly Passage[];
  /** the numbers of all laws, one row after the other; a passage's begin at its `row` */
  readonly table: Float64Array;
  /** the emitter, where there is one */
  readonly emitter: EmitterSwitch | null;
}

export interface Body {
  readonly name: string;
  readonly kind: BodyKind;
  readonly storage: StorageTable;
  /** top of its stone, at its high end [m]; null where it has none */
  readonly stoneTop: number | null;
  /** its cover, where it has one: the ground and the thickness at the end where that is least [m] */
  readonly turf: { readonly ground: number; readonly thickness: number } | null;
  /** levels at which its own geometry has a corner [m] */
  readonly ownCorners: readonly number[];
  /** levels at which its geometry or the law of a passage has a corner, rising, its floor first [m] */
  readonly cornerLevels: Float64Array;
  /** the volumes at those above the floor [m3] */
  readonly corners: Float64Array;
  /** V(H) [m3] of the exact geometry */
  volume(level: number): number;
  /** where its level starts for a groundwater level at time 0 [m] */
  start(groundwater: number): number;
  /** its groundwater; null: far below, or none of its own */
  readonly groundwater: LevelSeries | null;
}

/** Which law a passage follows. From `weir` on a passage rests while all water at its ends is below the level its row begins with. */
export const LAW = {
  seepage: 0, hollowSeepage: 1, pipe: 2, slits: 3, stone: 4, weir: 5, sharedWeir: 6, slopedWeir: 7, cover: 8, grate: 9, weepHole: 10,
  emitter: 11,
} as const;
export type Law = (typeof LAW)[keyof typeof LAW];

export interface Passage {
  readonly name: string;
  readonly law: Law;
  /** index of the body it takes from, and of the one it runs into; OUT where the water leaves the works, SOIL where into the ground */
  readonly from: number;
  readonly to: number;
  /** the ledger's entry for what leaves; null between bodies */
  readonly ledger: Exclude<keyof Ledger, "inflow" | "storedStart" | "storedEnd" | "error"> | null;
  /** where its numbers begin in the table */
  readonly row: number;
}

/** Beyond the works, where no level holds the water back. */
export const OUT = -1;

/** The soil round the body it takes from, at the level of that body's groundwater. */
export const SOIL = -2;

export interface EmitterSwitch {
  /** index among the passages */
  readonly passage: number;
  readonly opensAtHead: number;
  readonly closesAtHead: number;
  /** [from, to) in which the lid is held shut [s]: apart, rising */
  readonly heldShut: readonly { readonly from: number; readonly to: number }[];
}
