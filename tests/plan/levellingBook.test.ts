import { describe, expect, test } from "vitest";
import { levellingBook, type LevellingBook } from "../../lib/plan/levellingBook.ts";

const levels = ({ points }: LevellingBook): Record<string, number> =>
  Object.fromEntries(points.map(({ name, level }) => [name, Number(level.toFixed(4))]));

describe("the reduction of a levelling book", () => {
  test("a published exercise, three set-ups: every level as printed", () => {
    // ACET108, Levelling example (a course sheet, read 29 November 2026 on pl.scribd.com/document/398750326): by rise and fall and by
    // height of
    // collimation; its checks: sum of back sights less fore sights 3.340 - 4.700 = -1.360 = 48.640 - 50.000
    const book = levellingBook({
      benchmark: "50.000 m",
      setUps: [
        [
          ["benchmark", "1.400 m"],
          ["A", "1.235 m"],
          ["B", "1.870 m"],
        ],
        [
          ["B", "1.355 m"],
          ["C", "3.340 m"],
          ["D", "1.975 m"],
        ],
        [
          ["D", "0.585 m"],
          ["E", "0.855 m"],
        ],
      ],
    });
    expect(levels(book)).toEqual({ benchmark: 50, A: 50.165, B: 49.53, C: 47.545, D: 48.91, E: 48.64 });
    expect(book.heightsOfInstrument.map((each) => Number(each.toFixed(3)))).toEqual([51.4, 50.885, 49.495]);
    expect(book.closing).toBeNull();
    expect(book.note).toBe("Nothing was read twice, so the book cannot be checked: read the benchmark once more from the last set-up.");
  });

  test("a published book with a staff held upside down under a bridge", () => {
    // Papua New Guinea University of Technology, Lecture two, Level books & arithmetic checks (read 29 November 2026 as scribd 462952948)
    const book = levellingBook({
      benchmark: "40.000 m",
      setUps: [
        [
          ["benchmark", "6.482 m"],
          ["CP1", "2.159 m"],
        ],
        [
          ["CP1", "5.844 m"],
          ["C", "3.141 m"],
          ["D", "-2.956 m"],
          ["E", "5.600 m"],
          ["CP2", "7.318 m"],
        ],
        [
          ["CP2", "4.298 m"],
          ["F", "3.015 m"],
          ["BM2", "4.264 m"],
        ],
      ],
    });
    expect(levels(book)).toEqual({ benchmark: 40, CP1: 44.323, C: 47.026, D: 53.123, E: 44.567, CP2: 42.849, F: 44.132, BM2: 42.883 });
  });

  test("a published loop in feet, which the page it stands on calls exact: it is a tenth of a foot off", () => {
    // an exam's level notes, BM A 250 (read 29 November 2026 on smartsolve.ai); by hand: back sights 20.61 = fore sights 4.53 + 2.81 +
    // 6.54 + 6.83 - 0.10
    const book = levellingBook(
      {
        benchmark: "250 ft",
        setUps: [
          [
            ["benchmark", "5.65 ft"],
            ["TP 1", "4.53 ft"],
          ],
          [
            ["TP 1", "6.77 ft"],
            ["TP 2", "2.81 ft"],
          ],
          [
            ["TP 2", "4.23 ft"],
            ["MH", "12.11 ft"],
            ["CB", "11.08 ft"],
            ["TP 3", "6.54 ft"],
          ],
          [
            ["TP 3", "3.96 ft"],
            ["benchmark", "6.83 ft"],
          ],
        ],
      },
      "us",
    );
    const feet = Object.fromEntries(book.points.map(({ name, asRead }) => [name, Number((asRead / 0.3048).toFixed(2))]));
    expect(feet).toMatchObject({ "TP 1": 251.12, "TP 2": 255.08, MH: 247.2 });
    // 5.65 + 6.77 + 4.23 + 3.96 - 4.53 - 2.81 - 6.54 - 6.83 = -0.10 ft: the page that calls it exact has added wrongly
    expect(book.closures).toHaveLength(1);
    expect(book.closures[0]!.off / 0.3048).toBeCloseTo(-0.1, 10);
    expect(book.closing!.isWithin).toBe(false);
  });

  test("a published book between two benchmarks: the misclosure, and each set-up's equal share of it", () => {
    // An exercise between TBM 175.5 and TBM 168.50 whose solution reduces to 168.334 (read 29 November 2026 on
    // wizedu.com/questions/93661); that a
    // misclosure is "distributed through the survey linearly": Curtin University, Series levelling. 0.166 m over four set-ups is 0.0415 m
    // each
    const setUps = [
      [
        ["benchmark", "1.379 m"],
        ["PEG 1", "2.795 m"],
        ["PEG 2", "3.215 m"],
        ["PEG 3", "0.595 m"],
        ["PEG 4", "1.270 m"],
        ["CP B", "3.215 m"],
      ],
      [
        ["CP B", "1.280 m"],
        ["PEG 5", "1.030 m"],
        ["PEG 6", "3.045 m"],
        ["CP C", "3.815 m"],
      ],
      [
        ["CP C", "2.312 m"],
        ["CP D", "3.227 m"],
      ],
      [
        ["CP D", "1.743 m"],
        ["PEG 7", "2.735 m"],
        ["TBM", "3.623 m"],
      ],
    ] as [string, string][][];
    const plain = levellingBook({ benchmark: "175.5 m", setUps });
    expect(levels(plain)).toEqual({
      benchmark: 175.5,
      "PEG 1": 174.084,
      "PEG 2": 173.664,
      "PEG 3": 176.284,
      "PEG 4": 175.609,
      "CP B": 173.664,
      "PEG 5": 173.914,
      "PEG 6": 171.899,
      "CP C": 171.129,
      "CP D": 170.214,
      "PEG 7": 169.222,
      TBM: 168.334,
    });
    const known = { TBM: "168.50 m" };
    const told = levellingBook({ benchmark: "175.5 m", known, setUps });
    expect(told.closures[0]!.off).toBeCloseTo(-0.166, 10);
    expect(told.note).toContain("does not close");
    expect(levels(told)["CP C"]).toBe(171.129);
    // "can be assumed acceptable", says the exercise: then it is adjusted
    const adjusted = levels(levellingBook({ benchmark: "175.5 m", known, setUps, readingError: "60 mm" }));
    expect(
      [adjusted["CP B"]! - 173.664, adjusted["CP C"]! - 171.129, adjusted["CP D"]! - 170.214].map((each) => Number(each.toFixed(4))),
    ).toEqual([0.0415, 0.083, 0.1245]);
  });

  test("a foot misread is told as such, and nothing is adjusted by it", () => {
    const book = levellingBook(
      {
        benchmark: "100 ft",
        setUps: [
          [
            ["benchmark", "4.20 ft"],
            ["lid", "7.31 ft"],
          ],
          [
            ["lid", "3.05 ft"],
            ["benchmark", "0.94 ft"],
          ],
        ],
      },
      "us",
    );
    expect(book.note).toBe(
      "The book does not close: “benchmark” read again comes out 12.00 in lower, and 0.47 in is allowed over 2 set-ups. " +
        "That is a whole foot: probably one reading was taken down wrong by it. Read again before anything is built on it.",
    );
  });

  test("all that is wrong is said at once", () => {
    expect(() =>
      levellingBook({
        benchmark: "100",
        setUps: [
          [
            ["benchmark", "1 m"],
            ["A", "2"],
          ],
          [
            ["B", "1 m"],
            ["C", "2 m"],
          ],
        ],
      } as never),
    ).toThrow(
      /benchmark: expected a length.*without a unit\n.*setUps\[0\]\[1\]\[1\]: expected a length.*\n.*setUps\[1\]: expected a reading of a point that is known by then \(benchmark, A\), got B, C$/s,
    );
  });
});
