import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { readRain, type RainRecord } from "../../lib/rain/record/readRain.ts";
import type { RecordOptions } from "../../lib/rain/record/recordOptions.ts";
import { rainBetween } from "../../lib/rain/rainBetween.ts";

function read(lines: readonly string[], options: RecordOptions = {}): Promise<RainRecord> {
  return readRain([lines.join("\n")], options);
}

function total_mm({ rain }: RainRecord): number {
  return cumulativeDepth(rain)[rain.depth.length]! * 1000;
}

function file(name: string): string {
  return readFileSync(new URL(`../../data/rain/${name}`, import.meta.url), "utf8");
}

describe("a record of intervals", () => {
  test("is read from its own header words", async () => {
    const record = await read(["interval end,rain [mm]", "2026-03-01 01:00,2", "2026-03-01 02:00,0", "2026-03-01 03:00,4.5"]);
    expect(record.start).toBe("2026-03-01T00:00:00");
    expect([...record.rain.time]).toEqual([0, 3600, 7200, 10800]);
    [0.002, 0, 0.0045].forEach((depth, i) => expect(record.rain.depth[i]).toBeCloseTo(depth, 15));
    expect([record.linesRead, record.repaired, record.refused, record.gaps]).toEqual([3, [], [], []]);
    expect(record.notes).toEqual(["Each value counts for 60 min: most of the first 3 lines are that far apart."]);
  });

  test("may mark the start of its intervals, in inches, with semicolons, decimal commas, quotes and a byte order mark", async () => {
    const text = '\ufeffInterval_Start;"Rain (in)"\r\n2026-03-01T00:00;"0,1"\r\n2026-03-01T00:15;0,2\r\n';
    const record = await readRain([text], { decimalComma: true, interval: "15 min" });
    expect([...record.rain.time]).toEqual([0, 900, 1800]);
    expect(total_mm(record)).toBeCloseTo(7.62, 12);
  });

  test("may hold intensities", async () => {
    const record = await read(["interval start,intensity [mm/h]", "2026-03-01 00:00,12", "2026-03-01 00:10,6"]);
    expect(total_mm(record)).toBeCloseTo(3, 12);
  });

  test("of a foreign header is read when told what its columns are", async () => {
    const lines = ["date,precipitation,wind", "2012-01-01,0.0,4.7", "2012-01-02,10.9,4.5"];
    const record = await read(lines, { time: "date", rain: "precipitation", unit: "mm", stamp: "start" });
    expect([...record.rain.time]).toEqual([0, 86400, 172800]);
    expect(total_mm(record)).toBeCloseTo(10.9, 12);
  });

  test("takes words for a missing value before it takes numbers", async () => {
    const lines = ["interval start,rain [mm]", "2026-03-01 00:00,1", "2026-03-01 01:00,-999", "2026-03-01 02:00,99.9"];
    const record = await read(lines, { missing: ["-999", "99.9"], interval: "1 h" });
    expect(record.refused.map(({ line, why }) => [line, why])).toEqual([[3, "no value"], [4, "no value"]]);
    expect(total_mm(record)).toBeCloseTo(1, 12);
  });

  test("keeps dry stretches as one interval and says where lines are missing", async () => {
    const record = await read([
      "interval start,rain [mm]", "2026-03-01 00:00,1", "2026-03-01 01:00,0", "2026-03-01 02:00,0", "2026-03-01 06:00,0", "2026-03-01 07:00,2",
    ]);
    expect([...record.rain.time]).toEqual([0, 3600, 7 * 3600, 8 * 3600]);
    expect(record.gaps).toEqual([{ from: 3 * 3600, to: 6 * 3600 }]);
  });

  test("in other date orders is read when told the order, with 24:00 and the hours of noon and midnight", async () => {
    const lines = ["interval end,rain [mm]", "1/2/2026 11:00 PM,1", "1/2/2026 24:00,1", "1/3/2026 1:00 AM,1", "1/3/2026 12:00 PM,1"];
    const record = await read(lines, { dateOrder: "month/day/year" });
    expect(record.start).toBe("2026-01-02T22:00:00");
    expect([...record.rain.time]).toEqual([0, 3600, 7200, 10800, 13 * 3600, 14 * 3600]);
  });

  test("with zones is brought to UTC, and may not mix stamps with and without", async () => {
    const record = await read([
      "interval start,rain [mm]", "2026-03-01T00:00+01:00,1", "2026-03-01T01:00+01:00,2", "2026-03-01T01:00Z,4", "2026-03-01T05:00,8",
    ]);
    expect(record.start).toBe("2026-02-28T23:00:00Z");
    expect(total_mm(record)).toBeCloseTo(7, 12);
    expect(record.refused).toEqual([{ line: 5, why: "no zone where the first line has one", got: "2026-03-01T05:00" }]);
  });

  test("reports every line it repairs or refuses, and uses the rest", async () => {
    const record = await read([
      "# a comment",
      "interval start,rain [mm]",
      "2026-03-01 00:00,1",
      "2026-03-01 01:00,1",
      "2026-03-01 01:00,1", // said twice
      "2026-03-01 01:00,5", // and otherwise
      "2026-03-01 04:00,1",
      "2026-03-01 03:00,1", // late
      "2026-03-01 05:00,-1",
      "2026-03-01 06:00,NA",
      "2026-03-01 07:00,lots",
      "2026-03-01 08:00,900",
      "2026-02-30 08:00,1",
      "yesterday,1",
      "2026-03-01 09:00",
      "2026-03-01 09:30,1", // between the intervals, of which there is no other: used
      "2026-03-01 10:00,1", // overlaps it
    ]);
    expect(record.repaired).toEqual([
      { line: 5, why: "said twice, dropped", got: "" },
      { line: 8, why: "out of order, put in its place", got: "" },
    ]);
    expect(record.refused).toEqual([
      { line: 6, why: "a time that another line has too", got: "" },
      { line: 9, why: "below 0", got: "-1" },
      { line: 10, why: "no value", got: "NA" },
      { line: 11, why: "no number", got: "lots" },
      { line: 12, why: "more than can be believed", got: "900 mm" },
      { line: 13, why: "no time that can be read", got: "2026-02-30 08:00" },
      { line: 14, why: "no time that can be read", got: "yesterday" },
      { line: 15, why: "no value", got: "" },
      { line: 17, why: "a time that another line has too", got: "" },
    ]);
    expect(record.linesRead).toBe(5);
    expect(total_mm(record)).toBeCloseTo(5, 12);
    expect(record.counts["no time that can be read"]).toBe(2);
    expect(record.notes).toEqual([
      "Each value counts for 60 min: most of the first 9 lines are that far apart.",
      "Line 5 is repaired: said twice, dropped.",
      "2 lines are refused, the first in line 6: a time that another line has too.",
      "Line 8 is repaired: out of order, put in its place.",
      'Line 9 is refused: below 0 (got "-1").',
      '2 lines are refused, the first in line 10: no value (got "NA").',
      'Line 11 is refused: no number (got "lots").',
      "Line 12 is refused: more than can be believed (got 900 mm).",
      '2 lines are refused, the first in line 13: no time that can be read (got "2026-02-30 08:00").',
      "2 stretches have no line, 5.5 h in all; no rain is assumed there.",
    ]);
  });
});

describe("what is written otherwise than a computer writes it", () => {
  const semicolons = (...cells: string[]): string[] => ["interval end;rain [mm]", ...cells.map((cell, i) => `2026-03-01 0${i + 1}:00;${cell}`)];

  test("is read with decimal commas where semicolons part the cells, and said", async () => {
    const record = await read(semicolons("0", "2,4", "1"), { interval: "1 h" });
    expect([total_mm(record), record.refused]).toEqual([expect.closeTo(3.4, 12), []]);
    expect(record.notes).toEqual(['The comma is the decimal sign, as in "2,4" of line 3.']);
  });

  test("is one sign or the other throughout: what has the other is refused", async () => {
    const points = await read(semicolons("0.5", "2,4", "1"), { interval: "1 h" });
    expect([total_mm(points), points.notes[0]]).toEqual([expect.closeTo(1.5, 12), 'Line 3 is refused: no number (got "2,4").']);
    const commas = await read(semicolons("0,5", "1.234,5", "2.4"), { interval: "1 h" });
    expect([total_mm(commas), commas.refused.map(({ line }) => line)]).toEqual([expect.closeTo(0.5, 12), [3, 4]]);
  });

  test("is refused with the option that would make it a number or a time", async () => {
    const quoted = ["interval end,rain [mm]", '2026-03-01 01:00,"2,4"', "2026-03-01 02:00,1", "3/1/2026 3:00,1", "31/3/2026 3:00,1"];
    const record = await read(quoted, { interval: "1 h" });
    expect(record.notes).toEqual([
      'Line 2 is refused: no number (got "2,4": for a decimal comma give "decimalComma": true).',
      '2 lines are refused, the first in line 4: no time that can be read (got "3/1/2026 3:00": give "dateOrder": "month/day/year" or "day/month/year").',
    ]);
    expect((await read([quoted[0]!, quoted[2]!, quoted[4]!], { interval: "1 h" })).notes[0]).toBe(
      'Line 3 is refused: no time that can be read (got "31/3/2026 3:00": give "dateOrder": "day/month/year").',
    );
    expect(total_mm(await read(quoted.slice(0, 3), { interval: "1 h", decimalComma: true }))).toBeCloseTo(2.4 + 1, 12);
  });
});

describe("a counter", () => {
  test("gives the differences, over readings as far apart as they are", async () => {
    const record = await read(["reading time,total rain [mm]", "2026-03-01 00:00,10", "2026-03-01 00:07,12", "2026-03-01 02:00,12"]);
    expect([...record.rain.time]).toEqual([0, 420, 7200]);
    expect(total_mm(record)).toBeCloseTo(2, 12);
    expect(record.interval).toBeNull();
  });

  test("that falls leaves a gap, and its readings out of order are refused", async () => {
    const record = await read([
      "reading time,total rain [mm]", "2026-03-01 00:00,10", "2026-03-01 01:00,12", "2026-03-01 02:00,1", "2026-03-01 01:30,5",
      "2026-03-01 03:00,4",
    ]);
    expect(total_mm(record)).toBeCloseTo(5, 12);
    expect(record.gaps).toEqual([{ from: 3600, to: 7200 }]);
    expect(record.repaired).toEqual([{ line: 4, why: "a counter that was reset: what fell before this line is not known", got: "" }]);
    expect(record.refused).toEqual([{ line: 5, why: "out of order in a counter", got: "" }]);
  });
});

describe("bucket tips", () => {
  test("are counted in intervals of the clock, silence being dry", async () => {
    const record = await read(["tip time", "2026-03-01 00:01:10", "2026-03-01 00:04:59", "2026-03-01 01:02:00"], { tip: "0.2 mm" });
    expect(record.start).toBe("2026-03-01T00:00:00");
    expect([...record.rain.time]).toEqual([0, 300, 3600, 3900]);
    [0.0004, 0, 0.0002].forEach((depth, i) => expect(record.rain.depth[i]).toBeCloseTo(depth, 15));
    expect(record.gaps).toEqual([]);
    expect(record.notes).toEqual(["Tips are counted in intervals of 5 min of the clock; silence between them is taken as dry."]);
  });

  test("out of order are put in their place, the same moment twice counts once", async () => {
    const record = await read(
      ["tip time,rain [mm]", "2026-03-01 00:10:00,0.2", "2026-03-01 00:01:00,0.2", "2026-03-01 00:01:00,0.2"],
      { interval: "1 min" },
    );
    expect(record.repaired.map(({ line }) => line)).toEqual([3, 4]);
    expect(total_mm(record)).toBeCloseTo(0.4, 12);
  });

  test("need a depth", async () => {
    await expect(read(["tip time", "2026-03-01 00:01:10"])).rejects.toThrow(
      'The rain record cannot be read:\n  record: expected the option tip, such as "0.2 mm", or a column of rain, got neither',
    );
  });
});

const FOREIGN = 'columns such as "interval end" and "rain [mm]", or options that say what they are, such as';

describe("a header that leaves something open", () => {
  test.each([
    [["time,rain [mm]"], {}, 'header: expected one column "interval start", "interval end", "reading time", "tip time", or the option "time", such as "time", got "time, rain [mm]"'],
    [["interval end,rain"], {}, 'header: expected a unit of depth, as in rain [mm], or the option "unit": "mm", got "rain"'],
    [["interval end,rain [furlong]"], {}, 'header: expected a unit of depth, as in rain [mm], or the option "unit": "mm", got "rain [furlong]" with the unit "furlong"'],
    [["interval end,precip"], {}, 'header: expected one column "rain", "total rain", "intensity", or the option "rain", such as "precip", got "interval end, precip"'],
    [["Datum;Niederschlag"], {}, `header: expected ${FOREIGN} "time": "Datum", "rain": "Niederschlag", "unit": "mm", "stamp": "end" (in a site file beside "file"), got "Datum, Niederschlag"`],
    [["day,wind,prcp (in)"], { stamp: "start" }, `header: expected ${FOREIGN} "time": "day", "rain": "prcp (in)" (in a site file beside "file"), got "day, wind, prcp (in)"`],
    [["day,rain [mm]"], { time: "day" }, 'header: expected a column "interval start" or "interval end", or the option "stamp": "start" or "end", got "day"'],
    [["day,rain [mm]"], { time: "dya", stamp: "end" }, 'time: expected one column of the header (did you mean "day"?), got "dya"'],
    [["interval end,intensity [mm]"], {}, 'header: expected a unit of intensity, as in intensity [mm/h], or the option "unit": "mm/h", got "intensity [mm]" with the unit "mm"'],
    [["reading time,rain [mm]"], {}, 'header: expected "total rain" beside "reading time", or the option "kind", got "reading time" and "rain [mm]"'],
    [["tip time,total rain [mm]"], {}, 'header: expected "rain" beside "tip time", or the option "kind", got "tip time" and "total rain [mm]"'],
    [["interval end,constructor"], { rain: "constructor" }, 'header: expected a unit of depth, as in rain [mm], or the option "unit": "mm", got "constructor"'],
    [["constructor,rain [mm]"], { time: "constructor" }, 'header: expected a column "interval start" or "interval end", or the option "stamp": "start" or "end", got "constructor"'],
    [[""], {}, "record: expected a header and lines of rain, got no line"],
    [["interval end,rain [mm]"], {}, "record: expected lines that can be used, got none"],
    [["interval end,rain [mm]", "x,1"], {}, 'record: expected lines that can be used, got none; Line 2 is refused: no time that can be read (got "x").'],
    [["interval end,rain [mm]", "2026-03-01,1"], {}, 'record: expected the option "interval": "1 h" or the like, as no two lines tell how long the intervals are, got nothing'],
  ] as const)("%o is refused", async (lines, options, problem) => {
    await expect(read(lines, options)).rejects.toThrow(`The rain record cannot be read:\n  ${problem}`);
  });

  test("is refused with wrong options in one error", async () => {
    const options = { interval: 5, stmp: "start", dateOrder: "dmy" } as unknown as RecordOptions;
    await expect(read(["interval end,rain [mm]"], options)).rejects.toThrow(
      [
        "The rain record cannot be read:",
        'readRain.interval: expected a time such as "10 min", "24 h" or "3 day", got 5, a bare number',
        'readRain.dateOrder: expected one of "year-month-day", "month/day/year", "day/month/year", got "dmy"',
        'readRain.stmp: expected no such key (did you mean "stamp"?), got "start"',
      ].join("\n  "),
    );
  });
});

describe("open rainfall records", () => {
  test("Seattle's four years of daily rain add up to their annual totals, days and maxima", async () => {
    // npm vega-datasets 3.2.1, seattle-weather.csv; totals, largest days and wet days recomputed independently
    const record = await readRain([file("seattle-daily-2012-2015.csv")]);
    expect([record.linesRead, record.refused.length, record.gaps.length]).toEqual([1461, 0, 0]);
    const years = [[366, 1226, 54.1, 177], [365, 828, 43.4, 152], [365, 1232.8, 46.7, 150], [365, 1139.2, 55.9, 144]] as const;
    let from = 0;
    for (const [days, annual_mm, largest_mm, wetDays] of years) {
      const year = rainBetween(record.rain, from, from + days * 86400);
      expect(cumulativeDepth(year)[year.depth.length]! * 1000).toBeCloseTo(annual_mm, 9);
      expect(Math.max(...year.depth) * 1000).toBeCloseTo(largest_mm, 9);
      expect(year.depth.filter((depth) => depth > 0).length).toBe(wetDays);
      from += days * 86400;
    }
  });

  test.each([
    // US Geological Survey, stations 08057320 and 08055700: totals of the storms [in]
    ["ash-creek-1973.csv", 5.92, 36],
    ["ash-creek-1978.csv", 3.11, 25.75],
    ["bachman-branch-1967.csv", 2.48, 26.5],
    ["bachman-branch-1976.csv", 1.8, 11.5],
  ])("the storm %s brings %s in within %s h", async (name, total_in, hours) => {
    const record = await readRain([file(name)]);
    expect(total_mm(record)).toBeCloseTo(total_in * 25.4, 10);
    expect(record.rain.time[record.rain.depth.length]! / 3600).toBeCloseTo(hours, 12);
    expect([record.repaired, record.refused, record.gaps]).toEqual([[], [], []]);
  });
});

describe("laws of the reader", () => {
  test("the pieces a text comes in change nothing", async () => {
    const text = file("ash-creek-1978.csv");
    const whole = await readRain([text]);
    await fc.assert(
      fc.asyncProperty(fc.array(fc.integer({ min: 1, max: 200 }), { minLength: 1, maxLength: 50 }), async (sizes) => {
        const pieces: string[] = [];
        for (let at = 0, i = 0; at < text.length; i++) {
          const size = sizes[i % sizes.length]!;
          pieces.push(text.slice(at, at + size));
          at += size;
        }
        expect(await readRain(pieces)).toEqual(whole);
      }),
      { numRuns: 30 },
    );
  });

  test("shuffled lines give the same rain, and every one of them is reported", async () => {
    const lines = Array.from({ length: 40 }, (_, i) => `2026-03-0${1 + Math.floor(i / 24)} ${String(i % 24).padStart(2, "0")}:00,${i % 7 === 0 ? 0 : i}`);
    const ordered = await read(["interval start,rain [mm]", ...lines], { interval: "1 h" });
    await fc.assert(
      fc.asyncProperty(fc.shuffledSubarray(lines, { minLength: 40 }), async (shuffled) => {
        const record = await read(["interval start,rain [mm]", ...shuffled], { interval: "1 h" });
        expect(record.rain).toEqual(ordered.rain);
        expect(record.linesRead).toBe(40);
        expect(record.refused).toEqual([]);
      }),
      { numRuns: 50 },
    );
  });

  test("lines said again, anywhere below, change nothing but the report", async () => {
    const lines = Array.from({ length: 48 }, (_, i) => `2026-03-0${1 + Math.floor(i / 24)} ${String(i % 24).padStart(2, "0")}:00,${i % 5 === 0 ? i : 0}`);
    const once = await read(["interval start,rain [mm]", ...lines], { interval: "1 h" });
    await fc.assert(
      fc.asyncProperty(fc.array(fc.nat({ max: 47 }), { maxLength: 60 }), async (picks) => {
        const record = await read(["interval start,rain [mm]", ...lines, ...picks.map((i) => lines[i]!)], { interval: "1 h" });
        expect(record.rain).toEqual(once.rain);
        expect(record.repaired.map(({ line, why }) => [line, why])).toEqual(picks.map((_, k) => [50 + k, "said twice, dropped"]));
      }),
      { numRuns: 50 },
    );
  });

  test("any text at all gives a record or the clear error", async () => {
    const line = fc.oneof(fc.string(), fc.constantFrom("2026-03-01 00:00,1", "2026-03-01 01:00,2", "2026-03-01 00:30,1", ",,,", '"'));
    await fc.assert(
      fc.asyncProperty(fc.array(line, { maxLength: 12 }), async (lines) => {
        const outcome = await read(["interval end,rain [mm]", ...lines]).catch((error: unknown) => error);
        if (outcome instanceof Error) expect(outcome.message).toContain("The rain record cannot be read:");
        else expect(total_mm(outcome as RainRecord)).toBeGreaterThanOrEqual(0);
      }),
    );
  });
});
