import { describe, expect, test } from "vitest";
import { quantity } from "../../lib/text/quantity.ts";
import { typedQuantity, typedSoilRate, typedTimes, type Typed } from "../../lib/text/typedQuantity.ts";

const length = (typed: string, units: "us" | "si" = "us"): Typed => typedQuantity(typed, { dimension: "length", unit: units === "us" ? "ft" : "m", units });
const area = (typed: string, units: "us" | "si" = "us"): Typed => typedQuantity(typed, { dimension: "area", unit: units === "us" ? "sq ft" : "m^2", units });

describe("what people type", () => {
  test.each<[string, string, number]>([
    // feet and inches by their definition, 0.3048 and 0.0254 m
    ["6' 4½\"", "6' 4 1/2\"", 76.5 * 0.0254], ["6′ 4 ½″", "6′ 4 1/2″", 76.5 * 0.0254], ["½ in", "1/2 in", 0.0127], ["4½ in", "4 1/2 in", 4.5 * 0.0254],
    ["3 ft. 2 in.", "3 ft 2 in", 38 * 0.0254], ["12", "12 ft", 12 * 0.3048], ["4.21", "4.21 ft", 4.21 * 0.3048], ["4 1/2", "4 1/2 ft", 4.5 * 0.3048],
    ["5' 7''", "5' 7\"", 67 * 0.0254], ["1,250 ft", "1250 ft", 1250 * 0.3048], ["12 FT", "12 ft", 12 * 0.3048], ["30 lf", "30 ft", 30 * 0.3048], [",5 ft", "0.5 ft", 0.1524],
  ])("%s in a country of feet", (typed, text, value) => {
    const read = length(typed);
    expect(read).toMatchObject({ text, ask: null });
    expect("value" in read ? read.value : NaN).toBeCloseTo(value, 12);
    expect(quantity(text, "length", "it")).toBe("value" in read ? read.value : NaN);
  });

  test.each<[string, string]>([["2,5 m", "2.5 m"], ["0,75", "0.75 m"], ["12", "12 m"], ["1.234,5 m", ""], ["85 cm", "85 cm"]])("%s in a country of metres", (typed, text) => {
    const read = length(typed, "si");
    if (text === "") expect(read).toEqual({ problem: expect.stringContaining('got "1.234,5 m"') as string });
    else expect(read).toMatchObject({ text, ask: null });
  });

  test("areas as roofers write them", () => {
    expect(area("1,600 sf")).toMatchObject({ text: "1600 sq ft", ask: null });
    expect(area("1600 Sq. Ft.")).toMatchObject({ text: "1600 sq ft" });
    expect(area("140 qm", "si")).toMatchObject({ text: "140 m^2", ask: null });
    expect(area("140", "si")).toMatchObject({ text: "140 m^2", value: 140 });
  });

  test("what could be meant in two ways, or is unlikely at the place, is asked back", () => {
    expect(length("1,500 m", "si")).toMatchObject({ value: 1.5, ask: "“1,500 m” is read as 1.500 m. If 1500 m is meant, type it without the comma." });
    // a reading of 1,285 on a staff is no kilometre
    expect(typedQuantity("1,285", { dimension: "length", unit: "m", units: "si", likely: [0, 5] })).toMatchObject({ text: "1.285 m", ask: null });
    expect(length("3 m")).toMatchObject({ value: 3, ask: "3 m is 9.84 ft: is that the unit you mean, where others are in ft?" });
    expect(area("150 sq ft", "si")).toMatchObject({ ask: expect.stringContaining("13.9 m²") as string });
    expect(typedQuantity("40", { dimension: "length", unit: "ft", units: "us", likely: [0, 5] })).toMatchObject({ ask: "40 ft is unusual here, where 0 ft to 16.4 ft is common: is the unit right?" });
  });

  test("what is no quantity is refused in words", () => {
    expect(length("twelve")).toEqual({ problem: 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "twelve"' });
    expect(length("12 min")).toEqual({ problem: 'expected a length such as "2.5 ft", "18 in" or "0.75 m", got "12 min", a time' });
    expect(length("")).toHaveProperty("problem");
  });

  test("times by the watch, over noon and over midnight, and by the stopwatch", () => {
    expect(typedTimes(["8:15", "8:45", "9:55"])).toEqual({ times: [0, 1800, 6000] });
    expect(typedTimes(["11:50", "12:20", "1:05"])).toEqual({ times: [0, 1800, 4500] });
    expect(typedTimes(["23:50", "0:20"])).toEqual({ times: [0, 1800] });
    expect(typedTimes(["11:50 am", "12:20 pm", "1:05 pm"])).toEqual({ times: [0, 1800, 4500] });
    expect(typedTimes(["14.20", "15.05"])).toEqual({ times: [0, 2700] });
    expect(typedTimes(["0", "25 min", "1h40"])).toEqual({ times: [0, 1500, 6000] });
    expect(typedTimes(["0 min", "30"])).toEqual({ times: [0, 1800] });
    expect(typedTimes(["8:15", "soon"])).toEqual({ problem: expect.stringContaining('got "soon"') as string });
    expect(typedTimes(["10 min", "5 min"])).toEqual({ problem: expect.stringContaining('got "5 min", after 10 min') as string });
  });

  test("soil by rate or by minutes for an inch", () => {
    expect(typedSoilRate("30 min/in", "us")).toEqual({ minutesPerInch: 30 });
    expect(typedSoilRate("30 mpi", "us")).toEqual({ minutesPerInch: 30 });
    expect(typedSoilRate("12,5 mm/h", "si")).toMatchObject({ text: "12.5 mm/h" });
    expect(typedSoilRate("18-35 min/in", "us")).toHaveProperty("problem");
  });
});
