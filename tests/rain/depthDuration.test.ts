import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { depthDuration, type RainfallChoice } from "../../lib/rain/storms/depthDuration.ts";

/**
 * In/h, a table such as NOAA Atlas 14 Vol. 2 prints for a station (annual-maximum series): second-hand, the station unknown. What is
 * tested is how a table is read, not its figures.
 */
const ATLAS_14 = {
  unit: "in/hr",
  returnPeriods: ["2 year", "5 year", "10 year", "25 year", "50 year", "100 year", "200 year", "500 year"],
  rows: {
    "5 min": [5.18, 6.34, 7.14, 7.92, 8.46, 8.94, 9.34, 9.79],
    "10 min": [4.15, 5.08, 5.71, 6.31, 6.73, 7.1, 7.41, 7.75],
    "15 min": [3.48, 4.28, 4.81, 5.33, 5.68, 5.98, 6.23, 6.5],
    "30 min": [2.4, 3.04, 3.49, 3.95, 4.28, 4.58, 4.85, 5.18],
    "60 min": [1.51, 1.95, 2.27, 2.63, 2.9, 3.16, 3.4, 3.71],
    "2 h": [0.882, 1.15, 1.35, 1.59, 1.77, 1.95, 2.13, 2.35],
  },
} as const;

const INCH = 0.0254;

function messageOf(choice: unknown): string {
  try {
    depthDuration(choice as RainfallChoice);
  } catch (error) {
    return (error as Error).message;
  }
  throw new Error("was accepted");
}

describe("a table of rainfall", () => {
  test("gives back every cell it was typed with", () => {
    ATLAS_14.returnPeriods.forEach((returnPeriod, j) => {
      const depth = depthDuration({ rainfall: ATLAS_14, returnPeriod });
      for (const [name, minutes] of [["5 min", 5], ["30 min", 30], ["2 h", 120]] as const) {
        expect(depth(minutes * 60) / INCH / (minutes / 60)).toBeCloseTo(ATLAS_14.rows[name][j]!, 12);
      }
    });
  });

  test("is straight in the logarithms between durations and between return periods", () => {
    // derived: at the geometric mean of two durations the geometric mean of their depths, and so for return periods
    const ten = depthDuration({ rainfall: ATLAS_14, returnPeriod: "10 year" });
    expect(ten(Math.sqrt(300 * 600))).toBeCloseTo(Math.sqrt(ten(300) * ten(600)), 15);
    const between = depthDuration({ rainfall: ATLAS_14, returnPeriod: `${Math.sqrt(2 * 5)} year` });
    expect(between(3600) / INCH).toBeCloseTo(Math.sqrt(1.51 * 1.95), 10);
  });

  test("may hold depths, in any unit, for one return period", () => {
    const table = { unit: "mm", returnPeriods: ["30 year"], rows: { "1 h": [30], "15 min": [18] } };
    expect(depthDuration({ rainfall: table })(900)).toBeCloseTo(0.018, 15);
    expect(depthDuration({ rainfall: table, climateFactor: 1.4 })(3600)).toBeCloseTo(0.042, 15);
  });

  test("goes beyond its durations and return periods only when told to", () => {
    const ten = depthDuration({ rainfall: ATLAS_14, returnPeriod: "10 year" });
    expect(() => ten(60)).toThrow(
      "The rainfall table does not cover the storm:\n  depthDuration.rainfall: expected a duration from 5 min to 120 min, or extrapolate: true, got 1 min",
    );
    expect(messageOf({ rainfall: ATLAS_14, returnPeriod: "1000 year" })).toContain(
      'depthDuration.returnPeriod: expected 2 year to 500 year, or the table\'s extrapolate: true, got "1000 year"',
    );
    const beyond = depthDuration({ rainfall: { ...ATLAS_14, extrapolate: true }, returnPeriod: "1000 year" });
    // derived: the last straight piece of the logarithms goes on
    const five = depthDuration({ rainfall: ATLAS_14, returnPeriod: "500 year" });
    const two = depthDuration({ rainfall: ATLAS_14, returnPeriod: "200 year" });
    const exponent = Math.log(five(3600) / two(3600)) / Math.log(500 / 200);
    expect(beyond(3600)).toBeCloseTo(five(3600) * 2 ** exponent, 12);
    expect(beyond(60)).toBeGreaterThan(0);
  });

  test("may have one depth twice, as rounded tables do, and no less", () => {
    const rows = (depths: readonly [number, number]): object => ({ unit: "mm", returnPeriods: ["2 year", "5 year"], rows: { "5 min": depths, "10 min": [9, 9] } });
    expect(depthDuration({ rainfall: rows([9, 9]), returnPeriod: "5 year" } as RainfallChoice)(450)).toBeCloseTo(0.009, 12);
    expect(messageOf({ rainfall: rows([9, 8.9]), returnPeriod: "5 year" })).toContain("expected no less than at the return period before (9 mm), got 8.9 mm");
  });

  test("with slips in it is refused with all of them", () => {
    const rainfall = { unit: "in/h", returnPeriods: ["10 year", "2 year"], rows: { "5 min": [5.18, 6.34], "ten min": [4.15], "15 min": [1, "x"] } };
    expect(messageOf({ rainfall, returnPeriod: "5 year" })).toBe(
      [
        "The rainfall cannot be used:",
        'depthDuration.rainfall.rows["ten min"]: expected a time such as "10 min", "24 h" or "3 day", got "ten min"',
        'depthDuration.rainfall.rows["ten min"]: expected as many numbers as return periods (2), got 1',
        'depthDuration.rainfall.rows["15 min"][1]: expected a number above 0, got x',
        'depthDuration.rainfall.returnPeriods[1]: expected longer than 10 year, got 2 year',
        'depthDuration.rainfall.rows["15 min"][0]: expected no less depth than in "5 min" (10.96 mm), got 6.35 mm',
      ].join("\n  "),
    );
  });
});

describe("an equation of rainfall", () => {
  test.each([
    // derived from the forms: i in in/h at 30 min
    [{ form: "a/(t+b)^c", a: 66.508, b: 13.062, c: 0.8833 }, 66.508 / (30 + 13.062) ** 0.8833],
    [{ form: "a/(t+b)^c", a: 50, b: 10 }, 50 / 40],
    [{ form: "a/(t+b)^c", a: 20, c: 0.7 }, 20 / 30 ** 0.7],
    [{ form: "c/(t^e+f)", c: 96.6, e: 0.97, f: 13.9 }, 96.6 / (30 ** 0.97 + 13.9)],
  ])("%o holds", (equation, intensity) => {
    const rainfall = { ...equation, intensityUnit: "in/hr", timeUnit: "min" } as RainfallChoice["rainfall"];
    expect(depthDuration({ rainfall })(1800) / INCH).toBeCloseTo(intensity / 2, 10);
    expect(depthDuration({ rainfall })(0)).toBe(0);
  });

  test("fits the table it was fitted to by 0.5 percent (least squares of this project's checks, not published)", () => {
    const rainfall = { form: "a/(t+b)^c", intensityUnit: "in/hr", timeUnit: "min", a: 66.508, b: 13.062, c: 0.8833 } as const;
    const table = depthDuration({ rainfall: ATLAS_14, returnPeriod: "2 year" });
    for (const minutes of [5, 10, 15, 30, 60, 120]) {
      expect(Math.abs(depthDuration({ rainfall })(minutes * 60) / table(minutes * 60) - 1)).toBeLessThan(0.0055);
    }
  });

  test("asks for its units and for no return period", () => {
    expect(messageOf({ rainfall: { form: "a/(t+b)^c", a: 5, b: -1, timeUnit: "mm" }, returnPeriod: "10 year" })).toBe(
      [
        "The rainfall cannot be used:",
        'depthDuration.rainfall.intensityUnit: expected a unit of intensity such as "in/hr", got nothing',
        'depthDuration.rainfall.timeUnit: expected a unit of time such as "min", got "mm"',
        "depthDuration.rainfall.b: expected a number of 0 or more, got -1",
        'depthDuration.returnPeriod: expected no such key (known here: climateFactor, rainfall), got "10 year"',
      ].join("\n  "),
    );
  });
});

describe("the UK method", () => {
  test("agrees with a public calculation sheet of 2017 for r 0.40, M5-60 20 mm within 1 percent (10 min to 24 h)", () => {
    // M10 depths [mm] read on the sheet: consultancy work, not a standard; it rounds M5 to 0.1 mm and Z2 to 0.01.
    const ten = depthDuration({ rainfall: { m5_60: "20 mm", r: 0.4 }, returnPeriod: "10 year" });
    const sheet = [
      [10, 12.69], [15, 15.5], [30, 19.84], [60, 24.8], [120, 30.01], [240, 35.38], [360, 38.72], [600, 42.96], [1440, 52.86],
    ] as const;
    for (const [minutes, depth_mm] of sheet) expect(Math.abs((ten(minutes * 60) * 1000) / depth_mm - 1)).toBeLessThan(0.01);
  });

  test("has 32.8 mm for the 5-year 6 hours of Sheffield, M5-60 20.5 mm and r 0.4 (Flood Studies Report, read second-hand)", () => {
    const five = depthDuration({ rainfall: { m5_60: "20.5 mm", r: 0.4 }, returnPeriod: "5 year" });
    // But for the growth factor of 1.02 that the remembered five-year column has at this depth.
    expect(Math.abs((five(6 * 3600) * 1000) / 1.025 - 32.8)).toBeLessThan(0.3);
  });

  test("has the 5-year hour for its 5-year hour, but for the remembered column of 1.03", () => {
    const five = depthDuration({ rainfall: { m5_60: "20 mm", r: 0.3 }, returnPeriod: "5 year" });
    expect(five(3600)).toBeCloseTo(0.0206, 12);
  });

  test("covers 5 min to 24 h and 1 to 100 years", () => {
    const rainfall = { m5_60: "20 mm", r: 0.4 };
    expect(() => depthDuration({ rainfall, returnPeriod: "10 year" })(2 * 86400)).toThrow("depthDuration.rainfall: expected a duration from 5 min to 1440 min, got 2880 min");
    expect(messageOf({ rainfall: { m5_60: "20 mm", r: 0.6 }, returnPeriod: "200 year" })).toContain("expected 1 year to 100 years");
  });

  test("grows with duration and return period everywhere (a slip of memory in a table would show)", () => {
    for (const r of [0.12, 0.15, 0.18, 0.21, 0.24, 0.27, 0.3, 0.33, 0.36, 0.39, 0.42, 0.45]) {
      for (const m5 of ["10 mm", "20 mm", "30 mm"]) {
        const depths = ["1 year", "2 year", "5 year", "10 year", "30 year", "100 year"].map((returnPeriod) => {
          const depth = depthDuration({ rainfall: { m5_60: m5, r }, returnPeriod });
          return [5, 10, 15, 30, 60, 120, 240, 360, 600, 1440].map((minutes) => depth(minutes * 60));
        });
        depths.forEach((row, i) => row.forEach((depth, j) => {
          if (j > 0) expect(depth).toBeGreaterThan(row[j - 1]!);
          if (i > 0) expect(depth).toBeGreaterThan(depths[i - 1]![j]!);
        }));
      }
    }
  });
});

describe("rainfall of no known kind", () => {
  test.each([
    [{ rainfall: {} }, "expected a table"],
    [{ rainfall: 3 }, "depthDuration.rainfall: expected an object of options, got 3"],
    [{}, "depthDuration.rainfall: expected an object of options, got nothing"],
    [{ rainfall: { row: {} } }, 'the keys row'],
  ])("%o is refused", (choice, message) => {
    expect(messageOf(choice)).toContain(message);
  });

  test("may be anything and still gives the one clear error", () => {
    fc.assert(
      fc.property(fc.anything(), (rainfall) => {
        fc.pre(typeof rainfall !== "function");
        expect(messageOf({ rainfall })).toContain("The rainfall cannot be used:");
      }),
    );
  });

  test("but a function of one's own serves", () => {
    expect(depthDuration({ rainfall: (duration) => duration * 1e-6, climateFactor: 2 })(100)).toBeCloseTo(2e-4, 15);
  });
});
