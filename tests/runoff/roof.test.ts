import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { hydrographVolume } from "../../lib/runoff/hydrographVolume.ts";
import { capFlow, pipeCapacity } from "../../lib/runoff/capFlow.ts";
import { roofPlanArea } from "../../lib/runoff/roofPlanArea.ts";
import { thousandths } from "./rains.ts";

describe("a roof's plan area", () => {
  test("adds rectangles and L-shapes in any units", () => {
    const shapes = [{ length: "30 ft", width: "20 ft" }, { length: "12 m", width: "9 m", notchLength: "5 m", notchWidth: "4 m" }];
    expect(roofPlanArea(shapes)).toBeCloseTo(600 * 0.3048 ** 2 + 88, 10);
  });

  test("refuses a notch as large as the roof, and half a notch", () => {
    const shapes = [{ length: "12 m", width: "9 m", notchLength: "12 m", notchWidth: "4 m" }, { length: "12 m", width: "9 m", notchLength: "3 m" }];
    expect(() => roofPlanArea(shapes)).toThrow(
      [
        "The roof's area cannot be computed:",
        'roofPlanArea.shapes[0].notchLength: expected a length above 0 m and below 12 m, got "12 m"',
        'roofPlanArea.shapes[1].notchWidth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got nothing',
      ].join("\n  "),
    );
  });
});

describe("a gutter's or lateral's capacity", () => {
  test("of a 5-ft pipe, n 0.013, slope 0.003 is 143.034 cfs (Texas Tech CE 3354 notebook 17, with 1.49 for the constant)", () => {
    const cfs = pipeCapacity({ diameter: "5 ft", slope: 0.003, manningN: 0.013 }) / 0.3048 ** 3;
    // Manning's constant in feet is 0.3048^(-1/3) = 1.4859
    expect((cfs * 1.49) / 0.3048 ** (-1 / 3)).toBeCloseTo(143.034, 3);
  });

  test("parts a triangle of flow at the moments it is reached", () => {
    const { carried, overshoot, overshootVolume } = capFlow(hydrograph({ time: [0, 60, 120], flow: [0, 0.02, 0] }), 0.015);
    expect([...carried.time]).toEqual([0, 45, 60, 75, 120]);
    expect([...carried.flow]).toEqual([0, 0.015, 0.015, 0.015, 0]);
    [0, 0, 0.005, 0, 0].forEach((flow, i) => expect(overshoot.flow[i]).toBeCloseTo(flow, 16));
    expect(overshootVolume).toBeCloseTo(0.075, 15);
  });

  test("keeps jumps", () => {
    const { carried } = capFlow(hydrograph({ time: [0, 0, 60, 60], flow: [0, 0.02, 0.02, 0] }), 0.01);
    expect([...carried.time]).toEqual([0, 0, 60, 60]);
    expect([...carried.flow]).toEqual([0, 0.01, 0.01, 0]);
  });

  test("loses no water: carried and overshoot are the whole", () => {
    const flows = fc.array(fc.tuple(thousandths(1, 600), thousandths(0, 0.05)), { minLength: 2, maxLength: 20 }).map((steps) => {
      let at = 0;
      return hydrograph({ time: steps.map(([step]) => (at += step)), flow: steps.map(([, flow]) => flow) });
    });
    fc.assert(
      fc.property(flows, thousandths(0, 0.05), (flow, capacity) => {
        const { carried, overshootVolume } = capFlow(flow, capacity);
        const whole = hydrographVolume(flow);
        expect(Math.abs(hydrographVolume(carried) + overshootVolume - whole)).toBeLessThanOrEqual(1e-12 * (whole + 1));
        expect(Math.max(...carried.flow)).toBeLessThanOrEqual(capacity);
      }),
    );
  });

  test("is 0 or more", () => {
    expect(() => capFlow(hydrograph({ time: [0], flow: [0] }), -1)).toThrow("capFlow.capacity: expected a number of 0 or more, got -1");
  });
});
