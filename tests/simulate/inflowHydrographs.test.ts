import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";
import { tableValue } from "../../lib/rain/storms/stormCurve.ts";
import { curveNumberRunoff } from "../../lib/runoff/curveNumber.ts";
import { greenAmptInfiltration } from "../../lib/runoff/greenAmpt.ts";
import { hydrographVolume } from "../../lib/runoff/hydrographVolume.ts";
import { initialLoss } from "../../lib/runoff/initialLoss.ts";
import { inflowHydrographs } from "../../lib/simulate/inflowHydrographs.ts";
import type { Catchment, Loss } from "../../lib/site/site.ts";
import { rains, splitRains, thousandths, totalDepth } from "../runoff/rains.ts";

function roof(change: Partial<Catchment> = {}): Catchment {
  return {
    name: "roof",
    area: 210,
    timeOfConcentration: 420,
    drainsTo: "settlingBox",
    initialLoss: 0,
    loss: { kind: "runoffCoefficient", runoffCoefficient: 0.9 },
    ...change,
  };
}

describe("the rational time-area hydrograph", () => {
  test("of a block storm longer than tc is the trapezoid C i A with flanks of tc", () => {
    // Closed form, derived: plateau C A i = 0.9 x 210 m2 x 34 mm/h.
    const rain = designStorm({ pattern: "block", depth: "34 mm", duration: "1 h" });
    const { settlingBox } = inflowHydrographs({ catchments: [roof()] }, rain);
    expect([...settlingBox!.time]).toEqual([0, 420, 3600, 4020]);
    const plateau = (0.9 * 210 * 0.034) / 3600;
    [0, plateau, plateau, 0].forEach((flow, i) => expect(settlingBox!.flow[i]).toBeCloseTo(flow, 17));
  });

  test("of a block storm as long as tc is the triangle", () => {
    const rain = designStorm({ pattern: "block", depth: "10 mm", duration: "7 min" });
    const { settlingBox } = inflowHydrographs({ catchments: [roof()] }, rain);
    expect([...settlingBox!.time]).toEqual([0, 420, 840]);
    expect(settlingBox!.flow[1]).toBeCloseTo((0.9 * 210 * 0.01) / 420, 16);
  });

  test("of a block storm shorter than tc holds its peak at the rain's share of tc", () => {
    const rain = designStorm({ pattern: "block", depth: "10 mm", duration: "140 s" });
    const { settlingBox } = inflowHydrographs({ catchments: [roof()] }, rain);
    expect([...settlingBox!.time]).toEqual([0, 140, 420, 560]);
    expect(settlingBox!.flow[1]).toBeCloseTo((0.9 * 210 * 0.01) / 420, 16);
    expect(settlingBox!.flow[2]).toBeCloseTo((0.9 * 210 * 0.01) / 420, 16);
  });

  test("at tc 0 follows the rain in jumps", () => {
    const rain = hyetograph({ time: [0, 60, 180], depth: [0.006, 0.006] });
    const { settlingBox } = inflowHydrographs({ catchments: [roof({ timeOfConcentration: 0, area: 100 / 0.9 })] }, rain);
    expect([...settlingBox!.time]).toEqual([0, 60, 60, 180]);
    [0.01, 0.01, 0.005, 0.005].forEach((flow, i) => expect(settlingBox!.flow[i]).toBeCloseTo(flow, 15));
  });

  test("of two catchments has the corners of both, and those of one straight line only once", () => {
    // Shed roof and apron of a depot under 34 mm in an hour. The flows were made by an independent solver's own inflow.
    const rain = designStorm({ pattern: "block", depth: "34 mm", duration: "1 h" });
    const apron = roof({ name: "apron", area: 95, timeOfConcentration: 600, loss: { kind: "runoffCoefficient", runoffCoefficient: 0.8 } });
    const { settlingBox } = inflowHydrographs({ catchments: [roof(), apron] }, rain);
    expect([...settlingBox!.time]).toEqual([0, 420, 600, 3600, 4020, 4200]);
    const independent = [0, 0.002287444444444445, 0.0025027777777777782, 0.0025027777777777795, 0.00021533333333333333, 0];
    independent.forEach((flow, i) => expect(Math.abs(settlingBox!.flow[i]! - flow)).toBeLessThanOrEqual(1e-9 * 0.0025));
  });

  test("drops a corner where one interval's end and another's arrival cancel", () => {
    // Intensity that rises by the same step every tc: the flow is one straight line from 0 to 4 tc.
    const rain = hyetograph({ time: [0, 420, 840, 1260, 1680], depth: [0.001, 0.002, 0.003, 0.004] });
    const { settlingBox } = inflowHydrographs({ catchments: [roof()] }, rain);
    expect([...settlingBox!.time]).toEqual([0, 1680, 2100]);
  });

  test("sends each catchment to its own body", () => {
    const rain = designStorm({ pattern: "nrcs-ii", depth: "3 in" });
    const inflows = inflowHydrographs({ catchments: [roof(), roof({ name: "yard", drainsTo: "lowSpot", area: 50 })] }, rain);
    expect(Object.keys(inflows)).toEqual(["settlingBox", "lowSpot"]);
    expect(hydrographVolume(inflows.lowSpot!)).toBeCloseTo(0.9 * 50 * 0.0762, 12);
  });

  test("takes the initial loss from the first rain", () => {
    const rain = designStorm({ pattern: "block", depth: "12 mm", duration: "1 h" });
    const { settlingBox } = inflowHydrographs({ catchments: [roof({ initialLoss: 0.002 })] }, rain);
    expect(settlingBox!.time[0]).toBe(0);
    expect(settlingBox!.time[1]).toBeCloseTo(600, 9);
    expect(settlingBox!.flow[1]).toBe(0);
    expect(hydrographVolume(settlingBox!)).toBeCloseTo(0.9 * 210 * 0.01, 12);
  });
});

describe("the inflow of pervious ground", () => {
  const day = designStorm({ pattern: "nrcs-ii", depth: "5 in" });

  test("by curve number carries the curve number's runoff: 2.03 in of 5.1 in on CN 69 (NEH 630 ch. 10 Example 10-3)", () => {
    const loss: Loss = { kind: "curveNumber", curveNumber: 69, initialAbstractionRatio: 0.2, peakRateFactor: 484 };
    const lawn = roof({ area: 1000, timeOfConcentration: 1800, loss });
    const { settlingBox } = inflowHydrographs({ catchments: [lawn] }, designStorm({ pattern: "nrcs-ii", depth: "5.1 in" }));
    expect(Math.abs(hydrographVolume(settlingBox!) / 1000 / 0.0254 - 2.03)).toBeLessThan(0.005);
  });

  test("by Green and Ampt carries what the exact law leaves", () => {
    const soil = { hydraulicConductivity: 10 / 3.6e6, wettingFrontSuction: 0.09, moistureChange: 0.3 };
    const lawn = roof({ area: 1000, timeOfConcentration: 1800, loss: { kind: "greenAmpt", ...soil } });
    const { settlingBox } = inflowHydrographs({ catchments: [lawn] }, day);
    const infiltrated = greenAmptInfiltration({ hyetograph: day, ...soil }).at(-1)!;
    expect(infiltrated).toBeLessThan(0.12);
    expect(hydrographVolume(settlingBox!)).toBeCloseTo(1000 * (totalDepth(day) - infiltrated), 10);
  });

  test("without runoff is a flow of nothing", () => {
    const loss: Loss = { kind: "curveNumber", curveNumber: 50, initialAbstractionRatio: 0.2, peakRateFactor: 300 };
    const { settlingBox } = inflowHydrographs({ catchments: [roof({ loss })] }, designStorm({ pattern: "block", depth: "1 in", duration: "1 h" }));
    expect([...settlingBox!.flow]).toEqual([0, 0]);
  });

  test("loses again after a dry spell of 72 h, or as asked", () => {
    const storm = (dry: number) => hyetograph({ time: [0, 3600, 3600 + dry, 7200 + dry], depth: [0.01, 0, 0.01] });
    const site = { catchments: [roof({ area: 100, initialLoss: 0.002, loss: { kind: "runoffCoefficient", runoffCoefficient: 1 } })] };
    const volume = (dry: number, dryTime?: number): number =>
      hydrographVolume(inflowHydrographs(site, storm(dry), dryTime === undefined ? {} : { dryTime }).settlingBox!);
    expect(volume(71 * 3600)).toBeCloseTo(1.8, 9);
    expect(volume(72 * 3600)).toBeCloseTo(1.6, 9);
    expect(volume(7 * 3600, 6 * 3600)).toBeCloseTo(1.6, 9);
  });

  test("refuses a dry time of nothing", () => {
    expect(() => inflowHydrographs({ catchments: [roof()] }, day, { dryTime: 0 })).toThrow(
      "The inflow cannot be computed:\n  inflowHydrographs.dryTime: expected a number above 0, got 0",
    );
  });
});

describe("laws of the inflow", () => {
  const losses: fc.Arbitrary<Loss> = fc.oneof(
    thousandths(0, 1).map((runoffCoefficient) => ({ kind: "runoffCoefficient" as const, runoffCoefficient })),
    fc.record({
      kind: fc.constant("curveNumber" as const),
      curveNumber: thousandths(40, 100),
      initialAbstractionRatio: thousandths(0, 0.2),
      peakRateFactor: fc.constantFrom(484, 250, 600),
    }),
    fc.record({
      kind: fc.constant("greenAmpt" as const),
      hydraulicConductivity: thousandths(0, 30).map((mm_h) => mm_h / 3.6e6),
      wettingFrontSuction: thousandths(0, 0.3),
      moistureChange: thousandths(0, 0.4),
    }),
  );
  const sites = fc
    .array(
      fc.record({
        area: thousandths(1, 5000),
        timeOfConcentration: thousandths(300, 7200),
        initialLoss: fc.constantFrom(0, 0.001, 0.005),
        loss: losses,
      }),
      { minLength: 1, maxLength: 3 },
    )
    .map((parts) => ({ catchments: parts.map((part) => roof(part)) }));

  function runoffDepth({ initialLoss: lost, loss }: Catchment, rain: Hyetograph): number {
    const left = initialLoss(lost)(rain);
    switch (loss.kind) {
      case "runoffCoefficient":
        return loss.runoffCoefficient * totalDepth(left);
      case "curveNumber": {
        const { curveNumber, initialAbstractionRatio } = loss;
        return curveNumberRunoff({ depth: totalDepth(left), curveNumber, initialAbstractionRatio });
      }
      case "greenAmpt": {
        const { hydraulicConductivity, wettingFrontSuction, moistureChange } = loss;
        const soil = { hydraulicConductivity, wettingFrontSuction, moistureChange };
        return totalDepth(left) - greenAmptInfiltration({ hyetograph: left, ...soil })[left.depth.length]!;
      }
    }
  }

  test("its volume is the sum of area x runoff depth, to round-off", () => {
    fc.assert(
      fc.property(rains, sites, (rain, site) => {
        const { settlingBox } = inflowHydrographs(site, rain);
        const expected = site.catchments.reduce((sum, catchment) => sum + catchment.area * runoffDepth(catchment, rain), 0);
        const fallen = site.catchments.reduce((sum, { area }) => sum + area * totalDepth(rain), 0);
        expect(Math.abs(hydrographVolume(settlingBox!) - expected)).toBeLessThanOrEqual(1e-12 * fallen);
        expect(Math.min(...settlingBox!.flow)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  test("more rain never gives less flow", () => {
    fc.assert(
      fc.property(rains, sites, thousandths(1, 3), (rain, site, factor) => {
        const less = inflowHydrographs(site, rain).settlingBox!;
        const more = inflowHydrographs(site, { time: rain.time, depth: rain.depth.map((d) => factor * d) }).settlingBox!;
        expect(Math.max(...more.flow)).toBeGreaterThanOrEqual(Math.max(...less.flow) * (1 - 1e-9));
        expect(hydrographVolume(more)).toBeGreaterThanOrEqual(hydrographVolume(less) * (1 - 1e-9));
      }),
    );
  });

  test("splitting an interval changes nothing", () => {
    fc.assert(
      fc.property(splitRains, sites, ({ whole, split }, site) => {
        const one = inflowHydrographs(site, whole).settlingBox!;
        const two = inflowHydrographs(site, split).settlingBox!;
        const fallen = site.catchments.reduce((sum, { area }) => sum + area * totalDepth(whole), 0);
        // Round-off in a depth is round-off in a flow through the shortest time a flow is made over here, 0.133 x 300 s.
        expect(Math.abs(Math.max(...two.flow) - Math.max(...one.flow))).toBeLessThanOrEqual((1e-12 * fallen) / 40);
        expect(Math.abs(hydrographVolume(two) - hydrographVolume(one))).toBeLessThanOrEqual(1e-12 * fallen);
      }),
    );
  });

  test("rain that falls later runs off later and otherwise alike", () => {
    fc.assert(
      fc.property(rains, sites, fc.integer({ min: 1, max: 100000 }), (rain, site, shift) => {
        const now = inflowHydrographs(site, rain).settlingBox!;
        const postponed = hyetograph({ time: rain.time.map((t) => t + shift), depth: rain.depth });
        const later = inflowHydrographs(site, postponed).settlingBox!;
        const peak = Math.max(...now.flow);
        expect(Math.abs(Math.max(...later.flow) - peak)).toBeLessThanOrEqual(1e-9 * peak);
        expect(later.time[0]! - now.time[0]!).toBeCloseTo(shift, 6);
        expect(later.time[later.time.length - 1]! - now.time[now.time.length - 1]!).toBeCloseTo(shift, 6);
        expect(Math.abs(hydrographVolume(later) - hydrographVolume(now))).toBeLessThanOrEqual(1e-9 * hydrographVolume(now));
      }),
    );
  });
});

describe("dry time before the rain", () => {
  // odd leads, none a whole part of any step
  const leads = fc.integer({ min: 1, max: 200_000 }).map((n) => n * 7.3);
  const losses: fc.Arbitrary<Loss> = fc.constantFrom(
    { kind: "runoffCoefficient", runoffCoefficient: 0.9 } as const,
    { kind: "curveNumber", curveNumber: 85, initialAbstractionRatio: 0.2, peakRateFactor: 484 } as const,
    { kind: "greenAmpt", hydraulicConductivity: 2e-6, wettingFrontSuction: 0.09, moistureChange: 0.3 } as const,
  );

  test("changes nothing: the same storm later is the same inflow later, whatever the ground", () => {
    fc.assert(fc.property(rains, losses, leads, thousandths(60, 4000), (rain, loss, lead, timeOfConcentration) => {
      fc.pre(totalDepth(rain) > 0);
      const shifted = hyetograph({ time: [0, ...rain.time.map((time) => lead + time)], depth: [0, ...rain.depth] });
      const site = { catchments: [roof({ loss, timeOfConcentration, initialLoss: 0.0004 })] };
      const [now, later] = [inflowHydrographs(site, rain).settlingBox!, inflowHydrographs(site, shifted).settlingBox!];
      const peak = Math.max(...now.flow);
      const flowAt = ({ time, flow }: typeof now, at: number): number => tableValue(time, flow, at);
      // in the middle between corners: at a jump the two clocks may round to either side
      for (let i = 1; i < now.time.length; i++) {
        const middle = (now.time[i - 1]! + now.time[i]!) / 2;
        if (now.time[i]! - now.time[i - 1]! < 1e-3) continue;
        expect(Math.abs(flowAt(later, lead + middle) - flowAt(now, middle))).toBeLessThanOrEqual(1e-7 * peak);
      }
      expect(hydrographVolume(later)).toBeCloseTo(hydrographVolume(now), 9);
    }));
  });

  test("moves no peak of a cloudburst on a lawn", () => {
    const lawn = roof({ timeOfConcentration: 1800, loss: { kind: "curveNumber", curveNumber: 80, initialAbstractionRatio: 0.2, peakRateFactor: 484 } });
    const peak = (lead: number): number => {
      const rain = hyetograph({ time: [0, lead, lead + 1200], depth: [0, 0.05] });
      return Math.max(...inflowHydrographs({ catchments: [lawn] }, rain).settlingBox!.flow);
    };
    for (const lead of [17, 100, 161, 4321]) expect(Math.abs(peak(lead) / peak(239.4) - 1)).toBeLessThan(1e-9);
  });
});
