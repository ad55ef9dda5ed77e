import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { beforeEach, describe, expect, test, vi } from "vitest";
import { progressBar } from "../../lib/command/progressBar.ts";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

// Threads load a built file, so the built command is what is tested.
const { command } = await import("../../dist/command/command.js");

const site = JSON.parse(readFileSync(new URL("../../data/linden-row.json", import.meta.url), "utf8")) as Record<string, unknown>;
const sure = { storm: "cloudburst", conductivityWithin: 3, runs: 210, until: "24 h" };
const often = { climate: { stormsPerYear: 60, meanDepth: "12 mm", meanDuration: "5 h" }, years: 1 };

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "soakstep-studies-"));
  mkdirSync(join(folder, "out"));
});

function file(studies: unknown): string {
  const path = join(folder, "row.json");
  const storms = [{ name: "cloudburst", pattern: "block", depth: "40 mm", duration: "1 h" }];
  writeFileSync(path, JSON.stringify({ ...site, storms, studies }));
  return path;
}

async function run(...words: string[]): Promise<{ status: number; out: string; err: string; written: string[] }> {
  let [out, err] = ["", ""];
  const status = await command(words, join(folder, "out"), { out: (text: string) => { out += text; }, err: (text: string) => { err += text; } });
  return { status, out, err, written: readdirSync(join(folder, "out")).sort() };
}

describe("a study from the command line", () => {
  test("sure: the answer, a page and every row; again, nothing is made twice and all is the same", async () => {
    const path = file({ sure });
    const first = await run("decide", "--only", "sure", path);
    expect([first.status, first.err]).toEqual([0, ""]);
    expect(first.out).toMatch(/^In “cloudburst” the emitter .*\n.*row-sure\.html\n$/);
    expect(first.written).toEqual(["row-sure.csv", "row-sure.csv.study", "row-sure.html"]);
    const rows = readFileSync(join(folder, "out", first.written[0]!), "utf8");
    expect(rows.trimEnd().split("\n")).toHaveLength(211);
    const again = await run("decide", "--only", "sure", path);
    expect(again).toEqual(first);
    expect(readFileSync(join(folder, "out", first.written[0]!), "utf8")).toBe(rows);
  });

  test("what a fill test of the diary found goes into what is decided, and is written beside its dips in the sized file, of other works", async () => {
    const read = (name: string) => JSON.parse(readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8")) as Record<string, unknown>;
    const { studies, ...lane } = read("copperbeech-lane") as { studies: { size: { criteria: object[] }; rainfall: object } };
    const { rainfall, size: { criteria } } = studies;
    const path = join(folder, "lane.json");
    const asked = { rainfall, size: { criteria, steps: { pitWidth: ["8 ft", "9 ft 6 in"], trenchLength: ["30 ft", "45 ft"] } } };
    const storms = [{ name: "cloudburst", pattern: "block", depth: "1.8 in", duration: "1 h" }];
    const { about: _, ...test } = read("copperbeech-fill-test");
    const filled = { date: "2026-06-01", ...test };
    const still = { date: "2026-07-01", dips: [40, 39.9, 40, 39].map((depth, i) => ({ time: `${i} h`, depth: `${depth} in` })) };
    writeFileSync(path, JSON.stringify({ ...lane, storms, studies: asked, diary: [filled, still] }));
    const decided = await run("decide", "--only", "size", path);
    expect([decided.status, decided.err]).toEqual([0, ""]);
    const note = "The fill test of 2026-07-01 is not counted in what is decided: its dips set no bound on the soil.";
    expect(decided.out).toContain(note);
    const page = (): string => readFileSync(join(folder, "out", "lane-size.html"), "utf8").replaceAll("\u00a0", " ");
    const found = /A fill test on 2026-06-01 found that the soil takes in ([\d.]+) times \(([\d.]+) to ([\d.]+)\) what this design counts on/;
    const [words, ...figures] = found.exec(page())!;
    expect(page()).toContain(note);
    const sized = JSON.parse(readFileSync(join(folder, "out", "lane-sized.json"), "utf8")) as { diary: { found?: Record<string, unknown> }[] };
    const { countedOn, ...bounds } = sized.diary[0]!.found!;
    expect(countedOn).toBe("0.125 in/hr");
    // the page tells two figures of what the file keeps
    expect(["soil", "low", "high"].map((key) => Number(Number(bounds[key]).toPrecision(2)))).toEqual(figures.map(Number));
    // the sized file says the same by itself
    expect((await run("decide", "--only", "size", join(folder, "out", "lane-sized.json"))).status).toBe(0);
    expect(readFileSync(join(folder, "out", "lane-sized-size.html"), "utf8").replaceAll("\u00a0", " ")).toContain(words);
  });

  test("in shares, merged, every file is as from one machine; a share alone makes no page and says what is next", async () => {
    const path = file({ sure, often });
    const whole = await run("decide", path);
    expect(whole.status).toBe(0);
    const expected = whole.written.map((name) => readFileSync(join(folder, "out", name), "utf8"));
    rmSync(join(folder, "out"), { recursive: true });
    mkdirSync(join(folder, "out"));
    for (const index of [2, 1]) {
      const share = await run("decide", path, "--share", `${index}/2`);
      expect([share.status, share.err]).toEqual([0, ""]);
      expect(share.out).toContain(`Share ${index} of 2 is made. With all 2: soakstep merge ${join(folder, "out", "row-sure.share-*-of-2.csv")}, then the same command without --share.`);
      expect(share.written.filter((name) => name.endsWith(".html"))).toEqual([]);
    }
    const shares = readdirSync(join(folder, "out")).filter((name) => name.endsWith(".csv")).map((name) => join(folder, "out", name));
    expect(shares).toHaveLength(4);
    expect((await run("merge", ...shares)).status).toBe(0);
    const merged = await run("decide", path);
    expect([merged.status, merged.err, merged.out]).toEqual([0, "", whole.out]);
    expect(whole.written.map((name) => readFileSync(join(folder, "out", name), "utf8"))).toEqual(expected);
    const wrong = await run("decide", path, "--share", "3/2");
    expect([wrong.status, wrong.err]).toEqual([1, '--share: expected a share such as 2/8, from 1/8 to 8/8, got "3/2"\n']);
  });

  test("a changed study takes the place of its rows before, says so, and out holds no more files than before", async () => {
    const first = await run("decide", "--only", "sure", file({ sure }));
    const rows = readFileSync(join(folder, "out", "row-sure.csv"), "utf8");
    const changed = await run("decide", "--only", "sure", file({ sure: { ...sure, runs: 30 } }));
    expect([changed.status, changed.written]).toEqual([0, first.written]);
    expect(changed.err).toBe(`${join(folder, "out", "row-sure.csv")}: its rows came from another version of the study, of soakstep or of Node; they are replaced\n`);
    expect(readFileSync(join(folder, "out", "row-sure.csv"), "utf8").trimEnd().split("\n")).toHaveLength(31);
    // and back again: the rows of the first study, made again
    const again = await run("decide", "--only", "sure", file({ sure }));
    expect([again.status, again.out]).toEqual([0, first.out]);
    expect(readFileSync(join(folder, "out", "row-sure.csv"), "utf8")).toBe(rows);
  });

  test("a file of rows that no study of ours left there is not replaced", async () => {
    writeFileSync(join(folder, "out", "row-sure.csv"), "a file of the user's own\n");
    const { status, err } = await run("decide", "--only", "sure", file({ sure }));
    expect(status).toBe(1);
    expect(err).toContain("row-sure.csv: expected no file, or rows of this same study");
    expect(readFileSync(join(folder, "out", "row-sure.csv"), "utf8")).toBe("a file of the user's own\n");
  });

  test("sweep: a table as the server gives it, named in the file; its source, place and date stand on the page", async () => {
    writeFileSync(join(folder, "town.csv"), [
      "Point precipitation frequency estimates (inches)", "NOAA Atlas 14 Volume 0 Version 1", "Time series type: Partial duration",
      "Latitude: 10.5 Degree", "Longitude: -20.5 Degree", "PRECIPITATION FREQUENCY ESTIMATES", "by duration for ARI (years):, 1,2,10",
      "15-min:, 0.7,0.85,1.2", "60-min:, 1.2,1.5,2.3", "", "Date/time (GMT):  Sun Jun  7 12:00:00 2026", "",
    ].join("\n"));
    const asked = { rainfall: { file: "town.csv" }, sweep: { returnPeriods: ["2 year"], durations: ["1 h"] } };
    const { status, err } = await run("decide", "--only", "sweep", file(asked));
    expect([status, err]).toEqual([0, ""]);
    const page = readFileSync(join(folder, "out", "row-sweep.html"), "utf8");
    expect(page).toContain("Rain of the place: NOAA Atlas 14 Volume 0 Version 1; 10.5, -20.5; Sun Jun 7 12:00:00 2026.");
    const lost = await run("decide", "--only", "sweep", file({ ...asked, rainfall: { file: "none.csv" } }));
    expect(lost.err).toContain('studies.rainfall.file: expected a file that is looked for beside the file that names it, got "none.csv", nothing of that name');
  });

  test("sweep: a cell of the German grid, its files beside the site's", async () => {
    // invented depths in the form of the published tables
    mkdirSync(join(folder, "grid"), { recursive: true });
    for (const [minutes, row] of [["00015", "10,5;18,6"], ["00060", "15,7;33,3"]]) {
      writeFileSync(join(folder, "grid", `Grid-2020_D${minutes!}.csv`), `INDEX_RC;HN_001A;HN_010A\n7;-99,9;-99,9\n8;${row!}\n`);
    }
    const asked = (rainfall: object): object => ({ rainfall, sweep: { returnPeriods: ["10 year"], durations: ["1 h"] } });
    const { status, err } = await run("decide", "--only", "sweep", file(asked({ file: "grid/Grid-2020_D*.csv", cell: 8 })));
    expect([status, err]).toEqual([0, ""]);
    expect(readFileSync(join(folder, "out", "row-sweep.html"), "utf8")).toContain("Rain of the place: Deutscher Wetterdienst, Grid-2020; cell 8 of its grid.");
    const refused = async (rainfall: object): Promise<string> => (await run("decide", "--only", "sweep", file(asked(rainfall)))).err;
    expect(await refused({ file: "grid/Grid-2020_D*.csv" })).toContain("studies.rainfall.cell: expected the cell of the grid, its INDEX_RC, got nothing");
    expect(await refused({ file: "grid/None_D*.csv", cell: 8 })).toContain("studies.rainfall.file: expected tables of the grid, with the minutes of their duration in the place of *");
    expect(await refused({ file: "grid/Grid-2020_D*.csv", cell: 7 })).toContain("got -99.9, as cells outside the country have it");
  });

  test("size: a criterion takes the name of a recorded storm of the file", async () => {
    writeFileSync(join(folder, "march.csv"), "interval end,rain [mm]\n2026-03-01 01:00,2\n2026-03-01 02:00,30\n");
    const path = join(folder, "row.json");
    const criteria = [{ storm: "March", noSpill: true }];
    writeFileSync(path, JSON.stringify({
      ...site, storms: [{ name: "March", file: "march.csv" }], studies: { size: { criteria, steps: { chambers: [3, 4] } } },
    }));
    const { status, out, err } = await run("decide", path, "--only=size");
    expect([status, err]).toEqual([0, ""]);
    // its trench is nearer to the boundary than is asked, whatever the sizes tried
    expect(out).toMatch(/fits the lot|cannot be met/);
    expect(readFileSync(join(folder, "out", "row-size.html"), "utf8")).toContain("in “March”");
  });

  test("size: the chosen design is a file that runs, with its rain beside it, and that file run again chooses itself", async () => {
    writeFileSync(join(folder, "march.csv"), "interval end,rain [mm]\n2026-03-01 01:00,2\n2026-03-01 02:00,30\n");
    const path = join(folder, "row.json");
    const studies = { size: { criteria: [{ storm: "March", noFiring: true }], steps: { chambers: [2, 3, 4, 5], trenchLength: ["8 m", "20 m"] } } };
    const text = `${JSON.stringify({ ...site, about: "every word stays", surroundings: undefined, storms: [{ name: "March", file: "march.csv" }], studies }, null, 1)}\n`;
    writeFileSync(path, text);
    const first = await run("decide", path, "--only=size");
    expect(first.status).toBe(0);
    const sized = join(folder, "out", "row-sized.json");
    expect(first.out).toContain(sized);
    const written = readFileSync(sized, "utf8");
    // only lines with sizes differ
    const [before, after] = [text.split("\n"), written.split("\n")];
    expect(after).toHaveLength(before.length);
    before.forEach((line, i) => { if (line !== after[i]) expect(line).toMatch(/"(length|count)":/); });
    expect(written).not.toBe(text);
    const again = await run("decide", sized, "--only=size");
    expect(again.status).toBe(0);
    // the same sentence, and no further file: it is the file's own design now
    expect(again.out.split("\n")[0]).toBe(first.out.split("\n")[0]);
    expect(again.written.filter((name) => name.endsWith("-sized.json"))).toEqual(["row-sized.json"]);
  });

  test("prices in a file of their own: all goes by them, the saved design has them beside it, and what is wrong is told", async () => {
    const { prices, ...unpriced } = site;
    const studies = { size: { criteria: [{ storm: "cloudburst", noFiring: true }], steps: { chambers: [2, 3, 4], trenchLength: ["8 m", "20 m"] } } };
    const storms = [{ name: "cloudburst", pattern: "block", depth: "40 mm", duration: "1 h" }];
    const path = join(folder, "row.json");
    const lot = { ...unpriced, surroundings: undefined, storms, studies };
    const given = (own: unknown): void => { writeFileSync(path, JSON.stringify({ ...lot, prices: own })); };
    given(prices);
    const inside = await run("decide", path);
    expect(inside.status).toBe(0);
    mkdirSync(join(folder, "town"));
    writeFileSync(join(folder, "town", "prices.json"), JSON.stringify(prices));
    given({ file: "town/prices.json" });
    const apart = await run("decide", path);
    expect([apart.status, apart.err]).toEqual([0, ""]);
    expect(apart.out).toBe(inside.out);
    expect(apart.out).toMatch(/The design costs \d+ to \d+ €/);
    // the saved design runs from its folder, with the very same prices
    expect(readFileSync(join(folder, "out", "town", "prices.json"), "utf8")).toBe(JSON.stringify(prices));
    const again = await run("decide", join(folder, "out", "row-sized.json"));
    expect([again.status, again.out.split("\n")[0]]).toEqual([0, apart.out.split("\n")[0]]);

    given({ file: "town/none.json" });
    const lost = await run("decide", path);
    expect([lost.status, lost.err]).toEqual([1, expect.stringMatching(/prices\.file: expected .*none\.json/)]);
    writeFileSync(join(folder, "town", "prices.json"), JSON.stringify({ ...prices as object, dig: { per: "1 m^3", from: 9, to: 3 }, chambr: 4 }));
    given({ file: "town/prices.json" });
    const wrong = await run("decide", path);
    expect(wrong.status).toBe(1);
    expect(wrong.err).toMatch(/prices\.json\.chambr: .*did you mean "chamber".*\n.*prices\.json\.dig\.to: expected a price of 9 or more/);
  });

  test("two files are compared on one page; more, or a part of two, are refused", async () => {
    const a = file(undefined);
    const b = join(folder, "longer.json");
    writeFileSync(b, readFileSync(a, "utf8").replace(/("overflowTrench":\{[^}]*?"length":)"[^"]*"/, '$1"16 m"'));
    const { status, out, written } = await run("decide", a, b);
    expect([status, written]).toEqual([0, ["row-against-longer.html"]]);
    expect(out).toMatch(/^In “cloudburst” .* more of trench and .* more to dig\.\n.*row-against-longer\.html\n$/);
    const page = readFileSync(join(folder, "out", "row-against-longer.html"), "utf8");
    for (const words of ["overflowTrench.length", "16 m", "90 of 100 cases"]) expect(page).toContain(words);
    expect((await run("decide", a, b, a)).err).toBe("decide: expected one site file, or two to compare, got 3\n");
    expect((await run("decide", "--only", "size", a, b)).err).toBe("decide: expected one site file with --only, got two; two files are always compared in full\n");
  });

  test("decide: variants of one file stand on its page beside the design it is about, each with its difference", async () => {
    const path = file({ size: { criteria: [{ storm: "cloudburst", noFiring: true }], steps: { chambers: [3, 4, 5], trenchLength: ["10 m", "21 m"] } } });
    // on a lot of which nothing is known, so that something fits
    const drawn = { ...(JSON.parse(readFileSync(path, "utf8")) as Record<string, unknown>), surroundings: undefined };
    const variants = [
      { name: "a longer trench", about: "half as long again", overflowTrench: { length: "21 m" } },
      { name: "no trench", overflowTrench: null, emitter: null },
    ];
    writeFileSync(path, JSON.stringify({ ...drawn, variants }));
    const { status, out, written } = await run("decide", path);
    expect([status, written.includes("row-decide.html"), written.includes("row-sized.json")]).toEqual([0, true, true]);
    const page = readFileSync(join(folder, "out", "row-decide.html"), "utf8");
    for (const part of ['id="variant-1"', 'id="variant-2"', "a longer trench", "no trench", "overflowTrench.length", "90 of 100 cases"]) {
      expect(page).toContain(part);
    }
    // the answers are those of two files compared, A the one that was written
    const b = join(folder, "longer.json");
    writeFileSync(b, JSON.stringify({ ...drawn, overflowTrench: { ...(site["overflowTrench"] as object), length: "21 m" } }));
    const beside = await run("decide", join(folder, "out", "row-sized.json"), b);
    expect(out).toContain(beside.out.split("\n")[0]);
    // and what is wrong with a variant is said before anything is run
    writeFileSync(path, JSON.stringify({ ...drawn, variants: [{ name: "deep", chamberBank: { floor: "deep" } }, { name: "as it is" }] }));
    expect((await run("decide", path)).err).toContain("variants[1]: expected something that differs");
    writeFileSync(path, JSON.stringify({ ...drawn, variants: [{ name: "deep", chamberBank: { floor: "deep" } }] }));
    expect((await run("decide", path)).err).toContain("variants[0].chamberBank.floor: expected a length");
  });

  test("decide: every study that the file asks for, on one page", async () => {
    const { status, out, written } = await run("decide", file({ sure, often }));
    expect(status).toBe(0);
    // two studies, what the design costs, and the page
    expect(out.trimEnd().split("\n")).toHaveLength(4);
    expect(written).toContain("row-decide.html");
    const page = readFileSync(join(folder, "out", "row-decide.html"), "utf8");
    for (const part of ['id="sure"', 'id="often"', "Before anybody digs"]) expect(page).toContain(part);
  });

  test.each([
    [null, null, "expected studies to make, got none; give the file some, such as \"studies\": { \"sure\": { \"conductivityWithin\": 3 } }"],
    ["often", {}, "The study cannot be made:\n  studies.often: expected a climate or a file of rain, such as { \"climate\": { \"stormsPerYear\": 80, "
      + "\"meanDepth\": \"0.4 in\", \"meanDuration\": \"6 h\" } }, got nothing"],
    ["sure", { sure: { storm: "flood", runs: 2.5 } }, "studies.sure.storm: expected \"cloudburst\", or a storm as in storms, got \"flood\""],
    ["sure", { sure: { storm: "cloudburst", conductivityWithin: 0.3 } }, "sure.conductivityWithin: expected a number of 1 or more and of 1000 or less, got 0.3"],
  ])("only %s with %j says what is wrong, makes no page and ends with 1", async (only, studies, fault) => {
    const { status, err, written } = await run("decide", ...(only === null ? [] : ["--only", only]), file(studies ?? undefined));
    expect(status).toBe(1);
    expect(err).toContain(fault);
    expect(written.filter((name) => name.endsWith(".html"))).toEqual([]);
  });

  test("decide tells the faults of all studies before it makes any", async () => {
    const faulty = { sure: { ...sure, conductivityWithin: 0.3 }, often: { ...often, years: 0 }, sweep: { rainfall: { m5_60: "20 mm" }, durations: ["1 h"] } };
    const { status, err, written } = await run("decide", file(faulty));
    expect([status, written]).toEqual([1, []]);
    for (const where of ["sure.conductivityWithin: ", "often.years: ", "sweep.returnPeriods: "]) expect(err).toContain(`\n  ${where}expected `);
  });

  test("rain too short for return periods has its averages, and a study that fails leaves the others their page", async () => {
    writeFileSync(join(folder, "days.csv"), "interval end,rain [mm]\n2026-03-01 01:00,2.4\n2026-03-01 02:00,5.4\n2026-03-04 03:00,0\n");
    const days = { record: { file: "days.csv" } };
    const short = await run("decide", file({ sure: { ...sure, runs: 20 }, often: days }));
    expect([short.status, short.err]).toEqual([0, ""]);
    expect(short.out).toContain(" of rain is too short for return periods.\n");
    const page = readFileSync(join(folder, "out", "row-decide.html"), "utf8");
    for (const part of ['id="sure"', 'id="often"', "storms in a year in which the emitter lets out water"]) expect(page).toContain(part);

    // a folder in the place of its rows: they cannot be kept
    const rows = join(folder, "out", "row-often.csv");
    rmSync(rows);
    mkdirSync(rows);
    const failing = await run("decide", file({ sure: { ...sure, runs: 20 }, often: days }));
    expect(failing.status).toBe(1);
    expect(failing.err).toContain("row.json: often: ");
    expect(failing.out).toMatch(/^In “cloudburst” the emitter .*\nThe study “often” could not be made; the terminal says why\.\nThe design as drawn costs .*\n.*row-decide\.html\n$/);
    const rest = readFileSync(join(folder, "out", "row-decide.html"), "utf8");
    expect(rest).toContain('id="sure"');
    expect(rest).toContain("The study “often” could not be made");
    const alone = await run("decide", "--only", "often", file({ sure: { ...sure, runs: 20 }, often: days }));
    expect([alone.status, alone.out]).toEqual([1, "The study “often” could not be made; the terminal says why.\n"]);
    expect(alone.err).toContain("none of the studies could be made");
  });

  test("years are read from a recorded storm of the file by its name, and openings of such a storm stand by the clock", async () => {
    writeFileSync(join(folder, "june.csv"), "interval end,rain [mm]\n2026-06-14 16:00,0\n2026-06-14 17:00,70\n2026-06-15 17:00,0\n");
    const storms = [{ name: "June", file: "june.csv" }, { name: "cloudburst", pattern: "block", depth: "40 mm", duration: "1 h" }];
    const path = file({ often: { record: "June" } });
    writeFileSync(path, JSON.stringify({ ...site, storms, studies: { often: { record: "June" } } }));
    const { status, out } = await run("decide", path);
    expect([status, out.split("\n")[0]]).toEqual([0, expect.stringMatching(/^The emitter fires in 1 storm .* of rain is too short for return periods\.$/)]);
    expect((await run(path)).status).toBe(0);
    const page = readFileSync(join(folder, "out", "row.html"), "utf8");
    expect(page).toContain("Hour 0 is 15:00 on 14 June 2026, by the gauge’s own clock, which names no time zone.");
    expect(page).toMatch(/<td>16:\d\d, 14 June 2026<\/td>/);
    writeFileSync(path, JSON.stringify({ ...site, storms, studies: { often: { record: "cloudburst" } } }));
    expect((await run("decide", path)).err).toContain(
      'studies.often.record: expected "June", or a file of rain such as { "file": "gauge.csv" }, got "cloudburst"');
  });

  test("no site file at all is told", async () => {
    expect(await run("decide")).toMatchObject({ status: 1, err: "decide: expected a site file, got none; data/ has some to copy\n" });
  });
});

test("the bar says how far, how fast and how long; off a terminal a line every ten seconds", () => {
  let [time, shown] = [0, ""];
  const bar = progressBar({ out: () => undefined, err: (text) => { shown += text; }, isTerminal: true }, "row.json: sure", () => time);
  bar.tell(200, 1000);
  expect(shown).toBe("");
  time = 4000;
  bar.tell(400, 1000);
  expect(shown).toBe("\rrow.json: sure [##########--------------] 400 of 1000, 50 a second, 12 s left\u001b[K");
  bar.clear();
  expect(shown.endsWith("\r\u001b[K")).toBe(true);
  shown = "";
  const lines = progressBar({ out: () => undefined, err: (text) => { shown += text; } }, "row.json: often", () => time);
  lines.tell(1, 30);
  time += 11_000;
  lines.tell(2, 30);
  expect(shown).toBe("… row.json: often [##----------------------] 2 of 30, 5 a minute, 5 min left\n");
});
