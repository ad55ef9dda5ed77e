import type { SetbackRule } from "../site/surroundings.ts";

// Of a page kept by a public library of copies: the address is the page's own, the day is that of reading.
const MINNESOTA = {
  says: "Minnesota", region: "US", status: "read",
  source: "Minnesota Stormwater Manual, Summary of horizontal and vertical setback distances, "
    + "https://stormwater.pca.state.mn.us/index.php?title=Summary_of_horizontal_and_vertical_setback_distances, read 28 November 2026",
} as const;
// Rows of the same table that the copy of that day did not show.
const MINNESOTA_BEFORE = { ...MINNESOTA, source: MINNESOTA.source.replace("read 28", "read by 25") } as const;
const MINNESOTA_BASIN = {
  says: "Minnesota", region: "US", status: "read",
  source: "Minnesota Stormwater Manual, Design criteria for Infiltration basin, site topography and slopes, "
    + "https://stormwater.pca.state.mn.us/index.php?title=Design_criteria_for_Infiltration_basin&oldid=28704, read 28 November 2026",
} as const;
const NEW_JERSEY = {
  says: "New Jersey", region: "US", status: "read",
  source: "New Jersey Stormwater Best Management Practices Manual, chapter 9.3 Dry Wells, February 2016, page 1, read 28 November 2026",
} as const;
const ONTARIO = {
  says: "Ontario guidance", region: "CA", status: "read",
  source: "LID Stormwater Management Planning and Design Guide, Site considerations, infiltration trenches or chambers, "
    + "https://wiki.sustainabletechnologies.ca/index.php?title=Site_considerations, read 28 November 2026",
} as const;
const ENGLAND = {
  says: "England", region: "GB", status: "from memory",
  source: "Approved Document H, 2015 edition, section 3, paragraph 3.25, "
    + "https://www.gov.uk/government/uploads/system/uploads/attachment_data/file/442889/BR_PDF_AD_H_2015.pdf, not read",
} as const;
const councils = (says: string): Pick<SetbackRule, "says" | "region" | "status" | "source"> => ({
  says, region: "GB", status: "read",
  source: `guidance on soakaways of the council of ${says}, read by 25 November 2026, not found again on 28 November 2026`,
});
const BUCKINGHAMSHIRE = councils("Buckinghamshire");
const COPELAND = councils("Copeland");
const WINDSOR = councils("Windsor & Maidenhead");

/**
 * What public manuals and councils ask to be kept free around a soakaway, country by country, to be edited: a list for
 * `siting` and `roomLeft` starts from this one by `filter` and spread. A site is asked by those of its own country. None of it
 * is a law of the place one digs in; local code and a licensed practitioner decide.
 *
 * @source  the documents named in each rule; those marked "from memory" were not read
 * @example setbackRules.filter(({ from }) => from === "septic").map(({ distance }) => distance); // => ["35 ft"]
 */
export const setbackRules: readonly SetbackRule[] = Object.freeze(([
  { name: "base to water table (required)", from: "groundwater", distance: "3 ft", ...MINNESOTA },
  { name: "base to seasonal high water table", from: "groundwater", distance: "2 ft", ...NEW_JERSEY },
  { name: "base to bedrock (required)", from: "bedrock", distance: "3 ft", ...MINNESOTA },
  { name: "building (recommended)", from: "building", distance: "10 ft", ...MINNESOTA },
  { name: "property line (recommended)", from: "boundary", distance: "10 ft", ...MINNESOTA },
  { name: "well, private wells too", from: "well", distance: "50 ft", ...MINNESOTA },
  { name: "sensitive well", from: "well", distance: "100 ft", only: "if the well is a sensitive one", ...MINNESOTA },
  { name: "septic system", from: "septic", distance: "35 ft", ...MINNESOTA_BEFORE },
  // The manual's table measured from the toe; its text now measures from the crest of a slope that falls away from the works.
  {
    name: "slope of 20 % or more that falls away from the works, from its crest (highly recommended)", from: "slope", distance: "200 ft",
    steeperThan: 0.2, ...MINNESOTA_BASIN,
  },
  { name: "active karst, up-gradient", from: "karst", distance: "1000 ft", only: "if the works lie up-gradient of it", ...MINNESOTA_BEFORE },
  { name: "active karst, down-gradient", from: "karst", distance: "100 ft", only: "if the works lie down-gradient of it", ...MINNESOTA },
  { name: "base to peak groundwater", from: "groundwater", distance: "1 m", ...BUCKINGHAMSHIRE },
  { name: "base to peak groundwater", from: "groundwater", distance: "1 m", ...WINDSOR },
  { name: "building", from: "building", distance: "5 m", ...ENGLAND },
  { name: "building", from: "building", distance: "5 m", ...BUCKINGHAMSHIRE },
  { name: "building", from: "building", distance: "5 m", ...COPELAND },
  // Written as "more than 5 m".
  { name: "building", from: "building", distance: "5 m", ...WINDSOR },
  { name: "retaining wall", from: "wall", distance: "5 m", ...BUCKINGHAMSHIRE },
  { name: "road", from: "road", distance: "5 m", ...ENGLAND },
  { name: "highway", from: "road", distance: "5 m", ...BUCKINGHAMSHIRE },
  { name: "road", from: "road", distance: "5 m", ...COPELAND },
  { name: "boundary", from: "boundary", distance: "5 m", ...BUCKINGHAMSHIRE },
  { name: "boundary", from: "boundary", distance: "2.5 m", ...COPELAND },
  { name: "between soakaways", from: "soakaway", distance: "10 m", ...BUCKINGHAMSHIRE },
  { name: "base to seasonal high water table", from: "groundwater", distance: "1 m", ...ONTARIO },
  { name: "base to bedrock", from: "bedrock", distance: "1 m", ...ONTARIO },
  { name: "building foundation", from: "building", distance: "4 m", ...ONTARIO },
] satisfies SetbackRule[]).map((rule) => Object.freeze(rule)));
