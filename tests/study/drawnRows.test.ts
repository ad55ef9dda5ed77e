import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { sobolDraw } from "../../lib/numerics/draw.ts";
import { normalQuantile } from "../../lib/numerics/normalQuantile.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { networkOf } from "../../lib/simulate/assemble.ts";
import { COARSE_TOLERANCE } from "../../lib/simulate/runOptions.ts";
import { stormRuns } from "../../lib/simulate/stormRuns.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { ANSWERS, rowFrom } from "../../lib/study/answerRow.ts";
import { asMeasured, drawnOf, drawnRows, drawnSite, type Drawn, type Spread } from "../../lib/study/ensembleCases.ts";

// What an ensemble writes straight into the kernel is what comes of making the Site that was drawn and running it.

const storm = designStorm({ pattern: "nrcs-ii", depth: "4 in" });
const ends = { until: "48 h" };
const MOMENTS = 7;
const SOIL: Spread = {
  conductivityFactor: 0.5, stormFactor: 0, groundwaterShift: 0, porosityShift: 0, emitterShift: 0, boxOutletShift: 0, inletShift: 0,
  trenchSoilFactor: 0.3,
};
/** standard deviations: a factor of 3, 6 mm, 0.02 */
const ALL: Spread = {
  ...SOIL, stormFactor: 0.13, groundwaterShift: 0.05, porosityShift: 0.02, emitterShift: 0.003, boxOutletShift: 0.003, inletShift: 0.003,
};
const draws = (spread: Spread, count: number): Drawn[] => (
  Array.from({ length: count }, (_, i) => drawnOf(spread, (which) => normalQuantile(sobolDraw(5, i, which)))));

/** With segments and a slit pipe too, whose stone is a body of its own. */
const segmented = (name: string): Site => {
  const file = JSON.parse(readFileSync(`data/${name}.json`, "utf8")) as { overflowTrench: { pipe: object } };
  const { overflowTrench: trench } = file;
  return readSite({ ...file, overflowTrench: { ...trench, segments: 2, pipe: { ...trench.pipe, openArea: "21 cm^2/m" } } });
};
const sites: readonly (readonly [name: string, site: Site])[] = [
  ...["copperbeech-lane", "linden-row", "sedge-hollow", "hazelbank-upper-bench", "hazelbank-lower-bench", "juniper-yard"].map((name) => (
    [name, readSite(readFileSync(`data/${name}.json`, "utf8"))] as const)),
  ["copperbeech-lane in segments", segmented("copperbeech-lane")],
];

test.each(sites)("%s: in other soils to the last bit", (_, site) => {
  const its = asMeasured(site);
  const row = drawnRows(site, storm, ends);
  const run = stormRuns(its, storm, { tolerance: COARSE_TOLERANCE, ...ends });
  for (const drawn of draws(SOIL, 6)) {
    expect(row(drawn, MOMENTS)).toEqual(rowFrom(() => run(drawnSite(its, drawn), drawn.stormFactor), MOMENTS));
  }
});

test.each(sites)("%s: with all in doubt to what the coarse tolerance makes of tables a ten-millionth of a metre apart", (_, site) => {
  const its = asMeasured(site);
  const row = drawnRows(site, storm, ends);
  const run = stormRuns(its, storm, { tolerance: COARSE_TOLERANCE, ...ends });
  const spread = networkOf(site).bodies.some(({ groundwater }) => groundwater !== null) ? ALL : { ...ALL, groundwaterShift: 0 };
  const allowed: Readonly<Record<string, number>> = { m: 2e-5, m3: 2e-4, s: 20, "m3/s": 1e-5, "": 0 };
  for (const drawn of draws(spread, 12)) {
    const [ours, whole] = [row(drawn, MOMENTS), rowFrom(() => run(drawnSite(its, drawn), drawn.stormFactor), MOMENTS)];
    whole.forEach((value, i) => {
      const { name, unit } = ANSWERS[i] ?? { name: "level", unit: "m" };
      expect(Number.isNaN(ours[i]), name).toBe(Number.isNaN(value));
      if (!Number.isNaN(value)) expect(Math.abs(ours[i]! - value), `${name}: ${ours[i]} and ${value}`).toBeLessThanOrEqual(allowed[unit]!);
    });
  }
});
