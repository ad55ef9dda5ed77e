import { describe, expect, test } from "vitest";
import { yardOf } from "../../lib/yard/yard.ts";
import { answersOf, factKeys, readAnswers, type Answers } from "../../lib/yard/questions.ts";

const lawn: Answers = {
  "name": "Alder Close", "region": "US", "rain": "1.5", "roof": "42 x 28 - 10 x 8 + 20 x 12'6\"", "reading 1 benchmark": "4.21", "reading 1 house": "3' 6\"", "reading 1 box": "4' 3½\"",
  "reading 1 pit": "5.1", "reading 1 lid": "7", "reading 1 benchmark again": "4.22", "boxToPit": "12", "pitToLid": "45", "houseToPit": "15 ft",
  "soil": "loam", "groundwater": "none 8", "room": "30 x 12", "wanted": "dry lawn in a normal storm",
};

describe("what was typed becomes a survey", () => {
  test("in the words of a site file, with the person's own figures", () => {
    const { told, problems, asks, facts } = readAnswers(lawn);
    expect([problems, asks, facts]).toEqual([{}, {}, 12]);
    expect(told).toEqual({
      name: "Alder Close", region: "US",
      survey: {
        rain: "1.5 in", roof: [{ length: "42 ft", width: "28 ft", notchLength: "10 ft", notchWidth: "8 ft" }, { length: "20 ft", width: "12'6\"" }], benchmark: "100 ft",
        setUps: [[["benchmark", "4.21 ft"], ["house", "3' 6\""], ["box", "4' 3 1/2\""], ["pit", "5.1 ft"], ["lid", "7 ft"], ["benchmark", "4.22 ft"]]],
        distances: { houseToPit: "15 ft", boxToPit: "12 ft", pitToLid: "45 ft" }, room: { length: "30 ft", width: "12 ft" }, soil: { texture: "loam" }, groundwater: { noneTo: "8 ft" },
        wanted: "dry lawn in a normal storm",
      },
    });
  });

  test("in whatever order it was typed, the same", () => {
    expect(readAnswers(Object.fromEntries(Object.entries(lawn).reverse()))).toEqual(readAnswers(lawn));
  });

  test("the town's table stands for the rain: an hour of 2 years is a normal storm, one of 100 years a bad one", () => {
    // of the invented table of Copperbeech Lane: 1.5 in and 3.2 in in 60 minutes
    const table = { unit: "in/hr", returnPeriods: ["2 year", "10 year", "100 year"], rows: { "30 min": [2.4, 3.5, 4.6], "60 min": [1.5, 2.3, 3.2] } };
    const { rain: _, ...others } = lawn;
    const told: Answers = { ...others, "rain table": JSON.stringify(table) };
    const read = readAnswers(told);
    expect([read.problems, read.facts, read.told!.survey["rainfall"]]).toEqual([{}, 12, table]);
    const { rain, assumed } = yardOf(read.told!);
    expect([rain.normal / 0.0254, rain.bad / 0.0254].map((inches) => Number(inches.toFixed(9)))).toEqual([1.5, 3.2]);
    expect(rain.isAssumed).toBe(false);
    expect(assumed).toContain("By the town’s table a normal storm is the hour of 2 years, 1.50 in, and a bad one that of 100 years, 3.20 in.");
    expect(readAnswers(answersOf(read.told!)).told).toEqual(read.told);
    expect(readAnswers({ ...told, rain: "1.5" }).problems).toEqual({ rain: "expected a depth of rain or the town’s table, got both" });
    const short = JSON.stringify({ ...table, returnPeriods: ["10 year"], rows: { "30 min": [3.5], "60 min": [2.3] } });
    expect(readAnswers({ ...told, "rain table": short }).problems["rain"]).toContain("the table: depthDuration.returnPeriod: expected ");
    const bare = readAnswers({ ...told, "rain table": "[1]" });
    expect(bare.problems["rain"]).toBe('the table: expected a table (with "rows") or the UK method (with "m5_60"), got a list of 1');
  });

  test("the hour's rain may be said as a rate", () => {
    for (const rain of ["1.5 in/hr", "1.5 in / h", "1.5 in per hour", "1.5 in in an hour", "1.5/hr"])
      expect([rain, readAnswers({ ...lawn, rain }).told?.survey["rain"]]).toEqual([rain, "1.5 in"]);
    expect(readAnswers({ ...lawn, rain: "1.5 in/day" }).told).toBeNull();
  });

  test("twelve facts, and not known is none of them", () => {
    expect(factKeys).toHaveLength(12);
    expect(readAnswers({ ...lawn, soil: "not yet", groundwater: "not known", rain: "?" })).toMatchObject({ facts: 9, problems: {} });
    expect(readAnswers({ region: "GB" })).toMatchObject({ told: null, facts: 1, lacking: ["the roof", "a reading at the box", "a reading at the pit"] });
  });

  test("distances that the tape from two corners tells count too, and a depth that is not typed yet is asked for", () => {
    const { boxToPit: _box, pitToLid: _lid, ...rest } = lawn;
    expect(readAnswers(rest).facts).toBe(10);
    const tape = { "tape corners": "36", "tape A box": "10", "tape B box": "31", "tape A pit": "20", "tape B pit": "27" };
    expect(readAnswers({ ...rest, ...tape }).facts).toBe(11);
    expect(readAnswers({ ...rest, ...tape, "tape A lid": "57", "tape B lid": "62" }).facts).toBe(12);
    expect(readAnswers({ ...lawn, groundwater: "none" }).problems).toEqual({ groundwater: "Down to what depth was there none?" });
    expect(readAnswers({ ...lawn, groundwater: "seen" }).problems).toEqual({ groundwater: "At what depth was it seen?" });
  });

  test("a point counts from whichever place it was read", () => {
    const { "reading 1 lid": _lid, ...rest } = lawn;
    expect(readAnswers(rest).facts).toBe(11);
    expect(readAnswers({ ...rest, "reading 2 pit": "2.6", "reading 2 lid": "4.5" }).facts).toBe(12);
  });

  test("metres with a decimal comma, a country by its name", () => {
    const { told, units } = readAnswers({ ...lawn, "region": "Germany", "rain": "22,5", "roof": "150 qm", "reading 1 lid": "2,135", "pitToLid": "12,5", "reading 1 house": "1,1", "reading 1 box": "1,3 m", "boxToPit": "3,5", "houseToPit": "6", "room": "9 x 3,5", "groundwater": "seen 2,4 m" });
    expect(units).toBe("si");
    expect(told?.survey).toMatchObject({ rain: "22.5 mm", roofArea: "150 m^2", distances: { pitToLid: "12.5 m", boxToPit: "3.5 m" }, groundwater: { seen: "2.4 m" } });
  });

  test("a unit that is unlikely for the place is asked back, and an equals sign says that it is meant", () => {
    expect(readAnswers({ ...lawn, pitToLid: "14 m" }).asks).toEqual({ pitToLid: "14 m is 45.9 ft: is that the unit you mean, where others are in ft?" });
    expect(readAnswers({ ...lawn, pitToLid: "=14 m" })).toMatchObject({ asks: {}, told: { survey: { distances: { pitToLid: "14 m" } } } });
    expect(readAnswers({ ...lawn, rain: "38" }).asks).toHaveProperty("rain");
  });

  test("a test at the hole by the watch and the tape", () => {
    const { told, problems } = readAnswers({ ...lawn, "soil": "test at the hole", "hole diameter": "8", "hole bottom": "24", "fill 1": "8:15 11½; 8:45 13; 9:15 14 1/4", "fill 2": "9:20 am 11 1/2\n9:50 am 12¾" });
    expect(problems).toEqual({});
    expect(told?.survey["soil"]).toEqual({ test: {
      kind: "percolationHole", diameter: "8 in", bottomDown: "24 in",
      fills: [{ time: ["0 min", "30 min", "60 min"], down: ["11 1/2 in", "13 in", "14 1/4 in"] }, { time: ["0 min", "30 min"], down: ["11 1/2 in", "12 3/4 in"] }],
    } });
    expect(readAnswers({ ...lawn, "soil": "30 min/in", "hole diameter": "6", "hole water": "12" }).told?.survey["soil"]).toEqual({ test: { kind: "percolationHole", diameter: "6 in", waterDepth: "12 in", minutesPerInch: 30 } });
    expect(readAnswers({ ...lawn, soil: "30 min/in" })).toMatchObject({
      told: null, problems: {}, facts: 11,
      waiting: { soil: "Of the hole in which the minutes were read are still to be told: its diameter, and how deep the water stood." },
    });
  });

  test("a second place of the instrument, and tape from two corners", () => {
    const { told } = readAnswers({ ...lawn, "reading 2 lid": "3.0", "reading 2 low point": "6.2", "reading 2 benchmark again": "0.2", "tape corners": "40", "tape A pit": "28", "tape B pit": "31" });
    expect(told?.survey).toMatchObject({ tape: { corners: "40 ft", points: [{ point: "pit", fromA: "28 ft", fromB: "31 ft" }] } });
    expect((told?.survey["setUps"] as unknown[])[1]).toEqual([["lid", "3.0 ft"], ["low point", "6.2 ft"], ["benchmark", "0.2 ft"]]);
  });

  test.each<[string, Answers]>([
    ["as told", {}], ["with a rate", { soil: "0.5 in/hr" }], ["with nothing known", { soil: "not yet", groundwater: "not known", rain: "", room: "" }],
    ["with a unit that was meant", { pitToLid: "=14 m" }], ["with tape and a second set-up", { "tape corners": "40", "tape A pit": "28", "tape B pit": "31", "reading 2 lid": "3.0", "reading 2 benchmark": "0.2" }],
    ["with a test", { "soil": "test at the hole", "hole diameter": "8", "hole bottom": "24", "fill 1": "8:15 11½; 8:45 13; 9:15 14 1/4" }],
    ["with minutes for an inch", { "soil": "30 min/in", "hole diameter": "6", "hole water": "12" }],
  ])("a survey asked on from itself is itself, %s", (_, more) => {
    const { told, facts } = readAnswers({ ...lawn, ...more });
    expect(told).not.toBeNull();
    const again = readAnswers(answersOf(told!));
    expect([again.told, again.asks, again.facts]).toEqual([told, {}, facts]);
  });

  test.each<[string, string]>([["roof", "42 x"], ["roof", "10 x 8 - 2 x 2 - 3 x 3"], ["groundwater", "deep"], ["wanted", "a pond"], ["soil", "mud"], ["region", "Atlantis"], ["boxToPit", "-3"]])("%s: %s is refused in words", (key, text) => {
    const { told, problems } = readAnswers({ ...lawn, [key]: text });
    expect(told).toBeNull();
    expect(problems[key]).toMatch(/^expected .*, got "/);
  });
});
