import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { loadJson, readRainFile } from "../../lib/node.ts";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { separateStorms } from "../../lib/rain/separateStorms.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";

const data = fileURLToPath(new URL("../../data/", import.meta.url));

/** Sum of C A over the roofs of a demo site [m2]. */
function sheddingArea(site: Site): number {
  return site.catchments.reduce((sum, { area, loss }) => sum + (loss.kind === "runoffCoefficient" ? loss.runoffCoefficient * area : NaN), 0);
}

// Four storms at intervals of minutes to hours (US Geological Survey, stations 08057320 and 08055700, public domain) and the
// daily rain of Seattle from 2012 to 2015 (npm vega-datasets 3.2.1; figures of the US National Oceanic and Atmospheric
// Administration, public domain).
const RECORDS = ["ash-creek-1973", "ash-creek-1978", "bachman-branch-1967", "bachman-branch-1976", "seattle-daily-2012-2015"];

describe.each(["copperbeech-lane", "linden-row", "sedge-hollow"])("real rain on %s", (name) => {
  test.each(RECORDS)("%s runs in at C A P, and none of it is lost", async (record) => {
    const site = readSite(await loadJson(`${data}${name}.json`));
    const { rain } = await readRainFile(`${data}rain/${record}.csv`);
    const { ledger } = simulate(site, rain);
    const whole = sheddingArea(site) * cumulativeDepth(rain)[rain.depth.length]!;
    // At most the initial loss of every storm less, which one court of linden-row has.
    const wetting = site.catchments.reduce((sum, { area, initialLoss }) => sum + area * initialLoss, 0);
    const least = whole - wetting * separateStorms(rain, 72 * 3600).length;
    expect(ledger.inflow).toBeGreaterThan(least * (1 - 1e-12));
    expect(ledger.inflow).toBeLessThan(whole * (1 + 1e-12));
    expect(Math.abs(ledger.error)).toBeLessThan(1e-12 * ledger.inflow);
  });
});
