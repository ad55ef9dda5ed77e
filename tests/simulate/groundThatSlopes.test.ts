// A trench whose ground slopes: what comes up over it, where, and what the file, the order list and the level list make of it.
// Spill is held against a sum over slices of the trench, written here again: 1.7 x length x head^1.5 for each slice and end
// (broad-crested weir, SI, as in common textbooks).
import { describe, expect, test } from "vitest";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { levelRows } from "../../lib/plan/levelRows.ts";
import { readSite, type SiteError } from "../../lib/site/readSite.ts";
import { takeOff } from "../../lib/plan/takeOff.ts";
import { expectClose } from "../closeTo.ts";

type Ground = string | { readonly high: string; readonly low: string };

const [LENGTH, WIDTH] = [12, 0.5];
const TRENCH = {
  floor: "8.9 m", fall: "0.1 m", length: `${LENGTH} m`, width: `${WIDTH} m`, coverPorosity: 0.05, stone: { depth: "0.45 m", porosity: 0.4 },
  inlet: { diameter: "200 mm", invert: "9.0 m" },
};

function fileWith(ground: Ground, trench: object = {}): object {
  return {
    name: "made up by a test",
    catchments: [{ name: "roof", area: "180 m^2", runoffCoefficient: 0.95, timeOfConcentration: "6 min" }],
    settlingBox: { length: "0.8 m", width: "0.6 m", floor: "8.6 m", rim: "14 m", outlet: { diameter: "110 mm", invert: "9.2 m" } },
    chamberBank: { floor: "8.0 m", length: "4 m", width: "2.5 m", ground: "14 m", stone: { depth: "1.4 m", porosity: 0.4 }, coverPorosity: 0.05 },
    overflowTrench: { ...TRENCH, ground, ...trench },
    soil: { layers: [{ conductivity: "12 mm/h" }], floor: false, sides: false },
    groundwater: { level: "2 m" },
  };
}

function poured(file: object, into = "overflowTrench", flow = 0.03): Run {
  return simulate(readSite(file), { [into]: hydrograph({ time: [0, 7200], flow: [flow, flow] }) }, { until: "2 h" });
}

/** Flow over a ground that runs straight from one level to another, by slices of both long sides and by its ends [m3/s]. */
function slices(level: number, from: number, to: number, length: number, ends: readonly number[]): number {
  const head = (ground: number): number => Math.max(0, level - ground) ** 1.5;
  const count = 20_000;
  let sum = 0;
  for (let i = 0; i < count; i++) sum += head(from + ((to - from) * (i + 0.5)) / count) / count;
  return 1.7 * (2 * length * sum + ends.reduce((all, ground) => all + WIDTH * head(ground), 0));
}

const MOMENTS = [600, 1200, 1800, 3600, 7200];
const SLICES = { relative: 1e-4, because: "twenty thousand slices of a power law with a corner" };

describe("water over ground that slopes", () => {
  test.each<[name: string, ground: { high: string; low: string }, ends: [number, number]]>([
    ["falls towards the emitter", { high: "9.75 m", low: "9.45 m" }, [9.75, 9.45]],
    ["falls away from it", { high: "9.45 m", low: "9.6 m" }, [9.45, 9.6]],
    ["hardly falls", { high: "9.5001 m", low: "9.5 m" }, [9.5001, 9.5]],
  ])("is the sum over slices where it %s", (_, ground, [high, low]) => {
    const run = poured(fileWith(ground));
    for (const time of MOMENTS) {
      const level = run.level("overflowTrench", time);
      expectClose(run.flow("trenchSpill", time), slices(level, high, low, LENGTH, [high, low]), SLICES, `at ${time} s`);
    }
    expect(run.ledger.trenchSpill).toBeGreaterThan(1);
    expect(run.peaks["overflowTrench"]!.level).toBeGreaterThan(Math.min(high, low));
  });

  test("whose ends are equal is that of one level", () => {
    const [two, one] = [poured(fileWith({ high: "9.5 m", low: "9.5 m" })), poured(fileWith("9.5 m"))];
    expect(two.ledger).toEqual(one.ledger);
  });

  test("is that of each segment's own ground, the ends of the trench alone being ends", () => {
    const run = poured(fileWith({ high: "9.8 m", low: "9.5 m" }, { segments: 3 }), "overflowTrench 3");
    const at = (end: number): number => 9.8 - 0.1 * end;
    for (const i of [0, 1, 2]) {
      const ends = [...(i === 0 ? [9.8] : []), ...(i === 2 ? [9.5] : [])];
      for (const time of MOMENTS) {
        const level = run.level(`overflowTrench ${i + 1}`, time);
        expectClose(
          run.flow(`trenchSpill ${i + 1}`, time), slices(level, at(i), at(i + 1), LENGTH / 3, ends),
          { relative: 1e-3, absolute: 1e-9, because: "slices, and levels that barely stand over an edge" }, `segment ${i + 1} at ${time} s`,
        );
      }
    }
    expect(run.flow("trenchSpill 3", 7200)).toBeGreaterThan(0.02);
  });

  test("goes into a low spot over the lower end, all round", () => {
    const hollow = { floor: "9.3 m", depth: "0.2 m", area: "900 m^2", lip: "9.48 m", lipLength: "9 m", conductivity: "100 mm/h" };
    const run = poured({ ...fileWith({ high: "9.75 m", low: "9.5 m" }, { spillsTo: "lowSpot" }), lowSpot: hollow });
    const level = run.level("overflowTrench", 7200);
    expect([level > 9.5, run.level("lowSpot", 7200) < 9.5]).toEqual([true, true]);
    expectClose(
      run.flow("trenchSpill", 7200), 1.7 * 2 * (LENGTH + WIDTH) * ((level - 9.5) ** 2 / ((level - 9.5) ** 2 + 1e-6) ** 0.25),
      { relative: 1e-6, because: "a weir made smooth at rest over a millimetre, as an edge that takes water both ways" },
    );
  });

  test("that presses under its lower end and comes up nowhere is said to, and only there", () => {
    const pressed = (run: Run): string[] => run.notes.filter((note) => note.includes("presses up to"));
    const covered = fileWith({ high: "9.9 m", low: "9.4 m" }, { cover: { conductivity: "36 mm/h" } });
    const low = poured(covered, undefined, 0.00095);
    const { level } = low.peaks["overflowTrench"]!;
    expect([level > 9.41, level < 9.65]).toEqual([true, true]);
    const over = Math.round(1000 * (level - 9.4));
    expect(pressed(low)).toEqual([
      `Water in the trench presses up to ${over} mm over the lower end of its ground, most at hour 2; soil and turf are taken to hold it. What seeps up through `
      + "them is reckoned at mid length, where the ground lies at 9.650 m: expect a wet patch at the lower end.",
    ]);
    expect(pressed(poured(covered, undefined, 0.002))).toEqual([]);
    expect(pressed(poured(fileWith("9.4 m", { cover: { conductivity: "36 mm/h" } }), undefined, 0.00095))).toEqual([]);
    expect(pressed(poured(fileWith({ high: "9.9 m", low: "9.4 m" }), undefined, 0.00095))).toEqual([]);
  });

  test("comes up through a cover by its thickness at mid length, and lifts it where that is thinnest", () => {
    const run = poured(fileWith({ high: "9.9 m", low: "9.4 m" }, { cover: { conductivity: "36 mm/h", submergedDensity: "1000 kg/m^3" } }), undefined, 0.002);
    const [level, middle] = [run.level("overflowTrench", 7200), 9.65];
    // Darcy over the plan, K A (H - ground) / thickness; the stone's top at mid length is 8.85 + 0.45
    expectClose(run.flow("trenchSpill", 7200), (1e-5 * LENGTH * WIDTH * (level - middle)) / (middle - 9.3), { relative: 1e-6, because: "one formula" });
    const lifts = run.events.find(({ kind }) => kind === "uplift")!;
    // at the low end the cover is 9.4 - 9.25 = 0.15 m thick, at the high end 0.55 m
    expectClose(lifts.value!, 0.15, { absolute: 1e-9, because: "round-off" });
    expectClose(run.level("overflowTrench", lifts.time), 9.4 + 0.15, { absolute: 1e-4, because: "a level is held to 0.1 mm" });
  });
});

describe("ground that slopes", () => {
  test.each<[name: string, ground: Ground, trench: object, problem: string]>([
    ["under the floor at the high end", { high: "8.9 m", low: "9.5 m" }, {},
      "overflowTrench.ground.high: expected a level above the trench's floor (\"8.9 m\"), got \"8.9 m\""],
    ["under the stone at the high end", { high: "9.3 m", low: "9.5 m" }, {},
      "overflowTrench.ground.high: expected a level at or above the stone top at the high end (9.350 m), got \"9.3 m\""],
    ["under the floor at the low end", { high: "9.5 m", low: "8.7 m" }, {},
      "overflowTrench.ground.low: expected a level above the trench's floor at its low end (8.800 m), got \"8.7 m\""],
    ["under the stone at the low end", { high: "9.5 m", low: "9.2 m" }, {},
      "overflowTrench.ground.low: expected a level at or above the stone top at the low end (9.250 m), got \"9.2 m\""],
    ["at the stone with a cover of no thickness", { high: "9.35 m", low: "9.25 m" }, { cover: { conductivity: "1 mm/h" } },
      "overflowTrench.cover: expected no cover, or ground above the stone top (9.350 m), got a cover of no thickness"],
    ["without its low end", { high: "9.5 m" } as unknown as Ground, {}, "overflowTrench.ground.low: expected"],
  ])("%s is refused", (_, ground, trench, problem) => {
    let message = "";
    try {
      readSite(fileWith(ground, trench));
    } catch (error) {
      message = (error as SiteError).message;
    }
    expect(message).toContain(problem);
  });

  test("is dug to its own depth at each end, half of both on the whole", () => {
    const { holes } = takeOff(readSite(fileWith({ high: "9.9 m", low: "9.4 m" }))).dig;
    const trench = holes.find(({ kind }) => kind === "trench")!;
    expect(trench.depths.map((depth) => Math.round(depth * 1000))).toEqual([1000, 600]);
    expectClose(trench.volume, LENGTH * WIDTH * 0.8, { relative: 1e-9, because: "round-off" });
    // over the stone 0.55 m at one end and 0.15 m at the other, turf and soil
    expectClose(trench.back.soil + trench.back.turf, LENGTH * WIDTH * 0.35, { relative: 1e-9, because: "round-off" });
  });

  test("has a row of its own at each end of the trench, from which depths there are counted", () => {
    const rows = levelRows(readSite(fileWith({ high: "9.9 m", low: "9.4 m" })));
    const at = (station: string): (string | number)[][] => rows.filter((row) => row.station === station)
      .map(({ name, level, depth }) => [name, Math.round(level * 1000), Math.round(depth! * 1000)]);
    expect(at("trench, high end")).toEqual(expect.arrayContaining([["ground", 9900, 0], ["stone top", 9350, 550], ["floor", 8900, 1000]]));
    expect(at("trench, low end")).toEqual(expect.arrayContaining([["ground", 9400, 0], ["stone top", 9250, 150], ["floor", 8800, 600]]));
  });
});
