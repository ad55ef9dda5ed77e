import { expect, test } from "vitest";
import { season, type Season } from "../../lib/dips/season.ts";
import { seasonBand } from "../../lib/dips/seasonFit.ts";
import { seasonPart } from "../../lib/report/pitLifePart.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectClose } from "../closeTo.ts";
import { logged } from "../dips/loggedSeason.ts";
import { demo } from "../site/siteFiles.ts";

const lane = readSite(demo("copperbeech-lane"));
const number = (numbers: Season["numbers"], which: string) => numbers.find(({ name }) => name === which)!;

test("finds a cleaning that nobody told, with a band of days", () => {
  const day = 30 * 86_400;
  const cleaned = season(lane, logged(lane, 60, 11, { soil: Math.log(0.8), change: Math.log(2.5) }, [], { kind: "step", at: day }));
  expect(cleaned.change!.kind).toBe("step");
  const [low, high] = cleaned.change!.band;
  expect(low < day && day < high && high - low < 30 * 86_400).toBe(true);
  const { band } = number(cleaned.numbers, "change");
  expect(band.low > 1.5 && band.low < 2.5 && band.high > 2.5).toBe(true);
  // the soil's figure is that after it
  expect(number(cleaned.numbers, "soil").band.low < 0.8 && number(cleaned.numbers, "soil").band.high > 0.8).toBe(true);
  expect(cleaned.notes.join(" ")).toMatch(/On about 2026-(?:01-30|01-31|02-01) \(2026-01-\d\d to 2026-02-\d\d\) what the soil takes in changed to/);
  expect(seasonPart(cleaned).section.markup).not.toMatch(/NaN|undefined|Infinity/);
});

test("finds a cleaning nobody told in a season as long as a trend and a table's season are asked for, which alone would take it up", () => {
  const day = 100 * 86_400;
  const { change, rival, numbers } = season(lane, logged(lane, 200, 21, { soil: Math.log(0.8), change: Math.log(0.4) }, [], { kind: "step", at: day }));
  expect(change!.kind).toBe("step");
  expect(rival).toBe(null);
  expect(change!.band[0] < day && day < change!.band[1]).toBe(true);
  const { band } = numbers.find(({ name }) => name === "soil")!;
  expect(band.low < 0.8 && 0.8 < band.high).toBe(true);
  expectClose(numbers.find(({ name }) => name === "change")!.value, 0.4, { relative: 0.05, because: "its band is so wide" });
});

test("says that it cannot tell since when the soil changes where nine storms do not, and the soil's band holds both stories", () => {
  const found = season(lane, logged(lane, 90, 502, { soil: Math.log(1.2), change: -2.5 }, [], { kind: "trend", at: 20 * 86_400 }));
  expect(found.storms).toBe(9);
  expect(found.change).toBe(null);
  expect(found.rival!.kind).toBe("trend");
  const planted = 20 * 86_400;
  expect(found.rival!.band[0] <= planted && planted <= found.rival!.band[1]).toBe(true);
  expect(found.notes.join(" ")).toContain("The readings do not tell since when what the soil takes in changes. Either what the soil takes in changes evenly through the whole record;");
  const { low, high } = found.numbers.find(({ name }) => name === "soil")!.band;
  expect(low < 1.2 && 1.2 < high).toBe(true);
  const own = seasonBand(found.rival!.fit, "soil")!;
  expect(low <= Math.exp(own.low) * 1.0001 && Math.exp(own.high) <= high * 1.0001).toBe(true);
});
