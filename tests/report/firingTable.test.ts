import { expect, test } from "vitest";
import { firingTable } from "../../lib/report/firingTable.ts";
import { toldFirings } from "../../lib/simulate/firings.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { drawnRun } from "../figures/drawnRun.ts";

const run = drawnRun("library-3in");
const hour = 3600;
const gallon = 231 * 0.0254 ** 3;

/** Firings of 1, 2, ... minutes and as many gallons each, an hour apart, the last the shortest. */
function firing(count: number): Run {
  const firings = Array.from({ length: count }, (_, i) => {
    const minutes = count - i;
    return { start: i * hour, end: i * hour + minutes * 60, volume: minutes * gallon, peakFlow: gallon / 60 };
  });
  const minutes = (count * (count + 1)) / 2;
  return { ...run, firings, openTime: minutes * 60, emitted: minutes * gallon };
}

function text(each: Run): string {
  return firingTable(each)!.markup.replace(/<[^>]+>/g, " ").replace(/\s+/g, " ");
}

test("the list of firings ends with the six longest, and sums up the shorter ones", () => {
  expect(text(firing(9)).trim()).toBe(
    "The emitter fires for 45 min in all and lets out 45 gal It stands open from the start and lets out 1 gal/min at most, in 9 firings. "
    + "opens at open for lets out, gal at most, gal/min open from the start 9 min 9 1 hour 1 8 min 8 1 hour 2 7 min 7 1 hour 3 6 min 6 1 hour 4 5 min 5 1 "
    + "hour 5 4 min 4 1 And 3 shorter ones, 6 gal.",
  );
});

test("of rain with dates every opening is told by the clock too", () => {
  const told = firingTable(firing(3), { start: "2026-06-14T23:30:00" })!.markup.replace(/<[^>]+>/g, " ").replace(/\s+/g, " ");
  expect(told).toContain("opens at by the clock open for");
  expect(told).toContain(" open from the start 23:30, 14 June 2026 3 min 3 1 hour 1 00:30, 15 June 2026 2 min 2 1 hour 2 01:30, 15 June 2026 60 s 1 1");
});

test("a list of six firings is whole", () => {
  expect(text(firing(6))).not.toContain("shorter");
});

test("volumes of a column stand in one unit, its head names it", () => {
  const metric: Run = { ...firing(2), site: { ...run.site, units: "si" } };
  expect(text(metric)).toContain("lets out, L at most, L/s");
  const large = { ...metric, firings: metric.firings.map((each) => ({ ...each, volume: each.volume * 1000 })) };
  expect(text(large)).toContain("lets out, m³ at most, L/s");
});

test("openings less than a minute apart are one firing of a lid that flutters, and are said so", () => {
  // ten openings of 5 s with 59 s of rest, then a rest of exactly a minute and one more
  const openings = Array.from({ length: 11 }, (_, i) => ({ start: i * 64 + (i === 10 ? 1 : 0), volume: gallon, peakFlow: gallon / 60 }));
  const firings = openings.map((each) => ({ ...each, end: each.start + 5 }));
  expect(toldFirings({ firings, until: hour })).toEqual([
    { start: 0, end: 9 * 64 + 5, volume: expect.closeTo(10 * gallon, 12) as number, peakFlow: gallon / 60, openings: 10, open: 50 },
    { start: 641, end: 646, volume: gallon, peakFlow: gallon / 60, openings: 1, open: 5 },
  ]);
  expect(text({ ...run, firings, openTime: 55, emitted: 11 * gallon })).toContain(
    "in 2 firings. The lid flutters: its 11 openings, those less than a minute apart told as one firing.",
  );
  // 17 000 of them, the last still open
  const many = Array.from({ length: 17_000 }, (_, i) => ({ start: 2 * i, end: i === 16_999 ? null : 2 * i + 1, volume: 1, peakFlow: 1 }));
  expect(toldFirings({ firings: many, until: 34_000 })).toEqual([
    { start: 0, end: null, volume: 17_000, peakFlow: 1, openings: 17_000, open: 16_999 + 2 },
  ]);
});
