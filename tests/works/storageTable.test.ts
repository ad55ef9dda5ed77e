import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bankStorage } from "../../lib/works/bankStorage.ts";
import { hollowStorage, hollowVolume } from "../../lib/works/hollowStorage.ts";
import { pipeBodyStorage, trenchStorage } from "../../lib/works/trenchStorage.ts";
import { prismStorage } from "../../lib/works/prismStorage.ts";
import { newKernel } from "../../lib/simulate/kernel.ts";
import { levelAt, storageTable, type StorageCurve, type StorageTable } from "../../lib/works/storageTable.ts";
import { expectClose } from "../closeTo.ts";
import { shareOf } from "../share.ts";

const INVERSE = { absolute: 1e-7, because: "what storageTable promises" };
/** A body that narrows to nothing is taken as a prism in its lowest tenth of a millimetre: a share of it is its error there. */
const BOTTOM = { depth: 1e-4, absolute: 5e-5, because: "half of the tenth of a millimetre that is taken as a prism" };
const inBottom = ({ floor, exponent }: { floor: number; exponent: number }, level: number): boolean =>
  exponent !== 1 && level < floor + BOTTOM.depth;
const between = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });

const banks = fc.record({
  floor: between(-20, 2000), length: between(1, 8), width: between(1, 5), overStone: between(0, 1), depth: between(0.3, 3),
  porosity: between(0.2, 0.5), base: between(0, 0.2), cover: fc.boolean(),
  chambers: fc.array(fc.record({ inside: between(0.2, 0.5), wall: between(0, 0.05), share: between(0.05, 1) }), { maxLength: 2 }),
}).map(({ floor, length, width, overStone, depth, porosity, base, cover, chambers }) => bankStorage({
  floor, length, width, ground: floor + depth + overStone + (cover ? 0.01 : 0), stone: { depth, porosity, base },
  chambers: chambers.map(({ inside, wall, share }) => (
    { count: 1, insideDiameter: inside, outsideDiameter: inside + 2 * wall, height: share * (depth - base) }
  )),
  coverPorosity: 0.05, cover: cover ? {} : null,
}));

const trenches = fc.record({
  floor: between(-20, 2000), fall: fc.oneof(fc.constant(0), between(1e-5, 0.01), between(0.01, 2)),
  length: between(2, 50), width: between(0.3, 1.5),
  overStone: between(0.02, 1), slope: fc.oneof(fc.constant(0), between(-1, 0.02)), depth: between(0.3, 1), porosity: between(0.2, 0.5),
  pipeInside: fc.boolean(), cover: fc.boolean(),
  pipe: fc.option(fc.record({ insideDiameter: between(0.05, 0.15), wall: between(0, 0.01), bedding: between(0, 0.1) }), { nil: null }),
}).map(({ floor, depth, porosity, overStone, slope, cover, pipe, ...rest }) => trenchStorage({
  ...rest, floor, stone: { depth, porosity }, coverPorosity: 0.05, cover: cover ? {} : null,
  ground: { high: floor + depth + overStone, low: floor + depth + overStone - slope },
  pipe: pipe === null ? null : { ...pipe, outsideDiameter: pipe.insideDiameter + 2 * pipe.wall },
}));

const pipes = fc.record({
  invert: between(-20, 2000), fall: fc.oneof(fc.constant(0), between(1e-5, 0.01), between(0.01, 1)),
  length: between(2, 40), diameter: between(0.05, 0.4),
}).map(pipeBodyStorage);

const boxes = fc.record({ level: between(-20, 2000), area: between(0.1, 3) }).map((step) => prismStorage([step]));

describe.each<[string, fc.Arbitrary<StorageCurve>]>([
  ["settling boxes", boxes], ["chamber banks", banks], ["trenches, level, flat and steep", trenches], ["slit pipes", pipes],
])("the storage of %s", (_kind, curves) => {
  test("gives back the level of every volume", () => {
    fc.assert(fc.property(curves, fc.array(between(0, 1.2), { minLength: 5, maxLength: 5 }), (curve, shares) => {
      const table = storageTable(curve);
      const height = Math.max(1, curve.corners.at(-1)! - curve.floor);
      for (const share of shares) {
        const level = curve.floor + share * height;
        if (inBottom(curve, level)) continue;
        const tolerance = { absolute: 1e-7 + 4e-16 * Math.abs(level), because: INVERSE.because };
        expectClose(levelAt(table, curve.volume(level)), level, tolerance, `level ${share * height} m above the floor`);
      }
    }), { seed: 2, numRuns: shareOf(1000) });
  });

  test("near the floor too, down to nothing", () => {
    fc.assert(fc.property(curves, between(-8, -2), (curve, exponent) => {
      const level = curve.floor + 10 ** exponent;
      expectClose(levelAt(storageTable(curve), curve.volume(level)), level, inBottom(curve, level) ? BOTTOM : INVERSE);
      expect(levelAt(storageTable(curve), 0) === curve.floor).toBe(true);
    }), { seed: 3, numRuns: shareOf(1000) });
  });

  test("rises with the level, and its area is its slope", () => {
    fc.assert(fc.property(curves, between(0.001, 1.1), (curve, share) => {
      const height = Math.max(1, curve.corners.at(-1)! - curve.floor);
      const [level, h] = [curve.floor + share * height, 1e-5];
      expect(curve.volume(level + h)).toBeGreaterThan(curve.volume(level - h));
      if (curve.corners.some((corner) => Math.abs(corner - level) < 3 * h)) return;
      // over a corner's neighbourhood a circle's area bends like a square root: hence 1e-3
      const slope = (curve.volume(level + h) - curve.volume(level - h)) / (2 * h);
      expectClose(curve.area(level), slope, { relative: 2e-3, absolute: 1e-6, because: "central difference" });
    }), { seed: 4, numRuns: shareOf(1000) });
  });

  test("is read alike by the run's own reader, whose slope is that of the level", () => {
    fc.assert(fc.property(curves, between(0.01, 1.1), (curve, share) => {
      const table = storageTable(curve);
      const volume = curve.volume(curve.floor + share);
      const { level, slope } = read(table, volume);
      expectClose(level, levelAt(table, volume), { relative: 1e-14, absolute: 1e-16, because: "the same cubic, a power of their own in each" });
      const h = 1e-6 * volume;
      if (curve.corners.some((corner) => Math.abs(curve.volume(corner) - volume) < 3 * h)) return;
      expectClose(slope, (levelAt(table, volume + h) - levelAt(table, volume - h)) / (2 * h), { relative: 1e-3, because: "central difference" });
    }), { seed: 5, numRuns: shareOf(1000) });
  });
});

test("a hollow's level and volume invert each other (Hayashi & van der Kamp, J. Hydrology 237, 2000)", () => {
  const hollows = fc.record({ floor: between(-20, 2000), depth: between(0.03, 1), area: between(1, 500), shape: between(0.6, 6) });
  fc.assert(fc.property(hollows, between(-8, 0.3), (hollow, exponent) => {
    const level = hollow.floor + 10 ** exponent;
    const table = hollowStorage(hollow);
    expectClose(levelAt(table, hollowVolume(hollow, level)), level, inBottom(table, level) ? BOTTOM : INVERSE);
  }), { seed: 6, numRuns: shareOf(1000) });
});

test("a paraboloid of area A1 at depth h1 holds half of A1 h1", () => {
  expectClose(hollowVolume({ floor: 3, depth: 0.2, area: 50, shape: 2 }, 3.2), 5, { relative: 1e-14, because: "round-off" });
});

test("a pit without chambers holds its porosity, chambers hold their inside and displace their outside", () => {
  const pit = {
    floor: 1, length: 4, width: 2, ground: 3, stone: { depth: 1.5, porosity: 0.4, base: 0.1 },
    chambers: [], coverPorosity: 0.05, cover: null,
  };
  expectClose(bankStorage(pit).volume(2.5), 0.4 * 8 * 1.5, { relative: 1e-14, because: "round-off" });
  expectClose(bankStorage(pit).volume(3), 0.4 * 8 * 1.5 + 0.05 * 8 * 0.5, { relative: 1e-14, because: "round-off" });
  const chambers = [{ count: 2, insideDiameter: 0.9, outsideDiameter: 1, height: 1.2 }];
  const more = 2 * (Math.PI / 4) * 1.2 * (0.81 - 0.4);
  expectClose(bankStorage({ ...pit, chambers }).volume(2.5), 4.8 + more, { relative: 1e-14, because: "round-off" });
});

test("a sloping trench without a pipe holds a wedge below its high end", () => {
  // V = n w L y^2 / (2 fall) up to the high floor, by plane geometry
  const trench = trenchStorage({
    floor: 10, fall: 0.5, length: 20, width: 0.6, ground: { high: 12, low: 12 }, stone: { depth: 1, porosity: 0.4 },
    pipe: null, pipeInside: true, coverPorosity: 0.05, cover: null,
  });
  expectClose(trench.volume(9.8), (0.4 * 0.6 * 20 * 0.3 ** 2) / (2 * 0.5), { relative: 1e-12, because: "difference of two integrals" });
  expectClose(trench.volume(11), trench.volume(10.5) + 0.4 * 0.6 * 20 * 0.5 - 0.35 * 0.6 * 20 * 0.5 * 0.5, { relative: 1e-12, because: "half of it over its stone" });
});

const reader = newKernel();

/** What the kernel reads in a table. */
function read(table: StorageTable, volume: number): { level: number; slope: number } {
  return reader.table(table)(volume);
}
