import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { changedSite } from "../../lib/site/changedSite.ts";
import { edgeOf, insideRing, type PlanPoint, type PlanShape, ringArea, shapeDistance, turnedRectangle } from "../../lib/plane/planShape.ts";
import { coveredCells, rasterOver } from "../../lib/plan/planRaster.ts";
import { readSite, type SiteError } from "../../lib/site/readSite.ts";
import { roomLeft } from "../../lib/plan/roomLeft.ts";
import { setbackRules } from "../../lib/plan/setbackRules.ts";
import type { SetbackRule } from "../../lib/site/surroundings.ts";
import type { Site } from "../../lib/site/site.ts";
import { siteSchema } from "../../lib/site/siteSchema.ts";
import { siteRules, siting, type Siting, type SitingOptions } from "../../lib/plan/siting.ts";
import { expectAllClose, expectClose } from "../closeTo.ts";
import { shareOf } from "../share.ts";
import { isValid } from "../site/schemaCheck.ts";
import { changed, demo, fixture, type SiteJson } from "../site/siteFiles.ts";

const ROUND_OFF = { absolute: 1e-9, because: "round-off of a few dozen operations on numbers of 100" };
const FOOT = 0.3048;

function point(east: number, north: number): PlanShape {
  return { points: [[east, north]], closed: false };
}

function line(...points: PlanPoint[]): PlanShape {
  return { points, closed: false };
}

function area(...points: PlanPoint[]): PlanShape {
  return { points, closed: true };
}

const square = area([0, 0], [10, 0], [10, 10], [0, 10]);

describe("the distance between two shapes", () => {
  // by hand: Pythagoras and right angles
  test.each<[string, PlanShape, PlanShape, number]>([
    ["two points", point(0, 0), point(3, 4), 5],
    ["a point and the middle of a line", point(2, 3), line([0, 0], [10, 0]), 3],
    ["a point past a line's end", point(13, 4), line([0, 0], [10, 0]), 5],
    ["two lines side by side", line([0, 0], [10, 0]), line([4, 2], [20, 2]), 2],
    ["two lines that cross", line([0, 0], [10, 10]), line([0, 10], [10, 0]), 0],
    ["two lines that touch", line([0, 0], [10, 0]), line([5, 0], [5, 9]), 0],
    ["two lines on one another", line([0, 0], [10, 0]), line([2, 0], [5, 0]), 0],
    // from (4, 5) to the line through (10, 0) and (7, 9): |9 x + 3 y - 90| / sqrt(90)
    ["a line and a bent one", line([0, 5], [4, 5]), line([10, 0], [7, 9], [12, 12]), 39 / Math.sqrt(90)],
    ["a point in an area", point(5, 5), square, 0],
    ["the same point and the area's edge", point(5, 4), edgeOf(square), 4],
    ["an area in an area", area([2, 2], [3, 2], [3, 3]), square, 0],
    ["two areas across a corner", square, area([13, 14], [20, 14], [20, 20]), 5],
    ["a line right through an area", line([-5, 5], [15, 5]), square, 0],
    ["a hollow of an L and what stands in it", area([0, 0], [10, 0], [10, 4], [4, 4], [4, 10], [0, 10]), point(7, 9), 3],
    // A square of side 2 on its corner reaches sqrt(2) to the east.
    ["a square on its corner", turnedRectangle([0, 0], 2, 2, 45), line([5, -9], [5, 9]), 5 - Math.SQRT2],
  ])("is right for %s, whichever comes first", (what, a, b, expected) => {
    expectAllClose([shapeDistance(a, b), shapeDistance(b, a)].map(({ distance }) => ({ what, value: distance, expected })), ROUND_OFF);
  });

  const coordinate = fc.double({ min: -100, max: 100, noNaN: true });
  const anyPoint = fc.tuple(coordinate, coordinate);
  const size = fc.double({ min: 0.1, max: 30, noNaN: true });
  const anyShape = fc.oneof(
    anyPoint.map((at) => line(at)),
    fc.array(anyPoint, { minLength: 2, maxLength: 5 }).map((points) => line(...points)),
    fc.tuple(anyPoint, size, size, fc.integer({ min: -360, max: 360 })).map((each) => turnedRectangle(...each)),
  );

  test("is the same from either side, the length of the way it names, and nothing to itself", () => {
    fc.assert(fc.property(anyShape, anyShape, (a, b) => {
      const [there, back] = [shapeDistance(a, b), shapeDistance(b, a)];
      expectClose(there.distance, back.distance, ROUND_OFF);
      expectClose(Math.hypot(there.to[0] - there.from[0], there.to[1] - there.from[1]), there.distance, ROUND_OFF);
      expect(shapeDistance(a, a).distance).toBe(0);
    }), { seed: 81 });
  });

  test("does not change when the plan is moved and turned", () => {
    fc.assert(fc.property(anyShape, anyShape, anyPoint, fc.double({ min: -7, max: 7, noNaN: true }), (a, b, [east, north], angle) => {
      const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
      const moved = ({ points, closed }: PlanShape): PlanShape =>
        ({ points: points.map(([x, y]): PlanPoint => [east + x * cos - y * sin, north + x * sin + y * cos]), closed });
      expectClose(shapeDistance(moved(a), moved(b)).distance, shapeDistance(a, b).distance, { absolute: 1e-8, because: "round-off of turning, and of deciding a touch" });
    }), { seed: 82 });
  });

  test("obeys the triangle inequality for points, and a third shape is no farther than by way of one", () => {
    fc.assert(fc.property(anyPoint, anyPoint, anyShape, (a, b, shape) => {
      const direct = shapeDistance(line(a), shape).distance;
      const byWay = shapeDistance(line(a), line(b)).distance + shapeDistance(line(b), shape).distance;
      expect(direct).toBeLessThanOrEqual(byWay + 1e-9);
    }), { seed: 83 });
  });

  test("is no more than to any point tried along the shapes, and nearly the least of them", () => {
    fc.assert(fc.property(anyPoint, anyPoint, anyPoint, anyPoint, (a, b, c, d) => {
      const { distance } = shapeDistance(line(a, b), line(c, d));
      let least = Infinity;
      for (let i = 0; i <= 60; i++) {
        const at: PlanPoint = [a[0] + (i / 60) * (b[0] - a[0]), a[1] + (i / 60) * (b[1] - a[1])];
        least = Math.min(least, shapeDistance(line(at), line(c, d)).distance);
      }
      expect(distance).toBeLessThanOrEqual(least + 1e-9);
      expect(least - distance).toBeLessThanOrEqual(Math.hypot(b[0] - a[0], b[1] - a[1]) / 120 + 1e-9);
    }), { seed: 84, numRuns: shareOf(150) });
  });
});

describe("a ring of points", () => {
  test("tells inside from outside by hand-made cases, either way round", () => {
    const hook: PlanPoint[] = [[0, 0], [10, 0], [10, 10], [6, 10], [6, 4], [4, 4], [4, 10], [0, 10]];
    for (const ring of [hook, hook.toReversed()]) {
      expect([[5, 2], [2, 9], [8, 9], [5, 7], [11, 5], [-1, 0], [5, 10.1]].map(([x, y]) => insideRing([x!, y!], ring)))
        .toEqual([true, true, true, false, false, false, false]);
      expect(ringArea(ring)).toBe(88);
    }
  });
});

describe("the published rules", () => {
  // Who, what of, how far and whether it was read, by country. The councils' and the septic row are copied from the project's list of check
  // values (rules in public manuals, read in November 2026). Read on 28 November 2026 in a public library of stored pages: Minnesota
  // Stormwater Manual, "Summary of horizontal and vertical setback distances" (saturated soil 3, bedrock 3, public supply well 100 for
  // sensitive wells and 50 for others, building/structure/property line 10 recommended, active karst 100 down-gradient) and "Design
  // criteria for Infiltration basin" (200 feet from down-gradient slopes greater than 20 percent); New Jersey manual, chapter 9.3
  // (2 feet); the Ontario guide's "Site considerations" (1 m to high water or bedrock, 4 m to a building foundation).
  const published: [country: string, who: string, from: SetbackRule["from"], distance: string, status: SetbackRule["status"]][] = [
    ["US", "Minnesota", "groundwater", "3 ft", "read"],
    ["US", "New Jersey", "groundwater", "2 ft", "read"],
    ["US", "Minnesota", "bedrock", "3 ft", "read"],
    ["US", "Minnesota", "building", "10 ft", "read"],
    ["US", "Minnesota", "boundary", "10 ft", "read"],
    ["US", "Minnesota", "well", "50 ft", "read"],
    ["US", "Minnesota", "well", "100 ft", "read"],
    ["US", "Minnesota", "septic", "35 ft", "read"],
    ["US", "Minnesota", "slope", "200 ft", "read"],
    ["US", "Minnesota", "karst", "1000 ft", "read"],
    ["US", "Minnesota", "karst", "100 ft", "read"],
    ["GB", "Buckinghamshire", "groundwater", "1 m", "read"],
    ["GB", "Windsor & Maidenhead", "groundwater", "1 m", "read"],
    ["GB", "England", "building", "5 m", "from memory"],
    ["GB", "Buckinghamshire", "building", "5 m", "read"],
    ["GB", "Copeland", "building", "5 m", "read"],
    ["GB", "Windsor & Maidenhead", "building", "5 m", "read"],
    ["GB", "Buckinghamshire", "wall", "5 m", "read"],
    ["GB", "England", "road", "5 m", "from memory"],
    ["GB", "Buckinghamshire", "road", "5 m", "read"],
    ["GB", "Copeland", "road", "5 m", "read"],
    ["GB", "Buckinghamshire", "boundary", "5 m", "read"],
    ["GB", "Copeland", "boundary", "2.5 m", "read"],
    ["GB", "Buckinghamshire", "soakaway", "10 m", "read"],
    ["CA", "Ontario guidance", "groundwater", "1 m", "read"],
    ["CA", "Ontario guidance", "bedrock", "1 m", "read"],
    ["CA", "Ontario guidance", "building", "4 m", "read"],
  ];

  test("are those of the list, with their country and status", () => {
    expect(setbackRules.map(({ region, says, from, distance, status }) => [region, says, from, distance, status])).toEqual(published);
  });

  test("have the property line of the state manual", () => {
    expect(setbackRules.find(({ from, region }) => from === "boundary" && region === "US")).toEqual({
      name: "property line (recommended)", from: "boundary", distance: "10 ft", says: "Minnesota", region: "US", status: "read",
      source: "Minnesota Stormwater Manual, Summary of horizontal and vertical setback distances, "
        + "https://stormwater.pca.state.mn.us/index.php?title=Summary_of_horizontal_and_vertical_setback_distances, read 28 November 2026",
    });
  });

  test("name a document, and the day on which it was read or that it was not", () => {
    for (const { source, status } of setbackRules) {
      expect(source).toMatch(/https:\/\/|[Mm]anual|guidance on soakaways of the council/);
      expect(source).toMatch(status === "read" ? /, read (by )?\d+ November 2026/ : /, not read$/);
    }
  });

  test("say under which condition they speak, and cannot be changed in place", () => {
    expect(setbackRules.filter(({ only }) => only !== undefined).map(({ distance, only }) => [distance, only])).toEqual([
      ["100 ft", "if the well is a sensitive one"], ["1000 ft", "if the works lie up-gradient of it"], ["100 ft", "if the works lie down-gradient of it"],
    ]);
    expect(setbackRules.filter(({ steeperThan }) => steeperThan !== undefined).map(({ from, steeperThan }) => [from, steeperThan])).toEqual([["slope", 0.2]]);
    expect(setbackRules.every((rule) => Object.isFrozen(rule)) && Object.isFrozen(setbackRules)).toBe(true);
  });
});

describe("the country whose rules a site is asked by", () => {
  const asked = (file: SiteJson, options?: SitingOptions): [countries: unknown[], words: string] => {
    const { rules, asking } = siting(readSite(file), options);
    return [[...new Set(rules.map(({ region }) => region ?? "own"))], asking];
  };
  const feet = fixture("tannery-box");
  const metres = changed(demo("linden-row"), "surroundings.rules", undefined);

  test("is that of the file's units, and the page says so", () => {
    expect(asked(feet)).toEqual([["US"],
      "The file names no region; as it is written in feet, published rules of the United States are asked. Another country is put into the file as \"region\"."]);
    expect(asked(metres)).toEqual([["GB"],
      "The file names no region; as it is written in metres, published rules of the United Kingdom are asked. Another country is put into the file as \"region\"."]);
  });

  test("is that of the file where it names one, whatever its units", () => {
    expect(asked(changed(feet, "region", "CA"))).toEqual([["CA"], "The file puts the site in Canada: published rules of that country are asked."]);
    expect(asked(changed(metres, "region", "US"))).toEqual([["US"], "The file puts the site in the United States: published rules of that country are asked."]);
    expect(asked(changed(metres, "region", "DE"))).toEqual([[],
      "The file puts the site in Germany: published rules of that country are asked. No published rules of Germany are held here."]);
    expect(readSite(changed(feet, "region", "CA")).region).toBe("CA");
    expect(readSite(feet).region).toBeNull();
  });

  test("is another only where the file or the call asks for it", () => {
    const others = "As asked for, published rules of these countries: United States, Canada.";
    expect(asked(changed(feet, "surroundings.publishedRules", ["US", "CA"]))).toEqual([["US", "CA"], others]);
    expect(asked(feet, { regions: ["US", "CA"] })).toEqual([["US", "CA"], others]);
    expect(asked(feet, { regions: ["FR"] })).toEqual([[], "As asked for, published rules of these countries: France. No published rules of France are held here."]);
    expect(asked(changed(feet, "surroundings.publishedRules", false))).toEqual([[], "Published rules are set aside."]);
    expect(asked(feet, { rules: [] })[1]).toBe("Rules of the call's own are asked.");
    const own = { from: "tree", distance: "4 m", says: "the gardener" };
    expect(asked(changed(feet, "surroundings.rules", [own]))).toEqual([["own", "US"],
      `${asked(feet)[1]} The file's own rules are asked first.`]);
    expect(siteRules(readSite(fixture("fernhollow"))).map(({ region }) => region)).toEqual(setbackRules.filter(({ region }) => region === "US").map(() => "US"));
  });

  test("is refused where it is no country's code of today", () => {
    const problem = (path: string, value: unknown): string => {
      try {
        readSite(changed(feet, path, value));
        return "";
      } catch (error) {
        return (error as SiteError).message.split("\n  ").slice(1).join("\n");
      }
    };
    const code = 'expected a country\'s code of two capital letters such as "US" or "GB" (ISO 3166-1), got';
    expect(problem("region", "us")).toBe(`region: ${code} "us"`);
    expect(problem("region", "Minnesota")).toBe(`region: ${code} "Minnesota"`);
    expect(problem("region", "QQ")).toBe(`region: ${code} "QQ"`);
    expect(problem("region", 1)).toBe(`region: ${code} 1`);
    expect(problem("region", "UK")).toBe('region: expected a country\'s code of today (did you mean "GB"?), got "UK"');
    expect(problem("surroundings.publishedRules", ["GB", "UK"])).toBe('surroundings.publishedRules[1]: expected a country\'s code of today (did you mean "GB"?), got "UK"');
    expect(problem("surroundings.publishedRules", "US")).toBe('surroundings.publishedRules: expected true, false or a list of countries such as ["US", "CA"], got "US"');
    expect(problem("surroundings.publishedRules", [])).toBe("surroundings.publishedRules: expected a list [ … ] of one or more, got an empty list");
  });
});

const copperbeech = readSite(demo("copperbeech-lane"));

function around(surroundings: object, name = "fernhollow"): Site {
  return readSite(changed(fixture(name), "surroundings", surroundings));
}

describe("siting on a plan", () => {
  const rowsOf = (kind: string): unknown[] => siting(copperbeech, { regions: ["US", "GB", "CA"] }).setbacks
    .filter(({ feature }) => feature.kind === kind)
    .map(({ rule, pit, trench }) => [rule.says, inFeet(pit), trench === null ? null : inFeet(trench)]);
  const inFeet = (length: number): number => Math.round((length / FOOT) * 1e6) / 1e6;

  test("finds the distances of the demo as measured by hand on its plan, in feet", () => {
    // The pit is 13 ft 6 in by 8 ft about (78, 88); its east side stands at 84.75, the boundary at 100; the trench runs along
    // x = 78 to y = 139.64, 18 in wide, the boundary at y = 145 and the road at 151. Its ends are square.
    expect(rowsOf("boundary")).toEqual([["Buckinghamshire", 15.25, 5.36], ["Minnesota", 15.25, 5.36], ["Copeland", 15.25, 5.36]]);
    // from (71.25, 84) to the house's corner at (68, 62), and from the corner of the trench (77.25, 94.64) to that corner
    const house = Math.round(Math.hypot(3.25, 22) * 1e6) / 1e6;
    const trench = Math.round(Math.hypot(9.25, 32.64) * 1e6) / 1e6;
    expect(rowsOf("building")).toEqual(["England", "Buckinghamshire", "Copeland", "Windsor & Maidenhead", "Ontario guidance", "Minnesota"].map((who) => [who, house, trench]));
    expect(rowsOf("septic")).toEqual([["Minnesota", 37.25, 43.25]]);
    expect(rowsOf("well")).toEqual([["Minnesota", 130, null], ["Minnesota", 130, null]]);
    expect(rowsOf("tree")).toEqual([]);
  });

  test("has margins of found less asked, for the pit and for the trench", () => {
    for (const { asked, pit, pitMargin, trench, trenchMargin } of siting(copperbeech).setbacks) {
      expect(pitMargin).toBe(pit - asked);
      expect(trenchMargin).toBe(trench === null ? null : trench - asked);
    }
  });

  test("measures the pit's floor to the highest groundwater and to bedrock", () => {
    const { depths } = siting(changedSite(copperbeech, { surroundings: { ...copperbeech.surroundings!, bedrock: 88 * FOOT } }));
    expectAllClose(depths.map(({ rule, found }) => ({
      what: `${rule.says} ${rule.from}`, value: found, expected: (rule.from === "bedrock" ? 92.1 - 88 : 92.1 - 84) * FOOT,
    })), ROUND_OFF);
    expect(depths.map(({ rule }) => [rule.says, rule.from])).toEqual([["Minnesota", "groundwater"], ["New Jersey", "groundwater"], ["Minnesota", "bedrock"]]);
    expect(depths.every(({ found, asked, margin }) => margin === found - asked)).toBe(true);
  });

  test("says what it did not look at, and never judges", () => {
    const found = siting(copperbeech);
    expect(found.header).toBe("What others ask for; your local code and a licensed practitioner decide.");
    expect([...new Set(found.unmeasured.map(({ from }) => from))]).toEqual(["bedrock", "slope", "karst"]);
    expect(JSON.stringify(found)).not.toMatch(/\b(pass(es|ed)?|fail(s|ed|ing)?|compl(y|ies|iant|iance)|allowed|legal)\b/i);
  });

  test("asks by the file's own rules first, by them alone, or by those of the call", () => {
    const own = { from: "tree", distance: "4 m", says: "the gardener" };
    const file = changed(demo("copperbeech-lane"), "surroundings.rules", [own]);
    const rule = { name: "tree", ...own, source: "not given", status: "given with the site" };
    expect(siting(readSite(file)).rules).toEqual([rule, ...setbackRules.filter(({ region }) => region === "US")]);
    expect(siting(readSite(changed(file, "surroundings.publishedRules", false))).rules).toEqual([rule]);
    const called = siting(copperbeech, { rules: [{ ...setbackRules[0]!, from: "service", distance: "3 ft" }] });
    expect(called.setbacks.map(({ feature, asked }) => [feature.name, asked])).toEqual([["gas", 0.9144]]);
    expect(() => siting(copperbeech, { rules: [{ ...setbackRules[0]!, distance: "3" }] })).toThrow(
      'A quantity cannot be read.\n  rules[0].distance: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "3", without a unit');
  });

  test("takes a slope of unknown steepness for a steep one and says so, and leaves a gentle one aside", () => {
    const slopes = around({ publishedRules: ["US"], features: [
      { kind: "slope", name: "bank", distance: "150 ft" }, { kind: "slope", distance: "30 ft", gradient: 0.1 }, { kind: "slope", distance: "99 ft", gradient: 0.2 },
    ] });
    const found = siting(slopes);
    expect(found.setbacks.map(({ feature, rule }) => [feature.distance! / FOOT, rule.distance])).toEqual([[150, "200 ft"], [99, "200 ft"]]);
    expect(found.notes).toContain("The steepness of the slope “bank” is not given: it is taken for one that every rule on slopes speaks of.");
  });

  test("holds a slab against the level that opens the emitter, its tailwater included", () => {
    // the crest lies at 96.2 ft, so that without the tailwater the lid would lift at 96.24 ft, below the slab
    const open = changed(changed(demo("copperbeech-lane"), "overflowTrench.ground", "97.3 ft"), "overflowTrench.cover", undefined);
    const at = (slab: string): readonly string[] => {
      const file = changed(changed(open, "emitter.tailwater", "96.9 ft"), "surroundings.features[1].slab", slab);
      return siting(readSite(file)).notes.filter((note) => note.startsWith("The slab of"));
    };
    expect(at("96.6 ft")).toEqual(["The slab of the building “house” at 96.60 ft lies 0.342 ft lower than water stands in the pit before it comes out at 96.94 ft."]);
    expect([at("96.94 ft"), at("96.95 ft")].map((notes) => notes.length)).toEqual([1, 0]);
  });

  test("notes a pit outside its lot, a trench drawn too short, and a slab lower than the water stands", () => {
    const moved = changed(demo("linden-row"), "surroundings.works", { pit: { at: ["-5 m", "10 m"] }, trench: [["-5 m", "12 m"], ["-5 m", "20 m"]] });
    const found = siting(readSite(moved));
    expect(found.notes).toEqual([
      "Outside the lot or across its boundary, the distance to which is written as 0: the pit, the pipe to the trench and the overflow trench.",
      "The pipe to the trench is given as 1.2 m long; straight on the plan it is 0.9 m. Where it does not run straight it can come up to 0.397 m nearer to things than measured.",
      "The overflow trench is drawn 8 m long on the plan and given as 14 m.",
      "The slab of the building “house” at 61.000 m lies 1.63 m lower than water stands in the pit before it comes out at 62.634 m.",
    ]);
    // Drawn as long as it is given, within a twentieth, a run is not noted.
    expect(siting(copperbeech).notes).toEqual([]);
    const pitRow = ({ rows }: Siting): number => rows.find(({ feature, from }) => feature.kind === "boundary" && from === "pit")!.distance;
    expect(pitRow(found)).toBe(0);
    const across = readSite(changed(demo("linden-row"), "surroundings.works.pit.at", ["0.5 m", "10 m"]));
    expect(pitRow(siting(across))).toBe(0);
  });
});

describe("siting by distances alone", () => {
  const site = around({ publishedRules: ["US", "GB"], features: [{ kind: "well", name: "old well", distance: "60 ft" }, { kind: "building", distance: "3 m" }] });

  test("compares them as they are given", () => {
    const found = siting(site);
    expectAllClose([["Minnesota 50 ft", 10 * FOOT], ["Minnesota 100 ft", -40 * FOOT], ["Minnesota 10 ft", 3 - 10 * FOOT], ["Copeland 5 m", -2]].map(([what, expected]) => ({
      what: String(what), value: found.setbacks.find(({ rule }) => `${rule.says} ${rule.distance}` === what)!.pitMargin, expected: Number(expected),
    })), ROUND_OFF);
    expect(found.setbacks.every(({ trench, trenchMargin }) => trench === null && trenchMargin === null)).toBe(true);
    expect(found.rows.map(({ from, way, chainage }) => [from, way, chainage])).toEqual([["pit", null, []], ["pit", null, []]]);
    expect([found.unplaced, found.measured]).toEqual([[], []]);
    expect(roomLeft(site)).toBeNull();
  });

  test("says where nothing is given that nothing was looked at", () => {
    const found = siting(readSite(fixture("fernhollow")));
    expect([found.rows, found.setbacks]).toEqual([[], []]);
    expect(found.notes).toEqual(["The file says nothing of what stands around the works: no distance was looked at."]);
  });
});

describe("the room left on a lot", () => {
  const lot = [["0 m", "0 m"], ["40 m", "0 m"], ["40 m", "30 m"], ["0 m", "30 m"]];
  const boundary: SetbackRule = { name: "boundary", from: "boundary", distance: "5 m", says: "test", source: "", status: "given with the site" };
  const plan = (features: object[], turnedDegrees = 0): Site => around({
    works: { pit: { at: ["20 m", "15 m"], turnedDegrees } }, features: [{ kind: "boundary", outline: lot }, ...features],
  });

  test("is the lot less a strip along its boundary, to the raster's step", () => {
    const room = roomLeft(plan([]), { rules: [boundary], length: 4, width: 2, step: 0.25 })!;
    // 30 m by 20 m are left of 40 m by 30 m; the circle in it has a radius of 10 m.
    expectClose(room.area, 600, { absolute: 0.25 * 2 * 50, because: "one row of cells along the edge of 100 m, either way" });
    expect([room.lotArea, room.share]).toEqual([1200, room.area / 1200]);
    expectClose(room.largest!.radius, 10, { absolute: 0.25, because: "the raster's step" });
  });

  test("leaves out what a pit cannot lie on, asked or not, and places too narrow for it", () => {
    // A wall at x = 30 leaves 30 m by 30 m and 10 m by 30 m; a pit of 12 m by 11 m, lying along x, fits only into the first.
    const wall = { kind: "wall", line: [["30 m", "-1 m"], ["30 m", "31 m"]] };
    const room = roomLeft(plan([wall]), { rules: [], length: 12, width: 11, step: 0.5 })!;
    expectClose(room.area, 900, { absolute: 0.5 * 120, because: "one row of cells along the edge of 120 m" });
    expect(roomLeft(plan([wall]), { rules: [], length: 31, width: 2, step: 0.5 })!.area).toBe(0);
    // One of 35 m fits along the lot and not across it.
    expect(roomLeft(plan([]), { rules: [], length: 35, width: 2, step: 0.5 })!.area).toBeGreaterThan(1000);
    expect(roomLeft(plan([], 90), { rules: [], length: 35, width: 2, step: 0.5 })!.area).toBe(0);
  });

  test("never grows with the pit, with a distance or with a rule, and no circle in it is nearer than asked", () => {
    const house = { kind: "building", outline: [["8 m", "9 m"], ["18 m", "9 m"], ["18 m", "20 m"], ["8 m", "20 m"]] };
    const site = plan([house, { kind: "tree", at: ["30 m", "10 m"] }], 30);
    const building: SetbackRule = { ...boundary, from: "building" };
    const areaOf = (rules: SetbackRule[], length: number): number => roomLeft(site, { rules, length, width: 3, step: 0.5 })!.area;
    const areas = [areaOf([], 4), areaOf([boundary], 4), areaOf([boundary, building], 4), areaOf([boundary, { ...building, distance: "7 m" }], 4), areaOf([boundary, { ...building, distance: "7 m" }], 8)];
    expect(areas).toEqual([...areas].sort((a, b) => b - a));
    const { largest, asked } = roomLeft(site, { rules: [boundary, building], step: 0.5 })!;
    for (const { feature, distance } of asked) {
      const shape = feature.kind === "boundary" ? edgeOf(feature.shape!) : feature.shape!;
      expect(shapeDistance(line(largest!.at), shape).distance).toBeGreaterThanOrEqual(distance + largest!.radius - 1e-9);
    }
  });

  test("covers the cells that a turned rectangle does, each tried by itself", () => {
    const side = fc.double({ min: 0.5, max: 9, noNaN: true });
    const rectangle = fc.tuple(side, side, fc.integer({ min: -180, max: 180 }));
    const middle = fc.tuple(fc.double({ min: 0, max: 12, noNaN: true }), fc.double({ min: 0, max: 9, noNaN: true }));
    fc.assert(fc.property(rectangle, fc.array(middle, { maxLength: 3 }), ([length, width, turned], middles) => {
      const cells = coveredCells(rasterOver([[0, 0], [12, 9]], 0.5), middles, length, width, turned);
      const [angle, tried] = [(turned * Math.PI) / 180, new Uint8Array(24 * 18)];
      tried.forEach((_, i) => {
        const [x, y] = [((i % 24) + 0.5) * 0.5, (Math.floor(i / 24) + 0.5) * 0.5];
        tried[i] = middles.some(([east, north]) =>
          Math.abs((x - east) * Math.cos(angle) + (y - north) * Math.sin(angle)) <= length / 2 + 1e-9
          && Math.abs((y - north) * Math.cos(angle) - (x - east) * Math.sin(angle)) <= width / 2 + 1e-9) ? 1 : 0;
      });
      expect(cells.filled).toEqual(tried);
    }), { seed: 85 });
    expect(rasterOver([[0, 0], [12, 9]], 0.5).filled).toEqual(new Uint8Array(24 * 18));
  });

  test("leaves aside what is asked under a condition", () => {
    const well = { kind: "well", at: ["20 m", "2 m"] };
    expect(roomLeft(plan([well]), { step: 1, rules: setbackRules })!.asked.find(({ feature }) => feature.kind === "well")!.distance).toBe(50 * FOOT);
  });

  test("refuses what is not a size, and a raster too fine", () => {
    expect(() => roomLeft(plan([]), { length: 0 })).toThrow("length: expected more than 0 m, got 0");
    expect(() => roomLeft(plan([]), { step: 0.01 })).toThrow("step: expected more than 0 m and no more than a million cells, got 0.01 m");
    expect(() => roomLeft(plan([]), { step: -1 })).toThrow("step: expected more than 0 m and no more than a million cells, got -1 m");
  });
});

describe("surroundings that cannot be used", () => {
  const works = { pit: { at: ["0 m", "0 m"] } };
  const problemsOf = (surroundings: object): string[] => {
    try {
      around(surroundings);
      return [];
    } catch (error) {
      return (error as SiteError).message.split("\n  ").slice(1);
    }
  };
  const outlined = (outline: unknown): string[] => problemsOf({ works, features: [{ kind: "building", outline }] });

  test("are told apart in full", () => {
    expect(outlined([["0 m", "0 m"], ["1 m", "0 m"]])).toEqual(["surroundings.features[0].outline: expected an outline of 3 points or more, got a list of 2"]);
    expect(outlined([["0 m", "0 m"], ["4 m", "4 m"], ["4 m", "0 m"], ["0 m", "4 m"]])).toEqual([
      "surroundings.features[0].outline: expected an outline whose sides do not cross, got one in which the side from point 1 to point 2 crosses the side from point 3 to point 4",
    ]);
    expect(outlined([["0 m", "0 m"], ["1 m", "1 m"], ["2 m", "2 m"]])).toEqual([
      "surroundings.features[0].outline: expected an outline that encloses an area, got points on one line",
    ]);
    expect(outlined([["0 m", "0 m"], ["4 m"], ["4 m", "4"]])).toEqual([
      'surroundings.features[0].outline[1]: expected a point [east, north] such as ["12 ft", "30 ft"], got a list of 1',
      'surroundings.features[0].outline[2][1]: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "4", without a unit',
    ]);
    expect(problemsOf({ works, features: [{ kind: "fence", line: [["0 m", "0 m"]] }, { kind: "wel", distance: "-3 m" }, { kind: "tree" }] })).toEqual([
      'surroundings.features[0].kind: expected one of "boundary", "building", "wall", "road", "tree", "well", "septic", "slope", "karst", "water", "soakaway", "service", "lowPoint", "contaminated", "madeGround", got "fence"',
      "surroundings.features[0].line: expected a line of 2 points or more, got a list of 1",
      'surroundings.features[1].kind: expected a known word (did you mean "well"?), got "wel"',
      'surroundings.features[1].distance: expected a length from 0 to 10000 m, got "-3 m"',
      "surroundings.features[2]: expected exactly one of: at; line; outline; distance, got none of them",
    ]);
    expect(problemsOf({ features: [{ kind: "tree", distance: "3 m", gradient: 0.2 }, { kind: "tree", at: ["1 m", "1 m"], slab: "3 m" }] })).toEqual([
      'surroundings.features[0].gradient: expected a feature of kind "slope", or the key left out, got one of kind "tree"',
      'surroundings.features[1].slab: expected a feature of kind "building", or the key left out, got one of kind "tree"',
      "surroundings.works: expected the pit's place on the plan, which features[1] is drawn on, got nothing",
    ]);
    const ring = [["0 m", "0 m"], ["9 m", "0 m"], ["9 m", "9 m"]];
    expect(problemsOf({ works, features: [{ kind: "boundary", outline: ring }, { kind: "boundary", outline: ring }] })).toEqual([
      "surroundings.features[1]: expected one outlined boundary, the lot's, got a second one after features[0]",
    ]);
    expect(problemsOf({ rules: [{ from: "moat", distance: "-1 m" }] })).toEqual([
      'surroundings.rules[0].from: expected one of "boundary", "building", "wall", "road", "tree", "well", "septic", "slope", "karst", "water", "soakaway", "service", "lowPoint", "contaminated", "madeGround", "groundwater", "bedrock", got "moat"',
      'surroundings.rules[0].distance: expected a length of 0 or more, got "-1 m"',
      "surroundings.rules[0].says: expected a name of 1 to 200 characters on one line, got nothing",
    ]);
  });

  test("are also refused by the schema where it can tell, which takes the demos'", () => {
    const bad = (surroundings: object): SiteJson => changed(fixture("fernhollow"), "surroundings", surroundings);
    const schema = siteSchema();
    for (const name of ["copperbeech-lane", "linden-row"]) expect(isValid(demo(name), schema)).toBe(true);
    for (const surroundings of [
      { features: [{ kind: "fence", distance: "1 m" }] }, { features: [{ kind: "tree" }] }, { works: { pit: {} } },
      { works, features: [{ kind: "building", outline: [["0 m", "0 m"], ["1 m", "0 m"]] }] }, { rules: [{ from: "well", distance: 3, says: "x" }] },
    ]) expect(isValid(bad(surroundings), schema), JSON.stringify(surroundings)).toBe(false);
  });
});
