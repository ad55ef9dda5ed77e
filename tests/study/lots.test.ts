import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { moundConvolution } from "../../lib/ground/mound/moundConvolution.ts";
import { moundRiseLinear } from "../../lib/ground/mound/moundRise.ts";
import { seriesLevel } from "../../lib/ground/seriesLevel.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { COARSE_TOLERANCE } from "../../lib/simulate/runOptions.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { ANSWERS } from "../../lib/study/answerRow.ts";
import { caseRows } from "../../lib/study/cases.ts";
import { LOT_COLUMNS, lotCases, type LotsStudy, smallestWorks } from "../../lib/study/lotCases.ts";
import { FLOWS_BEFORE, lotFlowCases } from "../../lib/study/lotFlows.ts";
import { lotResults } from "../../lib/study/lotResults.ts";
import { lotFile, lotPattern, lotSite } from "../../lib/study/lotSite.ts";
import { LOT_YEAR_COLUMNS, lotYearCases, lotYearResults } from "../../lib/study/lotYears.ts";
import { oftenCases } from "../../lib/study/oftenCases.ts";
import { lotTable } from "../../lib/study/lotTable.ts";
import { size } from "../../lib/study/size.ts";
import { soilFactors } from "../../lib/study/soilFactors.ts";
import { gutters, neighbourRises, type StreetPit } from "../../lib/study/streets.ts";
import { expectClose } from "../closeTo.ts";

const source = JSON.parse(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8")) as Record<string, never>;
const pattern = lotPattern(source);
const rain = designStorm({ pattern: "block", depth: "1.8 in", duration: "1 h" });

function problemsOf(text: string, map?: unknown): string[] {
  return lotTable(text, pattern, map).problems.map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`);
}

function studyOf(table: ReturnType<typeof lotTable>, soils = 3): LotsStudy {
  return {
    kind: "lots",
    file: pattern.file,
    keys: table.keys,
    values: table.lots.map(({ values }) => values),
    options: { storms: [{ name: "cloudburst", rain }], soils, conductivityWithin: soils === 1 ? 1 : 3, until: 48 * 3600 },
  };
}

/** The parts of a site file that the tests change by hand. */
interface Written {
  catchments: { area: string; timeOfConcentration: string }[];
  soil: Record<string, unknown>;
  groundwater: Record<string, unknown>;
  chamberBank: Record<string, unknown>;
  emitter: Record<string, unknown>;
}

describe("a table of lots", () => {
  test("makes of each row the works of a site file written by hand", () => {
    const table = lotTable(
      [
        "lot;roofArea;soil;waterTable;chamberBank.width;catchments[0].timeOfConcentration;emitter.crest",
        "A;1175 sq ft;0.4 in/hr;88 ft;9 ft;8 min;96.25 ft",
      ].join("\n"),
      pattern,
    );
    expect(table.problems).toEqual([]);
    const written = structuredClone(source) as unknown as Written;
    // half of the pattern's 2350 sq ft: each roof keeps its share
    written.catchments[0]!.area = "800 sq ft";
    written.catchments[1]!.area = "375 sq ft";
    written.catchments[0]!.timeOfConcentration = "8 min";
    written.soil["layers"] = [
      { top: "98.2 ft", conductivity: "0.4 in/hr" },
      { top: "94.8 ft", conductivity: "0.4 in/hr" },
    ];
    written.groundwater = { level: "88 ft" };
    written.chamberBank["width"] = "9 ft";
    written.emitter["crest"] = "96.25 ft";
    const [own, hand] = [lotSite(pattern, table.keys, table.lots[0]!.values, "A"), readSite(written)].map((site) =>
      settledRun(site, rain),
    );
    for (const body of ["settlingBox", "chamberBank", "overflowTrench"]) {
      expectClose(own!.peaks[body]!.level, hand!.peaks[body]!.level, { absolute: 1e-9, because: "areas rounded in another unit" });
    }
    expectClose(own!.ledger.emitter, hand!.ledger.emitter, { absolute: 1e-9, because: "areas rounded in another unit" });
  });

  test("says every bad cell with its row and column, and keeps the good rows", () => {
    const text = [
      "lot,roofArea,soil,depthToWater [ft],tested,x,y,owner",
      "No. 1,1500 sq ft,0.5 in/hr,12,yes,0,0,nobody",
      "No. 2,big,0.5 in/hr,12,maybe,10,0,nobody",
      "No. 1,1500 sq ft,0.5 furlong,12,no,20,0,nobody",
      "",
      "No. 4,1500 sq ft,-3 in/hr,12,no,east,0,nobody",
      ",1500 sq ft,0.5 in/hr,,no,,,nobody",
    ].join("\n");
    expect(problemsOf(text)).toEqual([
      'row 3 (lot "No. 2"), column "tested": expected whether the soil was tested, "yes" or "no", got "maybe"',
      'row 3 (lot "No. 2"), column "roofArea": expected an area such as "1500 sq ft" or "140 m^2", got "big"',
      'row 4 (lot "No. 1"), column "soil": expected a speed such as "0.5 in/hr" or "12 mm/h", got "0.5 furlong", where "furlong" is no unit known here (a speed is in in/hr, ft/day, mm/h, cm/h, m/day or m/s)',
      'row 4 (lot "No. 1"), column "lot": expected a name that no other lot has, got that of row 2',
      'row 6 (lot "No. 4"), column "x": expected a length such as "2.5 ft", "18 in" or "0.75 m", got "east"',
      'row 6 (lot "No. 4"), column "soil": expected a speed from 0 to 10 m/s, got "-3 in/hr"',
    ]);
    const table = lotTable(text, pattern);
    expect(table.lots.map(({ name, row }) => [name, row])).toEqual([
      ["No. 1", 2],
      ["row 7", 7],
    ]);
    expect([table.bad, table.unused]).toEqual([3, ["owner"]]);
    expect(table.lots[1]).toMatchObject({ place: null, tested: false });
    // the ground over the pit lies at 98.2 ft
    expectClose(seriesLevel(lotSite(pattern, table.keys, table.lots[0]!.values, "A").groundwater.level, 0), (98.2 - 12) * 0.3048, {
      absolute: 1e-12,
      because: "feet",
    });
  });

  test("is refused as a whole where its heads cannot stand", () => {
    const refused = (text: string, map?: unknown): string => {
      try {
        lotTable(text, pattern, map);
        return "taken";
      } catch (error) {
        return (error as Error).message;
      }
    };
    expect(refused("lot,roofarae\nA,3\n")).toBe(
      'The table of lots cannot be used:\n  column "roofarae": expected a known column (did you mean "roofArea"?), got "roofarae"',
    );
    expect(refused("lot,chamberBank.depth\nA,3\n")).toContain(
      'column "chamberBank.depth": expected a key of the site file that the pattern has room for, got "chamberBank.depth"',
    );
    expect(refused("lot,owner\nA,B\n")).toContain("the heads: expected a column that changes something");
    expect(refused("lot,soil,Soil\nA,1 in/hr,2 in/hr\n")).toContain(
      'column "Soil": expected one column for each thing, got soil, for which column "soil" stands too',
    );
    expect(refused("")).toContain("row 1: expected heads");
    expect(refused('{"type":"Feature"}')).toContain("type: expected a FeatureCollection of GeoJSON");
    expect(refused("lot,a\nA,1\n", { b: "soil" })).toContain('map: "b": expected a head of the table');
    expect(refused("lot,a\nA,1\n", { a: { key: "soil", units: "in/hr" } })).toContain(
      'map: "a".units: expected key, unit or values, got "units"',
    );
  });

  test("takes heads, units and words of a town by a map", () => {
    const map = {
      roof_sqft: { key: "roofArea", unit: "sq ft" },
      ground: { key: "soil", values: { sand: "3 in/hr", clay: "0.05 in/hr" } },
    };
    const table = lotTable("address,roof_sqft,ground\n1 Elm,1500,sand\n", pattern, { ...map, address: "lot" });
    expect(table.lots[0]).toMatchObject({ name: "1 Elm", values: ["1500 sq ft", "3 in/hr"] });
    expect(problemsOf("address,roof_sqft,ground\n1 Elm,1500,sandy\n", map)).toEqual([
      'row 2, column "ground": expected one of "sand", "clay" (did you mean "sand"?), or a quantity, got "sandy"',
    ]);
  });

  test("takes GeoJSON, and lays its degrees on a plane of metres", () => {
    const square = [
      [7.001, 51],
      [7.0012, 51],
      [7.0012, 51.0001],
      [7.001, 51.0001],
      [7.001, 51],
    ];
    const text = JSON.stringify({
      type: "FeatureCollection",
      features: [
        { type: "Feature", properties: { name: "A", "roofArea [m^2]": 140 }, geometry: { type: "Point", coordinates: [7, 51] } },
        { type: "Feature", properties: { name: "B", "roofArea [m^2]": 150 }, geometry: { type: "Polygon", coordinates: [square] } },
        { type: "Feature", properties: { name: "C", "roofArea [m^2]": 150 }, geometry: { type: "Polygon", coordinates: [] } },
      ],
    });
    const { lots } = lotTable(text, pattern);
    const [a, b] = lots.map(({ place }) => place!);
    // 0.0011 degrees of longitude at 51 N are 77.04 m (a degree there is 70 032 m to 70 197 m by sphere or ellipsoid, derived)
    expectClose(b!.x - a!.x, 0.0011 * (Math.PI / 180) * 6371008.8 * Math.cos((51 * Math.PI) / 180), {
      relative: 1e-4,
      because: "the plane touches at the middle",
    });
    expectClose(b!.y - a!.y, 0.00005 * 111195.08, { relative: 1e-6, because: "a degree of a great circle of the mean radius (derived)" });
    expect([a!.rings.length, b!.rings[0]!.length]).toEqual([0, 5]);
    expect(problemsOf(text)).toEqual([
      'feature 3 (lot "C"): expected a geometry of GeoJSON with coordinates: Point, Polygon, MultiPolygon, LineString, got Polygon that is not whole',
    ]);
  });

  test("gives one lot's own file, which runs as the lot does", () => {
    const table = lotTable("lot,soil,chambers,stoneBase,trenchLength\nA,0.4 in/hr,6,9 in,60 ft\n", pattern);
    const file = lotFile(source, pattern, table.keys, table.lots[0]!.values, "A");
    const [own, read] = [lotSite(pattern, table.keys, table.lots[0]!.values, "A"), readSite(file)].map((site) => settledRun(site, rain));
    expect(read!.site.storms.map(({ name }) => name)).toEqual(["2-year day", "1-hour cloudburst"]);
    expectClose(own!.peaks["chamberBank"]!.level, read!.peaks["chamberBank"]!.level, {
      absolute: 1e-9,
      because: "lengths written in metres",
    });
  });
});

describe("the cases of lots", () => {
  const table = lotTable("lot,roofArea,soil\nA,1500 sq ft,0.3 in/hr\nB,4200 sq ft,0.1 in/hr\n", pattern);
  const study = studyOf(table);
  const rows = caseRows(lotCases(study), 0, 10);

  test("are the runs of each lot's site in each soil", () => {
    const width = LOT_COLUMNS.length;
    const at = (row: number, name: string): number => rows[row * width + LOT_COLUMNS.findIndex((column) => column.name === name)]!;
    soilFactors(3, 3).forEach((factor, state) => {
      const file = structuredClone(source) as Record<string, Record<string, unknown>>;
      (file["catchments"] as unknown as { area: string }[]).forEach((each, i) => {
        each.area = `${(4200 / 2350) * [1600, 750][i]!} sq ft`;
      });
      file["soil"]!["layers"] = [
        { top: "98.2 ft", conductivity: `${0.1 * factor} in/hr` },
        { top: "94.8 ft", conductivity: `${0.1 * factor} in/hr` },
      ];
      const run = settledRun(readSite(file), rain, { until: 48 * 3600, tolerance: COARSE_TOLERANCE });
      expectClose(at(5 + state, "emitterVolume"), run.emitted, { relative: 1e-6, because: "soils scaled in the network or in the file" });
      expectClose(at(5 + state, "pitPeak"), run.peaks["chamberBank"]!.level, {
        absolute: 1e-6,
        because: "soils scaled in the network or in the file",
      });
    });
    expect([at(9, "lot"), at(9, "state"), at(9, "stopped"), at(9, "design")]).toEqual([1, 4, 0, NaN]);
  });

  test("are the same one by one and from the last to the first", () => {
    const cases = lotCases(study);
    const backwards = new Float64Array(rows.length);
    for (let row = 9; row >= 0; row--) backwards.set(cases.row(row), row * LOT_COLUMNS.length);
    expect(backwards).toEqual(rows);
  });

  test("give results that say what comes out, its band, and what keeps most of it in", () => {
    const take = lotResults(3);
    const results = [
      ...take({ from: 0, values: rows.subarray(0, 3 * LOT_COLUMNS.length) }),
      ...take({ from: 3, values: rows.subarray(3 * LOT_COLUMNS.length) }),
    ];
    const outOf = (row: number): number => rows[row * LOT_COLUMNS.length + 8]! + rows[row * LOT_COLUMNS.length + 12]!;
    expect(LOT_COLUMNS[8]!.name + LOT_COLUMNS[12]!.name).toBe("emitterVolumespilled");
    expect(results.map(({ lot }) => lot)).toEqual([0, 1]);
    const [, b] = results;
    expect(b!.out).toEqual({
      own: outOf(6),
      least: Math.min(outOf(5), outOf(6), outOf(7)),
      most: Math.max(outOf(5), outOf(6), outOf(7)),
    });
    const kept = [1 - outOf(7) / outOf(6), 1 - outOf(8) / outOf(6), 1 - outOf(9) / outOf(6)];
    expect(b!.keeps).toBe(Math.max(...kept));
    expect(b!.decides).toBe(["soil", "water table", "room"][kept.indexOf(Math.max(...kept))]);
    expect(b!.state).toBe("lid opens");
  });

  // the middles of three equal shares of a normal distribution lie at -0.967422, 0 and 0.967422 (tables of the normal quantile at 1/6)
  test("have soils at the middles of equal shares", () => {
    const [low, own, high] = soilFactors(3, 3);
    expectClose(Math.log(high!) / (Math.log(3) / 1.959964), 0.967422, { absolute: 1e-6, because: "digits of the table" });
    expectClose(low! * high!, 1, { absolute: 1e-12, because: "round-off" });
    expect(own).toBe(1);
  });
});

test("the smallest works of the steps are those that all of them, run, come to", async () => {
  // without surroundings: `size` leaves out designs that have no room on their lot, of which a table of lots says nothing
  const { surroundings: _lot, ...file } = source;
  const site = readSite(file);
  const asked = { storm: { pattern: "block", depth: "1.5 in", duration: "1 h" }, emitterVolumeAtMost: "100 gal" };
  const options = { criteria: [asked], steps: { chambers: [2, 4, 6, 8, 10], trenchLength: ["30 ft", "60 ft"] } } as never;
  const { designs, ofSteps } = await size(site, options);
  expect(ofSteps).not.toBeNull();
  expect(designs[0]).not.toBe(ofSteps);
  expect(smallestWorks(site, options)!.sizes).toEqual(ofSteps!.sizes);
});

describe("streets", () => {
  const table = lotTable(
    "lot,roofArea,soil,runsTo\nA,2500 sq ft,0.2 in/hr,east\nB,3500 sq ft,0.1 in/hr,east\nC,2500 sq ft,0.1 in/hr,west\n",
    pattern,
  );
  const until = 24 * 3600;
  const options = { rain, until, lidBins: 288, soilBins: 24 };
  const cases = lotFlowCases({
    kind: "lotFlows",
    file: pattern.file,
    keys: table.keys,
    values: table.lots.map(({ values }) => values),
    options,
  });
  const flows = table.lots.map((_, lot) => ({ lot, values: Float64Array.from(cases.row(lot)) }));

  test("add lids of one time, and their ledgers close", () => {
    const all = gutters(flows, (lot) => table.lots[lot]!.runsTo, options);
    expect(all.map(({ name, lots }) => [name, lots])).toEqual([
      ["east", [0, 1]],
      ["west", [2]],
    ]);
    const east = all[0]!;
    const runs = [0, 1].map((lot) =>
      settledRun(lotSite(pattern, table.keys, table.lots[lot]!.values, "x"), rain, { until, tolerance: COARSE_TOLERANCE }),
    );
    expect(east.ledger.emitter).toBe(runs[0]!.ledger.emitter + runs[1]!.ledger.emitter);
    expect(east.ledger.emitter).toBeGreaterThan(0.1);
    const { inflow, storedStart, storedEnd, error, ...others } = east.ledger;
    expectClose(
      inflow + storedStart - storedEnd - error,
      Object.values(others).reduce((sum, each) => sum + each, 0),
      { absolute: 1e-9, because: "order of sums" },
    );
    expectClose(east.volume, east.ledger.emitter, { relative: 2e-4, because: "the dense output between the steps of a lid" });
    // brute force: both lids' flow at thousands of moments of the stretch with the peak
    const width = until / options.lidBins;
    const mean =
      Array.from({ length: 4000 }, (_, i) => east.peakTime! + ((i + 0.5) / 4000 - 0.5) * width).reduce(
        (sum, time) => sum + runs[0]!.flow("emitter", time) + runs[1]!.flow("emitter", time),
        0,
      ) / 4000;
    expectClose(east.peak, mean, { relative: 2e-3, because: "moments of the brute sum" });
    expect(east.atOnce).toBeGreaterThanOrEqual(east.peak);
  });

  test("soak away stretch by stretch what the ledger of the pit says", () => {
    for (const { values } of flows) {
      const soaked = values.subarray(FLOWS_BEFORE + options.lidBins).reduce((sum, each) => sum + each, 0);
      expectClose(soaked, values[1 + 4]!, { relative: 1e-4, because: "the dense output between steps" });
    }
  });

  const FOOT = 0.3048;
  const DAY = 86400;
  // USGS SIR 2010-5102 (Carleton 2010), table 5: rise [ft] at x [ft]. Its law in h^2 is the linear one with the thickness at mid rise:
  // h^2 - h0^2 = 2 b s, b = (h0 + h)/2. A quarter of the basin a pit, each pit's mound added up, is the whole basin's.
  test.each([
    [0, 12.63],
    [10, 12.32],
    [20, 11.31],
    [40, 6.63],
    [50, 4.29],
    [75, 1.07],
  ])("add four quarters of a basin to its published mound: at %f ft, %f ft", (x_ft, rise_ft) => {
    const [half, time] = [33.63 * FOOT, 1.5 * DAY];
    const pit = {
      halfLength: half / 2,
      halfWidth: half / 2,
      hydraulicConductivity: (4 * FOOT) / DAY,
      thickness: (10 + rise_ft / 2) * FOOT,
      specificYield: 0.085,
    };
    const soaked = new Float64Array(6).fill(((1.333 * FOOT) / DAY) * (time / 6) * half * half);
    const quarters = [
      [-1, -1],
      [-1, 1],
      [1, -1],
      [1, 1],
    ].map(([i, j], lot): StreetPit => ({ lot, x: (i! * half) / 2, y: (j! * half) / 2, pit, soaked }));
    // a pit that soaks nothing away, where the rise is asked
    const asked: StreetPit = { lot: 9, x: x_ft * FOOT, y: 0, pit, soaked: new Float64Array(6) };
    const rise = neighbourRises([...quarters, asked], { until: time, within: 1000 }).find(({ lot }) => lot === 9)!;
    expect(rise.neighbours).toEqual([0, 1, 2, 3]);
    expect(rise.time).toBe(time);
    expectClose(rise.rise / FOOT, rise_ft, { absolute: 0.012, because: "two decimals of the table, in the rise and in the thickness" });
  });

  test("add mounds of rates that change as the convolution does", () => {
    const pit = { halfLength: 2, halfWidth: 1.2, hydraulicConductivity: 2e-5, thickness: 4, specificYield: 0.2 };
    const soaked = [0.5, 2, 1, 0.2, 0, 0];
    const until = 6 * 3600;
    const [a, b]: StreetPit[] = [
      { lot: 0, x: 0, y: 0, pit, soaked: new Array<number>(6).fill(0) },
      { lot: 1, x: 5, y: -3, pit, soaked },
    ] as StreetPit[];
    const [rise] = neighbourRises([a!, b!], { until, within: 6 });
    const area = 4 * pit.halfLength * pit.halfWidth;
    const edges = soaked.flatMap((_, i) => [i * 3600, (i + 1) * 3600]);
    const rates = soaked.flatMap((volume) => [volume / (area * 3600), volume / (area * 3600)]);
    const slow = moundConvolution({ ...pit, x: -5, y: 3, time: edges, rechargeRate: rates, at: soaked.map((_, i) => (i + 1) * 3600) });
    expectClose(rise!.rise, Math.max(...slow), { relative: 1e-6, because: "two quadratures" });
    expect(neighbourRises([a!, b!], { until, within: 5.8 })).toEqual([]);
    // far off in time all of a steady recharge is the law itself
    const steady = neighbourRises([a!, { ...b!, soaked: new Array<number>(6).fill(1) }], { until, within: 6 })[0]!;
    expectClose(steady.rise, moundRiseLinear({ ...pit, x: -5, y: 3, rechargeRate: 1 / (area * 3600), time: until }), {
      relative: 1e-9,
      because: "sums of differences",
    });
  });
});

describe("years of rain on lots", () => {
  // without a factor of safety, so that the soil as tested, of which a site's own years are, is that of the works as designed
  const { factorOfSafety: _rule, ...soil } = source["soil"] as unknown as Record<string, unknown>;
  const plain = lotPattern({ ...source, soil });
  const table = lotTable("lot,roofArea,soil\nA,1500 sq ft,0.3 in/hr\nB,4200 sq ft,0.1 in/hr\n", plain);
  const climate = { stormsPerYear: 40, meanDepth: "0.7 in", meanDuration: "5 h" };
  const asked = { climate, years: 1, count: 2, seed: 4, soils: 3, conductivityWithin: 3 };
  const given = { file: plain.file, keys: table.keys, values: table.lots.map(({ values }) => values) };
  const cases = lotYearCases({ kind: "lotYears", ...given, options: { often: asked } });
  const rows = caseRows(cases, 0, cases.count);
  const width = LOT_YEAR_COLUMNS.length;
  const at = (row: number, name: string): number => rows[row * width + LOT_YEAR_COLUMNS.findIndex((column) => column.name === name)]!;

  test("are the runs of each lot's works by themselves, to the last bit, in whatever order", () => {
    expect(cases.count).toBe(12);
    table.lots.forEach(({ values }, lot) => {
      const own = oftenCases({ kind: "often", site: lotSite(plain, table.keys, values, `lot ${lot}`), options: asked });
      for (let row = 0; row < 6; row++) {
        const expected = own.row(row);
        own.columns.forEach(({ name }, i) => {
          if (name !== "byRule" && !/ \d+$/.test(name)) expect(at(6 * lot + row, name)).toBe(expected[i]);
        });
        // the most of the one year, which a row of a site by itself has year by year
        expect(at(6 * lot + row, "greatestStorm")).toBe(expected[own.columns.findIndex(({ name }) => name === "storm volume 1")]);
        expect(at(6 * lot + row, "pitPeak")).toBe(expected[own.columns.findIndex(({ name }) => name === "peak 1")]);
      }
    });
    const again = lotYearCases({ kind: "lotYears", ...given, options: { often: asked } });
    for (const row of [11, 3, 0]) expect(again.row(row)).toEqual(Array.from(rows.subarray(row * width, (row + 1) * width)));
  });

  test("are averaged over all records, with the lot's own soil and the least and most of all soils", () => {
    const results = lotYearResults(asked)({ from: 0, values: rows });
    expect(results.map(({ lot }) => lot)).toEqual([0, 1]);
    // lot B: rows 6 to 8 are the soils in the first record, 9 to 11 in the second; a record is a year and the rest of its last storm
    const both = (soil: number, name: string): number => at(6 + soil, name) + at(9 + soil, name);
    const yearly = [0, 1, 2].map((soil) => both(soil, "emitterVolume") / both(soil, "years"));
    expect(results[1]!.emitterVolume).toEqual({ own: yearly[1]!, least: Math.min(...yearly), most: Math.max(...yearly) });
    expect(results[1]!.emitterVolume.own).toBeGreaterThan(0);
    expect(results[1]!.greatestStorm.own).toBe(Math.max(at(7, "greatestStorm"), at(10, "greatestStorm")));
    expect(results[1]!.stopped).toBe(0);
  });

  test("leave out a run that could not go on, and count it", () => {
    const values = Float64Array.from(rows);
    for (let i = 2; i < width; i++) values[7 * width + i] = LOT_YEAR_COLUMNS[i]!.name === "stopped" ? 1 : NaN;
    const [, b] = lotYearResults(asked)({ from: 0, values });
    expect(b!.emitterVolume.own).toBe(at(10, "emitterVolume") / at(10, "years"));
    expect(b!.stopped).toBe(1);
  });
});

test("columns of a lot's row end with the answers", () => {
  expect(LOT_COLUMNS.slice(-ANSWERS.length)).toEqual(ANSWERS);
});
