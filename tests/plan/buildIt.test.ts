import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { chamberLayout } from "../../lib/plan/chamberLayout.ts";
import { clashes } from "../../lib/plan/clashes.ts";
import { fabricPlan, pipeLengths, wrappedBlocks, type FabricPiece } from "../../lib/plan/cutPlan.ts";
import { nearLines, nearFootings, treeStretch } from "../../lib/plan/hazards.ts";
import { holeDistances } from "../../lib/plan/holeDistances.ts";
import { digLevels } from "../../lib/plan/digLevels.ts";
import { dropBends, levelBends, pipeTurns } from "../../lib/plan/pipeTurns.ts";
import { standpipeAt, standpipePlace } from "../../lib/plan/standpipe.ts";
import { laidBack } from "../../lib/plan/laidBack.ts";
import { setOut } from "../../lib/plan/setOut.ts";
import { takeOff } from "../../lib/plan/takeOff.ts";
import { worksShapes, type PlacedHole } from "../../lib/plan/worksShapes.ts";
import { edgeOf, turnedRectangle, type PlanPoint, type PlanShape } from "../../lib/plane/planShape.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";
import { shareOf } from "../share.ts";
import { changed, demo } from "../site/siteFiles.ts";

const lane = readSite(demo("copperbeech-lane"));
const row = readSite(demo("linden-row"));
const ROUND_OFF = { absolute: 1e-9, because: "round-off of a few operations" };
const BY_HAND = { relative: 0.02, because: "the take-off by hand is to hold to 2 %" };
const FOOT = 0.3048;

describe("the take-off by hand of two sites", () => {
  test("Copperbeech Lane, in feet: fabric by a cutting plan, stone, pipe, spoil at 1:1", () => {
    const { fill, lay, dig } = takeOff(lane);
    // fabric, roll 12.5 ft, laps 1 ft. Pit 13.5 x 8 x 4.667 ft: two strips round it, 2 (8 + 4.667) + 1 = 26.33 ft long; the second is 2 ft
    // wide only, and beside it lie both ends of the pit (10 x 6.67 ft) and both of the trench (3.5 x 3.25 ft).
    // Trench 45 x 1.5 x 1.25 ft: four strips round it, 2 (1.5 + 1.25) + 1 = 6.5 ft long. 2 x 26.33 + 4 x 6.5 = 78.67 ft at most;
    // its own last strip is 10.5 ft wide and may lie beside the pit's second, too: 72.2 ft.
    const roll = 2 * (26 + 1 / 3) + 3 * 6.5;
    // stone in cubic feet: pit less four chambers, trench less its pipe, beds 4 in under box and pipes, 5 % over
    const pit = 13.5 * 8 * (14 / 3) - 4 * (Math.PI / 4) * (29.5 / 12) ** 2 * (45 / 12);
    const trench = 45 * 1.5 * 1.25 - 45 * (Math.PI / 4) * (4.625 / 12) ** 2;
    const bed = (4.5 * 4.5 + 12 * 1 + 3 * 1) / 3;
    // the standpipe stands 0.15 m over the ground until it is cut off
    // four chambers of 29.5 in in 13.5 x 8 ft stand 2.660 ft off the middle along and 1.743 ft across. From the box at (78,
    // 70.93) to the middle of the nearest, (80.660, 86.257): 15.556 ft, of which 13.266 to the edge of the pit at y = 84; on to its wall
    // 15.556 - 13.266 - 1.229 = 1.061 ft.
    // From the head of the trench at (78, 94.64): 5.573 ft to the middle, 3.004 of it to the edge at y = 92; on to the wall 1.340 ft
    const solid = 12 + 1.061 + 3.004 + 1.340;
    // at 1:1 the pit is 6.1 ft deep: 13.5 x 8 x 6.1 + (13.5 + 8) 6.1^2 + 4/3 6.1^3
    const slope = 13.5 * 8 * 6.1 + 21.5 * 6.1 ** 2 + (4 / 3) * 6.1 ** 3;
    expectAllClose([
      { what: "fabric off the roll", value: lay.fabric.total, expected: roll * 12.5 * FOOT ** 2 },
      { what: "stone", value: fill.ordered, expected: 1.05 * (pit + trench + bed) * FOOT ** 3 },
      { what: "solid pipe", value: sumOf(lay.pipes.filter(({ name }) => !name.includes("perforated"))), expected: (solid + (96.2 - (94.75 + 3.3125 / 12)) + 6.1) * FOOT + 0.15 },
      { what: "pit at 1:1", value: laidBack(dig.holes.find(({ kind }) => kind === "pit")!, 1).volume, expected: slope * FOOT ** 3 },
    ], BY_HAND);
  });

  test("Linden Row, in metres", () => {
    const { fill, lay, dig } = takeOff(row);
    // roll 4 m, laps 0.3 m. Pit 3.6 x 2.2 x 1.45 m, girth 7.6 m: along it, two strips of 3.6 m; ends 2.8 x 2.05 m, in a row, 4.1 m
    // Trench 14 x 0.45 x 0.45 m, girth 2.1 m: four strips round it, 8.4 m; its ends lie in what is left of the last one. In all 19.7 m.
    const pit = 3.6 * 2.2 * 1.45 - 3 * (Math.PI / 4) * 0.84 ** 2 * 1.2;
    const trench = 14 * 0.45 * 0.45 - 14 * (Math.PI / 4) * 0.113 ** 2;
    // box 0.6 m across with walls of 75 mm and 300 mm of room: 1.35 m square
    // three chambers of 0.84 m in 3.6 m stand 0.27 m apart, in the middle of the width, the pit turned by 20 degrees about (24.5, 17.5):
    // the
    // first at 24.5 - 1.11 cos 20 = 23.457, 17.5 - 1.11 sin 20 = 17.120. From the box at (17.39, 18.29) 6.179 m, to its wall 5.759 m, of
    // which 5.00 outside the pit and 0.375 in the box. To the second, in the middle, from (25.0, 15.25): 2.305 m, to its wall 1.885 m
    const solid = 5 + (5.759 - 0.375 - 5) + 1.885;
    const bed = (1.35 ** 2 + 5 * 0.3 + 1.2 * 0.3) * 0.1;
    expectAllClose([
      { what: "fabric off the roll", value: lay.fabric.total, expected: 19.7 * 4 },
      { what: "stone", value: fill.ordered, expected: 1.05 * (pit + trench + bed) },
      { what: "solid pipe", value: sumOf(lay.pipes.filter(({ name }) => !name.includes("perforated"))), expected: solid + (62.62 - (62.05 + 0.0665)) + 1.9 + 0.15 },
      { what: "pit at 1:1", value: laidBack(dig.holes.find(({ kind }) => kind === "pit")!, 1).volume, expected: 3.6 * 2.2 * 1.9 + 5.8 * 1.9 ** 2 + (4 / 3) * 1.9 ** 3 },
    ], BY_HAND);
  });
});

function sumOf(pipes: readonly { readonly length: number }[]): number {
  return pipes.reduce((sum, { length }) => sum + length, 0);
}

describe("a cutting plan", () => {
  const size = fc.double({ min: 0.4, max: 15, noNaN: true });
  const sizes = fc.record({ roll: fc.double({ min: 2, max: 6, noNaN: true }), lap: fc.double({ min: 0, max: 0.5, noNaN: true }) });

  test("keeps every piece on the roll and none over another, and is never less than the wraps with their laps", () => {
    fc.assert(fc.property(size, size, size, size, sizes, (length, width, depth, long, { roll, lap }) => {
      const plan = fabricPlan([{ block: "pit", length, width, depth }, { block: "trench", length: long, width: 0.5, depth: 0.5 }], { roll, rollLength: 30, lap });
      for (const { across, long: along, at } of plan.pieces) {
        expect(at.across + across).toBeLessThanOrEqual(roll + 1e-6);
        expect(at.along + along).toBeLessThanOrEqual(30 + 1e-6);
      }
      plan.pieces.forEach((a, i) => { for (const b of plan.pieces.slice(0, i)) expect(overlap(a, b)).toBeLessThan(1e-6); });
      expect(plan.area).toBeGreaterThanOrEqual(plan.pieces.reduce((sum, { across, long: along }) => sum + across * along, 0) - 1e-6);
      const bare = 2 * (length * width + length * depth + width * depth) + 2 * (long * 0.5 + long * 0.5 + 0.25);
      expect(plan.area).toBeGreaterThanOrEqual(bare - 1e-6);
    }), { numRuns: shareOf(300), seed: 24 });
  });

  test("cuts runs of pipe off whole lengths, nothing lost", () => {
    fc.assert(fc.property(fc.array(fc.double({ min: 0.1, max: 20, noNaN: true }), { minLength: 1, maxLength: 6 }), (runs) => {
      const lengths = pipeLengths(runs.map((length, i) => ({ name: String(i), length })), 3);
      for (const { cuts, left } of lengths) expectClose(cuts.reduce((sum, { length }) => sum + length, left), 3, { absolute: 1e-5, because: "rests under a micron are left out" });
      expectClose(lengths.reduce((sum, { cuts }) => sum + cuts.reduce((all, { length }) => all + length, 0), 0), runs.reduce((sum, each) => sum + each, 0), { absolute: 1e-4, because: "rests under a micron are left out" });
    }), { numRuns: shareOf(300), seed: 24 });
  });
});

function overlap(a: FabricPiece, b: FabricPiece): number {
  if (a.roll !== b.roll) return 0;
  const shared = (from: number, size: number, other: number, otherSize: number): number =>
    Math.max(0, Math.min(from + size, other + otherSize) - Math.max(from, other));
  return Math.min(shared(a.at.across, a.across, b.at.across, b.across), shared(a.at.along, a.long, b.at.along, b.long));
}

test("a hole with walls laid back is the sum of its slices", () => {
  const side = fc.double({ min: 0.3, max: 20, noNaN: true });
  fc.assert(fc.property(side, side, side, fc.double({ min: 0, max: 2, noNaN: true }), (length, width, depth, slope) => {
    let sum = 0;
    for (let i = 0; i < 1000; i++) {
      const up = (slope * depth * (i + 0.5)) / 1000;
      sum += ((length + 2 * up) * (width + 2 * up) * depth) / 1000;
    }
    expectClose(laidBack({ length, width, depths: [depth, depth], volume: length * width * depth }, slope).volume, sum, { relative: 1e-6, because: "a thousand slices" });
  }), { numRuns: shareOf(200), seed: 24 });
});

describe("pegs", () => {
  test.each([["copperbeech-lane", lane], ["linden-row", row]] as const)("of %s are found again from both tapes and the side", (_, site) => {
    const { fixed: [{ at: a }, { at: b }], base, pegs, diagonal } = setOut(site)!;
    expectClose(base, Math.hypot(a[0] - b[0], a[1] - b[1]), ROUND_OFF);
    for (const { fromA, fromB, side, at, mark } of pegs) {
      // law of cosines: along the base from A, and off it to the side
      const along = (fromA ** 2 + base ** 2 - fromB ** 2) / (2 * base);
      const off = Math.sqrt(Math.max(0, fromA ** 2 - along ** 2)) * (side === "left" ? 1 : -1);
      const [x, y] = [(b[0] - a[0]) / base, (b[1] - a[1]) / base];
      expectClose(a[0] + along * x - off * y, at[0], { absolute: 1e-6, because: "a square root of a difference" }, mark);
      expectClose(a[1] + along * y + off * x, at[1], { absolute: 1e-6, because: "a square root of a difference" }, mark);
    }
    const [p1, , p3] = pegs;
    expectClose(Math.hypot(p1!.at[0] - p3!.at[0], p1!.at[1] - p3!.at[1]), diagonal, ROUND_OFF);
  });

  test("are taped from corners that no house stands between", () => {
    const { fixed } = setOut(lane)!;
    // the L of the house: from its north-west corner a tape to the south-east works would run through it
    const ring = lane.surroundings!.features.find(({ kind }) => kind === "building")!.shape!.points;
    for (const { at, corner } of fixed) {
      expect(corner!.feature.kind).toBe("building");
      expect(ring).toContainEqual(at);
    }
    expect(setOut(readSite(changed(demo("copperbeech-lane"), "surroundings", { features: [{ kind: "well", distance: "130 ft" }] })))).toBeNull();
  });

  test("are taped from the file's own points where it gives them", () => {
    const points = [{ name: "gate post", at: ["0 ft", "145 ft"] }, { name: "oak", at: ["60 ft", "145 ft"] }];
    const site = readSite({ ...demo("copperbeech-lane"), papers: { fixedPoints: points } });
    expect(setOut(site, site.papers!.fixedPoints)!.fixed.map(({ name }) => name)).toEqual(["gate post", "oak"]);
    expect(() => readSite({ ...demo("copperbeech-lane"), papers: { fixedPoints: points.slice(1) } })).toThrow("papers.fixedPoints: expected two fixed points, got 1 of them");
  });
});

describe("the two points to measure from", () => {
  test("are no two corners of one name, nor one in the angle of an L: without the trench of Copperbeech Lane the nearest two were both north-east", () => {
    const { overflowTrench: _, emitter: __, ...bare } = demo("copperbeech-lane") as Record<string, unknown>;
    const file = changed(bare, "surroundings.works.trench", undefined);
    const { fixed: [a, b] } = setOut(readSite(file))!;
    expect(a.corner!.towards).not.toBe(b.corner!.towards);
    for (const { at } of [a, b]) expect(at.map((each) => Math.round(each / FOOT))).not.toEqual([68, 52]);
  });
});

describe("the standpipe", () => {
  test("stands within an arm's reach of a wall, clear of chambers and pipes, where the plan says too", () => {
    for (const site of [lane, row, readSite(demo("hazelbank-lower-bench"))]) {
      const { length, width } = site.chamberBank;
      const { along, across } = standpipePlace(site);
      const wall = Math.min(along, length - along, across, width - across);
      expect(wall).toBeLessThanOrEqual(0.6 + 1e-9);
      expect(wall).toBeGreaterThan(0.1);
      for (const chamber of chamberLayout(site.chamberBank)!.at) {
        expect(Math.hypot(along - chamber.along, across - chamber.across) - chamber.diameter / 2).toBeGreaterThan(0.1);
      }
      const at = standpipeAt(site);
      if (at === null) continue;
      // along and across are distances from two walls of the pit as it lies
      const [p1, p2, , p4] = worksShapes(site)!.pit.points as [PlanPoint, PlanPoint, PlanPoint, PlanPoint];
      const off = ([x, y]: PlanPoint, [ax, ay]: PlanPoint, [bx, by]: PlanPoint): number =>
        Math.abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / Math.hypot(bx - ax, by - ay);
      expectClose(off(at, p1, p4), along, ROUND_OFF);
      expectClose(off(at, p1, p2), across, ROUND_OFF);
    }
  });
});

test("a step from one pipe to the next is told at its level and bought as two bends, by hand", () => {
  // Copperbeech Lane: pipe to the trench at 95.7 ft, the pipe in it at 95 ft, 3 in of bedding and a wall of 5/16 in: 95.276 ft
  const drop = lane.overflowTrench!.inlet.outletInvert - (95 + 3.3125 / 12) * FOOT;
  const [row5] = digLevels(lane).filter(({ what }) => what === "inletEnd");
  expectClose(row5!.level - row5!.dropsTo!, drop, ROUND_OFF);
  expect(takeOff(lane).lay.fittings.some(({ name }) => name === "bend to the level of the trench pipe")).toBe(drop > 0.025);
  const bends = dropBends(lane.overflowTrench!, "us")!;
  expect(bends.degrees).toBe(45);
  expectClose(bends.apart * Math.sin(Math.PI / 4), drop, ROUND_OFF);
  // a step of 1.2 in: at 45 degrees 1.7 in, at 22.5 3.1 in, at 11.25 6.2 in, of which the last alone leaves 6 in for two bends of 4 in
  const low = readSite(changed(demo("copperbeech-lane"), "overflowTrench.inlet.invert", "95.376 ft")).overflowTrench!;
  expect(dropBends(low, "us")!.degrees).toBe(11.25);
  // the hole of the box: its floor of 3 in and 4 in of bed below its inside
  const box = lane.settlingBoxes[0]!;
  expectClose(digLevels(lane).find(({ what }) => what === "boxHole")!.level, box.floor - (7 / 12) * FOOT, ROUND_OFF);
});

test("chambers stand in even gaps within their pit, and a pit too small is said", () => {
  fc.assert(fc.property(fc.integer({ min: 1, max: 12 }), fc.double({ min: 1, max: 12, noNaN: true }),
    fc.double({ min: 1, max: 6, noNaN: true }), fc.double({ min: 0.3, max: 1, noNaN: true }), (count, length, width, outsideDiameter) => {
    const layout = chamberLayout({ length, width, chambers: [{ count, outsideDiameter, gap: null }] })!;
    expect(layout.at).toHaveLength(count);
    if (!layout.fits) return;
    layout.at.forEach((a, i) => {
      const r = outsideDiameter / 2;
      expect(Math.min(a.along - r, length - a.along - r, a.across - r, width - a.across - r)).toBeGreaterThanOrEqual(-1e-9);
      for (const b of layout.at.slice(0, i)) expect(Math.hypot(a.along - b.along, a.across - b.across))
        .toBeGreaterThanOrEqual(outsideDiameter - 1e-9);
    });
  }), { numRuns: shareOf(300), seed: 24 });
  // two of 1 m in 1.9 m of pit: 0.1 m is missing over three gaps
  expect(chamberLayout({ length: 1.9, width: 1, chambers: [{ count: 2, outsideDiameter: 1, gap: null }] })!.fits).toBe(false);
});

describe("what cannot be built as drawn", () => {
  const found = (file: object): [string, number][] => clashes(readSite(file), 1.524)
    .map(({ kind, by }) => [kind, Number((by / FOOT).toFixed(3))]);
  const steel = [["shoringAcrossPipe", 95.9], ["shoringAcrossPipe", 95.7]];

  test("is said of a pipe laid too high and a lid too low on Copperbeech Lane, by hand", () => {
    // chambers to 92.1 + 0.5 + 3.75 = 96.35 ft; a pipe of 4 in at 96.45 ft: its top at 96.783 ft
    const high = changed(demo("copperbeech-lane"), "settlingBox.outlet.outletInvert", "96.45 ft");
    expect(found(high)).toEqual([["pipeOverChamber", 0.433], ["shoringAcrossPipe", 96.45], ["shoringAcrossPipe", 95.7]]);
    // the lid at 96.2 ft is flush with turf up to 50 mm over it, 0.164 ft, as the notes of a site take it
    const turfAt = (low: string): object => changed(demo("copperbeech-lane"), "overflowTrench.ground.low", low);
    expect(found(turfAt("96.36 ft"))).toEqual(steel);
    expect(found(turfAt("96.37 ft"))).toEqual([["lidUnderGround", 0.17], ...steel]);
    for (const low of ["96.36 ft", "96.37 ft"]) {
      expect(readSite(turfAt(low)).notes.some((note) => note.includes("crest lies"))).toBe(low === "96.37 ft");
    }
    expect(clashes(lane, 2)).toEqual([]);
  });

  test("is nothing on any demo site: what their pages draw can be built", () => {
    for (const name of ["copperbeech-lane", "linden-row", "sedge-hollow", "hazelbank-upper-bench", "hazelbank-lower-bench", "juniper-yard"]) {
      expect(clashes(readSite(demo(name)), Infinity), name).toEqual([]);
    }
  });

  // the lawn as it was first drawn: what it says that cannot be is planted here, so that a mended demo keeps the test
  const drawn = [
    ["settlingBox.outlet.outletInvert", "96.45 ft"], ["settlingBox.outlet.invert", "96.6 ft"], ["chamberBank.floor", "92.1 ft"], ["chamberBank.ground", "98.2 ft"],
    ["overflowTrench.inlet.invert", "95.7 ft"], ["overflowTrench.ground", { high: "97.3 ft", low: "96.4 ft" }], ["emitter.crest", "96.2 ft"],
    ["chamberBank.stone", { depth: "4 ft 8 in", porosity: 0.4, base: "6 in" }], ["chamberBank.chambers[0].height", "45 in"],
  ].reduce((file, [path, value]) => changed(file, path as string, value), demo("copperbeech-lane"));
  const feet = (m: number | null): number | null => (m === null ? null : Number((m / FOOT).toFixed(3)));

  test("is said with its figures and with what would mend it, by hand", () => {
    // pipe from the box: 96.45 + 4/12 ft; chambers to 92.1 + 0.5 + 3.75 = 96.35 ft, stone to 96.767; the lower edge asks for 96.35 - 0.333
    // =
    // 96.017 ft, a fall of 0.583 ft in 12; lid at 96.2 under ground at 96.4 ft
    const found = clashes(readSite(drawn), 1.524);
    expect(found.map(({ kind, by, to }) => [kind, feet(by), feet(to)])).toEqual([
      ["pipeOverChamber", 0.433, 96.017], ["lidUnderGround", 0.2, 96.4], ["shoringAcrossPipe", 96.45, null], ["shoringAcrossPipe", 95.7, null],
    ]);
    expectClose(found[0]!.fall!, (96.6 - 96.35 + 4 / 12) / 12, { relative: 1e-3, because: "the plan has the way a little shorter" });
    expect(clashes(readSite(drawn), 2).some(({ kind }) => kind === "shoringAcrossPipe")).toBe(false);
  });

  test("is gone with the remedy, and not with a quarter of an inch less", () => {
    const lowered = (to: number): string[] => clashes(readSite(changed(drawn, "settlingBox.outlet.outletInvert", `${to} ft`)), Infinity).map(({ kind }) => kind);
    expect(lowered(96.016)).toEqual(["lidUnderGround"]);
    expect(lowered(96.036)).toEqual(["pipeOverChamber", "lidUnderGround"]);
  });

  test("tells of a pipe to the trench whose other end has to move too, and of a pit too small its least size", () => {
    // over the chambers by 0.2 ft at 96.217 ft: level as it is, it would run uphill once lowered at the pit alone
    const high = readSite(changed(drawn, "overflowTrench.inlet.invert", "96.217 ft"));
    const pipe = clashes(high, Infinity).find((clash) => clash.pipe === "toTrench" && clash.kind === "pipeOverChamber")!;
    expectClose(pipe.by, 0.2 * FOOT, { absolute: 1e-3, because: "levels to a thousandth of a foot" });
    expect(pipe.fall!).toBeLessThan(0);
    // four of 29.5 in in two rows: 4.917 ft square
    const small = clashes(readSite(changed(changed(drawn, "chamberBank.length", "4.5 ft"), "chamberBank.width", "4.5 ft")), Infinity).find(({ kind }) => kind === "chambersDoNotFit")!;
    expectAllClose([
      { what: "length", value: small.pit!.length, expected: (59 / 12) * FOOT }, { what: "width", value: small.pit!.width, expected: (59 / 12) * FOOT },
      { what: "missing", value: small.by, expected: (59 / 12 - 4.5) * FOOT },
    ], ROUND_OFF);
  });
});

describe("the holes and what lies near them", () => {
  const gas = readSite(changed(demo("copperbeech-lane"), "surroundings.features[5].line", [["78 ft", "64 ft"], ["78 ft", "151 ft"]]));

  test("a main through the box's hole is first of all lines within 5 ft", () => {
    const near = nearLines(gas);
    expect(near[0]!.distance).toBe(0);
    expect(near.filter(({ distance }) => distance === 0).map(({ from }) => from)).toContain("settling box");
    expect(nearLines(lane)).toEqual([]);
  });

  test("a deep hole beside a footing lies under its 45 degree line, one further off does not", () => {
    // the box's hole is 4.38 ft deep; the house's slab lies over the ground there, so that its footing is taken at the ground
    const at = (north: string) => readSite(changed(demo("copperbeech-lane"), "surroundings.works.boxes", [["78 ft", north]]));
    // The hole is 4.5 ft square and faces the nearest chamber, whose middle is (13.5 - 2 d)/3 + d/2 from the pit's west side at x = 71.25,
    // (8 - 2 d)/3 + d/2 from its south side at y = 84, d = 29.5 in: its lowest corner stands 2.25 (cos + sin) ft nearer to the wall at
    // y = 52
    const d = 29.5 / 12;
    const angle = Math.atan2(78 - (71.25 + (13.5 - 2 * d) / 3 + d / 2), 84 + (8 - 2 * d) / 3 + d / 2 - 58);
    const off = 58 - 2.25 * (Math.cos(angle) + Math.sin(angle)) - 52;
    expect(nearFootings(at("58 ft")).map(({ row: { from }, at: taken, under }) => [from, taken, under])).toEqual([["settling box", "ground", true]]);
    // two feet farther off, more than it is deep
    expect(nearFootings(at("60 ft"))).toEqual([]);
    // its slab at 95 ft, 3.9 ft under the rim: the footing has to go 4.383 ft less that distance down, and is taken deeper
    const cellar = readSite(changed(changed(demo("copperbeech-lane"), "surroundings.works.boxes", [["78 ft", "58 ft"]]), "surroundings.features[1].slab", "95 ft"));
    const [near] = nearFootings(cellar);
    expect([near!.at, near!.under]).toEqual(["slab", false]);
    expectClose(near!.needed, (3.8 + 7 / 12 - off) * FOOT, ROUND_OFF);
    expectClose(near!.taken, 3.9 * FOOT, ROUND_OFF);
  });

  test("are as far apart as a brute-force raster of both says", () => {
    for (const site of [lane, row, gas]) {
      const works = worksShapes(site)!;
      for (const { feature, from, distance } of holeDistances(site)) {
        if (feature.shape === null) continue;
        const hole = works.holes.find(({ name }) => name === from)!;
        // a lot is looked at from inside: its edge alone, without the ground in it
        const other = feature.kind === "boundary" ? edgeOf(feature.shape) : feature.shape;
        // a raster of 0.2 m misses the nearest pair by its diagonal at most, on either side
        expect(Math.abs(rasterDistance(dugBy(hole), other) - distance), `${from} to ${feature.kind}`).toBeLessThan(0.2);
      }
    }
  });

  test("reach to the ends of a trench and no farther, by hand", () => {
    // Copperbeech Lane: the trench ends at y = 139.64 ft, the lot at 145 ft; by its long side 78 + 0.75 ft, the lot at 100 ft
    const row = holeDistances(lane).find(({ feature: { kind }, from }) => kind === "boundary" && from === "overflow trench")!;
    expectClose(row.distance, 5.36 * FOOT, ROUND_OFF);
  });
});

/** The corners of what is dug, by the width and the straight line of a trench or a pipe: these two sites have no bends. */
function dugBy({ shape: { points, closed }, halfWidth }: PlacedHole): PlanShape {
  if (closed) return { points, closed };
  const [[ax, ay], [bx, by]] = points as readonly [PlanPoint, PlanPoint];
  const turned = (Math.atan2(by - ay, bx - ax) * 180) / Math.PI;
  return turnedRectangle([(ax + bx) / 2, (ay + by) / 2], Math.hypot(bx - ax, by - ay), 2 * halfWidth, turned);
}

/** The least distance of all pairs of points spread over both shapes, 0.2 m apart: edges and insides. */
function rasterDistance(shape: PlanShape, other: PlanShape): number {
  const [a, b] = [spread(shape), spread(other)];
  let least = Infinity;
  for (const [x, y] of a) for (const [u, v] of b) least = Math.min(least, (x - u) ** 2 + (y - v) ** 2);
  return Math.sqrt(least);
}

function spread({ points, closed }: PlanShape): PlanPoint[] {
  const ring = closed ? [...points, points[0]!] : points;
  const found: PlanPoint[] = [...points];
  ring.slice(1).forEach(([x, y], i) => {
    const [px, py] = ring[i]!;
    const count = Math.ceil(Math.hypot(x - px, y - py) / 0.2);
    for (let k = 0; k <= count; k++) found.push([px + ((x - px) * k) / count, py + ((y - py) * k) / count]);
  });
  if (!closed) return found;
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  // insides at half a metre: an inside pair is nearest only where one shape lies in the other
  for (let x = Math.min(...xs); x <= Math.max(...xs); x += 0.5) for (let y = Math.min(...ys); y <= Math.max(...ys); y += 0.5) if (
    evenOdd(x, y, points)) found.push([x, y]);
  return found;
}

function evenOdd(x: number, y: number, ring: readonly PlanPoint[]): boolean {
  let inside = false;
  ring.forEach(([ax, ay], i) => {
    const [bx, by] = ring[(i + 1) % ring.length]!;
    if (ay > y !== by > y && x < ax + ((y - ay) * (bx - ax)) / (by - ay)) inside = !inside;
  });
  return inside;
}

test("the fabric of a site is wrapped round pit and trench, and round the pit alone without one", () => {
  expect(wrappedBlocks(lane).map(({ block }) => block)).toEqual(["pit", "trench"]);
  const { overflowTrench: _, emitter: __, ...bare } = demo("linden-row") as Record<string, unknown>;
  expect(wrappedBlocks(readSite({ ...bare, surroundings: undefined })).map(({ block }) => block)).toEqual(["pit"]);
});

describe("a turn of the pipe to the trench", () => {
  type Vector = readonly [number, number, number];
  const cross = ([a, b, c]: Vector, [x, y, z]: Vector): Vector => [b * z - c * y, c * x - a * z, a * y - b * x];
  const dot = ([a, b, c]: Vector, [x, y, z]: Vector): number => a * x + b * y + c * z;
  const sum = (...parts: readonly (readonly [number, Vector])[]): Vector => (
    parts.reduce<Vector>(([x, y, z], [share, [a, b, c]]) => [x + share * a, y + share * b, z + share * c], [0, 0, 0])
  );
  /** A vector turned about a unit axis (Rodrigues). */
  const turned = (vector: Vector, axis: Vector, degrees: number): Vector => {
    const angle = (degrees * Math.PI) / 180;
    return sum([Math.cos(angle), vector], [Math.sin(angle), cross(axis, vector)], [dot(axis, vector) * (1 - Math.cos(angle)), axis]);
  };

  test("at T1 of Copperbeech Lane is the angle between the way from the chamber and the trench, by hand", () => {
    // the middle of the third chamber: (13.5 - 2 d)/3 + d/2 from the pit's west side at x = 71.25 ft, as far from its north side at y = 92
    // as (8 - 2 d)/3 + d/2, d = 29.5 in; the trench runs north from (78, 94.64)
    const d = 29.5 / 12;
    const east = 78 - (71.25 + (13.5 - 2 * d) / 3 + d / 2);
    const north = 94.64 - (92 - (8 - 2 * d) / 3 - d / 2);
    const [turn, ...more] = pipeTurns(lane);
    expect(more).toEqual([]);
    expect([turn!.peg, turn!.side, turn!.hasPair, turn!.level]).toEqual(["T1", "left", true, []]);
    expectClose(turn!.degrees, (Math.atan2(east, north) * 180) / Math.PI, { absolute: 1e-6, because: "the file's feet are read to metres" });
  });

  test("is made by both bends to the trench pipe, rolled: two bends of their angle one after the other end level in the trench's direction, and drop what they have to", () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 180, noNaN: true }), fc.double({ min: 0.026, max: 1.2, noNaN: true }), fc.constantFrom("us", "si"), (turn, drop, units) => {
      const { inlet, floor, pipe } = lane.overflowTrench!;
      const trench = { ...lane.overflowTrench!, inlet: { ...inlet, outletInvert: floor + pipe!.rise + drop } };
      const { degrees, apart, roll, level } = dropBends(trench, units, turn)!;
      expect(roll).toBeLessThanOrEqual(45);
      // the pipe runs north after its level bends; the turn that is left is to the left, to the west
      const left = turn - level.reduce((all, each) => all + each, 0);
      const [north, up]: [Vector, Vector] = [[0, 1, 0], [0, 0, 1]];
      // a bend that points straight down turns about the west axis' opposite; rolled, its axis is turned about the pipe
      const axis = turned([-1, 0, 0], north, -roll);
      const between = turned(north, axis, degrees);
      expect(between[2]).toBeLessThan(0);
      expectClose(-between[2] * apart, drop, { absolute: 1e-9, because: "a few sines" });
      // the second bend, in the plane of the piece between and of the trench, has its own angle too
      const trenchWay: Vector = [-Math.sin((left * Math.PI) / 180), Math.cos((left * Math.PI) / 180), 0];
      expectClose((Math.acos(dot(between, trenchWay)) * 180) / Math.PI, degrees, { absolute: 1e-5, because: "an arc cosine near its end" });
      // seen from above the piece between points halfway
      if (left > 0.01) expectClose(Math.atan2(-between[0], between[1]), (left * Math.PI) / 360, { absolute: 1e-6, because: "a few sines" });
      expectClose(dot(up, trenchWay), 0, ROUND_OFF);
    }), { numRuns: shareOf(300), seed: 24 });
  });

  test("without a step takes bends that are sold, laid level, and what is left is what joints or couplings give way to", () => {
    fc.assert(fc.property(fc.double({ min: 0, max: 180, noNaN: true }), fc.constantFrom("us", "si"), (turn, units) => {
      const { level, rest, couplings } = levelBends(turn, units);
      for (const each of level) expect(units === "us" ? [90, 45, 22.5, 11.25] : [90, 45, 30, 15]).toContain(each);
      expectClose(Math.abs(turn - level.reduce((all, each) => all + each, 0)), rest, ROUND_OFF);
      expect(rest).toBeLessThanOrEqual(couplings === 0 ? 3 + 1e-9 : 6 * couplings + 1e-9);
    }), { numRuns: shareOf(300), seed: 24 });
    expect(levelBends(45, "us")).toEqual({ level: [45], rest: 0, couplings: 0 });
    expect(levelBends(2, "si")).toEqual({ level: [], rest: 2, couplings: 0 });
  });

  test("is bought with the rest: bends of a trench that bends, at its peg", () => {
    // a trench that bends from north to east by 90 degrees at its second peg; one bend of 90
    const bent = readSite(changed(demo("copperbeech-lane"), "surroundings.works.trench", [["78 ft", "94.64 ft"], ["78 ft", "110 ft"], ["48.36 ft", "110 ft"]]));
    expect(pipeTurns(bent)[1]).toMatchObject({ peg: "T2", side: "left", hasPair: false, level: [90], couplings: 0 });
    expect(takeOff(bent).lay.fittings).toContainEqual({ name: "bend, laid level", diameter: bent.overflowTrench!.pipe!.insideDiameter, count: 1, degrees: 90, pegs: ["T2"] });
    // without a step at T1, 28.5 degrees: one of 22.5 and a flexible coupling in the place of the coupling
    const level = readSite(changed(demo("copperbeech-lane"), "overflowTrench.inlet", { diameter: "4 in", invert: "95.7 ft", outletInvert: "95.28 ft", length: "3 ft" }));
    const names = takeOff(level).lay.fittings.map(({ name, count, pegs }) => [name, count, pegs]);
    expect(names).toContainEqual(["bend, laid level", 1, ["T1"]]);
    expect(names).toContainEqual(["flexible coupling", 1, ["T1"]]);
    expect(names.some(([name]) => name === "coupling to the trench pipe")).toBe(false);
    // nothing turns without a plan, or without a pipe to turn
    expect(pipeTurns(readSite(changed(demo("copperbeech-lane"), "surroundings", undefined)))).toEqual([]);
    expect(pipeTurns(readSite(changed(demo("copperbeech-lane"), "overflowTrench.pipe", undefined)))).toEqual([]);
  });
});

describe("offset pegs", () => {
  test.each([["copperbeech-lane", lane], ["linden-row", row]] as const)("of %s lie on the lines of the pit's sides, out of every hole, and give its corners back where strings cross", (_, site) => {
    const { offsets, fixed: [{ at: a }, { at: b }], pegs } = setOut(site)!;
    const at = (mark: string): PlanPoint | undefined => offsets.find((each) => each.mark === mark)?.at;
    const cross = ([x, y]: PlanPoint, [u, v]: PlanPoint, [p, q]: PlanPoint): number => (u - x) * (q - y) - (v - y) * (p - x);
    for (let i = 1; i <= 4; i++) {
      const next = (i % 4) + 1;
      const [one, other] = [at(`P${i}a`), at(`P${next}b`)];
      // both of a side on its line: no area between them and either corner
      for (const peg of [one, other]) {
        if (peg === undefined) continue;
        const [from, to] = [pegs[i - 1]!.at, pegs[next - 1]!.at];
        expectClose(cross(from, to, peg), 0, { absolute: 1e-9, because: "round-off of a cross product" });
      }
    }
    for (const { of, out, at: [x, y], fromA, fromB } of offsets) {
      const [u, v] = pegs.find(({ mark }) => mark === of)!.at;
      expectClose(Math.hypot(x - u, y - v), out, ROUND_OFF);
      if (fromA !== null) expectClose(fromA, Math.hypot(x - a[0], y - a[1]), ROUND_OFF);
      if (fromB !== null) expectClose(fromB, Math.hypot(x - b[0], y - b[1]), ROUND_OFF);
    }
  });

  test("keep off a buried line, or say that they have no room", () => {
    // a gas main along the east side of the pit, 3 ft off: 4.5 ft out is past it, but not 2 ft clear of it; 6 ft is
    const near = readSite(changed(demo("copperbeech-lane"), "surroundings.features[5].line", [["87.75 ft", "151 ft"], ["87.75 ft", "52 ft"]]));
    const peg = setOut(near)!.offsets.find(({ mark }) => mark === "P2b")!;
    expectClose(peg.out, 6 * FOOT, ROUND_OFF);
  });
});

test("a tree's roots are told along the trench between the places at which a circle of 4 m meets it, by hand", () => {
  // Linden Row: the trench from (25, 15.25) to (27, 1.39) m, the tree at (29, 9)
  const near = holeDistances(row).find(({ feature: { kind }, from }) => kind === "tree" && from === "overflow trench")!;
  const { start, end } = treeStretch(row, near)!;
  const long = Math.hypot(2, 13.86);
  for (const along of [start, end]) expectClose(Math.hypot(25 + (2 * along) / long - 29, 15.25 - (13.86 * along) / long - 9), 4, ROUND_OFF);
  expect(start).toBeGreaterThan(0);
  expect(end).toBeLessThan(long);
  expect(treeStretch(row, holeDistances(row).find(({ feature: { kind }, from }) => kind === "tree" && from === "pit")!)).toBeNull();
});

test("the hole of a box lies square to the string to its pipe's mouth", () => {
  for (const site of [lane, row]) {
    const { boxHoles: [hole], pegs } = setOut(site)!;
    const [middle, mouth] = [hole!.mark, hole!.towards!].map((mark) => pegs.find((peg) => peg.mark === mark)!.at);
    const [p, q] = worksShapes(site)!.holes.find(({ kind }) => kind === "box")!.shape.points;
    // its first side runs along the string
    expectClose((q![0] - p![0]) * (mouth![1] - middle![1]) - (q![1] - p![1]) * (mouth![0] - middle![0]), 0, ROUND_OFF);
    expectClose(hole!.length, Math.hypot(q![0] - p![0], q![1] - p![1]), ROUND_OFF);
  }
});
