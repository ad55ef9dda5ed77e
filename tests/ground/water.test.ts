import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { cloggingNote } from "../../lib/site/siteNotes.ts";
import { moundLimit } from "../../lib/ground/mound/moundLimit.ts";
import { separation } from "../../lib/ground/separation.ts";
import { waterAtWall } from "../../lib/ground/waterAtWall.ts";

const height = fc.double({ min: -100, max: 100, noNaN: true });

describe("water at a wall", () => {
  test("stands at the groundwater level and the mound on it (by hand)", () => {
    expect(waterAtWall({ groundwaterLevel: 46, rise: 0.5, slabLevel: 47, capillaryRise: 0.75 }))
      .toEqual({ level: 46.5, belowSlab: 0.5, dampBelowSlab: -0.25 });
  });

  test("comes as much nearer to the slab as the mound rises", () => {
    fc.assert(fc.property(height, height, fc.integer({ min: 0, max: 50 }), (groundwaterLevel, slabLevel, rise) => {
      const dry = waterAtWall({ groundwaterLevel, rise: 0, slabLevel });
      const wet = waterAtWall({ groundwaterLevel, rise, slabLevel });
      expect(dry.belowSlab - wet.belowSlab).toBeCloseTo(rise, 9);
      expect(dry.dampBelowSlab).toBe(dry.belowSlab);
    }), { seed: 67 });
  });

  test("is no number made of none", () => {
    expect(() => waterAtWall({ groundwaterLevel: -Infinity, rise: 0, slabLevel: 47 })).toThrow("groundwaterLevel: expected a number of metres, got -Infinity");
  });
});

describe("separation", () => {
  test("is taken from the highest level of the series, and the mound counts", () => {
    const wetSpring = { time: [0, 30, 60], level: [43, 44.5, 44] };
    expect([separation(46, wetSpring), separation(46, wetSpring, 0.5), separation(44, wetSpring)]).toEqual([1.5, 1, -0.5]);
  });

  test("has no end where groundwater is far below", () => {
    expect(separation(46, null)).toBe(Infinity);
  });
});

describe("the mound's limit", () => {
  test("is half of the saturated thickness or the pit's floor, whichever comes first", () => {
    expect(moundLimit({ thickness: 3, level: 44, floor: 46 })).toEqual({ rise: 1.5, because: "half of the saturated thickness" });
    expect(moundLimit({ thickness: 6, level: 44, floor: 46 })).toEqual({ rise: 2, because: "the pit's floor" });
    expect(moundLimit({ thickness: 6, level: 44, floor: 43 })).toEqual({ rise: 0, because: "the pit's floor" });
  });
});

describe("a floor that is taken to stay open", () => {
  test("is told to be optimistic, unless it is sealed already", () => {
    expect(cloggingNote(0)).toBeNull();
    expect(cloggingNote(1)).toBe("The floor of the pit is taken to stay clean for life, which is optimistic (common practice): "
      + 'look at "openFloorShare": 0 as well.');
    expect(cloggingNote(0.25)).toMatch(/^25 percent of the pit's floor is taken to stay open for life/);
    expect(() => cloggingNote(1.5)).toThrow("openFloorShare: expected 0 to 1, got 1.5");
  });
});
