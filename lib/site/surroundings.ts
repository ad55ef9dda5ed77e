import type { PlanPoint, PlanShape } from "../plane/planShape.ts";
import type { RegionCode } from "./region.ts";

/** What stands on and around the lot, for siting. */
export interface Surroundings {
  /** what a reader should know of this plan */
  readonly about: string;
  /** where the works lie on the plan; null where there are distances only */
  readonly works: WorksPlan | null;
  readonly features: readonly Feature[];
  /** fall of the ground at the works over its length, a ratio; null where not given */
  readonly groundSlope: number | null;
  /** level of the top of bedrock [m]; null where not given */
  readonly bedrock: number | null;
  /** rules of the file's own */
  readonly rules: readonly SetbackRule[];
  /** whether the published rules of the site's own country are asked as well, or the countries whose rules are */
  readonly publishedRules: boolean | readonly RegionCode[];
}

/** A distance that somebody asks for, as they write it. A rule of one's own has the same form. */
export interface SetbackRule {
  /** what it is about, and whether it is required or recommended where that is said */
  readonly name: string;
  /** what the distance is kept from; groundwater and bedrock lie under the pit's floor */
  readonly from: RuleFrom;
  /** text with a unit, in the words of the source */
  readonly distance: string;
  /** who asks for it */
  readonly says: string;
  /** the country it is published in; missing for a rule of one's own */
  readonly region?: RegionCode;
  /** the document's title and section, its address where one is known, and the day it was read; "" where not given */
  readonly source: string;
  /** whether the figure was read in that document, is remembered, or was given with the site */
  readonly status: RuleStatus;
  /** a rule for slopes: it speaks of those at least this steep, a ratio */
  readonly steeperThan?: number;
  /** a condition that no plan tells, in words: it is said beside the distance, and the rule is left out of the room that is left */
  readonly only?: string;
}

export type RuleFrom = FeatureKind | "groundwater" | "bedrock";

export type RuleStatus = "read" | "from memory" | "given with the site";

/** Where the works lie on the plan; their sizes are those of the site. */
export interface WorksPlan {
  /** the pit's middle, and the direction of its length counted from east to north */
  readonly pit: { readonly at: PlanPoint; readonly turnedDegrees: number };
  /** the middle of each settling box, in the order of the site's; may be fewer */
  readonly boxes: readonly PlanPoint[];
  /** the middle line of the overflow trench from its high end on; two points or more, null where not given */
  readonly trench: readonly PlanPoint[] | null;
  /** null: at the end of the trench's line, where there is one */
  readonly emitter: PlanPoint | null;
}

/** One thing on or around the lot: at a place of the plan, or at a plain distance from the pit's edge. */
export interface Feature {
  readonly kind: FeatureKind;
  /** its own name, null where it has none */
  readonly name: string | null;
  readonly shape: PlanShape | null;
  /** from the pit's edge [m]; null where `shape` tells it */
  readonly distance: number | null;
  /** of a slope: its steepness, a ratio; null where not given */
  readonly gradient: number | null;
  /** of a building: level of its lowest floor slab [m]; null where not given */
  readonly slab: number | null;
}

/** What a feature can be, and how it is called where it has no name. */
export const featureKinds: Readonly<Record<FeatureKind, string>> = Object.freeze({
  boundary: "boundary", building: "building", wall: "retaining wall", road: "road", tree: "tree", well: "well", septic: "septic field",
  slope: "slope", karst: "karst", water: "surface water", soakaway: "other soakaway", service: "buried service", lowPoint: "low point",
  contaminated: "contaminated ground", madeGround: "made ground",
});

export type FeatureKind =
  | "boundary" | "building" | "wall" | "road" | "tree" | "well" | "septic" | "slope" | "karst" | "water" | "soakaway" | "service"
  | "lowPoint" | "contaminated" | "madeGround";

/** The one feature that outlines the lot; null where the plan has none. */
export function lotOf({ features }: Pick<Surroundings, "features">): PlanShape | null {
  return features.find(({ kind, shape }) => kind === "boundary" && shape?.closed === true)?.shape ?? null;
}
