import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { readRain } from "../../lib/rain/record/readRain.ts";
import { dayAnswer, dayPart } from "../../lib/command/runDay.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { thatDay } from "../../lib/study/thatDay.ts";
import { clockTime } from "../../lib/text/clockText.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { expectClose } from "../closeTo.ts";

const lane = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));

test("a moment is told by the clock, over midnight, leap days and the hour of summer", () => {
  expect(clockTime({ start: "2026-06-14T15:00:00" }, 9720)).toEqual({ date: "2026-06-14", day: "14 June 2026", time: "17:42" });
  expect(clockTime({ start: "2024-02-28T23:30:00" }, 3600)).toEqual({ date: "2024-02-29", day: "29 February 2024", time: "00:30" });
  // Chicago is five hours behind UTC in summer, six in winter (IANA time zone database)
  expect(clockTime({ start: "2026-06-14T20:00:00Z", zone: "America/Chicago" }, 0).time).toBe("15:00");
  expect(clockTime({ start: "2026-12-14T03:00:00Z", zone: "America/Chicago" }, 0)).toEqual({ date: "2026-12-13", day: "13 December 2026", time: "21:00" });
});

test("a total with a guess of its hours is run evenly and peaked, and openings stand on the clock", () => {
  const result = thatDay(lane, { total: "2.6 in", from: "2026-06-14 15:10", lasted: "2 h" });
  expect([result.date, result.day, result.cases.map(({ words }) => words)]).toEqual([
    "2026-06-14", "14 June 2026", ["2.6 in as even rain", "2.6 in with a summer storm’s peak"],
  ]);
  const [even] = result.cases;
  const run = simulate(lane, hyetograph({ time: [0, 7200], depth: [2.6 * 0.0254] }));
  const first = run.firings[0]!.start;
  const minutes = 15 * 60 + 10 + first / 60;
  const [hour, minute] = even!.openings[0]!.opens.time.split(":").map(Number);
  expect(Math.abs(hour! * 60 + minute! - minutes)).toBeLessThanOrEqual(1);
  expectClose(even!.volume, run.emitted, { absolute: 1e-9, because: "all of it on that day" });
  expect(dayAnswer(result)).toMatch(/^The lid should have run on 14 June 2026: it opens at 1[567]:\d\d at the earliest and lets out [\d,]+ gal to [\d,]+ gal\.$/);
});

test("two totals are a band, and where only some open the lid that is said", () => {
  const { cases } = thatDay(lane, { total: ["2.2 in", "2.8 in"], from: "2026-06-14 15:00", lasted: "2 h" });
  expect(cases).toHaveLength(4);
  expect(cases[2]!.volume).toBeGreaterThan(cases[0]!.volume);
  const unsure = thatDay(lane, { total: ["0.2 in", "2.8 in"], from: "2026-06-14 15:00", lasted: "2 h" });
  expect(dayAnswer(unsure)).toMatch(/^Whether the lid should have run on 14 June 2026 hangs on how much fell and how: in 2 of 4 cases it opens, at 1[567]:\d\d at the earliest/);
  const none = thatDay(lane, { total: "0.1 in", from: "2026-06-14 15:00", lasted: "2 h" });
  expect(dayAnswer(none)).toBe("By this rain the lid should not have run on 14 June 2026, in any of the ways it may have fallen.");
});

test("a gauge's file with a preamble is read, and days after the one asked for are told apart", async () => {
  const lines = Array.from({ length: 48 }, (_, h) => {
    const day = h < 24 ? 14 : 15;
    return `2026-06-${day}T${String(h % 24).padStart(2, "0")}:00Z,${h === 20 || h === 30 ? 50 : 0}`;
  });
  const record = await readRain(["Station,12\nOwner,nobody\n\ninterval start,rain [mm]\n", lines.join("\n")]);
  expect(record.notes[0]).toBe("2 lines before the header were passed over.");
  const utc = thatDay(lane, { record, date: "2026-06-15" });
  expect(utc.cases[0]!.openings.every(({ opens }) => opens.date === "2026-06-15")).toBe(true);
  expect(utc.cases[0]!.openings[0]!.opens.time.slice(0, 2)).toBe("06");
  expect(utc.cases[0]!.otherDays).toBeGreaterThan(0);
  const said = (otherDays: number): string => dayPart({ ...utc, cases: [{ ...utc.cases[0]!, otherDays }] }).section.markup;
  expect(said(0)).not.toContain("other days");
  expect(said(1)).toContain("On other days of this rain it opens once.");
  expect(said(3)).toContain("On other days of this rain it opens 3 times.");
  const local = thatDay(lane, { record, date: "2026-06-15", zone: "America/Chicago" });
  expect(local.cases[0]!.openings[0]!.opens.time.slice(0, 2)).toBe("01");
  const more = thatDay(lane, { record, date: "2026-06-15", total: "5 in" });
  expect(more.cases.map(({ words }) => words)).toEqual(["as recorded", "the record brought to 5 in"]);
  expect(more.cases[1]!.volume).toBeGreaterThan(more.cases[0]!.volume);
  expect(() => thatDay(lane, { record, date: "2026-06-20" })).toThrow('day.date: expected a day of the record, 2026-06-14 to 2026-06-16, got "2026-06-20"');
});

test("an opening over midnight lets out on each day what flows on it, and on both together all of it", () => {
  const rain = { total: "3.5 in", from: "2026-06-14 22:30", lasted: "2 h" };
  const [evening, morning] = ["2026-06-14", "2026-06-15"].map((date) => thatDay(lane, { ...rain, date }).cases[0]!);
  const { firings, emitted } = evening!.run;
  expect(firings).toHaveLength(1);
  expect(evening!.openings).toHaveLength(1);
  expect(morning!.openings).toHaveLength(1);
  expect(evening!.volume).toBeGreaterThan(0.02 * emitted);
  expect(morning!.volume).toBeGreaterThan(0.02 * emitted);
  expect(evening!.volume + morning!.volume).toBeCloseTo(emitted, 9);
  // against a fine sum of its own: midnight is 5 400 s after the start
  const [start, end] = [firings[0]!.start, 5400];
  const fine = Array.from({ length: 20_000 }, (_, i) => start + ((end - start) * (i + 0.5)) / 20_000)
    .reduce((sum, time) => sum + evening!.run.flow("emitter", time), 0) * ((end - start) / 20_000);
  expect(Math.abs(evening!.volume / fine - 1)).toBeLessThan(1e-4);
});

test("says all that is missing or wrong of a day", () => {
  expect(() => thatDay(lane, { total: "2", from: "three", lasted: "1 min", zone: "Chicago" })).toThrow([
    "The day cannot be looked at:",
    '  day.total: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "2", without a unit',
    '  day.zone: expected none, as the times here are those of the place’s own clock, got "Chicago"',
    '  day.zone: expected a time zone by its name, such as "America/Chicago", got "Chicago"',
    '  day.from: expected when it began on the clock of the place, such as "2026-06-14 15:00", got "three"',
    '  day.lasted: expected a time of 300 s or more and of 604800 s or less, got "1 min"',
  ].join("\n"));
});

test("a lid that the file holds shut is not said to have had no reason to run", () => {
  const yard = readSite(readFileSync(new URL("../../data/juniper-yard.json", import.meta.url), "utf8"));
  const held = thatDay(yard, { total: ["1.8 in", "2.3 in"], from: "2026-06-14 15:00", lasted: "2 h" });
  expect(dayAnswer(held)).toMatch(/^The lid is held shut on 14 June 2026, as the file has it: by this rain water could have opened it, at 1[56]:\d\d at the earliest\.$/);
  expect(dayPart(held).section.markup).toMatch(/The lid is held shut on 14 June 2026, where water could have opened it from 1[56]:\d\d on\./);
  const some = thatDay(yard, { total: ["0.1 in", "2.3 in"], from: "2026-06-14 15:00", lasted: "2 h" });
  expect(dayAnswer(some)).toContain("by this rain in 2 of 4 cases water could have opened it");
  const none = thatDay(yard, { total: "0.1 in", from: "2026-06-14 15:00", lasted: "2 h" });
  expect(dayAnswer(none)).toContain("should not have run on 14 June 2026");
});

test("a lid that opens before midnight ran on the next day too", () => {
  // open by about 23:40, and shut after the rain, which ends at 00:10
  const night = { total: "2.6 in", from: "2026-06-14 22:10", lasted: "2 h" };
  for (const date of ["2026-06-14", "2026-06-15"]) {
    const { cases } = thatDay(lane, { ...night, date });
    expect(cases[0]!.openings[0]!.opens.date).toBe("2026-06-14");
    expect(cases[0]!.openings[0]!.shuts!.date).toBe("2026-06-15");
  }
  expect(dayAnswer(thatDay(lane, { ...night, date: "2026-06-15" }))).toMatch(/^The lid should have run on 15 June 2026: it opens at 23:\d\d on 14 June 2026 at the earliest/);
});
