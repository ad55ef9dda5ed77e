import { expect, test } from "vitest";
import { depthDuration } from "../../lib/rain/storms/depthDuration.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { frequencyGrid, gridCellText, gridNames, type GridFile } from "../../lib/rain/storms/frequencyGrid.ts";
import { rainFrequency } from "../../lib/rain/storms/rainFrequency.ts";
import { expectClose } from "../closeTo.ts";

// Deutscher Wetterdienst, KOSTRA-DWD-2010R, cell 49011 (depths as a stored copy of an open dataset's description prints them; its column of
// 100 years is cut off there) and cell 2022 of the one hour's file as a stored copy of that file has it; -99.9 outside the country
const ROWS: Readonly<Record<string, string>> = {
  "0005": "5.6;6.9;7.7;8.7;10;11.3;12.1;13.1", "0010": "8.6;10.6;11.7;13.1;15.1;17.1;18.2;19.6", "0015": "10.5;13;14.4;16.2;18.6;21.1;22.5;24.3",
  "0020": "11.8;14.7;16.4;18.5;21.4;24.3;25.9;28.1", "0030": "13.5;17.1;19.2;21.9;25.5;29.1;31.2;33.9", "0045": "14.9;19.4;22.1;25.4;29.9;34.4;37.1;40.4",
  "0060": "15.7;21;24.1;28;33.3;38.7;41.8;45.7", "0120": "18.8;24.4;27.7;31.9;37.5;43.1;46.4;50.6", "1440": "35.9;42.8;46.8;51.9;58.8;65.8;69.8;74.9",
};
const HEAD = "INDEX_RC;HN_001A;HN_002A;HN_003A;HN_005A;HN_010A;HN_020A;HN_030A;HN_050A";
const files: readonly GridFile[] = Object.entries(ROWS).map(([minutes, row]) => ({
  name: `rain/StatRR_KOSTRA-DWD-2010R_D${minutes}.csv`, text: `${HEAD}\r\n0;-99.9;-99.9;-99.9;-99.9;-99.9;-99.9;-99.9;-99.9\r\n49011;${row}\r\n`,
}));

test("a cell of the grid is a table with its source, its place and its kind", () => {
  const { table, upper, lower } = frequencyGrid(files, 49011);
  expect([table.unit, table.series, upper, lower]).toEqual(["mm", "partial-duration", null, null]);
  expect([table.source, table.place]).toEqual(["Deutscher Wetterdienst, KOSTRA-DWD-2010R", "cell 49011 of its grid"]);
  expect(table.returnPeriods).toEqual(["1 year", "2 year", "3 year", "5 year", "10 year", "20 year", "30 year", "50 year"]);
  expect(Object.keys(table.rows)).toEqual(["5 min", "10 min", "15 min", "20 min", "30 min", "45 min", "60 min", "120 min", "1440 min"]);
  expectClose(depthDuration({ rainfall: table, returnPeriod: "20 year" })(3600), 0.0387, { relative: 1e-12, because: "as published" });
  expect(rainFrequency(table)!.durations).toHaveLength(9);
});

test("the second type of Euler made of it has the greatest five minutes as the fourth of twelve blocks", () => {
  // the depths of 20 years in 5 to 60 min, 11.3 to 38.7 mm, and the rule of three tenths: common practice in Germany, from memory
  const { table } = frequencyGrid(files, 49011);
  const { depth } = designStorm({ pattern: "euler-2", duration: "60 min", rainfall: table, returnPeriod: "20 year" });
  const blocks = Array.from(depth, (each) => Math.round(1e4 * each) / 10);
  expect(blocks.slice(0, 4)).toEqual([3.2, 4, 5.8, 11.3]);
  expect(Math.max(...blocks)).toBe(11.3);
});

test("decimal commas, columns of uncertainty and minutes in five digits, as in the edition of 2020 (their form from a description of it)", () => {
  const late = (minutes: string, row: string): GridFile => ({
    name: `StatRR_KOSTRA-DWD-2020_D${minutes}.csv`, text: `INDEX_RC;HN_002A;HN_010A;UC_002A;UC_010A\n118111;${row}\n`,
  });
  const { table, upper, lower } = frequencyGrid([late("01440", "45,0;60,0;10;20"), late("00060", "20,5;30,0;10;20")], 118111);
  expect([table.source, table.rows]).toEqual(["Deutscher Wetterdienst, KOSTRA-DWD-2020", { "60 min": [20.5, 30], "1440 min": [45, 60] }]);
  expectClose(upper!.rows["60 min"]![1]!, 36, { relative: 1e-12, because: "20 percent more" });
  expectClose(lower!.rows["60 min"]![0]!, 18.45, { relative: 1e-12, because: "10 percent less" });
});

test("everything that is wrong with the files is said at once", () => {
  const told = (list: readonly GridFile[], cell: number): string => {
    try {
      frequencyGrid(list, cell);
      return "";
    } catch (error) {
      return (error as Error).message;
    }
  };
  expect(told(files, 0)).toContain("rain/StatRR_KOSTRA-DWD-2010R_D0005.csv, cell 0, HN_001A: expected a depth in mm, got -99.9, as cells outside the country have it");
  expect(told(files, 0).split("\n").length).toBeGreaterThan(9);
  expect(told(files, 5)).toContain("D0005.csv: expected one line of cell 5, got 0");
  expect(told(files.slice(0, 1), 49011)).toContain("files: expected tables of two durations or more, got 1");
  expect(told(files, 4.5)).toContain("cell: expected the INDEX_RC of a cell, a whole number, got 4.5");
  expect(told([{ name: "a.csv", text: "INDEX_RC;RN_001A\n1;2\n" }, { name: "b_D0010.csv", text: "" }], 1)).toBe([
    "The grid of rain cannot be read:", "  a.csv: expected a name that ends in the minutes, such as _D00060.csv, got a.csv",
    "  a.csv, line 1: expected INDEX_RC and columns of depths such as HN_010A, got INDEX_RC;RN_001A",
    "  b_D0010.csv, line 1: expected INDEX_RC and columns of depths such as HN_010A, got nothing",
  ].join("\n"));
  const other = { name: "c_D0600.csv", text: "INDEX_RC;HN_001A\n49011;20\n" };
  expect(told([...files, other], 49011)).toContain("c_D0600.csv: expected the return periods 1, 2, 3, 5, 10, 20, 30, 50, got 1");
});

test("a file is named with a star for its minutes, and its cell's lines go with a paper", () => {
  expect(gridNames("rain/a_D*.csv").slice(0, 2)).toEqual([["rain/a_D0005.csv", "rain/a_D00005.csv"], ["rain/a_D0010.csv", "rain/a_D00010.csv"]]);
  expect(gridNames("rain/a_D*.csv")).toHaveLength(22);
  const text = gridCellText(files.find(({ name }) => name.endsWith("0060.csv"))!.text, 49011);
  expect(text).toBe(`${HEAD}\n49011;${ROWS["0060"]!}\n`);
  const cut = files.map(({ name, text: whole }) => ({ name, text: gridCellText(whole, 49011) }));
  expect(frequencyGrid(cut, 49011)).toEqual(frequencyGrid(files, 49011));
});
