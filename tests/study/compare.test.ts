import { readFileSync } from "node:fs";
import { describe, expect, test, vi } from "vitest";
import { bandText, compareAnswer } from "../../lib/figures/compareAnswer.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { compare, comparePlan, fileDifferences } from "../../lib/study/compare.ts";
import { ensemble } from "../../lib/study/ensemble.ts";
import { columnOf } from "../../lib/study/runStudy.ts";
import { expectClose } from "../closeTo.ts";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

const text = readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8");
const lane = readSite(text);
// a tenth more trench
const longer = readSite(text.replace('"length": "45 ft"', '"length": "49 ft 6 in"'));
const STORM = { pattern: "block", depth: "1.8 in", duration: "1 h" } as const;
const DOUBTS = { conductivityWithin: 3, depthWithin: 1.25, groundwaterWithin: "2 ft", porosityWithin: 0.04, levelsWithin: "1/4 in" } as const;

describe("two prisms", () => {
  const prism = (width: number): Site => readSite({
    name: "Prism", catchments: [{ name: "roof", area: "100 m^2", runoffCoefficient: 1, timeOfConcentration: "1 min" }],
    settlingBox: { diameter: "0.1 m", floor: "7.4 m", rim: "12 m", outlet: { diameter: "500 mm", invert: "7.5 m" } },
    chamberBank: { floor: "7.5 m", length: "4 m", width: `${width} m`, ground: "12 m", stone: { depth: "3 m", porosity: 0.4 } },
    soil: { layers: [{ conductivity: "2e-6 m/s" }], factorOfSafety: 1 },
  });

  test("differ in the time to empty by what the formula says", async () => {
    // t = (n A/(K P)) ln[(0.99 h0 + A/P)/(0.01 + A/P)], derived; the clock starts at 99 % of the most and stops at 10 mm (model.md
    // section 8)
    const time = (width: number): number => {
      const [area, perimeter] = [4 * width, 2 * (4 + width)];
      const [h0, ratio] = [3.2 / (0.4 * area), area / perimeter];
      return ((0.4 * ratio) / 2e-6) * Math.log((0.99 * h0 + ratio) / (0.01 + ratio));
    };
    const { storms } = await compare(prism(2), prism(2.5), { storms: [{ pattern: "block", depth: "32 mm", duration: "1 min" }], runs: 0 });
    const { value, paired } = storms[0]!.difference.empty;
    expect(paired).toBeNull();
    expectClose(value, time(2.5) - time(2), { relative: 0.03, because: "a share of the water is lost while it fills, and the difference is a third of either" });
  });

  test("take in the same, so that what runs in and what soaks away do not differ", async () => {
    const { storms } = await compare(prism(2), prism(2.5), { storms: [{ pattern: "block", depth: "32 mm", duration: "1 min" }], depthWithin: 1.4, runs: 20 });
    expectClose(storms[0]!.difference.inflow.paired!.low, 0, { absolute: 1e-9, because: "the same draws of the same storm" });
    expectClose(storms[0]!.difference.inflow.paired!.high, 0, { absolute: 1e-9, because: "the same draws of the same storm" });
    expect(storms[0]!.difference.inflow.separate!.high).toBeGreaterThan(0.3);
  });
});

describe("the demo against itself with a tenth more trench", () => {
  const comparison = compare(lane, longer, { storms: [STORM], ...DOUBTS, runs: 150 });

  test("has bands at least three times narrower than two studies apart", async () => {
    const { difference } = (await comparison).storms[0]!;
    for (const answer of ["emitterVolume", "seeped", "openTime"] as const) {
      const { paired, separate } = difference[answer];
      expect(3 * (paired!.high - paired!.low), answer).toBeLessThan(separate!.high - separate!.low);
    }
  });

  test("and the paired differences are those of two ensembles with one seed, case by case", async () => {
    const { difference } = (await comparison).storms[0]!;
    const until = settledRun(longer, designStorm(STORM)).until;
    const [a, b] = await Promise.all([lane, longer].map((site) => ensemble(site, { storm: STORM, ...DOUBTS, runs: 150, seed: 1, until })));
    const apart = Array.from(columnOf(a!, "emitterVolume"), (value, i) => columnOf(b!, "emitterVolume")[i]! - value).sort((x, y) => x - y);
    const at = (share: number): number => {
      const place = share * 149;
      return apart[Math.floor(place)]! + (place % 1) * (apart[Math.ceil(place)]! - apart[Math.floor(place)]!);
    };
    const { low, middle, high } = difference.emitterVolume.paired!;
    [[0.05, low], [0.5, middle], [0.95, high]].forEach(([share, value]) => expectClose(value!, at(share!), { absolute: 1e-9, because: "the same numbers" }));
    expectClose(difference.emitterVolume.less, apart.filter((value) => value < -1e-6).length / 150, { absolute: 1e-9, because: "counted" });
  });

  test("is a sentence: less at the lid for so much more of trench", async () => {
    expect(compareAnswer(await comparison)).toMatch(
      /^In “1\.8 in, 1 h, block” B lets out .* gal less by the emitter \(.* gal less in 90 of 100 cases\) for 4\.5 ft more of trench and .* cu yd more to dig\.$/,
    );
  });

  test("a body that one of the two lacks moves no draw of the other", async () => {
    const bare = readSite({ ...JSON.parse(text) as object, overflowTrench: undefined, emitter: undefined });
    const drawn = async (site: Site): Promise<Float64Array[]> => {
      const table = await ensemble(site, { storm: STORM, ...DOUBTS, runs: 8, seed: 3, until: "1 s" });
      return ["conductivityFactor", "stormFactor", "groundwaterShift", "porosityShift", "boxOutletShift"].map((name) => columnOf(table, name));
    };
    expect(await drawn(bare)).toEqual(await drawn(lane));
  });

  test("with itself has no difference at all, in words too", async () => {
    const same = await compare(lane, lane, { storms: ["1-hour cloudburst"], ...DOUBTS, runs: 10 });
    for (const { value, paired } of Object.values(same.storms[0]!.difference)) {
      if (!Number.isNaN(value)) expect(value).toBe(0);
      if (paired !== null) expect([paired.low, paired.high]).toEqual([0, 0]);
    }
    expect(compareAnswer(same)).toBe("In “1-hour cloudburst” the water stands as high in both pits, for works as large.");
  });
});

test("without storms those that both have alike are taken, and without doubts the scatter of the soil", () => {
  const plan = comparePlan(lane, longer, {});
  expect(plan.storms.map(({ name }) => name)).toEqual(["2-year day", "1-hour cloudburst"]);
  expectClose(plan.doubts.conductivityWithin!, 5.1, { absolute: 0.03, because: "the factor of withinSiteBand, printed to a tenth" });
});

test("says all that is wrong with its options", () => {
  expect(() => comparePlan(lane, longer, { storms: ["flood", { pattern: "block", depth: "2 gal", duration: "1 h" }], runs: 1.5, conductivityWithin: 0.5, sed: 1 } as never)).toThrow([
    "The sites cannot be compared:",
    "  compare.runs: expected a whole number, got 1.5",
    '  compare.storms[0]: expected "2-year day", or "1-hour cloudburst", or a storm as designStorm takes it, or rain under a name, got "flood"',
    '  compare.storms[1].depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "2 gal", a volume',
    "  compare.conductivityWithin: expected a number of 1 or more and of 1000 or less, got 0.5",
    "  compare.sed: expected no such key (did you mean \"seed\"?), got 1",
  ].join("\n"));
  const other = readSite({ ...JSON.parse(text) as object, storms: undefined });
  expect(() => comparePlan(lane, other, {})).toThrow("compare.storms: expected storms, where the two sites have none alike, got none");
});

describe("what differs between two files", () => {
  test("is told key by key, without what only a reader is told", () => {
    const [a, b] = [JSON.parse(text) as Record<string, unknown>, JSON.parse(text.replace('"length": "45 ft"', '"length": "49 ft 6 in"')) as Record<string, unknown>];
    expect(fileDifferences(a, { ...b, about: "another", name: "Other" })).toEqual([{ where: "overflowTrench.length", a: "45 ft", b: "49 ft 6 in" }]);
  });

  test.each([
    [{ x: [1, 2] }, { x: [1, 3] }, [{ where: "x[1]", a: "2", b: "3" }]],
    [{ x: [1, 2] }, { x: [1] }, [{ where: "x", a: "[1,2]", b: "[1]" }]],
    [{ x: { y: "1 m" } }, {}, [{ where: "x", a: '{"y":"1 m"}', b: null }]],
    [{ x: 1 }, { x: 1 }, []],
  ])("%j and %j", (a, b, expected) => {
    expect(fileDifferences(a, b)).toEqual(expected);
  });
});

test.each([
  [-3, -2, "2 to 3 L less"], [2, 3, "2 to 3 L more"], [-1, 2, "1 L less to 2 L more"], [-2, 0, "0 to 2 L less"], [0, 2, "0 to 2 L more"],
])("a band from %d to %d reads %s", (low, high, words) => {
  expect(bandText({ low, high }, (value) => `${value} L`)).toBe(words);
});
