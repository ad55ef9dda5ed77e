import { expect, test } from "vitest";
import { depthDuration } from "../../lib/rain/storms/depthDuration.ts";
import { frequencyCsv } from "../../lib/rain/storms/frequencyCsv.ts";
import { rainFrequency } from "../../lib/rain/storms/rainFrequency.ts";
import { expectClose } from "../closeTo.ts";

// NOAA Atlas 14 Volume 9 Version 2 at 26.6 N, 81.9 W, as the server answered on 7 June 2026, in a stored copy; rows past 24 h left out
const DOWNLOADED = `Point precipitation frequency estimates (inches)
NOAA Atlas 14 Volume 9 Version 2
Data type: Precipitation depth
Time series type: Partial duration
Project area: Southeastern States
Location name (ESRI Maps): None
Station Name: None
Latitude: 26.6 Degree
Longitude: -81.9 Degree
Elevation (USGS): None None


PRECIPITATION FREQUENCY ESTIMATES
by duration for ARI (years):, 1,2,5,10,25,50,100,200,500,1000
5-min:, 0.553,0.620,0.731,0.822,0.950,1.05,1.15,1.25,1.38,1.48
10-min:, 0.810,0.908,1.07,1.20,1.39,1.54,1.68,1.83,2.02,2.17
15-min:, 0.988,1.11,1.30,1.47,1.70,1.87,2.05,2.23,2.47,2.65
30-min:, 1.60,1.79,2.11,2.37,2.74,3.02,3.31,3.60,3.99,4.28
60-min:, 2.14,2.38,2.79,3.13,3.62,4.00,4.38,4.78,5.32,5.74
2-hr:, 2.69,2.98,3.47,3.90,4.49,4.97,5.46,5.97,6.66,7.20
3-hr:, 2.92,3.25,3.81,4.30,4.99,5.54,6.11,6.71,7.53,8.17
6-hr:, 3.23,3.70,4.50,5.18,6.16,6.94,7.75,8.60,9.76,10.7
12-hr:, 3.49,4.18,5.35,6.36,7.79,8.94,10.1,11.3,13.0,14.3
24-hr:, 4.01,4.76,6.09,7.28,9.05,10.5,12.1,13.7,16.1,18.0

Date/time (GMT):  Sun Jun  7 12:00:00 2026
pyRunTime:  0.0074803829193115234
`;

test("the server's CSV is a table with its kind, its source, its place and its date", () => {
  const { table, upper, lower } = frequencyCsv(DOWNLOADED);
  expect([table.unit, table.series, upper, lower]).toEqual(["in", "partial-duration", null, null]);
  expect([table.source, table.place, table.date]).toEqual(["NOAA Atlas 14 Volume 9 Version 2", "26.6, -81.9", "Sun Jun  7 12:00:00 2026"]);
  expect(table.returnPeriods).toEqual(["1 year", "2 year", "5 year", "10 year", "25 year", "50 year", "100 year", "200 year", "500 year", "1000 year"]);
  expectClose(depthDuration({ rainfall: table, returnPeriod: "10 year" })(3600), 3.13 * 0.0254, { relative: 1e-12, because: "as printed" });
  expectClose(depthDuration({ rainfall: table, returnPeriod: "100 year" })(86400), 12.1 * 0.0254, { relative: 1e-12, because: "as printed" });
  expect(rainFrequency(table)!.durations).toHaveLength(10);
});

test("intensities in millimetres, chances a year and the ends of the band are read too (their form from memory)", () => {
  const part = (title: string, values: string): string => `${title}\nby duration for AEP:, 1/2,1/10\n5-min:, ${values}\n60-min:, 30,44\n\n`;
  const { table, upper, lower } = frequencyCsv([
    "Point precipitation frequency estimates (millimeters/hour)\r\nNOAA Atlas 14 Volume 2 Version 3\r\nData type: Precipitation intensity\r",
    "Time series type: Annual maximum", part("PRECIPITATION FREQUENCY ESTIMATES", "120,180"),
    part("UPPER BOUND OF 90% CONFIDENCE INTERVAL", "140,210"), part("LOWER BOUND OF 90% CONFIDENCE INTERVAL", "100,150"),
  ].join("\n"));
  expect(table).toEqual({
    unit: "mm/h", series: "annual-maximum", source: "NOAA Atlas 14 Volume 2 Version 3", returnPeriods: ["2 year", "10 year"],
    rows: { "5 min": [120, 180], "60 min": [30, 44] },
  });
  expect([upper!.rows["5 min"], lower!.rows["5 min"]]).toEqual([[140, 210], [100, 150]]);
});

test("says all that such a file lacks", () => {
  expect(() => frequencyCsv("interval end,rain [mm]\n2026-01-01,3\n")).toThrow([
    "The table of rain cannot be read:",
    "  unit: expected inches or millimeters in brackets on the first line, got none",
    '  time series type: expected "Partial duration" or "Annual maximum", got nothing',
    '  table: expected a line "by duration for ARI (years):, 1,2,5, …", got none',
  ].join("\n"));
});
