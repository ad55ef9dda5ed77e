import { describe, expect, test } from "vitest";
import { referenceLevels } from "../../lib/figures/referenceLevels.ts";
import { layerText, soilText } from "../../lib/figures/runSubtitle.ts";
import { sectionCaption } from "../../lib/figures/sectionCaption.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { siteLevels } from "../../lib/report/sitePage.ts";
import { exits } from "../../lib/simulate/exits.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { levelList } from "../../lib/plan/levelList.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { soilCaveat } from "../../lib/site/siteNotes.ts";
import { intensityText, levelText } from "../../lib/text/format.ts";
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

test("page, subtitle, caption and note say one conductivity of the soil, that of the cold water in it", () => {
  const { factorOfSafety, layers } = orchard.soil;
  expect([factorOfSafety, layers.map(({ conductivity }) => intensityText(conductivity, "si"))]).toEqual([1.5, ["6 mm/h", "22 mm/h"]]);
  // water at 5 degC is 1.519/1.0016 times as thick as at 20 degC (as tabled, see ground.test.ts): 4 and 14.67 mm/h over 1.517
  const cold = changedSite(orchard, { soil: { ...orchard.soil, temperature: 5 } });
  const page = siteLevels(cold).filter(({ station }) => station.startsWith("soil")).map(({ sizes }) => sizes);
  expect(page).toEqual(["2.64 mm/h used, 6 mm/h as given", "9.67 mm/h used, 22 mm/h as given"]);
  expect(soilText(cold)).toBe("soil 2.64 to 9.67 mm/h (6 to 22 mm/h untested, factor 1.5, water at 5 °C)");
  expect(layerText(cold, cold.soil.layers[0]!)).toBe("2.64 mm/h, given 6 mm/h");
  expect(soilCaveat(cold)).toMatch(/hangs on the 2\.64 to 9\.67 mm\/h used\.$/);
  const asGiven = changedSite(cold, { soil: { ...cold.soil, factorOfSafety: 1 } });
  expect(soilText(asGiven)).toBe("soil 3.96 to 14.5 mm/h (6 to 22 mm/h untested, water at 5 °C)");
  expect(soilCaveat(asGiven)).toMatch(/and its conductivity is divided by no factor of safety, where .* hangs on the 3\.96 to 14\.5 mm\/h used\.$/);
  const run = simulate(cold, designStorm({ pattern: "block", depth: "10 mm", duration: "1 h" }), { until: "2 h" });
  expect(sectionCaption(run, 0)).toContain("Soil as used, from the top down: 2.64 mm/h, 9.67 mm/h.");
});

describe("the levels on the page", () => {
  const levelsOf = (site: Site, station: string) => siteLevels(site).find((each) => each.station === station);

  test("have a water table that pit, trench or low spot has of its own, from which the notes and the run reckon", () => {
    const at = (level: number) => ({ time: [0], level: [level] });
    const site = changedSite(orchard, {
      chamberBank: { ...orchard.chamberBank, groundwaterLevel: at(46.3) },
      overflowTrench: { ...orchard.overflowTrench!, groundwaterLevel: { time: [0, 86_400], level: [45, 46.5] } },
      lowSpot: { ...lowSpot, groundwaterLevel: at(45.5) },
    });
    expect(site.notes).toContain("The floor of the pit lies 400 mm above the highest groundwater given; public manuals ask for about a metre (3 ft).");
    expect(siteLevels(site).filter(({ station }) => station.startsWith("groundwater"))).toEqual([
      { station: "groundwater at the pit", sizes: "", levels: [["level", "46.300 m"]] },
      { station: "groundwater at the trench", sizes: "moves", levels: [["highest", "46.500 m"], ["lowest", "45.000 m"]] },
      { station: "groundwater at the low spot", sizes: "", levels: [["level", "45.500 m"]] },
      { station: "groundwater elsewhere", sizes: "", levels: [["level", "44.000 m"]] },
    ]);
    expect(levelsOf(orchard, "groundwater")!.levels).toEqual([["level", "44.000 m"]]);
  });

  test("have the grate of a low spot and the water outside an emitter, from the highest down", () => {
    const grate = { level: lowSpot.floor + 0.1, perimeter: 1.6, area: 0.08 };
    const site = changedSite(orchard, { lowSpot: { ...lowSpot, grate }, emitter: { ...orchard.emitter!, tailwater: 48.05 } });
    expect(levelsOf(site, "low spot")!.levels).toEqual([
      ["lip", levelText(lowSpot.lip, "si")], ["grate", levelText(grate.level, "si")], ["floor", levelText(lowSpot.floor, "si")],
    ]);
    expect(levelsOf(site, "emitter")!.levels.map(([name]) => name)).toEqual(["opens", "closes", "crest", "water outside", "weep hole, 8 mm"]);
  });
});
