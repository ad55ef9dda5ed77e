import { readFileSync } from "node:fs";
import { describe, expect, test, vi } from "vitest";
import { fillTest, type FillTestOptions, type FillTestResult, type FittedNumber } from "../../lib/dips/fillTest.ts";
import { fillSheet } from "../../lib/dips/fillSheet.ts";
import { fillModel, type Cause, type FilledPit } from "../../lib/dips/fillModel.ts";
import { dayOfPage, readNotebook, type NotebookPage } from "../../lib/dips/dips.ts";
import { fillTestPart } from "../../lib/report/fillTestPart.ts";
import { normalDraw } from "../../lib/numerics/draw.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Problem } from "../../lib/text/problem.ts";
import { expectClose } from "../closeTo.ts";
import { demo, fixture } from "../site/siteFiles.ts";

// long on a machine that has other work
vi.setConfig({ testTimeout: 120_000 });

const lane = readSite(demo("copperbeech-lane"));
const row = readSite(demo("linden-row"));

function pageOf(text: string): NotebookPage & { readonly said: readonly string[] } {
  const problems: Problem[] = [];
  return { ...readNotebook(text, "dips", problems), said: problems.map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`) };
}

/** Thirty-seven pages in as many hands, all invented: minutes after the first dip and the water [m], or the refusal with its cell. */
interface WrittenPage {
  readonly text: string;
  readonly minutes?: readonly number[];
  readonly water?: readonly number[];
  readonly refused?: string | readonly string[];
  readonly column?: string;
  readonly from?: string;
}

const PAGES: readonly WrittenPage[] = [
  { text: "time,depth\n0 min,3' 2 7/8\"\n15 min,3' 2 1/2\"\n24 h,0' 5 7/8\"", minutes: [0, 15, 1440], water: [0.987425, 0.9779, 0.149225] },
  { text: "Hose on 8:05\nHose off 9:20\n5 gal bucket in 25 s\nclock;tape (in);remarks\n8:15;48;rising\n9:25;30 1/2;\n11:00;33;\n1:30 PM;40;", minutes: [0, 70, 165, 315], water: [1.2192, 0.7747, 0.8382, 1.016], column: "down", from: "clock" },
  { text: "8:15 0,83 m\n8:30 0,81 m\n9:45 0,70 m\n13:05 0,52 m", minutes: [0, 15, 90, 290], water: [0.83, 0.81, 0.7, 0.52] },
  { text: "Depth (mm)\tTime of day\n830\t08:15\n800\t08:45\n610\t12:00\n400\t23:30\n300\t06:10", minutes: [0, 30, 225, 915, 1315], water: [0.83, 0.8, 0.61, 0.4, 0.3] },
  { text: "time since hose on | water\n1h40 | 2' 3\"\n2h10 | 2' 1\"\n5 h | 1' 3\"", minutes: [0, 30, 200], water: [0.6858, 0.635, 0.381], from: "opening" },
  { text: "minutes since shut, depth in inches\n0, 30\n15, 29 1/2\n100, 27", minutes: [0, 15, 100], water: [0.762, 0.7493, 0.6858], from: "shutting" },
  { text: "11:30, 30 in\n12:30, 29 in\n1:15, 28 in", refused: 'dips line 3, time: expected AM or PM behind it, or an hour of 24: it is earlier than the one before, got "1:15"' },
  { text: "Test pit, Monday\nhose 12 gpm from 7:40 to 8:55\ntape hangs from 98.20 ft\ntime  down  note\n9:00 AM  3' 1\"  clear\n10:00 AM  3' 4\"\n12:00 PM  3' 9\"\n4 PM  4'", minutes: [0, 60, 180, 420], water: [0.9398, 1.016, 1.143, 1.2192], column: "down" },
  { text: "level_m,time\n61.9,0:00\n61.8,0:30\n61.5,2:00", minutes: [0, 30, 120], water: [61.9, 61.8, 61.5], column: "level" },
  { text: "2026-06-14 08:15, 27.9 in\n2026-06-14 20:15, 20 in\n2026-06-15 08:15, 14 in", minutes: [0, 720, 1440], water: [0.70866, 0.508, 0.3556] },
  { text: "# second fill\n| when | depth to water |\n| 0815 | 1.02 m |\n| 0845 | 1.05 m |\n| 1230 | 1.31 m |", minutes: [0, 30, 255], water: [1.02, 1.05, 1.31], column: "down" },
  { text: "elapsed (h);depth (cm)\n0;81,5\n0,5;79\n2;70,5\n26;12", minutes: [0, 30, 120, 1560], water: [0.815, 0.79, 0.705, 0.12] },
  { text: "day 1 16:30 - 2 ft 6 in\nday 1 19:00 - 2 ft 2 in\nday 2 7:15 - 1 ft 1 in", minutes: [0, 150, 885], water: [0.762, 0.6604, 0.3302] },
  { text: "at once, 33 in\n10 min, 32 1/2 in\n1 h 40 min, 30 in", minutes: [0, 10, 100], water: [0.8382, 0.8255, 0.762] },
  { text: "time,depth (in)\n9:00 AM,30\n11:00 AM,28\n1:00 PM,\n3:00 PM,24", refused: 'dips line 4, depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got nothing' },
  { text: "time,depth\n9:00,30\n10:00,28", refused: [
    'dips line 2, depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "30", without a unit',
    'dips line 3, depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "28", without a unit',
  ] },
  { text: "time,depth (in),tape (in)\n9:00,30,40", refused: "dips line 1: expected one column of depth, down or level beside time, got depth (in) and tape (in)" },
  { text: "Clock\tReading (m)\tWho\n22:40\t0.92\tA\n23:55\t0.90\tB\n1:20\t0.87\tB\n6:00\t0.80\tA", minutes: [0, 75, 160, 440], water: [0.92, 0.9, 0.87, 0.8] },
  { text: "time since hose off,water (in)\n0:10,31\n0:40,30\n3:10,26 1/4", minutes: [0, 30, 180], water: [0.7874, 0.762, 0.66675], from: "shutting" },
  { text: "time;depth (m)\n8.15 am;0,90\n9.40 am;0,85\n25 past;0,80", refused: 'dips line 4, time: expected a time such as "8:15 AM", "Tue 16:30", "day 2 7:30", "2026-06-14 08:15", "1h40" or "20 min", got "25 past"' },
  { text: "time\twater\n(min)\t(cm)\n0\t83\n15\t81\n60\t76\n240\t60", minutes: [0, 15, 60, 240], water: [0.83, 0.81, 0.76, 0.6] },
  { text: "\"Time\",\"Depth, inches\",\"Weather\"\n\"9:35 AM\",\"33\",\"dry\"\n\"10:05 AM\",\"32.5\",\"dry, windy\"\n\"2:05 PM\",\"27.25\",\"\"", minutes: [0, 30, 270], water: [0.8382, 0.8255, 0.69215] },
  { text: "09:35 2.71'\n10:05 2.56'\n11:35 2.28'\n16:00 1.57'", minutes: [0, 30, 120, 385], water: [0.826008, 0.780288, 0.694944, 0.478536] },
  { text: "Reading No | Time | Depth\n1 | 08:15 | 0.83 m\n2 | 08:45 | 0.81 m\n3 | 12:00 | 0.62 m", minutes: [0, 30, 225], water: [0.83, 0.81, 0.62] },
  { text: "Mon 16:30  2' 6\"\nMon 19:00  2' 2\"\nTue 7:15  1' 1\"", minutes: [0, 150, 885], water: [0.762, 0.6604, 0.3302] },
  { text: "14/06/2026 08:15\t83 cm\n14/06/2026 12:15\t70 cm", refused: [
    'dips line 1, time: expected a time such as "8:15 AM", "Tue 16:30", "day 2 7:30", "2026-06-14 08:15", "1h40" or "20 min", got "14/06/2026 08:15"',
    'dips line 2, time: expected a time such as "8:15 AM", "Tue 16:30", "day 2 7:30", "2026-06-14 08:15", "1h40" or "20 min", got "14/06/2026 12:15"',
  ] },
  { text: "0 - 33\"\n15 - 32 1/2\"", refused: 'dips line 2, time: expected a time such as "8:15 AM", "Tue 16:30", "day 2 7:30", "2026-06-14 08:15", "1h40" or "20 min", got "15"' },
  { text: "8:15am 31 1/4 in below rim\nrim is 97.40 ft", refused: 'dips line 1, depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "31 1/4 in below rim", where "in below rim" is no unit known here (a length is in ft, in, yd, m, cm or mm)' },
  { text: "82cm @ 9:35\n9:50 81cm", refused: [
    'dips line 1, time: expected a time such as "8:15 AM", "Tue 16:30", "day 2 7:30", "2026-06-14 08:15", "1h40" or "20 min", got "82cm @ 9:35"',
    'dips line 1, depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got nothing',
  ] },
  { text: "9.15 am  2ft 9\n10.15 am 2ft 7 in", refused: 'dips line 1, depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "2ft 9", without a unit at its end (did you mean "2ft 9 in"?)' },
  { text: "Remark,Water,When\nlid off,2 ft 8 in,7:50 PM\n\"kids, again\",2 ft 7 1/2 in,8:20 PM\nlast light,2 ft 6 in,9:35 PM\nfrost,1 ft 9 in,6:05 AM", minutes: [0, 30, 105, 615], water: [0.8128, 0.8001, 0.762, 0.5334] },
  { text: "height (cm);clock\n81,5;21:40\n80;22:10\n77,25 (torch);23:30\n62;7:00", refused: 'dips line 4, depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "77,25 (torch)", where "(torch)" is no unit known here (a length is in ft, in, yd, m, cm or mm)' },
  { text: "8:05 PM   33 in   clear\n8:50 PM   31 3/4 in\n6:10 AM   19in   ice on lid", minutes: [0, 45, 605], water: [0.8382, 0.80645, 0.4826] },
  { text: "8:15, 0.83 m\n8:45, wet at 0.81\n9:30, 0.76 m", refused: 'dips line 2, depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "wet at 0.81"' },
  { text: "rim of pipe 31.40 m\nfrom rim; time\n1.12 m; 14h05\n1,15 m; 14h35\n1.31 m; 17h20", minutes: [0, 30, 195], water: [1.12, 1.15, 1.31], column: "down" },
  { text: "clock tape remark\n9:00 AM 3' 1\"\n10:30 AM 3' 4\"", minutes: [0, 90], water: [0.9398, 1.016], column: "down" },
  { text: "water (yd);hours since hose off\n0,9;0\n0,85;1,5\n0,7;8", minutes: [0, 90, 480], water: [0.82296, 0.77724, 0.64008], from: "shutting" },
];

describe("pages of field notebooks", () => {
  test.each(PAGES.map((page, i) => [i + 1, page] as const))("page %i is read, or refused with its cell", (_, { text, minutes, water, refused, column, from }) => {
    const page = pageOf(text);
    expect(page.said).toEqual(refused === undefined ? [] : [refused].flat());
    if (minutes === undefined || water === undefined) return;
    expect(page.rows.map(({ time }) => Math.round((time - page.rows[0]!.time) / 60))).toEqual(minutes);
    page.rows.forEach((dip, i) => expectClose(dip.water, water[i]!, { absolute: 1e-9, because: "the units are exact" }));
    if (column !== undefined) expect(page.column).toBe(column);
    if (from !== undefined) expect(page.from).toBe(from);
  });

  test("give the hose's hours, its flow by a bucket and the mark", () => {
    const { opened, shut, flow, rows } = pageOf(PAGES[1]!.text);
    // 5 US gallons of 231 cubic inches in 25 s
    expectClose(flow!, (5 * 231 * 0.0254 ** 3) / 25, { relative: 1e-12, because: "round-off" });
    expect([opened, shut].map((moment) => (moment! - rows[0]!.time) / 60)).toEqual([-10, 65]);
    const page = pageOf(PAGES[7]!.text);
    expectClose(page.mark!, 98.2 * 0.3048, { absolute: 1e-9, because: "round-off" });
    expectClose(page.flow!, (12 * 231 * 0.0254 ** 3) / 60, { relative: 1e-12, because: "round-off" });
  });
});

/** Hours of a page's dips after the first of them, and what is said of it. */
function hoursOf(text: string): { readonly hours: readonly number[]; readonly said: readonly string[]; readonly notes: readonly string[] } {
  const { rows, said, notes } = pageOf(text);
  return { hours: rows.map(({ time }) => Math.round((time - rows[0]!.time) / 36) / 100), said, notes };
}

describe("days on a page", () => {
  test.each([
    ["weekdays beside the hour", "Tue 9:45 PM  3 ft\nWed 9:50 PM  1 ft\nFri 7:20 AM  2 in"],
    ["weekdays behind it", "9:45 PM Tue, 3 ft\n9:50 PM (Wednesday), 1 ft\n7:20 AM Friday, 2 in"],
    ["a column of weekdays", "day,time,depth\nTue,9:45 PM,3 ft\nWed,9:50 PM,1 ft\nFri,7:20 AM,2 in"],
    ["a column of numbers", "day  time  depth\n1  9:45 PM  3 ft\n2  9:50 PM  1 ft\n4  7:20 AM  2 in"],
    ["a column of dates", "date,time,depth\n2026-06-09,9:45 PM,3 ft\n2026-06-10,9:50 PM,1 ft\n2026-06-12,7:20 AM,2 in"],
    ["a line for each day", "Tue:\n9:45 PM 3 ft\nWednesday\n9:50 PM 1 ft\nFri\n7:20 AM 2 in"],
    ["dates with their weekdays", "Tue 2026-06-09 21:45, 3 ft\n2026-06-10 21:50 Wed, 1 ft\n2026-06-12 07:20, 2 in"],
    ["the weekday of the hose alone, then the clock", "hose on Tue 8:00 PM\n9:45 PM 3 ft\nWed 9:50 PM 1 ft\nFri 7:20 AM 2 in"],
  ])("are counted by %s", (_, text) => {
    expect(hoursOf(text)).toEqual({ hours: [0, 24.08, 57.58], said: [], notes: [] });
  });

  test("are the next week's where a weekday comes again behind others, and the page says so where that is far", () => {
    expect(hoursOf("Tue 9 PM 3 ft\nWed 9 PM 2 ft\nTue 8 PM 1 ft")).toEqual({
      hours: [0, 24, 167], said: [], notes: ["“Tue 8 PM” in line 3 is taken as 6 days after the day of the line before it."],
    });
  });

  test.each([
    ["Tue 9:45 PM 3 ft\nWed 9:50 1 ft", 'dips line 2, time: expected AM or PM behind it, or an hour of 24: it is of another day than the one before, got "Wed 9:50"'],
    ["Tue 9:45 PM 3 ft\nTue 8:50 PM 1 ft", 'dips line 2, time: expected an hour after the one before it, which is of the same day (a week later has its date), got "Tue 8:50 PM"'],
    ["9:45 PM 3 ft\nWed 8:50 PM 1 ft", 'dips line 2, time: expected a weekday at the first time too, from which others are counted on, got "Wed 8:50 PM"'],
    ["day 2 9:45 PM 3 ft\nday 1 10:50 PM 1 ft", 'dips line 2, time: expected day 2 or a later one: the time before it is of that day, got "day 1 10:50 PM"'],
    ["9:45 PM 3 ft\nnext day 7 AM 2 ft\nnext day 8 AM 1 ft", 'dips line 3, time: expected its weekday or the number of its day, as in "day 3": the time before it is of another day than the first, got "next day 8 AM"'],
    ["Wed 2026-06-09 21:45 3 ft", 'dips line 1, time: expected Tuesday, which that date is, or no weekday, got "Wed 2026-06-09 21:45"'],
  ])("are refused where they leave a doubt: %s", (text, said) => {
    expect(hoursOf(text).said).toEqual([said]);
  });

  test("give the page's own: by a line, or beside the first dip", () => {
    expect(dayOfPage("tape 98.4 ft\ndate 2026-06-09\n9 PM 3 ft")).toBe("2026-06-09");
    expect(hoursOf("date: 2026-06-09\n9 PM 3 ft\n11 PM 2 ft")).toEqual({ hours: [0, 2], said: [], notes: [] });
    expect(dayOfPage("hose on 8:05\nTue 2026-06-09 21:00, 3 ft\n2026-06-10 09:00, 1 ft")).toBe("2026-06-09");
    expect(dayOfPage("date 2026-06-08\n2026-06-09 21:00, 3 ft")).toEqual(["2026-06-08", "2026-06-09"]);
    expect(dayOfPage("9 PM 3 ft")).toBeNull();
  });

  test("place the hose by its own day, which must be one that the dips are counted by", () => {
    const { opened, shut, rows } = pageOf("hose on Tue 5:40 PM\nhose off Wed 6:55 AM\nWed 7:10 AM 3 ft\nThu 9 AM 1 ft");
    expect([opened, shut].map((moment) => (moment! - rows[0]!.time) / 3600)).toEqual([-13.5, -0.25]);
    expect(pageOf("hose off next day 6:55 AM\nhose on 5:40 PM\n7:10 AM 3 ft").said)
      .toEqual(['dips line 1: expected a day that the dips are counted by too: their weekdays, or day 1, day 2, got "next day 6:55 AM"']);
    expect(pageOf("Tue 9:50 PM tape 5 ft\nWed 9:50 PM tape 6 ft").mark).toBeNull();
  });
});

describe("remarks beside dips", () => {
  const rest = ["hose on 5:40 PM", "hose off 6:55 PM", "5 gal bucket in 25 s", "tape hangs from 98.40 ft"];
  const dips = ["time  down", "7:10 PM  4 ft", "8:30 PM  5 ft"];

  test.each(["remark: hose on again Wed 12:00 for 20 min", "Remark - garage rim 98.10 ft", "note hose man off at 3:00 PM", "NB: 4 gal bucket in 30 s", "# hose off 6:00 PM"])(
    "tell nothing of the hose or the mark, and are listed: %s", (remark) => {
      const { notes: _, ...plain } = pageOf([...rest, "", ...dips].join("\n"));
      const { notes, ...page } = pageOf([...rest, remark, ...dips].join("\n"));
      expect(page).toEqual(plain);
      expect(notes).toEqual([`Of the page these lines are passed over: line 5 “${remark}”.`]);
    },
  );

  test.each([
    ["hose on again 9:10 PM", 1, "the hose's opening"], ["hose man off at 3:00 PM", 2, "the hose's shutting"],
    ["4 gal bucket in 30 s", 3, "the hose's flow"], ["garage rim 98.10 ft", 4, "the mark"],
  ] as const)("that do not begin as such are refused beside a line on the same: %s", (again, line, matter) => {
    expect(pageOf([...rest, again, ...dips].join("\n")).said)
      .toEqual([`dips lines ${line} and 5: expected one line that tells of ${matter} (a remark begins with "remark:"), got "${rest[line - 1]!}" and "${again}"`]);
  });

  test("are listed too where they are a title or words between dips without a heading", () => {
    expect(pageOf(PAGES[7]!.text).notes).toEqual(["Of the page these lines are passed over: line 1 “Test pit, Monday”."]);
    expect(pageOf("Test pit\n7:10 PM 3 ft\ndog in the yard\n8:10 PM 2 ft").notes)
      .toEqual(["Of the page these lines are passed over: line 1 “Test pit”, line 3 “dog in the yard”."]);
  });
});

/** What works that differ from the design in a known way show on a tape, an hour and a half of hose before. */
function filled(
  site: typeof row, causes: readonly Cause[], values: readonly number[], noise: number, minutes: readonly number[], seed = 5,
): number[] {
  const time = Float64Array.from(minutes, (each) => 60 * each);
  const pit: FilledPit = { site, filling: { by: "hose", into: "chamberBank", flow: 6e-4, duration: 4500, within: 0.1 }, dips: { time, level: Float64Array.of(site.chamberBank.floor + 0.8) } };
  const levels = fillModel(pit, causes).levels(values, time);
  return Array.from(levels, (level, i) => level - site.chamberBank.floor + noise * normalDraw(seed, 1, i));
}

const MINUTES = [85, 100, 120, 150, 190, 240, 300, 380, 470, 600, 780, 1000];

function found(
  site: typeof row, depths: readonly number[], minutes: readonly number[] = MINUTES, more: Partial<FillTestOptions> = {},
): FillTestResult {
  return fillTest(site, {
    dips: depths.flatMap((depth, i) => (depth < 0.02 ? [] : [{ time: `${minutes[i]!} min`, depth: `${depth.toFixed(4)} m` }])),
    inflow: { flow: "0.6 L/s", duration: "75 min" }, ...more,
  });
}

function numberOf({ numbers }: FillTestResult, name: FittedNumber["name"]): FittedNumber {
  return numbers.find((number) => number.name === name)!;
}

describe("a fill test by a page of a notebook", () => {
  test("is the same by the clock, from a mark and by minutes since the hose was opened", () => {
    const depths = filled(row, [], [0, 1], 0.002, MINUTES);
    const plain = found(row, depths);
    const clock = (minutes: number): string => `${Math.floor((485 + minutes) / 60) % 24}:${String((485 + minutes) % 60).padStart(2, "0")}`;
    const mark = row.chamberBank.floor + 1.6;
    const page = ["hose on 8:05", "hose off 9:20", "hose 0.6 L/s", "clock;tape (m);who",
      ...depths.flatMap((depth, i) => (depth < 0.02 ? [] : [`${clock(MINUTES[i]!)};${(1.6 - Number(depth.toFixed(4))).toFixed(4).replace(".", ",")};A`]))].join("\n");
    const written = fillTest(row, { dips: page, markLevel: `${mark} m` });
    expectClose(numberOf(written, "fall").value, numberOf(plain, "fall").value, { relative: 1e-6, because: "a mark's level has a rounding of its own" });
    expect(plain.verdict.kind).toBe("as designed");
  });

  test("takes a sheet whose times begin with a full pit as counted from the shutting of the hose, and says so", () => {
    // an own column of the sheet typed in as it is printed: 135 minutes of hose, then the fall
    const depths = filled(lane, [], [0, 1], 0, MINUTES.map((each) => each - 10));
    const sheet = MINUTES.flatMap((each, i) => (depths[i]! < 0.02 ? [] : [`${each - 85} min,${depths[i]!.toFixed(4)} m`]));
    const { verdict, notes } = fillTest(lane, { dips: `time,depth\n${sheet.join("\n")}`, inflow: { flow: "0.6 L/s", duration: "75 min" } });
    expect(verdict.kind).toBe("as designed");
    expect(notes[0]).toContain("counted from the shutting of the hose");
  });

  test.each([["lane", lane], ["row", row], ["a deep box beside a gas main", readSite(fixture("tannery-box"))]] as const)(
    "answers its own column, typed in as it is printed, with the soil that the design counts on: %s", (_, site) => {
      const sheet = fillSheet(site);
      const hose = sheet.hoses.at(-1)!;
      // an eighth of an inch, as the sheet prints it
      const eighth = 0.0254 / 8;
      const typed = sheet.rows.map(({ time, designed }) => `${time / 60} min,${(Math.round((site.chamberBank.ground - designed) / eighth) / 8).toFixed(3)} in`);
      const { verdict, numbers } = fillTest(site, {
        dips: `time since hose off,tape\n${typed.join("\n")}`, markLevel: `${site.chamberBank.ground} m`,
        inflow: { flow: `${hose.flow * 1000} L/s`, duration: `${hose.duration!} s` },
      });
      expect(verdict.kind).toBe("as designed");
      expect(Math.abs(Math.log(numbers.find(({ name }) => name === "soil")!.value))).toBeLessThan(Math.log(1.1));
    },
  );

  test("asks for the hour of the hose where the dips are by the clock", () => {
    const dips = "9:30 0.8 m\n10:00 0.7 m\n11:00 0.6 m\n12:00 0.5 m";
    expect(() => fillTest(row, { dips, inflow: { flow: "0.6 L/s", duration: "75 min" } }))
      .toThrow("fillTest.inflow.opened: expected the hour at which the hose was opened, since the dips are by the clock, got nothing");
  });
});

describe("a fill test names", () => {
  test("a silted floor in soil three times as fast, which is not better than designed", () => {
    const depths = filled(row, ["floor"], [0, 3, 0.01], 0.002, MINUTES);
    const { verdict, findings } = found(row, depths);
    expect(verdict.kind).not.toBe("as designed");
    expect(findings.map(({ kind }) => kind)).toContain("floor sealed");
  });

  // smeared sides over an open floor, which take long to find, are on the page of `findingsOnPage.test.ts`
  test("stone with less room, by a hose that was timed", () => {
    const depths = filled(row, [], [Math.log(1.5), 1], 0.002, MINUTES);
    const result = found(row, depths, MINUTES, { inflow: { flow: "0.6 L/s", duration: "75 min", within: 0.03 } });
    expect(result.findings.map(({ kind }) => kind)).toContain("less room");
    expect(numberOf(result, "room").value).toBeLessThan(0.8);
  });

  test("one misread dip, and judges by the others", () => {
    const depths = filled(lane, [], [0, 1], 0.002, MINUTES);
    depths[4]! += 0.3048;
    const { findings, verdict, dips } = found(lane, depths);
    expect(findings[0]!.kind).toBe("misread");
    expect(findings[0]!.words).toContain("about a foot misread");
    expect([verdict.kind, dips.time.length]).toEqual(["as designed", depths.filter((depth) => depth >= 0.02).length - 1]);
  });

  test("rain in the night, and judges by the dips before it", () => {
    const depths = filled(lane, [], [0, 0.5], 0.002, MINUTES).map((depth, i) => depth + (i >= 9 ? 0.2 : 0));
    const { findings, verdict, dips } = found(lane, depths);
    expect(findings.map(({ kind }) => kind)).toContain("rain");
    expect(dips.time.length).toBe(9);
    expect(verdict.kind).not.toBe("leaking");
  });

  test("dips that fit nothing as such", () => {
    const depths = filled(lane, [], [0, 1], 0.002, MINUTES).map((depth, i) => depth - (i % 4 < 2 ? 0.06 : 0));
    const result = found(lane, depths);
    expect([result.verdict.kind, result.findings[0]!.kind]).toEqual(["unexplained", "does not fit"]);
    // nothing is judged by a line that the dips do not show
    expect([result.emptying, result.pass, result.nextDip, result.storms.length]).toEqual([null, null, null, 0]);
    const { answer, section } = fillTestPart(lane, result);
    expect(answer).toBe(result.verdict.sentence);
    expect(section.markup).not.toMatch(/in time|pass as things stand|The file has no storm|No further dip/);
  });

  test("how long the works take to empty against what the file asks", () => {
    const { emptying } = found(row, filled(row, [], [0, 0.3], 0.002, MINUTES));
    expect(emptying!.asked).toEqual({ time: 86_400, half: true });
    const ratio = emptying!.time! / emptying!.drawn!;
    // half empty in soil of 0.3: the peak is a little higher, and the fall 1/0.3 times as long
    expect(ratio > 2.5 && ratio < 5).toBe(true);
    expect(emptying!.band.low! < emptying!.time! && emptying!.time! < emptying!.band.high!).toBe(true);
  });
});

test("the demo page of a fill test has one answer", () => {
  const given = JSON.parse(readFileSync(new URL("../../data/copperbeech-fill-test.json", import.meta.url), "utf8")) as FillTestOptions;
  const { verdict, emptying } = fillTest(lane, given);
  expect(verdict.kind).toBe("slow");
  expect(emptying!.sentence).toMatch(/^After “2 year, 1 h, block” the pit is empty in .*, against 72 h asked: /);
});
