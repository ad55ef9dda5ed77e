import type { FeatureKind } from "./surroundings.ts";

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
  /** the document, and its year or the date it was read; "" where not given */
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

const MINNESOTA = { says: "Minnesota", source: "Minnesota Stormwater Manual, summary of setback distances, read 2026", status: "read" } as const;
const BUCKINGHAMSHIRE = { says: "Buckinghamshire", source: "council's guidance on soakaways, read 2026", status: "read" } as const;
const COPELAND = { says: "Copeland", source: "council's guidance on soakaways, read 2026", status: "read" } as const;
const WINDSOR = { says: "Windsor & Maidenhead", source: "council's guidance on soakaways, read 2026", status: "read" } as const;
const ONTARIO = { says: "Ontario guidance", source: "stormwater planning and design guide, site considerations, read 2026", status: "read" } as const;
const NEW_JERSEY = { says: "New Jersey", source: "state stormwater manual", status: "from memory" } as const;

/**
 * What public manuals and councils ask to be kept free around a soakaway, to be edited: a list for `siting` and `roomLeft`
 * starts from this one by `filter` and spread. None of it is a law of the place one digs in; local code and a licensed
 * practitioner decide.
 *
 * @source  the documents named in each rule; those marked "from memory" were not read
 * @example setbackRules.filter(({ from }) => from === "septic").map(({ distance }) => distance); // => ["35 ft"]
 */
export const setbackRules: readonly SetbackRule[] = Object.freeze(([
  { name: "base to water table (required)", from: "groundwater", distance: "3 ft", ...MINNESOTA },
  { name: "base to peak groundwater", from: "groundwater", distance: "1 m", ...BUCKINGHAMSHIRE },
  { name: "base to peak groundwater", from: "groundwater", distance: "1 m", ...WINDSOR },
  // One edit of the page; elsewhere it asks for 1 m (from memory).
  { name: "base to water table (target)", from: "groundwater", distance: "0.9 m", ...ONTARIO },
  { name: "base to seasonal high water table", from: "groundwater", distance: "2 ft", ...NEW_JERSEY },
  { name: "base to bedrock (required)", from: "bedrock", distance: "3 ft", ...MINNESOTA },
  { name: "building (recommended)", from: "building", distance: "10 ft", ...MINNESOTA },
  { name: "building", from: "building", distance: "5 m", ...BUCKINGHAMSHIRE },
  { name: "building", from: "building", distance: "5 m", ...COPELAND },
  // Written as "more than 5 m".
  { name: "building", from: "building", distance: "5 m", ...WINDSOR },
  { name: "building", from: "building", distance: "4 m", ...ONTARIO },
  { name: "retaining wall", from: "wall", distance: "5 m", ...BUCKINGHAMSHIRE },
  { name: "highway", from: "road", distance: "5 m", ...BUCKINGHAMSHIRE },
  { name: "road", from: "road", distance: "5 m", ...COPELAND },
  { name: "boundary", from: "boundary", distance: "5 m", ...BUCKINGHAMSHIRE },
  { name: "boundary", from: "boundary", distance: "2.5 m", ...COPELAND },
  { name: "well, private wells too", from: "well", distance: "50 ft", ...MINNESOTA },
  { name: "sensitive well", from: "well", distance: "100 ft", only: "if the well is a sensitive one", ...MINNESOTA },
  { name: "septic system", from: "septic", distance: "35 ft", ...MINNESOTA },
  { name: "toe of a slope of 20 % or more", from: "slope", distance: "200 ft", steeperThan: 0.2, ...MINNESOTA },
  { name: "active karst, up-gradient", from: "karst", distance: "1000 ft", only: "if the works lie up-gradient of it", ...MINNESOTA },
  { name: "active karst, down-gradient", from: "karst", distance: "100 ft", only: "if the works lie down-gradient of it", ...MINNESOTA },
  { name: "between soakaways", from: "soakaway", distance: "10 m", ...BUCKINGHAMSHIRE },
] satisfies SetbackRule[]).map((rule) => Object.freeze(rule)));
