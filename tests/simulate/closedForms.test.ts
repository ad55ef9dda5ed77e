import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";

// Sites built so that one body alone moves, by an equation with a solution in closed form. The solutions are derived
// (elementary integration); their figures were made once outside this library.
const DEFAULT = { absolute: 5e-5, because: "levels hold to 0.05 mm at the default tolerance" };

/** A water table that stands at 11.2 m and, a millisecond later, at a level for good. */
function dropsTo(level: string): object[] {
  return [{ time: "0 s", level: "11.2 m" }, { time: "0.001 s", level }];
}

describe("a tank with a hole in its floor (Torricelli): 2 m2, hole 50 mm, 0.6, from 1.2 m", () => {
  // t = 2 A (sqrt h0 - sqrt h)/(C a sqrt(2 g)): with g = 9.81 h(300 s) = 0.4957162182682281 m and empty at 839.6919165855792 s.
  // A trench of 10 m x 0.5 m and porosity 0.4 without soil is that tank: it starts full to the groundwater, and its emitter
  // is the hole, or its weep hole, in gravel that takes all, once the water table has dropped away within a millisecond.
  // The model's g is 9.80665, which stretches time by sqrt(9.81/9.80665).
  const stretch = Math.sqrt(9.81 / 9.80665);
  const hole = (emitter: object, groundwater: object = { level: "11.2 m" }): Run => simulate(readSite(site({
    soil: { layers: [{ conductivity: "10 m/s" }], floor: false, sides: false },
    groundwater,
    overflowTrench: {
      floor: "10 m", length: "10 m", width: "0.5 m", ground: "11.8 m", stone: { depth: "1.5 m", porosity: 0.4 },
      inlet: { diameter: "110 mm", invert: "12.6 m" },
    },
    emitter,
  })), {}, { until: 1200 });
  const weeping = hole({ crest: "11.6 m", diameter: "100 mm", weepHole: { diameter: "50 mm", elevation: "10 m" } }, { level: dropsTo("5 m") });
  // a lid no deeper than 0.4 diameters below the water is a weir, above that an orifice
  const lidded = hole({ crest: "10 m", diameter: "50 mm", opensAtHead: "12 mm", closesAtHead: "3 mm" });

  test("through a weep hole", () => {
    expectClose(weeping.level("overflowTrench", 0), 11.2, { absolute: 1e-9, because: "it starts at the groundwater" });
    expectClose(weeping.level("overflowTrench", 300 * stretch), 10 + 0.4957162182682281, DEFAULT);
  });

  test("through an emitter, and empties to a centimetre when it should", () => {
    expectClose(lidded.level("overflowTrench", 300 * stretch), 10 + 0.4957162182682281, DEFAULT);
    const toCentimetre = 839.6919165855792 * stretch * (1 - Math.sqrt(0.01 / 1.2));
    const because = "0.05 mm where the level falls by 0.26 mm a second";
    expectClose(reached(weeping, "overflowTrench", 10.01), toCentimetre, { absolute: 0.2, because });
  });

  test("is one firing from the start on", () => {
    const [firing] = lidded.firings;
    expect(firing!.start).toBe(0);
    expectClose(firing!.peakFlow, 0.6 * (Math.PI / 4) * 0.05 ** 2 * Math.sqrt(2 * 9.80665 * 1.2), { relative: 1e-9, because: "the law at its highest head" });
  });
});

describe("a tank of 2 m2 that weeps into a pocket of soil of 0.5 m2, 1e-4 m/s", () => {
  // the same trench, full to 11.2 m, a hole wide enough that the soil alone holds the water back
  const weeping = (groundwater: object): Run => simulate(readSite(site({
    soil: { layers: [{ conductivity: "0.0002 m/s" }], floor: false, sides: false, factorOfSafety: 2 },
    groundwater,
    overflowTrench: {
      floor: "10 m", length: "10 m", width: "0.5 m", ground: "11.8 m", stone: { depth: "1.5 m", porosity: 0.4 },
      inlet: { diameter: "110 mm", invert: "12.6 m" },
    },
    emitter: { crest: "11.6 m", diameter: "100 mm", weepHole: { diameter: "50 mm", elevation: "10 m", soakArea: "0.5 m^2" } },
  })), {}, { until: 30_000 });

  test("over a deep water table under gravity alone: h' = -q A_soil/A, a straight line", () => {
    const run = weeping({ level: dropsTo("5 m") });
    expectClose(run.level("overflowTrench", 20_000), 11.2 - (1e-4 * 0.5 * 20_000) / 2, DEFAULT);
    expectClose(run.ledger.weep, 1e-4 * 0.5 * 30_000, { absolute: 1e-5, because: "what the library promises of ledger entries" });
  });

  test("towards a near one ever slower: h' = -q A_soil (h - G)/(path A), an exponential", () => {
    const run = weeping({ level: dropsTo("10.5 m"), pathLength: "2 m" });
    for (const t of [3_000, 15_000, 30_000]) {
      expectClose(run.level("overflowTrench", t), 10.5 + 0.7 * Math.exp((-1e-4 * 0.5 * t) / (2 * 2)), DEFAULT);
    }
  });

  test("not at all, and nothing comes in, while the water table stands at or above it for a month", () => {
    const run = simulate(weeping({ level: "11.2 m" }).site, {}, { until: 30 * 86_400 });
    expect([run.ledger.weep, run.ledger.storedStart - run.ledger.storedEnd]).toEqual([0, 0]);
    expect(run.events.filter(({ kind }) => kind === "weeps")).toEqual([]);
  });
});

describe("a pit that soaks away through floor and sides: 10 m x 2 m, porosity 0.35, 1e-5 m/s", () => {
  // n A h' = -q (A + P h):  t = (n A/(q P)) ln[(h1 + A/P)/(h2 + A/P)]; from 1 m half empty after 9288.233824290592 s, empty after
  // 22996.673010624552 s. Below 1 mm the model's floor fades.
  const n = 0.35;
  const [A, P, q] = [20, 24, 1e-5];
  const time = (from: number, to: number): number => ((n * A) / (q * P)) * Math.log((from + A / P) / (to + A / P));
  const pit = site({ soil: { layers: [{ conductivity: "36 mm/h" }] } });

  test("half empties and empties when it should", () => {
    const run = simulate(readSite(pit), { chamberBank: hydrograph({ time: [0, 900], flow: [0.01, 0.01] }) }, { until: 40_000 });
    const start = reachedFalling(run, 11);
    const because = "0.05 mm at a fall of 0.012 mm a second near the floor, at either end";
    expectClose(reachedFalling(run, 10.5) - start, 9288.233824290592, { absolute: 4, because });
    expectClose(reachedFalling(run, 10.001) - start + time(0.001, 0), 22996.673010624552, { absolute: 8, because });
  });

  test("fills at a constant inflow as h = a (exp(-b D) - 1)", () => {
    // a = A/P - Q/(P q), b = P q/(n A): with 0.002 m3/s over 3600 s h = 0.8708641978799189 m. While the first millimetre fills
    // the model's floor takes less by at most half of its 2e-4 m3/s over 3.5 s: 3.5e-4 m3, or 5e-5 m.
    const run = simulate(readSite(pit), { chamberBank: hydrograph({ time: [0, 3600], flow: [0.002, 0.002] }) }, { until: 7200 });
    expectClose(run.level("chamberBank", 3600), 10.8708641978799189, { absolute: 1e-4, because: "the floor's film and 0.05 mm" });
    expectClose(run.level("chamberBank", 3600), 10 + filled(3600, 0.002), DEFAULT);
    expectClose(run.peaks["chamberBank"]!.time, 3600, { absolute: 1e-6, because: "a corner of the inflow" });
  });

  test("is pumped out no further than its last millimetre lets it", () => {
    // q min(1, V/V1), V1 the volume in the last millimetre, without soil: V = V1 exp(-q t/V1) from there on (model.md section 7)
    const tight = readSite(site({ soil: { layers: [{ conductivity: "1 mm/h" }], floor: false, sides: false } }));
    const load = { chamberBank: hydrograph({ time: [0, 1000, 1000, 2000], flow: [0.001, 0.001, -0.002, -0.002] }) };
    const run = simulate(tight, load, { until: 3000 });
    const film = n * A * 1e-3;
    const dry = 1000 + (1 - film) / 0.002;
    expectClose(run.level("chamberBank", 1250), 10 + 0.5 / (n * A), DEFAULT);
    const left = film * Math.exp((-0.002 * (2000 - dry)) / film);
    expectClose(run.level("chamberBank", 2000), 10 + left / (n * A), DEFAULT);
    expectClose(run.ledger.inflow, left, { absolute: 1e-5, because: "net of what the pump really took, to a ledger entry's accuracy" });
  });

  /** Depth after `duration` of inflow Q: linear with another slope in the first millimetre, whose floor takes A min(1, h/d). */
  function filled(duration: number, Q: number): number {
    const film = 1e-3;
    const rate = (q * (A / film + P)) / (n * A);
    const rest = Q / (n * A) / rate;
    const inFilm = -Math.log(1 - film / rest) / rate;
    const b = (P * q) / (n * A);
    const a = A / P - Q / (P * q);
    return (film + a) * Math.exp(-b * (duration - inFilm)) - a;
  }
});

describe("a linear reservoir with K = 1800 s: a pit that soaks away through its sides alone", () => {
  // n A h' = I - k P h: outflow O = V/K with K = n A/(k P); k = 7/(24 x 1800) m/s
  const reservoir = readSite(site({ soil: { layers: [{ conductivity: `${(7 / (24 * 1800)) * 3.6e6} mm/h` }], floor: false } }));
  const outflow = (points: { time: number[]; flow: number[] }): Run =>
    simulate(reservoir, { chamberBank: hydrograph(points) }, { until: 7200 });
  // 0.05 mm of 7 m2 of free area in 1800 s
  const flow = { absolute: 2e-7, because: "levels hold to 0.05 mm" };

  test("answers a step as I (1 - exp(-t/K)) and then recedes as exp(-t/K)", () => {
    const run = outflow({ time: [0, 1800], flow: [0.01, 0.01] });
    expectClose(run.flow("bankSeepage", 1800), 0.006321205588285576, flow);
    expectClose(run.flow("bankSeepage", 5400) / run.flow("bankSeepage", 1800), 0.1353352832366127, { absolute: 1e-4, because: "0.05 mm of a level of 1.6 m" });
  });

  test("answers a pulse of 900 s with a peak of I (1 - exp(-1/2))", () => {
    const run = outflow({ time: [0, 900], flow: [0.01, 0.01] });
    expectClose(run.flow("bankSeepage", 900), 0.003934693402873666, flow);
    expectClose(run.peaks["chamberBank"]!.time, 900, { absolute: 1e-6, because: "a corner of the inflow" });
  });

  test("answers a triangle of 900 s up and 900 s down", () => {
    const run = outflow({ time: [0, 900, 1800], flow: [0, 0.01, 0] });
    expectClose(run.flow("bankSeepage", 900), 0.002130613194252669, flow);
    expectClose(run.flow("bankSeepage", 1800), 0.0030963624349235096, flow);
    const { time } = run.peaks["chamberBank"]!;
    expectClose(time, 1497.2338181306775, { absolute: 8, because: "0.05 mm at a top that bends by 1.6e-6 m/s2" });
    expectClose(run.flow("bankSeepage", time), 0.0033640686849762767, flow);
  });
});

describe("a block storm on a roof", () => {
  // the trade's trapezoid: rises over tc to C i A, stands until the rain ends, falls over tc; volume C A P exactly
  const yard = readSite({ ...site({}), catchments: [{ name: "roof", area: "400 m^2", runoffCoefficient: 0.85, timeOfConcentration: "10 min" }] });
  const run = simulate(yard, designStorm({ pattern: "block", depth: "36 mm", duration: "1 h" }), { until: "24 h" });
  const plateau = (0.85 * 400 * 0.036) / 3600;

  test("runs off as a trapezoid of C i A", () => {
    const { time, flow } = run.inflows["settlingBox"]!;
    const at = (t: number): number => {
      let i = 1;
      while (time[i]! < t) i++;
      return flow[i - 1]! + ((flow[i]! - flow[i - 1]!) * (t - time[i - 1]!)) / (time[i]! - time[i - 1]!);
    };
    expectAllClose([[300, 0.5], [600, 1], [2400, 1], [3600, 1], [3900, 0.5]].map(([t, part]) => (
      { what: `flow at ${t} s`, value: at(t!), expected: part! * plateau }
    )), { relative: 1e-12, because: "round-off" });
    expect(time[time.length - 1]).toBe(4200);
  });

  test("brings C A P into the works, which the ledger finds again", () => {
    expectClose(run.ledger.inflow, 0.85 * 400 * 0.036, { relative: 1e-12, because: "round-off" });
    expectClose(run.ledger.bankSeepage + run.ledger.bankSpill + run.ledger.boxSpill + run.ledger.storedEnd - run.ledger.storedStart, 0.85 * 400 * 0.036, { relative: 1e-12, because: "round-off" });
  });
});

/** A pit of 10 m x 2 m of stone alone, floor at 10 m, beside a box that only hands on what it gets. */
function site(more: Readonly<Record<string, unknown>>): Record<string, unknown> {
  const bank = more["overflowTrench"] === undefined ? 10 : 12;
  return {
    name: "closed form",
    catchments: [{ name: "roof", area: "100 m^2", runoffCoefficient: 0.9, timeOfConcentration: "5 min" }],
    settlingBox: { length: "1 m", width: "1 m", floor: `${bank + 2.6} m`, rim: `${bank + 4} m`, outlet: { diameter: "200 mm", invert: `${bank + 3} m` } },
    chamberBank: { floor: `${bank} m`, length: "10 m", width: "2 m", ground: `${bank + 3} m`, stone: { depth: "2.5 m", porosity: 0.35 } },
    soil: { layers: [{ conductivity: "20 mm/h" }] },
    ...more,
  };
}

/** First time the level of a body is at or below a value, to a millisecond. */
function reached(run: Run, body: string, level: number, from = 0): number {
  let [low, high] = [from, run.until];
  while (high - low > 1e-3) {
    const middle = (low + high) / 2;
    if (run.level(body, middle) > level) low = middle;
    else high = middle;
  }
  return high;
}

function reachedFalling(run: Run, level: number): number {
  const { level: top, time } = run.peaks["chamberBank"]!;
  expect(top).toBeGreaterThan(level);
  return reached(run, "chamberBank", level, time);
}
