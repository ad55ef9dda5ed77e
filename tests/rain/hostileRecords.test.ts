import { describe, expect, test } from "vitest";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { readRain, type RainRecord } from "../../lib/rain/record/readRain.ts";
import type { RecordOptions } from "../../lib/rain/record/recordOptions.ts";

function read(header: string, lines: readonly string[], options: RecordOptions = {}): Promise<RainRecord> {
  return readRain([header, ...lines].join("\n"), options);
}

function total_mm({ rain }: RainRecord): number {
  return Math.round(cumulativeDepth(rain)[rain.depth.length]! * 1e9) / 1e6;
}

/** What was done to lines, as `line: why`. */
function deeds({ repaired, refused }: RainRecord): string[] {
  return [...repaired, ...refused].sort((a, b) => a.line - b.line).map(({ line, why }) => `${line}: ${why}`);
}

const hourly = (hour: number, rain: string | number): string => `2026-03-01 ${String(hour).padStart(2, "0")}:00,${rain}`;
const HEADER = "interval start,rain [mm]";

describe("numbers that could be read in two ways", () => {
  test("a decimal comma in a file parted by commas is no whole number and a cell too many", async () => {
    const record = await read(HEADER, [hourly(0, "0,2"), hourly(1, "1"), hourly(2, "2")], { decimalComma: true });
    expect(deeds(record)).toEqual(["2: more cells than the header"]);
    expect(total_mm(record)).toBe(3);
  });

  test("empty cells past the header are ignored", async () => {
    const record = await read(HEADER, [hourly(0, "1,,"), hourly(1, "1,,")]);
    expect([total_mm(record), deeds(record)]).toEqual([2, []]);
  });

  test("a dot beside decimal commas may part thousands, and a comma beside decimal dots too", async () => {
    const commas = await read("interval start;rain [mm]", ["2026-03-01 00:00;1.234", "2026-03-01 01:00;1,5", "2026-03-01 02:00;2"], { decimalComma: true });
    expect([total_mm(commas), deeds(commas)]).toEqual([3.5, ["2: no number"]]);
    const dots = await read(HEADER, [hourly(0, '"1,234"'), hourly(1, 1.5), hourly(2, 2)]);
    expect([total_mm(dots), deeds(dots)]).toEqual([3.5, ["2: no number"]]);
  });

  test.each(["NaN", "nan", "NA", "-", "missing", ""])("%o is no value", async (word) => {
    expect(deeds(await read(HEADER, [hourly(0, 1), hourly(1, 1), hourly(2, word)]))).toEqual(["4: no value"]);
  });

  test.each(["Infinity", "1e999", "0x10", "1_0", "1 2", "T", "1.2.3", "½", "٣", "--1", "1mm", "null"])("%o is no number", async (word) => {
    expect(deeds(await read(HEADER, [hourly(0, 1), hourly(1, 1), hourly(2, word)]))).toEqual(["4: no number"]);
  });

  test("-0 is 0 and +1.5e0 is 1.5", async () => {
    const record = await read(HEADER, [hourly(0, "-0"), hourly(1, "+1.5e0"), hourly(2, ".5")]);
    expect([total_mm(record), deeds(record)]).toEqual([2, []]);
    expect(Object.is(record.rain.depth[0], 0)).toBe(true);
  });
});

describe("text that is not what it seems", () => {
  test.each([
    ["nothing", "", "record: expected a header and lines of rain, got no line"],
    ["a byte order mark alone", "\ufeff", "record: expected a header and lines of rain, got no line"],
    ["comments alone", "# rain\n# more", "record: expected a header and lines of rain, got no line"],
    ["a header alone", `\ufeff${HEADER}\r\n`, "record: expected lines that can be used, got none"],
    ["UTF-16", "\ufffd\ufffdi\0n\0t\0e\0r\0", "record: expected text in UTF-8, got other bytes, as of UTF-16 or of a spreadsheet's own format"],
    ["a header that is a line of rain", hourly(0, 1), 'header: expected a header such as "interval end,rain [mm]" above the first line of rain, got "2026-03-01 00:00, 1"'],
    ["two columns of rain", "interval start,rain [mm],rain [in]\n2026-03-01 00:00,1,2", 'header: expected one column "rain", "total rain", "intensity", or the option "rain", such as "rain [mm]", got 2 of them'],
    ["line ends of an old kind", `${HEADER}\r${hourly(0, 1)}\r${hourly(1, 1)}`, "header: expected one column \"rain\""],
  ])("%s is refused as a whole", async (_, text, problem) => {
    await expect(readRain(text)).rejects.toThrow(`The rain record cannot be read:\n  ${problem}`);
  });

  test("of two columns of one name neither is taken", async () => {
    await expect(read("day,x,x", ["2026-03-01,1,2"], { time: "day", rain: "x", unit: "mm", stamp: "start" })).rejects.toThrow(
      'The rain record cannot be read:\n  rain: expected one column of the header, got 2 of the name "x"',
    );
  });

  test("a line without an end fills no memory and is refused", async () => {
    const record = await read(HEADER, [hourly(0, 1), hourly(1, 1), `${hourly(2, 1)}${" ".repeat(50_000)}`, hourly(3, 1)]);
    expect(record.refused).toEqual([{ line: 4, why: "longer than 10000 characters", got: hourly(2, 1) + " ".repeat(60 - hourly(2, 1).length) }]);
    expect(total_mm(record)).toBe(3);
  });

  test("a quote that is never closed costs its line and no other", async () => {
    const record = await read("interval start,remark,rain [mm]", ["2026-03-01 00:00,\"fine\"\"\",1", "2026-03-01 01:00,\"odd,1", "2026-03-01 02:00,ok,2", "2026-03-01 03:00,ok,2"]);
    expect([total_mm(record), deeds(record)]).toEqual([5, ["3: no value"]]);
  });

  test("a file that was joined from two repeats its header and an overlap, and loses nothing by it", async () => {
    const half = [hourly(0, 1), hourly(1, 0), hourly(2, 2)];
    const record = await read(HEADER, [...half, HEADER, ...half.slice(1), hourly(3, 4)]);
    expect(deeds(record)).toEqual(["5: no time that can be read", "6: said twice, dropped", "7: said twice, dropped"]);
    expect(total_mm(record)).toBe(7);
  });

  test("the newest line may come first", async () => {
    const lines = Array.from({ length: 24 }, (_, hour) => hourly(hour, hour));
    const [forwards, backwards] = [await read(HEADER, lines), await read(HEADER, [...lines].reverse())];
    expect(backwards.rain).toEqual(forwards.rain);
    expect([backwards.repaired.length, backwards.counts["out of order, put in its place"]]).toEqual([23, 23]);
  });

  test("no more than 10 000 spoilt lines are listed, and all are counted", async () => {
    const record = await read(HEADER, [hourly(0, 1), hourly(1, 1), ...Array.from({ length: 12_000 }, () => "x,1")]);
    expect([record.refused.length, record.counts["no time that can be read"]]).toEqual([10_000, 12_000]);
    expect(record.notes[1]).toBe('12000 lines are refused, the first in line 4: no time that can be read (got "x").');
  });
});

describe("clocks", () => {
  test("date and time may stand in two columns", async () => {
    const record = await read("day,hour,rain [mm]", ["3/1/2026,1:00 PM,1", "3/1/2026,2:00 PM,2", "3/1/2026,,4"], {
      time: "day", clock: "hour", stamp: "start", dateOrder: "month/day/year",
    });
    expect([record.start, total_mm(record), record.interval]).toEqual(["2026-03-01T13:00:00", 3, 3600]);
    expect(deeds(record)).toEqual(["4: no time that can be read"]);
  });

  test("put forward without a zone leave a gap, and put back an hour that two lines claim: both are reported", async () => {
    const forward = await read(HEADER, [hourly(0, 1), hourly(1, 1), hourly(3, 1), hourly(4, 1)]);
    expect(forward.gaps).toEqual([{ from: 7200, to: 10800 }]);
    const back = await read(HEADER, [hourly(1, 1), hourly(2, 1), hourly(2, 3), hourly(3, 1)]);
    expect([total_mm(back), deeds(back)]).toEqual([3, ["4: a time that another line has too"]]);
  });

  test("with zones go on through the change of hour", async () => {
    const record = await read(HEADER, ["2026-10-25T02:00+02:00,1", "2026-10-25T02:00+01:00,2", "2026-10-25T03:00+01:00,4"]);
    expect([total_mm(record), deeds(record), record.gaps, record.start]).toEqual([7, [], [], "2026-10-25T00:00:00Z"]);
  });

  test("dates alone are days", async () => {
    const record = await read("interval end,rain [mm]", ["2026-03-02,1", "2026-03-03,2", "2026-03-05,4"]);
    expect([record.start, record.interval, record.gaps]).toEqual(["2026-03-01T00:00:00", 86400, [{ from: 2 * 86400, to: 3 * 86400 }]]);
  });

  test("that list wet hours only still tell the length of the hours", async () => {
    const record = await read(HEADER, [hourly(0, 1), hourly(7, 1), hourly(8, 2), hourly(9, 1), hourly(15, 1), hourly(16, 1)]);
    expect([record.interval, total_mm(record), deeds(record)]).toEqual([3600, 7, []]);
    expect(record.gaps.length).toBe(2);
  });

  test("a dry interval that covers a wet one conflicts with it", async () => {
    const record = await read(HEADER, [hourly(0, 0), "2026-03-01 00:30,2", hourly(0, 0)], { interval: "30 min" });
    expect(deeds(record)).toEqual(["4: said twice, dropped"]);
    const longer = await read(HEADER, ["2026-03-01 00:00:00,2", "2026-03-01 00:30,0", "2026-03-01 00:00:01,0"], { interval: "30 min" });
    expect(deeds(longer)).toEqual(["4: a time that another line has too"]);
  });
});

describe("a counter", () => {
  const COUNTER = "reading time,total rain [mm]";
  const readings = (values: readonly number[]): string[] => values.map((value, hour) => hourly(hour, value));

  test("that shows one reading too high goes on past it", async () => {
    const record = await read(COUNTER, readings([10, 12, 5000, 12.5, 13]));
    expect([total_mm(record), record.gaps, deeds(record)]).toEqual([3, [], ["4: more than can be believed"]]);
  });

  test("that leaps for good is taken as reset", async () => {
    const record = await read(COUNTER, readings([10, 12, 5000, 5001, 5002]));
    expect([total_mm(record), record.gaps]).toEqual([4, [{ from: 3600, to: 7200 }]]);
    expect(deeds(record)).toEqual(["4: a counter that was reset: what fell before this line is not known"]);
  });

  test("that shows 0 once may have restarted or not: what fell around it is a gap", async () => {
    const record = await read(COUNTER, readings([10, 12, 0, 13, 14]));
    expect([total_mm(record), record.gaps]).toEqual([3, [{ from: 3600, to: 10800 }]]);
    expect(deeds(record)).toEqual([
      "4: a counter that falls", "5: a counter that was reset or misread: what fell before this line is not known",
    ]);
  });

  test("that restarts each day keeps its rain when told so", async () => {
    const record = await read(COUNTER, readings([10, 12, 0.4, 13, 0]), { restarts: true });
    expect([total_mm(record), record.gaps, deeds(record)]).toEqual([15, [], []]);
    expect(record.notes).toEqual(["The counter restarts from 0 at times; what fell between its last reading and that is not known."]);
  });

  test("that only falls is refused line by line", async () => {
    const record = await read(COUNTER, readings([10, 12, 9, 6, 3]));
    expect([total_mm(record), deeds(record)]).toEqual([2, ["4: a counter that falls", "5: a counter that falls", "6: a counter that falls"]]);
  });
});

describe("tips", () => {
  test("of one second are one, of one minute as many as there are lines", async () => {
    const seconds = await read("tip time", ["2026-03-01 00:01:10", "2026-03-01 00:01:10", "2026-03-01 00:01:11"], { tip: "0.2 mm" });
    expect([total_mm(seconds), deeds(seconds)]).toEqual([0.4, ["3: said twice, dropped"]]);
    const minutes = await read("tip time", ["2026-03-01 00:01", "2026-03-01 00:01", "2026-03-01 00:02"], { tip: "0.2 mm" });
    expect([total_mm(minutes), deeds(minutes)]).toEqual([0.6, []]);
    expect(minutes.notes[1]).toBe("Some tips are stamped to the minute and share one; each of them counts.");
  });

  test("of a bucket that chatters count up to what the world has seen in 5 min", async () => {
    const lines = Array.from({ length: 3000 }, (_, i) => new Date(Date.UTC(2026, 2, 1, 0, 1) + 10 * i).toISOString());
    const record = await read("tip time", lines, { tip: "0.2 mm" });
    // 421.6 mm (5 min / 1 h)^0.475 is 129.5 mm (derived): 647 tips
    expect([record.linesRead, record.counts["more than can be believed"], deeds(record)[0]]).toEqual([647, 2353, "649: more than can be believed"]);
  });

  test("of two files that overlap count once", async () => {
    const first = ["2026-03-01 00:01", "2026-03-01 00:01", "2026-03-01 00:09", "2026-03-01 00:20"];
    const record = await read("tip time", [...first, ...first.slice(1), "2026-03-01 00:31"], { tip: "0.2 mm" });
    expect([total_mm(record), deeds(record)]).toEqual([1, ["6: said twice, dropped", "7: said twice, dropped", "8: said twice, dropped"]]);
  });
});
