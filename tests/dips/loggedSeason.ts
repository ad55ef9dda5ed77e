import type { SeasonOptions } from "../../lib/dips/season.ts";
import { seasonModel, type Change, type SeasonName, type SeasonRecord } from "../../lib/dips/seasonModel.ts";
import { normalDraw } from "../../lib/numerics/draw.ts";
import type { Site } from "../../lib/site/site.ts";
import { hourlyRain } from "./hourlyRain.ts";

/** The CSV of an invented logger: works other than designed in a known way, errors of 8 mm remembered for 5 hours and 2 mm of their own. */
export function logged(
  site: Site, days: number, seed: number, truth: Partial<Record<SeasonName, number>>, cleanings: readonly number[] = [],
  change: Change | null = null,
): SeasonOptions {
  const rain = hourlyRain(days, seed);
  const time = Float64Array.from({ length: 24 * days }, (_, i) => 3600 * (i + 1));
  const { floor } = site.chamberBank;
  const record: SeasonRecord = {
    site, rain, time, level: time.map(() => floor), dry: new Uint8Array(time.length).fill(1), dryAt: floor, cleanings, warmth: null,
    ...(change === null ? {} : { change }),
  };
  const model = seasonModel(record);
  const clean = model.levels(model.names.map((name, j) => truth[name] ?? (name === "waterTable" || name === "floor" ? model.unknowns[j]!.start : 0)));
  const kept = Math.exp(-1 / 5);
  let error = 0;
  const rows = Array.from(clean, (level, i) => {
    error = kept * error + 0.008 * Math.sqrt(1 - kept * kept) * normalDraw(seed, 1, 2 * i);
    const over = level - site.chamberBank.floor + error + 0.002 * normalDraw(seed, 1, 2 * i + 1);
    return `${new Date(Date.UTC(2026, 0, 1) + 1000 * time[i]!).toISOString().slice(0, 16).replace("T", " ")},${(100 * Math.max(0, over)).toFixed(1)}`;
  });
  return {
    logger: `time,depth [cm]\n${rows.join("\n")}`, rain: { rain, start: "2026-01-01T00:00:00" },
    cleanings: cleanings.map((moment) => new Date(Date.UTC(2026, 0, 1) + 1000 * moment).toISOString().slice(0, 10)),
  };
}
