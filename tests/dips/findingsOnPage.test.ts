import { describe, expect, test, vi } from "vitest";
import { faultySite } from "../../lib/dips/faults.ts";
import { fillModel, type Cause, type FilledPit } from "../../lib/dips/fillModel.ts";
import { fillTest, type FillTestOptions } from "../../lib/dips/fillTest.ts";
import { normalDraw } from "../../lib/numerics/draw.ts";
import { fillTestPart } from "../../lib/report/fillTestPart.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { demo } from "../site/siteFiles.ts";

// long on a machine that has other work
vi.setConfig({ testTimeout: 120_000 });

const lane = readSite(demo("copperbeech-lane"));
const row = readSite(demo("linden-row"));
type Site = typeof row;

const MINUTES = [85, 100, 120, 150, 190, 240, 300, 380, 470, 600, 780, 1000];

/** What works that differ in a known way show on a tape, an hour and a quarter of hose before [m]. */
function shown(site: Site, causes: readonly Cause[], values: readonly number[]): number[] {
  const time = Float64Array.from(MINUTES, (each) => 60 * each);
  const pit: FilledPit = {
    site, filling: { by: "hose", into: "chamberBank", flow: 6e-4, duration: 4500, within: 0.1 },
    dips: { time, level: Float64Array.of(site.chamberBank.floor + 0.8) },
  };
  const levels = fillModel(pit, causes).levels(values, time);
  return Array.from(levels, (level, i) => level - site.chamberBank.floor + 0.002 * normalDraw(5, 1, i));
}

/** The page of such a test, its tags taken out. */
function page(site: Site, depths: readonly number[], inflow: Partial<FillTestOptions["inflow"]> = {}): string {
  const result = fillTest(site, {
    dips: depths.flatMap((depth, i) => (depth < 0.02 ? [] : [{ time: `${MINUTES[i]!} min`, depth: `${depth.toFixed(4)} m` }])),
    inflow: { flow: "0.6 L/s", duration: "75 min", ...inflow },
  });
  return fillTestPart(site, result).section.markup.replace(/<svg[\s\S]*?<\/svg>/g, "").replace(/<[^>]+>/g, "").replace(/&#39;/g, "'").replace(/\u00a0/g, " ").replace(/\s+/g, " ");
}

/** A hose into the box whose outlet is choked: the box spills, and the pit gets the rest. */
function throughChokedOutlet(site: Site): number[] {
  const box = site.settlingBoxes[0]!.name;
  const run = settledRun(faultySite(site, "outletBlocked", 0.28), { [box]: hydrograph({ time: [0, 4500], flow: [6e-4, 6e-4] }) }, { until: 61_000 });
  expect(run.ledger.boxSpill).toBeGreaterThan(0.2);
  return MINUTES.map((minute, i) => run.level("chamberBank", 60 * minute) - site.chamberBank.floor + 0.002 * normalDraw(5, 1, i));
}

describe("the page of a fill test says in a sentence", () => {
  test.each([
    ["silt on the floor", () => page(row, shown(row, ["floor"], [0, 3, 0.01])), /The floor takes in 0[\d.]* times \(.*\) its share, as if sealed by silt or smeared in digging\./],
    ["smeared sides", () => page(row, shown(row, ["floor"], [0, 0.15, 12])), /The sides take in 0\.\d+ times \(.*\) their share beside the floor, as if smeared in digging or lined\./],
    ["stone with less room", () => page(row, shown(row, [], [Math.log(1.5), 1]), { within: 0.03 }), /if it is right, the pit has less room than drawn, between 0\.\d+ and 0\.\d+ times as drawn/],
    ["a choked outlet and a box that spilled", () => page(lane, throughChokedOutlet(lane), { into: "settlingBox" }), /look whether the box's outlet is choked and the box spilled or still holds the rest/],
    ["rain in the night", () => page(lane, shown(lane, [], [0, 0.5]).map((depth, i) => depth + (i >= 9 ? 0.2 : 0))), /The water rose by .* after the hose was shut: rain, or water still on its way from box or trench\. The dips before it are judged\./],
    ["a dry first fill", () => page(lane, shown(lane, ["dry"], [0, 1, 5e-5])), /An hour after the fill the soil drank .* more than it drains: dry soil\. Fill once more; the second fill counts\./],
    ["one misread dip", () => page(lane, shown(lane, [], [0, 1]).map((depth, i) => depth + (i === 4 ? 0.3048 : 0))), /The dip .* lies .* above the line of all others, about a foot misread: taken as misread, and left out\./],
    ["a misfit too large", () => page(lane, shown(lane, [], [0, 1]).map((depth, i) => depth - (i % 4 < 2 ? 0.06 : 0))), /These dips fit none of the works that were tried: something else is at work/],
  ] as const)("%s", (_, made, sentence) => {
    expect(made()).toMatch(sentence);
  });

  test("nothing of all this where nothing is wrong", () => {
    expect(page(row, shown(row, [], [0, 1]))).not.toContain("What stands out");
  });
});
