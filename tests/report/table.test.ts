import { describe, expect, test } from "vitest";
import { table } from "../../lib/report/table.ts";
import { drawnRun } from "../figures/drawnRun.ts";

const threeInches = { name: "3 in in a day", run: drawnRun("library-3in") };
const fourInches = { name: "4 in in a day, as the county's manual has it", run: drawnRun("library-4in") };

function widest(text: string): number {
  return Math.max(...text.split("\n").map((line) => Array.from(line).length));
}

describe("the table for a terminal", () => {
  test("puts storms side by side in the water's way", () => {
    // The wording is ours; levels, volumes and shares are those of the independent solver's run.
    expect(table([threeInches])).toBe(`Fernhollow reading room, rear lawn
  The pit rises to 97.37 ft at hour 12, the emitter fires for 2.5 h in all (1040 gal), and the pit
  is empty at hour 56, 44 h after it was last full.
  Soil 0.15 to 0.45 in/h (0.3 to 0.9 in/h untested, factor 2).
  Rain of 1.40 in fills the works to 97.14 ft, where water comes out (2160 gal of room), and full to
  there the soil keeps up with 0.063 in/h.

                                        3 in in a day
Water in
  fallen                            1.97 in over 24 h
  ran in                                     4620 gal
  stood there before                         47.7 gal
    together                                 4670 gal
Highest water
  settling box                       97.65 ft, h 11.9
    to its rim                         20 in to spare
  pit                                  97.37 ft, h 12
    to its ground                      15 in to spare
  trench                               97.26 ft, h 12
    to its ground                     8.8 in to spare
Out at the surface
  emitter fires                                 2.5 h
    lets out                                 1040 gal
    at most                              63.4 gal/min
    firings                                         6
  over rims and ground                        nothing
  comes out first                       emitter, h 12
    with the lid stuck shut           at trench, h 12
    with the box outlet choked         box rim, h 1.6
Pit, after it was last full
  half empty                                     13 h
  empty                                          44 h
Where it went, of all together
  into the soil around the pit         3060 gal, 66 %
  into the soil around the trench       518 gal, 11 %
  out of the emitter                   1040 gal, 22 %
  still held at the end                 47.7 gal, 1 %

Notes
  - No test of the soil is given: every time to drain and all that comes out hangs on the 0.15 to
    0.45 in/h used.
  - The emitter's crest lies 10.80 in below the ground at the trench's low end, 98.00 ft: a lid
    works at the surface, and a run takes it as free all the same. Where the ground falls towards
    it, "ground" takes { "high", "low" }.
  - The floor of the pit is taken to stay clean for life, which is optimistic (common practice):
    look at "openFloorShare": 0 as well.
  - The share of voids in the soil over the pit's stone is not given: 0.05 is taken (common
    practice, no source).
  - The share of voids in the soil over the trench's stone is not given: 0.05 is taken (common
    practice, no source).
  - trench inlet: its crest 96.10 ft lies 0.5 ft above the trench floor, so that much of the pit
    stays out of the trench's reach
  - Once silt has sealed the floors the pit rises to 97.46 ft and takes 6.5 days to be empty, and
    the emitter fires 1610 gal.
`);
  });

  test("never calls a pit empty in which groundwater stands, and says how far it is from its groundwater", () => {
    const text = table([{ name: "3 in in a day", run: drawnRun("low-point-3in") }]);
    expect(text.replace(/\s+/g, " ")).toMatch(/the pit is back at its groundwater, 25 in over its floor, at hour 1\d\d, \d+(\.\d)? days after it was last full\. /);
    expect(text).toMatch(/empty +never: groundwater\n +back at its groundwater +\d+(\.\d)? days\n/);
  });

  test("fits 100 columns with one storm and with nine, whatever their names", () => {
    for (const count of [1, 2, 3, 4, 9]) {
      const storms = Array.from({ length: count }, (_, i) => (i % 2 === 0 ? threeInches : fourInches));
      expect(widest(table(storms))).toBeLessThanOrEqual(100);
    }
    const long = { name: "x".repeat(300), run: { ...threeInches.run, site: { ...threeInches.run.site, name: "y".repeat(300) }, notes: ["z".repeat(300)] } };
    expect(widest(table([long, long]))).toBeLessThanOrEqual(100);
  });

  test("lines up every column", () => {
    const lines = table([threeInches, fourInches]).split("\n");
    const ends = lines.filter((line) => /^ {2,4}\S.* {2,}\S/.test(line)).map((line) => line.length);
    expect(new Set(ends).size).toBe(1);
  });

  test("lets no name steer the terminal", () => {
    const name = "\u001b]0;owned\u0007\u001b[2J\u202eroof";
    const text = table([{ name, run: { ...threeInches.run, site: { ...threeInches.run.site, name, notes: [name] } } }]);
    expect(text.replace(/\n/g, "")).not.toMatch(/[\p{Cc}\u202a-\u202e]/u);
  });

  test("says a note of all storms once and a note of one under its name", () => {
    const wet = { ...fourInches, run: { ...fourInches.run, notes: [...fourInches.run.notes, "The turf lifts."] } };
    const text = table([threeInches, wet]);
    expect(text.match(/trench inlet: its crest/g)).toHaveLength(1);
    expect(text).toMatch(/4 in in a day, as the county's manual h…:\n {2}- The turf lifts\./);
  });
});
