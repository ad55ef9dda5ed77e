import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { digRules, takeOff, type TakeOff, wrapArea } from "../../lib/plan/takeOff.ts";
import { materialFigures, type MaterialKey, materialPractice } from "../../lib/site/materials.ts";
import { positiveMean } from "../../lib/plan/hole.ts";
import { readSite, SiteError } from "../../lib/site/readSite.ts";
import { bankStorage } from "../../lib/works/bankStorage.ts";
import { trenchStorage } from "../../lib/works/trenchStorage.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";
import { FEET, METRES, NO_EXTRAS, plain, extras, siteText } from "../simulate/randomSites.ts";
import { shareOf } from "../share.ts";
import { changed, fixture, type SiteJson } from "../site/siteFiles.ts";

const BY_HAND = { absolute: 1e-5, because: "six digits of a sum by hand" };
const ROUND_OFF = { absolute: 1e-9, relative: 1e-12, because: "round-off" };

const depot = (materials?: SiteJson): SiteJson => changed(fixture("orchard-depot"), "materials", materials);

// Every figure below is worked by hand from the file and the metric figures of common practice: box wall 75 mm, its bed
// 100 mm, 300 mm to work in, pipe trenches 300 mm wide with a 100 mm bed, turf 50 mm, laps of 300 mm on a roll of 4 m.
describe("the order list of the orchard depot", () => {
  const list = takeOff(readSite(depot()));

  test("digs what its prisms hold", () => {
    const volumes: Record<string, number> = {
      // (0.7 + 0.15 + 0.6) (0.6 + 0.15 + 0.6) (1.45 + 0.075 + 0.1)
      "settling box": 1.45 * 1.35 * 1.625,
      // 6.5 x 0.3 x mean of 49.05 - 48.20 + 0.1 and 48.80 - 48.12 + 0.1
      "pipe from the settling box": 6.5 * 0.3 * 0.865,
      "pit": 4.2 * 2.6 * 2.1,
      // mean of 48.80 - 47.80 + 0.1 and 48.45 - 47.80 + 0.1
      "pipe to the trench": 1.5 * 0.3 * 0.925,
      // mean of 0.90 and 1.02
      "overflow trench": 18 * 0.5 * 0.96,
    };
    expect(list.dig.holes.map(({ name }) => name)).toEqual(Object.keys(volumes));
    expectAllClose(list.dig.holes.map(({ name, volume }) => ({ what: name, value: volume, expected: volumes[name]! })), BY_HAND);
    expectAllClose([
      { what: "in all", value: list.dig.volume, expected: 36.855938 },
      { what: "loose", value: list.dig.loose, expected: 1.25 * 36.855938 },
    ], BY_HAND);
  });

  test("fills in the stone that chambers and pipe leave room for, in whole loads", () => {
    expectAllClose([
      // 2 of 1.0 m and 1.1 m high: 1.727876; 1 of 0.64 m and 0.9 m high: 0.289529
      { what: "chambers", value: list.lay.chamberVolume, expected: 2.017405 },
      { what: "pit", value: list.fill.pitStone, expected: 15.834 - 2.017405 },
      // 18 x 0.5 x 0.45 less 18 m of 0.114 m
      { what: "trench", value: list.fill.trenchStone, expected: 4.05 - 0.183727 },
      // with the bed under box and pipes: 0.19575 + 0.195 + 0.045
      { what: "ordered", value: list.fill.ordered, expected: 18.567012 + 1.05 * 0.43575 },
    ], BY_HAND);
    expectClose(list.fill.mass, 29_707.22 + 1600 * 1.05 * 0.43575, { absolute: 0.01, because: "1600 kg/m3 times the sum by hand" });
    // 30.4 t in loads of 12 t
    expect(list.fill.loads).toBe(3);
  });

  test("puts back soil and turf, and takes the rest away", () => {
    expectAllClose([
      // pit 10.92 x 0.60; trench 9 x (mean of 0.45 and 0.57 - 0.05); box (1.9575 - 0.85 x 0.75) x 1.475;
      // pipes 1.95 x 0.715 - 0.061772 and 0.45 x 0.775 - 0.014255
      { what: "soil", value: list.cover.soil, expected: 6.552 + 4.14 + 1.947 + 1.332478 + 0.334495 },
      { what: "turf", value: list.cover.turfArea, expected: 10.92 + 9 + 1.32 + 1.95 + 0.45 },
      { what: "left", value: list.cover.spoilLeft, expected: 22.549965 },
      { what: "left, loose", value: list.cover.spoilLoose, expected: 28.187456 },
      // 1.9575 x 0.1, and 0.1 under each pipe
      { what: "bed", value: list.lay.bed, expected: 0.19575 + 0.195 + 0.045 },
    ], BY_HAND);
    expectClose(list.cover.spoilMass, 40_589.94, { absolute: 0.01, because: "1800 kg/m3 times the sum by hand" });
    // 40.6 t in loads of 12 t
    expect(list.cover.loads).toBe(4);
  });

  test("wraps both stones in fabric with its laps", () => {
    expectAllClose([
      // girth 2 (2.6 + 1.45) + 0.3 = 8.4 by 4.2; two strips across, one lap of 0.3 x 8.4; ends 2 (2.6 + 0.6)(1.45 + 0.6)
      { what: "pit", value: list.lay.fabric.pit, expected: 35.28 + 2.52 + 13.12 },
      // girth 2 (0.5 + 0.45) + 0.3 = 2.2, one strip along 18; ends 2 x 1.1 x 1.05
      { what: "trench", value: list.lay.fabric.trench, expected: 39.6 + 2.31 },
      { what: "bare", value: list.lay.fabric.bare, expected: 41.56 + 34.65 },
    ], BY_HAND);
  });

  test("counts pipes in whole pieces, and the fittings they cannot do without", () => {
    expect(list.lay.pipes.map(({ name, diameter, pieces }) => [name, diameter, pieces])).toEqual([
      ["pipe from the settling box", 0.11, 3], ["pipe to the trench", 0.11, 1], ["pipe in the trench, perforated", 0.1, 6], ["riser of the emitter", 0.1, 1],
      ["standpipe", 0.11, 1],
    ]);
    // from the pit's floor at 46.70 to its ground at 48.80, and 0.15 m over it to be cut off
    expectClose(list.lay.pipes[4]!.length, 2.25, ROUND_OFF);
    // crest 48.10 less the trench pipe's inside bottom at the low end, 47.43 + 0.057
    expectClose(list.lay.pipes[3]!.length, 0.613, ROUND_OFF);
    // the pipe to the trench ends at 47.80, the pipe in it begins at 47.55 + 0.057: a step of 0.19 m takes two bends
    expect(list.lay.fittings.map(({ name, diameter, count }) => [name, diameter, count])).toEqual([
      ["outlet in the box's wall", 0.11, 1], ["seal in the box's wall", 0.11, 1], ["screen in front of the box's outlet", 0.11, 1], ["plug for the box's outlet, for the fill test", 0.11, 1],
      ["mouth in the pit", 0.11, 2], ["cap of the standpipe", 0.11, 1], ["bend to the level of the trench pipe", 0.11, 2], ["reducer to the trench pipe", 0.11, 1],
      ["tee under the emitter, for its weep hole", 0.1, 1], ["coupling between pieces", 0.11, 2], ["coupling between pieces", 0.1, 5],
    ]);
    expect(list.lay.emitter).toBe(0.1);
  });

  test("says which holes are as deep as others speak of", () => {
    // box 1.625 m, pit 2.1 m, pipe 1.1 m and 0.95 m, trench 1.02 m; 4 ft are 1.219 m, 5 ft 1.524 m
    // in metres and without a region: the rules of the United Kingdom, others on request
    expect(list.dig.rules.map(({ rule, holes }) => [rule.depth, holes.length])).toEqual([["1.2 m", 2]]);
    const both = takeOff(readSite(changed(depot(), "surroundings", { publishedRules: ["US", "GB"] }))).dig;
    expect(both.rules.map(({ rule, holes }) => [rule.depth, holes.length])).toEqual([["0 ft", 5], ["1.2 m", 2], ["4 ft", 2], ["5 ft", 2]]);
    expect(both.rules.at(-1)!.holes.map(({ name }) => name)).toEqual(["settling box", "pit"]);
    expect(both.asking).toBe("As asked for, published rules of these countries: United States, United Kingdom.");
  });

  test.each([
    [undefined, ["GB"], /^The file names no region; as it is written in metres, published rules of the United Kingdom are asked\./],
    ["US", ["US"], /^The file puts the site in the United States: published rules of that country are asked\.$/],
    ["DE", ["DE"], /^The file puts the site in Germany: published rules of that country are asked\.$/],
    ["FR", [], /are asked\. No published rules on digging of France are held here\.$/],
  ])("asks the rules of the site's own country, of region %s those of %j", (region, countries, asking) => {
    const { rules, asking: words } = takeOff(readSite(changed(depot(), "region", region))).dig;
    expect([...new Set(rules.map(({ rule }) => rule.region))]).toEqual(countries);
    expect(words).toMatch(asking);
  });

  test("says what it took for figures that the file does not give", () => {
    expect(list.assumed.map(({ key }) => key)).toEqual(Object.keys(materialPractice));
    expect(list.assumed[0]).toEqual({
      key: "stoneDensity", about: "density of the stone as it lies, voids included", written: "1600 kg/m^3",
      source: "2700 lb a cubic yard of crushed stone in public tables",
    });
  });

  test("says what it cannot know", () => {
    expect(list.notes).toEqual([
      "The ground round the settling box is taken at its rim: the file gives none. Walls of holes are taken upright; sloped back, more is dug and more goes back.",
      "How the pipes reach the chambers is not in the file: bends and tees for it are not counted.",
      "The pipes from the downpipes to the box are not in the file, nor in this list.",
    ]);
    const wet = takeOff(readSite(changed(depot(), "groundwater.level", "47.1 m")));
    expect([list.dig.groundwater, wet.dig.groundwater]).toEqual([null,
      "Groundwater at 47.100 m stands 400 mm over the floor of the pit: it has to be kept out while the pit is open, and wet walls stand less."]);
  });
});

describe("the materials of a file", () => {
  test("take the place of common practice, and are then not assumed", () => {
    const site = readSite(depot({ stoneDensity: "1500 kg/m^3", bulking: 1.4, stoneSpare: 0, stoneLoad: "8 m^3", spoilLoad: "20 ton", turfThickness: "0 mm" }));
    const { fill, lay, cover, dig, assumed } = takeOff(site);
    expectClose(fill.mass, 1500 * (fill.stone + lay.bed), ROUND_OFF);
    expectClose(dig.loose, 1.4 * dig.volume, ROUND_OFF);
    // 17.68 m3 of stone and 0.44 m3 of bed by loads of 8 m3; without turf 21.4 m3 of soil are left, 38.5 t by loads of 18.1 t
    expect([fill.loads, cover.loads, cover.turf]).toEqual([3, 3, 0]);
    expect(assumed.map(({ key }) => key)).toEqual([
      "soilDensity", "fabricLap", "fabricRoll", "fabricRollLength", "workingSpace", "boxWall", "boxBase", "pipeTrenchWidth", "pipeBed", "pipeLength",
    ]);
  });

  test("are refused all at once where they are not amounts", () => {
    const wrong = { stoneDensity: "1600 kg", bulking: 0.8, stoneLoad: "14", spoilLoad: "0.5 kg", fabricLap: 12, turf: "2 in" };
    const read = (): unknown => readSite(depot(wrong));
    expect(read).toThrow(SiteError);
    const load = 'expected a mass from 10 kg to 100 t or a volume from 10 L to 100 m^3, such as "14 ton", "12 t" or "10 cu yd"';
    for (const line of [
      'materials.stoneDensity: expected a density such as "110 lb/ft^3" or "1800 kg/m^3", got "1600 kg", a mass',
      "materials.bulking: expected a number from 1 to 3, got 0.8",
      `materials.stoneLoad: ${load}, got "14"`, `materials.spoilLoad: ${load}, got "0.5 kg"`,
      'materials.fabricLap: expected a length such as "2.5 ft", "18 in" or "0.75 m", got 12, a bare number',
    ]) expect(read).toThrow(line);
    expect(read).toThrow(/materials\.turf: expected .*, got an unknown key/);
  });

  test("of common practice are lawful in a file, and alike in both systems", () => {
    const keys = Object.keys(materialPractice) as MaterialKey[];
    for (const units of ["us", "si"] as const) {
      const written = Object.fromEntries(keys.map((key) => [key, materialPractice[key][units]]));
      const site = readSite(depot(written));
      expect(site.materials).toEqual({ about: "", ...materialFigures({ materials: null, units }).figures });
    }
    const [us, si] = (["us", "si"] as const).map((units) => materialFigures({ materials: null, units }).figures);
    for (const key of keys) {
      const [a, b] = [us![key], si![key]].map((figure) => (typeof figure === "number" ? figure : "mass" in figure ? figure.mass : NaN));
      expectClose(a!, b!, { relative: 0.06, because: "both are round figures of their system" }, key);
    }
  });
});

test("rules of one's own take the place of the published ones, and have to be readable", () => {
  const site = readSite(depot());
  const own = { depth: "2 m", asks: "two people at the edge", says: "the foreman, invented", source: "his word", status: "given with the site" } as const;
  const { rules } = takeOff(site, { rules: [own, ...digRules.filter(({ says }) => says === "US OSHA")] }).dig;
  expect(rules.map(({ rule, holes }) => [rule.depth, holes.map(({ kind }) => kind)]).at(-1)).toEqual(["2 m", ["pit"]]);
  expect(rules).toHaveLength(4);
  expect(() => takeOff(site, { rules: [{ ...own, depth: "2" }] })).toThrow('rules[0].depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "2"');
});

test("a hole exactly as deep as a rule speaks of is as deep", () => {
  const site = readSite(changed(changed(depot(), "chamberBank.ground", "48.224 m"), "region", "US"));
  const five = takeOff(site).dig.rules.find(({ rule }) => rule.depth === "5 ft")!;
  expect(five.holes.map(({ kind }) => kind)).toContain("pit");
});

describe("on any site", () => {
  const SEEDED = { numRuns: shareOf(1000), seed: 83 };

  test("what fills a hole is what was dug, and none of it is less than nothing", () => {
    fc.assert(fc.property(plain(), extras, (plan, more) => {
      for (const { volume, back, depths, kind } of takeOff(readSite(siteText(plan, more).json)).dig.holes) {
        expectClose(back.taken + back.bed + back.soil + back.turf, volume, ROUND_OFF, kind);
        const parts = [volume, back.taken, back.bed, back.soil, back.turf, back.turfArea, ...depths];
        expect(Math.min(...parts)).toBeGreaterThanOrEqual(-1e-12);
      }
    }), SEEDED);
  });

  test("stone, chambers and pipe fill pit and trench to the stone top", () => {
    fc.assert(fc.property(plain(), extras, (plan, more) => {
      const site = readSite(siteText(plan, more).json);
      const { fill, lay } = takeOff(site);
      const { chamberBank: pit, overflowTrench: trench } = site;
      expectClose(fill.pitStone + lay.chamberVolume, pit.length * pit.width * pit.stone.depth, ROUND_OFF);
      const pipe = trench?.pipe ? (Math.PI / 4) * trench.pipe.outsideDiameter ** 2 * trench.length : 0;
      expectClose(fill.trenchStone + pipe, trench === null ? 0 : trench.length * trench.width * trench.stone.depth, ROUND_OFF);
      expectClose(fill.stone, fill.pitStone + fill.trenchStone, ROUND_OFF);
    }), SEEDED);
  });

  test("the voids of the stone, with chambers and pipe, hold what the storage curves hold at the stone top", () => {
    fc.assert(fc.property(plain(), (plan) => {
      const site = readSite(siteText(plan).json);
      const { fill } = takeOff(site);
      const { chamberBank: pit, overflowTrench: trench } = site;
      const inside = pit.chambers
        .reduce((sum, { count, insideDiameter, height }) => sum + count * (Math.PI / 4) * insideDiameter ** 2 * height, 0);
      const stoneTop = pit.floor + pit.stone.depth;
      expectClose(pit.stone.porosity * fill.pitStone + inside, bankStorage(pit).volume(stoneTop), ROUND_OFF, "pit");
      if (trench === null) return;
      const { length, width, fall, stone, pipe, coverPorosity } = trench;
      const pipeInside = pipe === null ? 0 : (Math.PI / 4) * pipe.insideDiameter ** 2 * length;
      // water level with the stone top at the high end stands over the falling stone top further down, in the cover's pores
      const over = (coverPorosity * width * length * fall) / 2;
      const held = trenchStorage({ ...trench, pipeInside: true }).volume(trench.floor + stone.depth) - over;
      expectClose(stone.porosity * fill.trenchStone + pipeInside, held, {
        absolute: 1e-6, because: "a falling floor takes the curve from differences over its fall, of 1 mm or more",
      }, "trench");
    }), SEEDED);
  });

  test("loads bring what is ordered and take what is left, and one less would not", () => {
    const load = fc.constantFrom("12 t", "14 ton", "6 m^3", "10 cu yd");
    fc.assert(fc.property(plain(), load, load, (plan, stoneLoad, spoilLoad) => {
      const { fill, cover } = takeOff(readSite({ ...siteText(plan).json, materials: { stoneLoad, spoilLoad } }));
      for (const [day, mass, loose] of [[fill, fill.mass, fill.ordered], [cover, cover.spoilMass, cover.spoilLoose]] as const) {
        const [whole, one] = "mass" in day.load ? [mass, day.load.mass] : [loose, day.load.volume];
        expect(day.loads * one).toBeGreaterThanOrEqual(whole * (1 - 1e-9));
        expect((day.loads - 1) * one).toBeLessThan(whole);
      }
    }), SEEDED);
  });

  test("feet and metres order the same, the materials given", () => {
    const figures = Object.fromEntries(Object.entries(materialPractice).map(([key, { si }]) => [key, si]));
    fc.assert(fc.property(plain(), (plan) => {
      const [metres, feet] = [METRES, FEET]
        .map((write) => takeOff(readSite({ ...siteText(plan, NO_EXTRAS, write).json, materials: figures })));
      const numbers = (list: TakeOff): Record<string, number> => ({
        dug: list.dig.volume, stone: list.fill.mass, soil: list.cover.soil, turf: list.cover.turfArea, left: list.cover.spoilLeft,
        fabric: list.lay.fabric.total, bed: list.lay.bed, loads: list.fill.loads,
        pipes: list.lay.pipes.reduce((sum, { length }) => sum + length, 0),
      });
      const expected = numbers(metres!);
      const found = Object.entries(numbers(feet!)).map(([what, value]) => ({ what, value, expected: expected[what]! }));
      expectAllClose(found, ROUND_OFF);
    }), SEEDED);
  });
});

test("fabric with laps is more than the bare surface, by the end laps alone without strips", () => {
  // girth 2 (1 + 0.5) = 3, along 10 on a roll of 4: no lap at all
  expect(wrapArea({ length: 10, width: 1, depth: 0.5, lap: 0, roll: 4 })).toEqual({ bare: 31, withLaps: 31 });
  const size = fc.double({ min: 0.3, max: 30, noNaN: true });
  const laps = fc.double({ min: 0, max: 0.9, noNaN: true });
  const rolls = fc.double({ min: 1, max: 6, noNaN: true });
  fc.assert(fc.property(size, size, size, laps, rolls, (length, width, depth, lap, roll) => {
    const { bare, withLaps } = wrapArea({ length, width, depth, lap, roll });
    expect(withLaps).toBeGreaterThanOrEqual(bare * (1 - 1e-12));
    expect(wrapArea({ length, width, depth, lap, roll: roll + 1 }).withLaps).toBeLessThanOrEqual(withLaps * (1 + 1e-12));
  }));
});

test("the mean of a depth above nothing is that of its many parts", () => {
  const depth = fc.double({ min: -2, max: 2, noNaN: true });
  fc.assert(fc.property(depth, depth, (a, b) => {
    const parts = 2000;
    let sum = 0;
    for (let i = 0; i < parts; i++) sum += Math.max(0, a + ((b - a) * (i + 0.5)) / parts);
    expectClose(positiveMean(a, b), sum / parts, { absolute: 1e-5, because: "2000 parts, one of which holds the corner" });
    expect(positiveMean(a, b)).toBe(positiveMean(b, a));
  }));
});
