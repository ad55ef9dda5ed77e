import { describe, expect, test, vi } from "vitest";
import { errorsOf, whitener } from "../../lib/dips/seasonFit.ts";
import { withoutFlicker } from "../../lib/dips/dryFlicker.ts";
import { readLogger } from "../../lib/dips/readLogger.ts";
import { roomDoubt, withPorosity } from "../../lib/dips/roomDoubt.ts";
import { season, type Season } from "../../lib/dips/season.ts";
import { seasonModel, type SeasonName, type SeasonRecord } from "../../lib/dips/seasonModel.ts";
import { seasonFigure } from "../../lib/figures/seasonFigure.ts";
import { normalDraw } from "../../lib/numerics/draw.ts";
import { seasonPart } from "../../lib/report/pitLifePart.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Problem } from "../../lib/text/problem.ts";
import { expectClose } from "../closeTo.ts";
import { demo } from "../site/siteFiles.ts";
import { hourlyRain } from "./hourlyRain.ts";
import { logged } from "./loggedSeason.ts";

// long on a machine that has other work
vi.setConfig({ testTimeout: 240_000 });

const lane = readSite(demo("copperbeech-lane"));

const number = (found: Season, name: SeasonName) => found.numbers.find((each) => each.name === name)!;

describe("errors that are remembered", () => {
  test("come out white: of an Ornstein-Uhlenbeck series at uneven times variance 1 and no correlation", () => {
    // the series by its definition: x' = phi x + sqrt(1 - phi^2) n
    const count = 4000;
    const time = new Float64Array(count);
    const series = new Float64Array(count);
    for (let i = 1; i < count; i++) {
      time[i] = time[i - 1]! + 600 * (1 + (i % 5));
      const phi = Math.exp(-(time[i]! - time[i - 1]!) / 7200);
      series[i] = phi * series[i - 1]! + Math.sqrt(1 - phi * phi) * normalDraw(4, 0, i);
    }
    const kept = new Uint8Array(count).fill(1);
    const out = whitener(time, kept, { memory: 7200, white: 0 }).of(series).slice(1);
    const mean = (values: Float64Array): number => values.reduce((sum, each) => sum + each, 0) / values.length;
    expectClose(mean(out.map((each) => each * each)), 1, { absolute: 0.1, because: "4 standard errors of 4000 squares" });
    expectClose(mean(out.slice(1).map((each, i) => each * out[i]!)), 0, { absolute: 0.07, because: "4 standard errors of 4000 products" });
    const found = errorsOf(series, time, kept, [600, 86_400]);
    expect(found.memory > 4000 && found.memory < 13_000).toBe(true);
  });

  test("are taken out linearly, whatever is passed over", () => {
    const time = Float64Array.of(0, 1, 2, 5, 6);
    const kept = Uint8Array.of(1, 1, 0, 1, 1);
    const { of } = whitener(time, kept, { memory: 3, white: 0.2 });
    const [a, b] = [Float64Array.of(1, 2, 9, 3, 1), Float64Array.of(0.5, -1, 4, 2, 2)];
    const both = of(a.map((each, i) => each - 2 * b[i]!));
    const [outA, outB] = [of(a), of(b)];
    both.forEach((each, i) => expectClose(each, outA[i]! - 2 * outB[i]!, { absolute: 1e-12, because: "round-off" }));
    expect(both[2]).toBe(0);
  });
});

test("the doubt of the room is that of the stone's share: all of it without chambers, less with them", () => {
  const { floor, stone } = lane.chamberBank;
  // under the chambers there is stone alone
  expectClose(roomDoubt(lane, floor, floor + stone.base), 0.1, { relative: 1e-6, because: "a straight line in porosity" });
  const among = roomDoubt(lane, floor, floor + 1);
  expect(among > 0.03 && among < 0.09).toBe(true);
  expect(withPorosity(lane, 1.1).chamberBank.stone.porosity).toBeCloseTo(0.44, 12);
});

describe("a season of a logger", () => {
  const half = season(lane, logged(lane, 60, 11, { soil: Math.log(0.4) }));

  test("finds a planted factor of 0.4 in the soil, with a band that is no wider than it need be", () => {
    const { value, band } = number(half, "soil");
    expect(band.low < 0.4 && 0.4 < band.high).toBe(true);
    expectClose(value, 0.4, { relative: 0.15, because: "the band of this season is about so wide" });
    expect(band.high / band.low).toBeLessThan(2);
    expect(half.storms).toBeGreaterThan(3);
  });

  test("says how long the works take to empty, the soil to design with next, and what the run misses", () => {
    expect(half.answer).toMatch(/^After “2 year, 1 h, block” the pit is empty in .*, against 72 h asked: .* In 60 days and \d+ storms the soil took in 0\.\d+ times \(/);
    half.soilFigure.forEach(({ low, best, high }, i) => {
      expect(low < best && best < high).toBe(true);
      expectClose(best / (lane.soil.layers[i]!.conductivity / lane.soil.factorOfSafety), number(half, "soil").value, { relative: 1e-9, because: "one factor for all layers" });
    });
    expect(half.notes.join(" ")).toContain("that is what the model misses");
  });

  test("tells what a cleaning did", () => {
    const cleaned = season(lane, logged(lane, 60, 11, { soil: Math.log(0.3), "cleaned 1": Math.log(2.5) }, [30 * 86_400]));
    const { band } = number(cleaned, "cleaned 1");
    expect(band.low > 1.3 && band.low < 2.5 && band.high > 2.5).toBe(true);
  });

  test("takes a sensor's drift for that, and not for the soil", () => {
    const drifted = season(lane, logged(lane, 60, 11, { soil: Math.log(0.4), drift: 0.008 }));
    const { band } = number(drifted, "drift");
    expect(band.low < 0.008 && 0.008 < band.high).toBe(true);
    const soil = number(drifted, "soil").band;
    expect(soil.low < 0.4 && 0.4 < soil.high).toBe(true);
  });

  test("finds no change in levels without one", () => {
    expect(half.change).toBe(null);
  });

  test("has a picture and a page without a hole in them", () => {
    const part = seasonPart(half);
    expect(part.section.markup).not.toMatch(/NaN|undefined|Infinity/);
    expect(part.section.markup).toContain("The soil to design with next");
    const { data, answer } = seasonFigure(half);
    expect(answer).toBe(half.answer);
    expect(data.length).toBe(4);
  });

  test("is refused where the sensor never stood in water", () => {
    const dry = Array.from({ length: 72 }, (_, i) => `2026-01-0${1 + Math.floor(i / 24)} ${String(i % 24).padStart(2, "0")}:30,0.2`);
    expect(() => season(lane, { logger: `time,depth [cm]\n${dry.join("\n")}`, rain: { rain: hourlyRain(4, 1), start: "2026-01-01T00:00:00" } }))
      .toThrow(/season\.logger: expected 12 readings or more with water over the sensor, by which the works can be judged, got 0 of 72: it stood dry at/);
  });

  test("is refused with all that is wrong at once", () => {
    expect(() => season(lane, { logger: "time,pressure [kPa]\n2026-01-01 01:00,101\n", rain: { rain: hourlyRain(3, 1), start: "2026-01-01T00:00:00" }, cleanings: ["spring"] })).toThrow([
      "The season cannot be used:",
      '  season.cleanings[0]: expected a day such as "2026-02-14", got "spring"',
      "  season.logger: expected 48 readings or more, got 1 that can be used",
    ].join("\n"));
  });
});

test("a season takes soil in warm water for better by what water's viscosity says, and finds the soil of the mean temperature", () => {
  // Kestin, Sokolov & Wakeham, J. Phys. Chem. Ref. Data 7, 1978, from memory: 1.3059 mPa s at 10 degC, 1.0016 at 20
  const better = 1.3059 / 1.0016;
  const days = 20;
  const time = Float64Array.from({ length: 24 * days }, (_, i) => 3600 * (i + 1));
  const { floor } = lane.chamberBank;
  const record: SeasonRecord = {
    site: lane, rain: hourlyRain(days, 11), time, level: time.map(() => floor), dry: new Uint8Array(time.length).fill(1), dryAt: floor,
    cleanings: [], warmth: null,
  };
  // ten days either side of the warmest one, at which the water has 20 degC
  const warm = seasonModel({ ...record, warmth: { mean: 10, swing: 10, warmest: 10 * 86_400 } });
  const [even, cold] = [seasonModel(record), seasonModel({ ...record, warmth: { mean: 10, swing: 0, warmest: 0 } })];
  const levels = (model: typeof warm, soil: number): Float64Array => model.levels(model.names.map((name, j) => (name === "soil" ? Math.log(soil)
    : model.unknowns[j]!.start)));
  const apart = (one: Float64Array, other: Float64Array): number => Math.max(...one.map((each, i) => Math.abs(each - other[i]!)));
  const inWarmth = levels(warm, 0.4);
  expectClose(apart(inWarmth, levels(even, 0.4 * better)), 0, { absolute: 0.004, because: "in ten days the swing leaves 1.5 percent of its tenth" });
  expect(apart(inWarmth, levels(even, 0.4))).toBeGreaterThan(0.03);
  expect(apart(levels(cold, 0.4), levels(even, 0.4))).toBe(0);
});

describe("a dry sensor that does not rest", () => {
  const time = Float64Array.from({ length: 240 }, (_, i) => 3600 * (i + 1));
  const floor = lane.chamberBank.floor;
  const record = (lift: (i: number) => number): SeasonRecord => {
    const level = time.map((_, i) => floor + Math.max(0.005, lift(i)));
    return {
      site: lane, rain: { time: Float64Array.of(0, 3600, 864_000), depth: Float64Array.of(0.02, 0) }, time, level,
      dry: Uint8Array.from(level, (water) => (water <= floor + 0.005 ? 1 : 0)), dryAt: floor + 0.005, cleanings: [], warmth: null,
    };
  };

  test("counts as dry up to its highest reading without rain, and the storm as it was", () => {
    const seen = withoutFlicker(record((i) => (i < 20 ? 0.5 - 0.02 * i : i % 40 === 0 ? 0.012 : i % 50 === 0 ? 0.018 : 0)));
    expectClose(seen.dryAt, floor + 0.018, { absolute: 1e-5, because: "the highest of its own readings" });
    expect([...seen.dry].findIndex((each) => each === 1)).toBe(20);
    expect([...seen.dry].slice(20).every((each) => each === 1)).toBe(true);
  });

  test("is left alone where it rests, and where water rises for days", () => {
    const still = record((i) => (i < 20 ? 0.5 - 0.02 * i : 0));
    expect(withoutFlicker(still)).toBe(still);
    const groundwater = record((i) => (i > 60 && i < 140 ? 0.03 : 0));
    expect(withoutFlicker(groundwater)).toBe(groundwater);
  });
});

describe("a logger's CSV", () => {
  const read = (text: string) => {
    const problems: Problem[] = [];
    return { series: readLogger(text, "logger", problems), said: problems.map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`) };
  };
  const rows = (from: number, count: number): string => Array.from({ length: count }, (_, i) => (
    `2026-03-01 ${String(Math.floor((from + i) / 4)).padStart(2, "0")}:${String(((from + i) % 4) * 15).padStart(2, "0")};${10 + i},5`)).join("\n");

  test("is read with lines before its header, decimal commas, gaps, and a clock that was put back", () => {
    const { series, said } = read(`Logger 7\nDate and time;Depth [cm];Battery [V]\n${rows(0, 40)}\n2026-03-01 10:00;;3,6\n${rows(36, 20)}`);
    expect(said).toEqual([]);
    expectClose(series!.value[0]!, 0.105, { absolute: 1e-12, because: "10,5 cm" });
    expect(series!.time.length).toBe(55);
    expect(series!.notes).toEqual(["The logger's clock went back at line 44: 5 readings that repeat a stretch are left out."]);
  });

  test("takes the air's pressure off", () => {
    const { said } = read("time,pressure [furlong]\n2026-01-01 00:00,1");
    expect(said[0]).toBe('logger line 1: expected a unit of pressure, one of pa, hpa, mbar, kpa, bar, psi, cmh2o, mh2o, got "furlong"');
  });
});
