import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { soilProfile } from "../../lib/ground/soilProfile.ts";
import { LAW, type Law } from "../../lib/simulate/network.ts";
import {
  coverRow, emitterRow, grateRow, hollowSeepageRow, pipeRow, slitsRow, slopedWeirRow, stoneBorderRow, weepHoleRow, weirRow,
} from "../../lib/works/passageRows.ts";
import { seepageRow } from "../../lib/works/seepage.ts";
import { expectClose } from "../closeTo.ts";
import { onePassage } from "../kernel/onePassage.ts";
import { shareOf } from "../share.ts";

const SOIL = soilProfile([
  { top: Infinity, conductivity: 2e-6 }, { top: 10.4, conductivity: 2e-5 }, { top: 9.85, conductivity: 4e-7 },
], 1.5);
const FACES = { depth: 0.6, length: 12, width: 0.7, highEnd: true, lowEnd: true, floorShare: 1, sides: true, pathLength: 1.3 };

const WEEP = { elevation: 9.9, floor: 10, diameter: 0.02, soakArea: 0.2, conductivity: 2e-5, pathLength: 0.4 };

/** Each law, its numbers, and whether its second level is groundwater. Crests lie about 10 m. */
const LAWS: readonly (readonly [string, Law, readonly number[]])[] = [
  ["pipe", LAW.pipe, pipeRow({ diameter: 0.11, crest: 10, length: 6, manningN: 0.011, losses: 1.5 })],
  ["pipe without entrance limit in its way", LAW.pipe, pipeRow({ diameter: 0.15, crest: 10, length: 60, manningN: 0.013, losses: 1.5 })],
  ["weir", LAW.weir, weirRow(10, 3)],
  ["weir with water on both sides", LAW.sharedWeir, weirRow(10, 3)],
  ["weir over a ground that slopes", LAW.slopedWeir, slopedWeirRow({ high: 10.4, low: 10 }, 12, { atHigh: 0.5, atLow: 0.5 })],
  ["weep hole", LAW.weepHole, weepHoleRow(WEEP)],
  ["weep hole in open soil", LAW.weepHole, weepHoleRow({ ...WEEP, conductivity: 2e-3 })],
  ["emitter", LAW.emitter, emitterRow(10, null, 0.1)],
  ["cover", LAW.cover, coverRow(10, 1e-5, 12, 0.4)],
  ["grate", LAW.grate, grateRow(10, 1.2, 0.15)],
  ["slits", LAW.slits, slitsRow(10, 0.002, 12, 0.1)],
  ["stone between segments", LAW.stone, stoneBorderRow(10, 0.15, 0.5, 6, 0.5)],
  ["seepage of a level pit", LAW.seepage, seepageRow({ ...FACES, highFloor: 10, lowFloor: 10 }, SOIL)],
  ["seepage of a sloping trench", LAW.seepage, seepageRow({ ...FACES, highFloor: 10.2, lowFloor: 9.8 }, SOIL)],
  ["seepage of a low spot", LAW.hollowSeepage, hollowSeepageRow({ floor: 10, depth: 0.2, area: 60, shape: 2, lip: 10.6 }, 3e-6, 1)],
  ["seepage of a flat low spot", LAW.hollowSeepage, hollowSeepageRow({ floor: 10, depth: 0.2, area: 60, shape: 4, lip: 10.6 }, 3e-6, 1)],
];
// not on the millimetre, where the laws have their corners
const level = fc.integer({ min: -500_000, max: 1_200_000 }).map((n) => 10 + n / 1e6 + 0.37e-6);

describe.each(LAWS)("the flow law of the %s", (name, law, row) => {
  const drainsBelow = name === "seepage of a level pit" || law === LAW.hollowSeepage;
  const at = onePassage(law, row);

  test("rises with the level it comes from and falls with the one it goes to", () => {
    fc.assert(fc.property(level, level, level, (a, b, other) => {
      const [low, high] = [Math.min(a, other), Math.max(a, other)];
      fc.pre(!(drainsBelow && Math.min(a, b, other) < 10));
      const tiny = 1e-15;
      expect(at(high, b)[0]).toBeGreaterThanOrEqual(at(low, b)[0] - tiny);
      expect(at(b, high)[0]).toBeLessThanOrEqual(at(b, low)[0] + tiny);
    }), { seed: 11, numRuns: shareOf(2000) });
  });

  test("has the slopes it says it has", () => {
    const h = 1e-7;
    fc.assert(fc.property(level, level, (a, b) => {
      const [, byA, byB] = at(a, b);
      for (const [slope, up, down, across] of [
        [byA, at(a + h, b), at(a - h, b), 1], [byB, at(a, b + h), at(a, b - h), 2],
      ] as const) {
        // where the slope itself jumps within h there is a corner, and no slope to compare with
        const jump = Math.abs(up[across] - down[across]);
        const size = Math.max(Math.abs(up[across]), Math.abs(down[across]), Math.abs(slope));
        if (jump > 1e-2 * size) continue;
        const because = "central difference over 0.1 micrometre: round-off of the flow over h, and how far the slope bends";
        const absolute = jump + (3e-14 * (1e-3 + Math.abs(up[0]))) / h;
        expectClose((up[0] - down[0]) / (2 * h), slope, { relative: 1e-4, absolute, because });
      }
    }), { seed: 12, numRuns: shareOf(2000) });
  });

  test.skipIf(drainsBelow)("is still where both levels are below its crest", () => {
    expect(at(9.5, 9.2)).toEqual([0, 0, 0]);
  });

  test.runIf(drainsBelow)("goes on below its empty floor as the straight line of the film above it, and is still at the floor", () => {
    const film = at(10 + 1e-6, 8)[0] / 1e-6;
    expectClose(at(10 - 1e-6, 8)[0] / -1e-6, film, { relative: 1e-3, because: "the sides add their share above the floor" });
    expect(at(10, 8)[0]).toBe(0);
  });
});

describe("the pipe", () => {
  const pipe = { diameter: 0.11, crest: 10, length: 6.5, manningN: 0.011, losses: 1.5 };
  const flow = (a: number, b: number): number => onePassage(LAW.pipe, pipeRow(pipe))(a, b)[0];

  test("running full under water passes what losses and Manning's friction leave (by hand)", () => {
    // K = 1.5 + 2 g n^2 L/(D/4)^(4/3) = 1.5 + 2 x 9.80665 x 0.000121 x 6.5 / 0.0275^(4/3);   0.0275^(4/3) = 0.0083008, so K = 3.35837
    // Q = pi/4 0.11^2 sqrt(2 g 0.2 / K) = 0.00950332 x 1.08076
    expectClose(flow(10.8, 10.6), 0.0102708, { relative: 2e-4, because: "five digits by hand" });
  });

  test("at its entrance is critical: at a head of one diameter c(1) = 0.5 (1 - 0.277)", () => {
    // sqrt(g) D^2.5 0.3615 = 3.131557 x 0.00401312 x 0.3615 against 0.0095033 sqrt(2 g 0.11/K) = 0.0076158 of the full pipe
    expectClose(flow(10.11, 9), 0.0045431, { relative: 1e-4, because: "five digits by hand" });
  });

  test("far above its crown becomes an orifice of coefficient 0.592", () => {
    const [flow] = onePassage(LAW.pipe, pipeRow({ ...pipe, length: 0, losses: 0.5 }))(11.5, 9);
    // head over the centre h - D/2; c(1.5) = 0.5 x 2.25 x 0.5845 = 0.6575625 = 0.592 pi/4 sqrt 2
    const orifice = 0.592 * (Math.PI / 4) * 0.11 ** 2 * Math.sqrt(2 * 9.80665 * (1.5 - 0.055));
    expectClose(flow, orifice, { relative: 1e-3, because: "three digits of the coefficient" });
  });

  test("passes as much back as forth", () => {
    fc.assert(fc.property(level, level, (a, b) => {
      expect(Math.abs(flow(a, b) + flow(b, a))).toBe(0);
    }), { seed: 13 });
  });
});

test("a broad-crested weir passes 1.7 P h^1.5; the ideal of FHWA-NHI-02-001 is 1.7049", () => {
  expectClose(onePassage(LAW.weir, weirRow(10, 4))(10.25, -Infinity)[0], 1.7 * 4 * 0.125, { relative: 1e-13, because: "round-off of 10.25 - 10" });
  expectClose(1.7, Math.sqrt(9.80665) * (2 / 3) ** 1.5, { relative: 3.2e-3, because: "the trade rounds 1.7049 to 1.7" });
});

test("the emitter is a weir round its edge under a small head, an orifice of 0.6 under a large one", () => {
  const emitter = onePassage(LAW.emitter, emitterRow(10, null, 0.1));
  expectClose(emitter(10.01, -Infinity)[0], 1.7 * Math.PI * 0.1 * 0.001, { relative: 1e-10, because: "round-off of 10.01 - 10" });
  expectClose(emitter(10.16, -Infinity)[0], 0.6 * (Math.PI / 4) * 0.01 * 0.4 * Math.sqrt(2 * 9.80665), { relative: 1e-12, because: "round-off of 10.16 - 10" });
  expect(emitter(10.16, 10.2)).toEqual([0, 0, 0]);
});

test("an emitter with a tailwater measures its head from there", () => {
  expectClose(onePassage(LAW.emitter, emitterRow(10, 10.1, 0.1))(10.11, -Infinity)[0], 1.7 * Math.PI * 0.1 * 0.001, { relative: 1e-10, because: "round-off of 10.11 - 10.1" });
});

describe("the weep hole", () => {
  const flow = (shape: Partial<typeof WEEP>, H: number, G: number): number =>
    onePassage(LAW.weepHole, weepHoleRow({ ...WEEP, ...shape }))(H, G)[0];
  const open = { conductivity: 1, pathLength: 1e-3 };

  test("is an orifice of 0.6 in its head where the soil takes all, soft in its last millimetre", () => {
    const orifice = 0.6 * (Math.PI / 4) * 4e-4 * Math.sqrt(2 * 9.80665 * 0.3);
    expectClose(flow(open, 10.3, -Infinity), orifice, { relative: 3e-6, because: "(1 + e^2/x^2)^(-1/4) is 1 - 2.8e-6 at 0.3 m" });
  });

  test("is an orifice over the water table where that stands above it", () => {
    expectClose(flow(open, 10.7, 10.4), flow(open, 10.3, -Infinity), { relative: 1e-12, because: "the same head of 0.3 m" });
  });

  test("passes no more than its pocket of soil takes under gravity: K A", () => {
    expect(flow({}, 10.3, -Infinity)).toBe(2e-5 * 0.2);
    expect(flow({}, 10.3, 9.85)).toBe(2e-5 * 0.2);
  });

  test("passes less with the water table near: K A (H - G)/path", () => {
    expectClose(flow({}, 10.3, 10.1), 2e-5 * 0.2 * (0.2 / 0.4), { relative: 1e-12, because: "round-off of 10.3 - 10.1" });
  });

  test("lets nothing in where the water table stands above the water, or as high", () => {
    for (const table of [10.3, 10.5]) expect(flow({}, 10.3, table)).toBe(0);
  });
});

test("the spill along a ground that slopes is that of a level weir summed over slices of it, and of its two ends", () => {
  const ground = { high: 10.1, low: 10.4 };
  const [length, atHigh, atLow] = [9, 0.5, 0.7];
  const along = onePassage(LAW.slopedWeir, slopedWeirRow(ground, length, { atHigh, atLow }));
  const over = (H: number, z: number): number => Math.max(0, H - z) ** 1.5;
  for (const H of [10.15, 10.3, 10.45, 10.9]) {
    const slices = 20_000;
    let sides = 0;
    for (let i = 0; i < slices; i++) {
      sides += (2 * length * over(H, ground.high + ((i + 0.5) / slices) * (ground.low - ground.high))) / slices;
    }
    const expected = 1.7 * (sides + atHigh * over(H, ground.high) + atLow * over(H, ground.low));
    expectClose(along(H, -Infinity)[0], expected, { relative: 1e-7, because: "the midpoint rule over 20 000 slices" });
  }
});
