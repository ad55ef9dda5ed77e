import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hydrograph, type Hydrograph } from "../../lib/runoff/hydrograph.ts";
import { networkOf } from "../../lib/simulate/assemble.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { hollowVolume } from "../../lib/works/hollowStorage.ts";
import { expectClose } from "../closeTo.ts";
import { shareOf } from "../share.ts";

// What the options become at the ends of their range.
const pour = (flow: number, seconds: number): Hydrograph => hydrograph({ time: [0, seconds], flow: [flow, flow] });
const trench = {
  floor: "10.6 m", length: "16 m", width: "0.5 m", ground: "11.9 m", stone: { depth: "0.8 m", porosity: 0.4 },
  pipe: { insideDiameter: "100 mm", outsideDiameter: "110 mm", bedding: "50 mm" },
  inlet: { diameter: "110 mm", invert: "10.95 m" },
};
const base = {
  name: "made up by a test",
  catchments: [{ name: "roof", area: "200 m^2", runoffCoefficient: 0.9, timeOfConcentration: "6 min" }],
  settlingBox: { length: "0.8 m", width: "0.6 m", floor: "9.5 m", rim: "12.5 m", outlet: { diameter: "160 mm", invert: "11 m" } },
  chamberBank: { floor: "10 m", length: "4 m", width: "2 m", ground: "12.4 m", stone: { depth: "1.5 m", porosity: 0.4 } },
  overflowTrench: trench,
  emitter: { crest: "11.1 m", diameter: "100 mm", opensAtHead: "15 mm", closesAtHead: "4 mm" },
  soil: { layers: [{ conductivity: "20 mm/h" }] },
};

function run(more: object, load: Hydrograph | Record<string, Hydrograph> = pour(0.002, 3600), until = 6 * 3600, tolerance = 1e-8): Run {
  return simulate(readSite({ ...base, ...more }), load, { until, tolerance });
}

const times = Array.from({ length: 361 }, (_, i) => i * 60);

describe("slits without resistance", () => {
  test("make pipe and stone one body: levels above the pipe's crown within 1 mm", () => {
    // a thin pipe: the slot over its crown, 0.01 D wide, is the one thing that the two do not share
    const pipe = { insideDiameter: "60 mm", outsideDiameter: "70 mm", bedding: "50 mm" };
    const one = run({ overflowTrench: { ...trench, pipe } });
    const slit = run({ overflowTrench: { ...trench, pipe: { ...pipe, openArea: "1880 cm^2/m" } } });
    const crown = 10.6 + 0.055 + 0.06;
    let compared = 0;
    for (const time of times) {
      const level = one.level("overflowTrench", time);
      if (level < crown + 0.001) continue;
      compared++;
      for (const body of ["overflowTrench", "trenchPipe"]) {
        expectClose(slit.level(body, time), level, { absolute: 1e-3, because: "the slot holds 0.3 % of what the stone does" }, `${body} at ${time} s`);
      }
    }
    expect(compared).toBeGreaterThan(100);
  });
});

describe("segments", () => {
  test("hold together what the trench holds", () => {
    const [counts, falls, depths] = [fc.integer({ min: 2, max: 6 }), fc.integer({ min: 0, max: 300 }), fc.integer({ min: 1, max: 1500 })];
    fc.assert(fc.property(counts, falls, depths, (segments, fall_mm, depth_mm) => {
      const volumes = (count: number): number => networkOf(readSite({ ...base, overflowTrench: { ...trench, fall: `${fall_mm} mm`, segments: count }, emitter: undefined }))
        .bodies.filter(({ kind }) => kind === "trench")
        .reduce((sum, body) => sum + body.volume(Math.max(body.storage.floor, 10.6 - fall_mm / 1000 + depth_mm / 1000)), 0);
      expectClose(volumes(segments), volumes(1), { relative: 1e-9, absolute: 1e-9, because: "one integral in parts; prisms of 10 micrometres at each low end" });
    }), { seed: 6, numRuns: shareOf(200) });
  });

  test("without friction stand at one level, the whole trench's", () => {
    // the largest conductivity a file may give: between two segments Q L/(k w d) = 0.2 mm at 0.1 m of water, and most of it in the pipe
    const smooth = { ...trench, stone: { ...trench.stone, hydraulicConductivity: "10 m/s" }, pipe: { ...trench.pipe, manningN: 0.001 } };
    const poured = (body: string): Record<string, Hydrograph> => ({ [body]: pour(0.0002, 4 * 3600) });
    const one = run({ overflowTrench: smooth }, poured("overflowTrench"));
    const four = run({ overflowTrench: { ...smooth, segments: 4 } }, poured("overflowTrench 1"));
    for (const time of times) {
      if (one.level("overflowTrench", time) < 10.7) continue;
      for (let r = 1; r <= 4; r++) {
        expectClose(four.level(`overflowTrench ${r}`, time), one.level("overflowTrench", time), { absolute: 1e-3, because: "0.2 mm from each segment to the next" });
      }
    }
    expect(one.peaks["overflowTrench"]!.level).toBeGreaterThan(10.9);
    expectClose(four.ledger.trenchSeepage, one.ledger.trenchSeepage, { relative: 2e-3, because: "as the levels" });
  });

  // Uniform inflow along a pipe, none of it through the stone: the piece behind segment r carries r/N of the outflow, so it
  // loses sum of r^2/N^2 over N - 1 pieces of L/N: (N-1)(2N-1)/(6 N^2) of what the whole outflow loses over the whole length, a
  // third as N grows (manifold rule, common hydraulics text).
  test.each([2, 3, 5, 8])("of a pipe fed evenly along %i of them lose (N-1)(2N-1)/(6 N^2) of the through-flow's head", (count) => {
    const [flow, length, n, D] = [0.004, 16, 0.03, 0.1];
    const deep = {
      ...trench, ground: "14 m", stone: { depth: "2.6 m", porosity: 0.1, hydraulicConductivity: "1e-9 m/s" }, segments: count,
      pipe: { insideDiameter: "100 mm", outsideDiameter: "100 mm", bedding: "50 mm", manningN: n },
    };
    const load = Object.fromEntries(Array.from({ length: count }, (_, i) => [`overflowTrench ${i + 1}`, pour(flow / count, 20 * 3600)]));
    const done = run(
      { overflowTrench: { ...deep, inlet: { ...trench.inlet, invert: "13.5 m" } }, emitter: { ...base.emitter, crest: "11.6 m" }, soil: { ...base.soil, floor: false, sides: false } },
      load, 19 * 3600,
    );
    const velocity = flow / ((Math.PI / 4) * D * D);
    const through = ((2 * 9.80665 * n * n * length) / (D / 4) ** (4 / 3)) * (velocity ** 2 / (2 * 9.80665));
    const lost = done.level("overflowTrench 1", 19 * 3600) - done.level(`overflowTrench ${count}`, 19 * 3600);
    const share = ((count - 1) * (2 * count - 1)) / (6 * count * count);
    // each piece's head x is smooth over 1 mm at rest: x^2/sqrt(x^2 + e^2), at most 0.3 mm short of x
    expectClose(lost, share * through, { absolute: 3.1e-4 * (count - 1), because: "the root of the pipe's law, smooth over 1 mm" });
    expect(Math.abs(share - 1 / 3)).toBeLessThan(0.6 / count);
  });
});

describe("a cover that lets everything through", () => {
  test("keeps the level at the ground within 1 mm and spills what the free edge spills within 1 %", () => {
    const { emitter: _, overflowTrench: __, ...pit } = base;
    const bank = { ...base.chamberBank, ground: "11.6 m" };
    const load = { chamberBank: pour(0.004, 2 * 3600) };
    const free = simulate(readSite({ ...pit, chamberBank: bank }), load, { until: "8 h" });
    const covered = simulate(readSite({ ...pit, chamberBank: { ...bank, cover: { conductivity: "1000 m/h" } } }), load, { until: "8 h" });
    expect(covered.peaks["chamberBank"]!.level - 11.6).toBeLessThan(1e-3);
    expect(covered.peaks["chamberBank"]!.level).toBeGreaterThan(11.6);
    expect(free.ledger.bankSpill).toBeGreaterThan(10);
    expectClose(covered.ledger.bankSpill, free.ledger.bankSpill, { relative: 0.01, because: "the film over the free edge" });
  });
});

describe("the low spot", () => {
  test("falls by its soil's conductivity, whatever its shape", () => {
    fc.assert(fc.property(fc.integer({ min: 50, max: 700 }), fc.integer({ min: 5, max: 200 }), (shape_percent, area) => {
      const lowSpot = { floor: "11.5 m", depth: "0.2 m", area: `${area} m^2`, shape: shape_percent / 100, lip: "12 m", lipLength: "2 m", conductivity: "20 mm/h" };
      const done = run({ lowSpot, soil: { ...base.soil, factorOfSafety: 2 } }, { lowSpot: pour(area * 1e-5, 3600) }, 8 * 3600);
      const top = done.level("lowSpot", 3600);
      // 10 mm/h at gradient 1, as long as there is water over the bottom
      for (let hours = 1; hours <= 5; hours++) {
        const left = top - 11.5 - hours * 0.01;
        if (left < 0.002) break;
        expectClose(done.level("lowSpot", 3600 * (1 + hours)), 11.5 + left, { absolute: 2e-6, because: "the tight tolerance of the run" });
      }
    }), { seed: 6, numRuns: shareOf(80), endOnFailure: true });
  });

  test("holds the integral of its area", () => {
    fc.assert(fc.property(fc.double({ min: 0.4, max: 8, noNaN: true }), fc.double({ min: 0.01, max: 1.5, noNaN: true }), (shape, depth) => {
      const hollow = { floor: 3, depth: 0.3, area: 40, shape };
      // substituted h = u^p', so that Simpson's rule meets a smooth integrand for every shape: dh = m u^(m-1) du
      const m = Math.max(1, Math.ceil(shape)) * 2;
      const area = (h: number): number => 40 * (h / 0.3) ** (2 / shape);
      const at = (u: number): number => area(u ** m) * m * u ** (m - 1);
      const end = depth ** (1 / m);
      const n = 2000;
      let sum = at(0) + at(end);
      for (let i = 1; i < n; i++) sum += (i % 2 === 0 ? 2 : 4) * at((i / n) * end);
      expectClose(hollowVolume(hollow, 3 + depth), (sum * end) / (3 * n), { relative: 1e-9, because: "Simpson's rule at 2000 steps" });
    }), { seed: 6, numRuns: shareOf(200) });
  });
});
