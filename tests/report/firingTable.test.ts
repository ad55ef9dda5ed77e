import { expect, test } from "vitest";
import { firingTable } from "../../lib/report/firingTable.ts";
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

test("a list of six firings is whole", () => {
  expect(text(firing(6))).not.toContain("shorter");
});

test("volumes of a column stand in one unit, its head names it", () => {
  const metric: Run = { ...firing(2), site: { ...run.site, units: "si" } };
  expect(text(metric)).toContain("lets out, L at most, L/s");
  const large = { ...metric, firings: metric.firings.map((each) => ({ ...each, volume: each.volume * 1000 })) };
  expect(text(large)).toContain("lets out, m³ at most, L/s");
});
