import { expect, test } from "vitest";
import { referenceLevels } from "../../lib/figures/referenceLevels.ts";
import { siteLevels } from "../../lib/report/siteLevels.ts";
import { exits } from "../../lib/simulate/exits.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { levelList } from "../../lib/site/levelList.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { levelText } from "../../lib/units/format.ts";
import { fixture } from "./siteFiles.ts";

const orchard = readSite(fixture("orchard-depot"));
const lowSpot = readSite(fixture("low-spot")).lowSpot!;

/** What each surface says of the level at which the emitter opens. */
function saidOpening(site: Site): string[] {
  const list = levelList(site).rows.find(({ name }) => name === "lid opens")!.level;
  const picture = referenceLevels(site).find(({ words }) => words === "emitter opens")!.level;
  const exit = exits(site).find(({ kind }) => kind === "emitter")!.level;
  const page = siteLevels(site).find(({ station }) => station === "emitter")!.levels.find(([name]) => name === "opens")![1];
  return [...[list, picture, exit].map((level) => levelText(level, site.units)), page];
}

test.each([
  ["its crest", {}, 48.115],
  ["the water outside", { tailwater: 48.3 }, 48.315],
  ["the floor of the dry low spot it stands in", { dischargesTo: "lowSpot" as const }, 48.265],
])("picture, list, exits and page say one level at which the emitter opens, over %s", (_, changes, level) => {
  const hollow = { ...lowSpot, floor: 48.25, lip: 48.4, grate: null };
  const site = changedSite(orchard, { emitter: { ...orchard.emitter!, ...changes }, lowSpot: hollow });
  expect(saidOpening(site)).toEqual(Array.from({ length: 4 }, () => levelText(level, site.units)));
});
