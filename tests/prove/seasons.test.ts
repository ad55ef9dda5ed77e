import { expect, test } from "vitest";
import { withoutFlicker } from "../../lib/dips/dryFlicker.ts";
import { withPorosity } from "../../lib/dips/roomDoubt.ts";
import { seasonBand, seasonFit } from "../../lib/dips/seasonFit.ts";
import { seasonModel, type SeasonName, type SeasonRecord } from "../../lib/dips/seasonModel.ts";
import { normalDraw, uniformDraw } from "../../lib/numerics/draw.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { hourlyRain } from "../dips/hourlyRain.ts";
import { demo } from "../site/siteFiles.ts";
import { shareOf } from "../share.ts";

const SITES = ["linden-row", "copperbeech-lane", "sedge-hollow", "juniper-yard", "hazelbank-upper-bench"] as const;

/** Seasons before this one were looked at while `BENT` was set. */
const FIRST = 300;

/** A season of works that differ from their file in soil, floor, water table, roof and porosity, and every other time in a loss unknown. */
function planted(i: number): { readonly record: SeasonRecord; readonly soil: number } {
  const uniform = (which: number): number => uniformDraw(77, i, which);
  const normal = (which: number): number => normalDraw(78, i, which);
  const site = readSite(demo(SITES[i % SITES.length]!));
  const days = [29, 60, 60][i % 3]!;
  const porosity = Math.max(0.7, Math.min(1.4, 1 + 0.1 * normal(0)));
  const lost = i % 2 === 0 ? 0 : 0.002 * uniform(9);
  const catchments = site.catchments.map((each) => ({ ...each, initialLoss: each.initialLoss + lost }));
  const built = changedSite(withPorosity(site, porosity), { catchments });
  const time = Float64Array.from({ length: days * 24 }, (_, k) => 3600 * (k + 1));
  const { floor, width } = site.chamberBank;
  const record: SeasonRecord = {
    site, rain: hourlyRain(days, 1000 + i), time, level: time.map(() => floor), dry: new Uint8Array(time.length),
    dryAt: floor + 0.02, cleanings: [], warmth: null,
  };
  const model = seasonModel({ ...record, site: built });
  const path = site.groundwater.pathLength ?? width;
  const soil = Math.log(0.25) + Math.log(12) * uniform(1);
  const truth: Partial<Record<SeasonName, number>> = {
    soil, floor: 0.3 + 0.9 * uniform(2), waterTable: floor - path + 1.2 * path * uniform(3), roof: 0.15 * normal(1),
  };
  const clean = model.levels(model.names.map((name) => truth[name] ?? 0));
  const kept = Math.exp(-1 / (2 + 10 * uniform(4)));
  const deviation = 0.004 + 0.012 * uniform(5);
  let error = normal(2) * deviation;
  const dry = new Uint8Array(time.length);
  const level = clean.map((exact, k) => {
    error = kept * error + Math.sqrt(1 - kept * kept) * deviation * normalDraw(79, i, 2 * k);
    const read = exact + error + 0.002 * normalDraw(79, i, 2 * k + 1);
    if (read > record.dryAt) return read;
    dry[k] = 1;
    return record.dryAt;
  });
  return { record: withoutFlicker({ ...record, level, dry }), soil };
}

// Of 300: porosity in doubt by a tenth, a water table that is not the file's, errors remembered for 2 to 12 hours, a wrong loss in half.
test("bands of the soil hold it in 95 of 100 seasons, with errors that are remembered, a wrong loss and a wrong water table", () => {
  const count = shareOf(300);
  const [missed, refused]: [number[], number[]] = [[], []];
  for (let i = 0; i < count; i++) {
    const { record, soil } = planted(FIRST + i);
    // a pit that never held water is refused where a season is read
    if (record.dry.every((each) => each === 1)) {
      refused.push(FIRST + i);
      continue;
    }
    const { low, high } = seasonBand(seasonFit(record), "soil")!;
    if (!(low <= soil && soil <= high)) missed.push(FIRST + i);
    if ((i + 1) % 30 === 0) console.log(`seasons: ${i + 1 - refused.length - missed.length} of ${i + 1 - refused.length} bands hold; missed ${missed.join(", ")}`);
  }
  expect(refused.length).toBeLessThanOrEqual(Math.ceil(0.02 * count));
  // 91.5 to 98 % of 300; of 30, binomial(30, 0.05): more than 5 in 3 of 1000
  expect(missed.length).toBeLessThanOrEqual(count === 300 ? 25 : Math.max(2, Math.ceil(0.17 * count)));
  if (count === 300) expect(missed.length).toBeGreaterThanOrEqual(6);
}, 7_200_000);
