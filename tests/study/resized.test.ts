import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";
import { storingBodies } from "../../lib/simulate/freeVolume.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { changedSite } from "../../lib/site/changedSite.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { OverflowTrench, Site } from "../../lib/site/site.ts";
import { chamberCount, resized, type Sizes } from "../../lib/study/resized.ts";
import { expectClose } from "../closeTo.ts";
import { shareOf } from "../share.ts";

function demo(name: string, without: readonly string[] = []): Site {
  const file = JSON.parse(readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8")) as Record<string, unknown>;
  return readSite(Object.fromEntries(Object.entries(file).filter(([key]) => !without.includes(key))));
}

const lane = demo("copperbeech-lane");
const roundOff = { relative: 1e-12, because: "round-off" };

describe("works in other sizes", () => {
  test("have a pit whose length grows with the chambers, so that each keeps its length of pit", () => {
    const { chamberBank } = resized(lane, { chambers: 7 });
    expect(chamberCount({ chamberBank })).toBe(7);
    expectClose(chamberBank.length / 7, lane.chamberBank.length / 4, roundOff);
    expect([chamberBank.width, chamberBank.floor]).toEqual([lane.chamberBank.width, lane.chamberBank.floor]);
  });

  test("have a deeper pit for more stone under the chambers; the stone's top and the room above its base stay", () => {
    const { chamberBank: { floor, stone } } = resized(lane, { stoneBase: 0.3 });
    const { chamberBank: before } = lane;
    expectClose(before.floor - floor, 0.3 - before.stone.base, { absolute: 1e-12, because: "round-off of levels of 28 m" });
    expectClose(floor + stone.depth, before.floor + before.stone.depth, roundOff);
    expectClose(stone.depth - stone.base, before.stone.depth - before.stone.base, roundOff);
  });

  test("have a longer trench with the levels of both its ends", () => {
    const longer = resized(lane, { trenchLength: 30 });
    expect(longer.overflowTrench!.length).toBe(30);
    const ends = ({ stoneTop, lowFloor, inletFloor, emitterFloor }: OverflowTrench) => ({ stoneTop, lowFloor, inletFloor, emitterFloor });
    expect(ends(longer.overflowTrench!)).toEqual(ends(lane.overflowTrench!));
  });

  test("as they are now are the same works", () => {
    const { chamberBank: { width, stone }, overflowTrench } = lane;
    expect(resized(lane, { chambers: 4, pitWidth: width, stoneBase: stone.base, trenchLength: overflowTrench!.length })).toEqual(lane);
  });

  test.each<readonly [string, Sizes, string]>([
    ["a pit narrower than a chamber", { pitWidth: 0.5, stoneBase: -0.1 }, [
      "  pitWidth: expected a pit at least as long and wide as a chamber, 2.46 ft, got 1.64 ft",
      "  stoneBase: expected 0 or more, got -0.328 ft",
    ].join("\n")],
    ["no trench's length", { trenchLength: 0 }, "  trenchLength: expected 1 mm or more, got 0 ft"],
    ["too little room for chambers side by side", { pitWidth: 0.8 },
      "  pitWidth: expected chambers that fit into the pit's plan, each with the length of pit that it has now, got chambers of "
      + "19 sq ft in a pit of 17.7 sq ft"],
  ])("%s is refused in words", (_, sizes, words) => {
    const crowded = words.includes("chambers of") ? { ...lane, chamberBank: { ...lane.chamberBank, length: lane.chamberBank.length / 2 } } : lane;
    expect(() => resized(crowded, sizes)).toThrow(`The works cannot have these sizes:\n${words}`);
  });

  test("of things that are not there are refused", () => {
    const bare = demo("linden-row", ["overflowTrench", "emitter"]);
    expect(() => resized({ ...bare, chamberBank: { ...bare.chamberBank, chambers: [] } }, { chambers: 2, trenchLength: 9 })).toThrow([
      "The works cannot have these sizes:",
      "  chambers: expected a pit with chambers, or no such size, got 2",
      "  trenchLength: expected a site with a trench, or no such size, got 9 m",
    ].join("\n"));
  });

  test("whose pit's floor would come over a pipe that opens into it are refused", () => {
    const deep = demo("linden-row");
    const lowered = { invert: 61.32, outletInvert: 61.32 };
    const low = changedSite(deep, { settlingBoxes: deep.settlingBoxes.map((box) => ({ ...box, outlet: { ...box.outlet, ...lowered } })) });
    expect(() => resized(low, { stoneBase: 0 })).toThrow(
      "stoneBase: expected a floor of the pit at or below all that opens into it (61.320 m), got 61.450 m",
    );
    expect(resized(low, { stoneBase: 0.14 }).chamberBank.stone.base).toBe(0.14);
  });
});

/** One size made larger, all others alike. */
interface Growth {
  readonly smaller: Sizes;
  readonly larger: Sizes;
}

function growthOf(site: Site): fc.Arbitrary<Growth> {
  const { chamberBank: { width }, overflowTrench: trench } = site;
  const keys = ["chambers", "pitWidth", "stoneBase", "trenchLength"] as const;
  return fc.record({
    key: fc.constantFrom(...keys.slice(0, trench === null ? 3 : 4)), chambers: fc.integer({ min: 1, max: 9 }),
    pitWidth: fc.double({ min: width, max: 2 * width, noNaN: true }),
    stoneBase: fc.double({ min: 0, max: 0.4, noNaN: true }), trenchLength: fc.double({ min: 4, max: 30, noNaN: true }),
    more: fc.double({ min: 0.05, max: 1, noNaN: true }),
  }).map(({ key, more, trenchLength, ...others }) => {
    const smaller: Record<string, number> = trench === null ? others : { ...others, trenchLength };
    const step = key === "chambers" ? Math.ceil(3 * more) : key === "stoneBase" ? 0.4 * more : smaller[key]! * more;
    return { smaller, larger: { ...smaller, [key]: smaller[key]! + step } };
  });
}

/** Blocks, a peaked day, and two bursts with a pause in which a small pit empties further than a large one. */
const burst = fc.double({ min: 0.02, max: 0.09, noNaN: true });
const storms: fc.Arbitrary<Hyetograph> = fc.oneof(
  fc.record({ depth: fc.integer({ min: 20, max: 220 }), hours: fc.double({ min: 0.25, max: 12, noNaN: true }) })
    .map(({ depth, hours }) => designStorm({ pattern: "block", depth: `${depth} mm`, duration: `${hours} h` })),
  fc.integer({ min: 30, max: 220 }).map((depth) => designStorm({ pattern: "nrcs-ii", depth: `${depth} mm` })),
  fc.record({ first: burst, second: burst, pause: fc.integer({ min: 1, max: 30 }) }).map(({ first, second, pause }) => (
    hyetograph({ time: [0, 1, 1 + pause, 2 + pause].map((hour) => 3600 * hour), depth: [first, 0, second] })
  )),
);

const spilled = ({ ledger }: Run): number => ledger.boxSpill + ledger.bankSpill + ledger.trenchSpill;

describe("what becomes of water in larger works, above the water table", () => {
  test.each([
    ["a pit alone", demo("linden-row", ["overflowTrench", "emitter"])],
    ["a pit and a trench", demo("linden-row", ["emitter"])],
    ["a pit and a trench in feet", demo("copperbeech-lane", ["emitter"])],
  ])("without an emitter, %s never spills more for any of its sizes that is larger", (_, site) => {
    let spills = 0;
    fc.assert(fc.property(growthOf(site), storms, ({ smaller, larger }, rain) => {
      const [before, after] = [simulate(resized(site, smaller), rain), simulate(resized(site, larger), rain)];
      if (spilled(before) > 0.01) spills++;
      expect(spilled(after)).toBeLessThanOrEqual(spilled(before) + 1e-5 * before.ledger.inflow);
    }), { numRuns: shareOf(150), seed: 7 });
    expect(spills).toBeGreaterThan(shareOf(37));
  });

  test.each([["in feet", lane], ["in metres", demo("linden-row")]])(
    "with one, what it lets out never rises by more than the water between its opening and closing levels, %s", (_, site) => {
      let fires = 0;
      fc.assert(fc.property(growthOf(site), storms, ({ smaller, larger }, rain) => {
        const [before, after] = [simulate(resized(site, smaller), rain), simulate(resized(site, larger), rain)];
        if (before.ledger.emitter > 0) fires++;
        expect(after.ledger.emitter).toBeLessThanOrEqual(before.ledger.emitter + betweenHeads(after.site));
      }), { numRuns: shareOf(150), seed: 7 });
      expect(fires).toBeGreaterThan(shareOf(37));
    });
});

/** Water in all of the works between the levels at which the lid opens and closes [m3]. */
function betweenHeads(site: Site): number {
  const { crest, opensAtHead, closesAtHead } = site.emitter!;
  return storingBodies(site).reduce((sum, { volume, storage: { floor } }) => (
    sum + volume(Math.max(floor, crest + opensAtHead)) - volume(Math.max(floor, crest + closesAtHead))
  ), 0);
}
