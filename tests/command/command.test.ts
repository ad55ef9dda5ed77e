import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { inflateRawSync } from "node:zlib";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeEach, describe, expect, test } from "vitest";
import { command, demoSites } from "../../lib/command/command.ts";
import { greatestOf } from "../../lib/numerics/extremes.ts";
import { readText, writeTogether, writeWhole } from "../../lib/command/files.ts";
import { progress, runSites } from "../../lib/command/runSites.ts";
import { recordedRain } from "../../lib/command/siteRain.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";

const root = mkdtempSync(join(tmpdir(), "soakstep-command-"));
afterAll(() => rmSync(root, { recursive: true }));

/** A small invented site: one storm, no trench. */
const site = {
  name: "Test yard",
  catchments: [{ name: "roof", area: "100 m^2", runoffCoefficient: 0.9, timeOfConcentration: "5 min" }],
  settlingBox: { diameter: "0.6 m", floor: "8.6 m", rim: "10 m", outlet: { diameter: "110 mm", invert: "9.2 m", length: "3 m" } },
  chamberBank: { floor: "7.5 m", length: "3 m", width: "2 m", ground: "10 m", stone: { depth: "1.5 m" } },
  soil: { layers: [{ conductivity: "30 mm/h" }], factorOfSafety: 2 },
  storms: [{ name: "shower", pattern: "block", depth: "10 mm", duration: "1 h" }],
};

let folder = "";
let count = 0;
beforeEach(() => {
  folder = join(root, String(count++));
  mkdirSync(folder);
});

function file(name: string, content: unknown): string {
  const path = join(folder, name);
  writeFileSync(path, typeof content === "string" ? content : JSON.stringify(content));
  return path;
}

async function run(...words: string[]): Promise<{ status: number; out: string; err: string; reports: string[] }> {
  let out = "";
  let err = "";
  const reports = join(folder, "out");
  // a busy machine is told how far it is
  const tell = (text: string): void => { if (!text.startsWith("… ")) err += text; };
  const status = await command(words, reports, { out: (text) => { out += text; }, err: tell });
  const written = existsSync(reports) ? readdirSync(reports).sort() : [];
  return { status, out, err, reports: written };
}

describe("the command", () => {
  test("runs a person's site: a table, a report by the name of the file, its path last", async () => {
    const { status, out, err, reports } = await run(file("yard.json", site));
    expect([status, err, reports]).toEqual([0, "", ["yard.html"]]);
    expect(out).toMatch(/^Test yard\n {2}The pit rises to /);
    expect(out.split("\n").slice(-3)).toEqual(["The whole table of a site: --full, or its page.", join(folder, "out", "yard.html"), ""]);
    const page = readFileSync(join(folder, "out", "yard.html"), "utf8");
    expect(page.length).toBeLessThan(600e3);
    expect(page.endsWith("</html>\n")).toBe(true);
  });

  test("makes the other reports when one site cannot be run, and ends with 1", async () => {
    const wrong = file("wrong.json", { ...site, chamberBank: { ...site.chamberBank, ground: "7 m", width: 2 } });
    const { status, out, err, reports } = await run(wrong, file("right.json", site));
    expect([status, reports]).toEqual([1, ["right.html"]]);
    expect(err).toContain(`${wrong}: The site file cannot be used:`);
    expect(err).toContain("chamberBank.width: expected");
    expect(err).not.toContain("    at ");
    expect(out.trimEnd().split("\n").at(-1)).toBe(join(folder, "out", "right.html"));
  });

  test("tells two files of one name apart, capitals aside", async () => {
    mkdirSync(join(folder, "b"));
    const [first, second] = [file("yard.json", site), file("b/Yard.JSON", site)];
    const { reports, err } = await run(first, second);
    expect(reports).toEqual(["Yard-2.html", "yard.html"]);
    expect(err).toBe(`${second}: its report is ${join(folder, "out", "Yard-2.html")}, as another site file has the same name.\n`);
  });

  test("a storm whose run stops takes no report from the others, and is told on it", async () => {
    const storms = ["first", "second", "third"].map((name) => ({ ...site.storms[0]!, name }));
    const path = file("yard.json", { ...site, storms });
    const stopping = async (which: readonly number[]): Promise<{ status: number; out: string; err: string; written: string[] }> => {
      let [out, err, calls] = ["", "", 0];
      const status = await runSites([path], join(folder, "out"), { out: (text) => { out += text; }, err: (text) => { if (!text.startsWith("… ")) err += text; } }, { isWasm: true, isFull: false }, (made, rain) => {
        // more water than numbers can follow: the run really stops
        const load = which.includes(calls++) ? hydrograph({ time: [0, 3600, 3600, 7200], flow: [1e-3, 1e-3, 1e100, 1e100] }) : rain;
        return simulate(made, load);
      });
      return { status, out, err, written: existsSync(join(folder, "out")) ? readdirSync(join(folder, "out")).sort() : [] };
    };
    const why = "the run stopped at hour 1, 3600 s: the step size vanishes. Levels then: settlingBox ";
    expect(await stopping([0, 1, 2])).toEqual({
      status: 1, out: "", written: [], err: expect.stringMatching(`^${path}: storm "first": ${why}.*What to change: .*\n.*"second": ${why}.*\n.*"third": ${why}.*\n$`) as string,
    });
    const { status, out, err, written } = await stopping([0]);
    expect([status, written]).toEqual([1, ["yard.html"]]);
    expect(err).toMatch(new RegExp(`^${path}: storm "first": ${why}.*\n$`));
    const told = `The storm “first” could not be run to its end and is not among these: ${why}`;
    expect(out.replace(/\s+/g, " ")).toContain(told);
    const page = readFileSync(join(folder, "out", "yard.html"), "utf8");
    expect(page).toContain(`<p class="notice"><strong>${told}`);
    expect(page).toContain("<bdi>third</bdi>");
    expect(page).toContain('data-storm="0" aria-pressed="false"><bdi>first</bdi>');
    expect(page).toContain('data-storm="1" aria-pressed="true"><bdi>second</bdi>');
  });

  test("reads a storm from a file beside the site, whatever the place it is started in", async () => {
    file("rain.json", { name: "rain", source: "invented", hours: [5, 5.5, 6], cumulative_mm: [1, 4, 11] });
    const { status, out, err } = await run(file("yard.json", { ...site, storms: [{ name: "as recorded", file: "rain.json" }] }), "--full");
    expect([status, err]).toEqual([0, ""]);
    expect(out).toMatch(/fallen +10 mm over 1 h/);
  });

  test("tells ten years of rain given as a storm that they are a record, and takes a season", async () => {
    const years = (count: number): object => ({ hours: [0, 1000, count * 8766], cumulative_mm: [0, 20, 600 * count] });
    file("ten.json", years(10));
    const { status, err, reports } = await run(file("yard.json", { ...site, storms: [{ name: "years", file: "ten.json" }] }));
    expect([status, reports]).toEqual([1, []]);
    expect(err).toMatch(/yard\.json: storms\[0\]: expected a storm of 2 years at most, got 10 years of rain, which are a record of many storms; ask how often/);
    file("season.json", years(0.3));
    expect((await run(file("yard.json", { ...site, storms: [{ name: "season", file: "season.json" }] }))).status).toBe(0);
  });

  test("reads a storm from a CSV record beside the site, and tells what became of its lines in table and report", async () => {
    mkdirSync(join(folder, "rain"));
    file("rain/march.csv", "when;fallen\n3/1/2026 1:00;0,4\n3/1/2026 2:00;x\n3/1/2026 3:00;1,6\n3/1/2026 4:00;2\n");
    const storm = { name: "march", file: "rain/march.csv", time: "when", rain: "fallen", unit: "cm", stamp: "end", decimalComma: true, dateOrder: "month/day/year" };
    const { status, out, err } = await run(file("yard.json", { ...site, storms: [...site.storms, { ...storm, interval: "1 h" }] }), "--full");
    expect([status, err]).toEqual([0, ""]);
    expect(out).toMatch(/fallen +10 mm over 1 h +40 mm over 4 h/);
    const notes = ['rain/march.csv: Line 3 is refused: no number (got "x").', "rain/march.csv: One stretch has no line, 1 h in all; no rain is assumed there."];
    expect(out.replace(/\s+/g, " ")).toContain(`march: - Hour 0 is 00:00 on 1 March 2026, by the gauge’s own clock, which names no time zone. - ${notes.join(" - ")} - Once silt has sealed the floors the pit`);
    const march = readFileSync(join(folder, "out", "yard.html"), "utf8").split("<h3>Notes on this run</h3>").at(-1)!;
    expect(march.slice(0, march.indexOf("</ul>")).replaceAll("&#34;", '"').split(/<\/?li>/).filter((part) => part.includes("march.csv"))).toEqual(notes);
  });

  test.each<[string, () => string, RegExp]>([
    ["a file that is not there", () => join(folder, "none.json"), /none\.json: expected a file, got nothing of that name\n$/],
    ["a directory", () => folder, /: expected a file, got a directory\n$/],
    ["text that is no JSON", () => file("text.json", "{ name: 1 }"), /text\.json: The site file cannot be used: one problem\.\n {2}line 1, column 3: expected JSON/],
    ["an empty file", () => file("empty.json", ""), /empty\.json: The site file cannot be used/],
    ["a site without storms", () => file("dry.json", { ...site, storms: [] }),
      /dry\.json: expected storms to run, got none; give it some, such as "storms": \[\{ "name": "wet day", "pattern": "nrcs-ii", "depth": "3 in" \}\]\n$/],
    ["a storm that cannot be made", () => file("odd.json", { ...site, storms: [{ name: "odd", pattern: "block", depth: "10 mm" }] }),
      /odd\.json: The site file cannot be used: one problem\.\n {2}storms\[0\]\.duration: expected a time such as "10 min", "24 h" or "3 day", got nothing\n$/],
    ["a storm whose record leaves something open", () => {
      file("rain.csv", "day,rain [mm]\n2026-03-01,1\n");
      return file("open.json", { ...site, storms: [{ name: "open", file: "rain.csv", time: "day" }] });
    }, /open\.json: The rain cannot be used:\n {2}rain\.csv: header: expected a column "interval start" or "interval end", or the option "stamp": "start" or "end", got "day"\n$/],
    ["a storm from JSON with options of a record", () => {
      file("rain.json", { hours: [0, 1], cumulative_mm: [0, 1] });
      return file("json.json", { ...site, storms: [{ name: "x", file: "rain.json", stamp: "end" }] });
    }, /json\.json: The rain cannot be used:\n {2}rain\.json: stamp: expected no options beside a file of JSON, got "end"\n$/],
  ])("says in words what is wrong with %s", async (_, path, message) => {
    const { status, out, err, reports } = await run(path());
    expect([status, out, reports]).toEqual([1, "", []]);
    expect(err).toMatch(message);
    expect(err).not.toContain("    at ");
  });

  test("says all at once what is wrong with a site and which of its files of rain are not there", async () => {
    mkdirSync(join(folder, "rain"));
    const storms = [{ name: "a", pattern: "nrcs-2", depth: "3 in" }, { name: "b", file: "none.json" }, { name: "c", file: "rain" }, { name: "d", file: "none.csv" }];
    const wrong = { ...site, chamberBank: { ...site.chamberBank, width: "8" } };
    const lost = ['"none.json", nothing of that name', '"rain", a directory', '"none.csv", nothing of that name'].map(
      (got, i) => `  storms[${i + 1}].file: expected a file of rain, which is looked for beside the site file, got ${got}\n`);
    const path = file("wrong.json", { ...wrong, storms });
    expect((await run(path)).err).toBe([
      `${path}: The site file cannot be used: 5 problems.\n`,
      '  chamberBank.width: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "8", without a unit\n',
      '  storms[0].pattern: expected one of "block", "nrcs-i", "nrcs-ia", "nrcs-ii", "nrcs-iii", "alternating-block", "keifer-chu", '
        + '"euler-2", "nested", "uk-summer", "uk-winter", "huff-1", "huff-2", "huff-3", "huff-4", "triangular", "mass-curve", got "nrcs-2"\n',
      ...lost,
    ].join(""));
    const alone = file("alone.json", { ...site, storms: [...site.storms, ...storms.slice(1)] });
    expect((await run(alone)).err).toBe([`${alone}: The site file cannot be used: 3 problems.\n`, ...lost].join(""));
  });

  test("reads for a site file only what lies in its folder or below, whatever leads elsewhere, unless it may", async () => {
    const rain = { hours: [0, 1], cumulative_mm: [0, 10] };
    const outside = file("outside.json", rain);
    mkdirSync(join(folder, "town", "rain"), { recursive: true });
    file("town/rain/own.json", rain);
    symlinkSync(outside, join(folder, "town", "link.json"));
    symlinkSync(folder, join(folder, "town", "folder"));
    // a folder whose name only begins as the site's does
    mkdirSync(join(folder, "town2"));
    file("town2/near.json", rain);
    const names = ["../outside.json", outside, "link.json", "folder/outside.json", "../town2/near.json", "/dev/zero"];
    const storms = [...names, "rain/own.json", "..none.json"].map((name) => ({ name, file: name }));
    const path = file("town/yard.json", { ...site, storms });
    const expected = "expected a file in the folder of the file that names it, or below, or the option --allow-outside";
    expect((await run(path)).err).toBe([
      `${path}: The site file cannot be used: 7 problems.\n`, ...names.map((name, i) => `  storms[${i}].file: ${expected}, got ${JSON.stringify(name)}, outside\n`),
      '  storms[7].file: expected a file of rain, which is looked for beside the site file, got "..none.json", nothing of that name\n',
    ].join(""));
    const allowed = file("town/yard.json", { ...site, storms: storms.slice(0, 5) });
    const { status, err } = await run("--allow-outside", allowed);
    expect([status, err]).toEqual([0, ""]);
    const day = file("town/day.json", { file: "../outside.csv", date: "2026-06-14" });
    expect((await run("day", file("town/yard.json", site), day)).err).toContain(`${day}: file: ${expected}, got "../outside.csv", outside\n`);
    const dips = file("town/dips.json", { file: "../dips.csv" });
    expect((await run("measured", file("town/yard.json", site), dips)).err).toContain(`${dips}: file: ${expected}, got "../dips.csv", outside\n`);
    const often = file("town/yard.json", { ...site, studies: { often: { record: { file: "../outside.csv" } }, rainfall: { file: "../town.csv" } } });
    expect((await run("decide", often)).err).toContain(`studies.rainfall.file: ${expected}, got "../town.csv", outside\n`);
    const record = file("town/yard.json", { ...site, studies: { often: { record: { file: "../outside.csv" } } } });
    expect((await run("decide", record)).err).toContain(`../outside.csv: file: ${expected}, got "../outside.csv", outside\n`);
  });

  test("says all at once what is wrong in the files of rain", async () => {
    file("a.json", { hours: [0, 1, 1], cumulative_mm: [0, 1, 2] });
    file("b.csv", "interval end,rain\n2026-03-01 01:00,2\n");
    file("c.json", "[1, 2] 3");
    const path = file("yard.json", { ...site, storms: ["a.json", "b.csv", "c.json"].map((name) => ({ name, file: name })) });
    expect(await run(path)).toMatchObject({ status: 1, out: "", reports: [], err: [
      `${path}: The rain cannot be used:`,
      "  a.json: hours[2]: expected more than 1, got 1",
      '  b.csv: header: expected a unit of depth, as in rain [mm], or the option "unit": "mm", got "rain"',
      '  c.json: line 1, column 8: expected JSON: nothing after the last closing bracket, got "3"',
      "",
    ].join("\n") });
  });

  test("says by the clock whether a lid should have run on a day", async () => {
    const emitter = { crest: "9.5 m", diameter: "0.1 m", opensAtHead: "10 mm", closesAtHead: "3 mm" };
    const overflowTrench = {
      floor: "8.9 m", length: "6 m", width: "0.5 m", ground: "10 m", stone: { depth: "0.6 m" },
      pipe: { insideDiameter: "100 mm", outsideDiameter: "110 mm", bedding: "50 mm" }, inlet: { diameter: "110 mm", invert: "9 m", length: "1 m" },
    };
    const yard = file("yard.json", { ...site, overflowTrench, emitter });
    file("gauge.csv", "Gauge of a garden\ninterval start,rain [mm]\n2026-06-14 16:00,45\n2026-06-14 17:00,45\n2026-06-14 18:00,0\n");
    const { status, out, err, reports } = await run("day", yard, file("day.json", { file: "gauge.csv", date: "2026-06-14" }));
    expect([status, err, reports]).toEqual([0, "", ["yard-day.html"]]);
    expect(out).toMatch(/^The lid should have run on 14 June 2026: it opens at 1[678]:\d\d and lets out [\d.]+ m³\.\n/);
    const page = readFileSync(join(folder, "out", "yard-day.html"), "utf8");
    for (const words of ["the gauge’s own clock, which names no time zone", "gauge.csv: One line before the header was passed over."]) expect(page).toContain(words);
    const gauge = await run("day", yard, join(folder, "gauge.csv"), "2026-06-14");
    expect([gauge.status, gauge.out]).toEqual([status, out]);
    expect((await run("day", yard, "day.json", "2026-06-14")).err).toContain("or a gauge's CSV and a date, got");
    expect(await run("day", yard)).toMatchObject({ status: 1, err: expect.stringContaining("day: expected a site file and a file of what is known of the day") as string });
    const lost = await run("day", yard, file("other.json", { file: "gauge.csv", date: "2026-06-01" }));
    expect(lost.err).toContain('day.date: expected a day of the record, 2026-06-14 to 2026-06-14, got "2026-06-01"');
  });

  test.each([["--help"], ["-h"], ["help"]])("explains itself with %s", async (word) => {
    const { status, out, err } = await run(word);
    expect([status, err]).toEqual([0, ""]);
    expect(out).toContain("soakstep decide <site.json>");
  });

  test("says which version it is and what its stepper runs as", async () => {
    const { version } = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8")) as { version: string };
    expect(await run("--version")).toMatchObject({ status: 0, out: `soakstep ${version}, stepper in WebAssembly\n`, err: "", reports: [] });
  });

  test("writes pages that need no WebAssembly where it is asked to", async () => {
    const path = file("yard.json", site);
    // the four bytes that every module begins with, in base64, in the program that the page has packed
    const carriesModule = (): boolean => {
      const [, packed] = /id="program">([^<]*)</.exec(readFileSync(join(folder, "out", "yard.html"), "utf8"))!;
      return inflateRawSync(Buffer.from(packed!, "base64")).includes("AGFzbQ");
    };
    await run(path);
    expect(carriesModule()).toBe(true);
    await run(path, "--no-wasm");
    expect(carriesModule()).toBe(false);
  });

  test.each([
    [["--fast"], 'command line: expected an option of --help, --version, --no-wasm, --full, --plain, --allow-outside, --only, --language, --units, --site, --map, --storm, --soils, --within, --neighbours, --size, --years, --lot, --keep, --share, --queue, --row-limit, --store, --threads, --csv, --studies, got "--fast"'],
    [["--ful", "yard.json"], 'command line: expected a known option (did you mean "--full"?), got "--ful"'],
    [["--full=yes"], 'command line: expected --full alone, got "--full=yes"'],
    [["deside", "yard.json"], 'command line: expected a site file, or a known word (did you mean "decide"?), got "deside"'],
    [["yard"], 'command line: expected a site file, or one of help, decide, sheets, measured, day, new, check, lots, merge, rows, work, lesson, got "yard"'],
    [["size", "yard.json"], 'command line: expected "decide --only size", as it is called now, got "size"'],
    [["failed", "yard.json", "dips.json"], 'command line: expected "measured", as it is called now, got "failed"'],
    [["decide", "yard.json", "--only"], '--only: expected studies such as "size,sweep,sure,often", got nothing'],
    [["decide", "yard.json", "--only", "size,swep"], '--only: expected a known study (did you mean "sweep"?), got "swep"'],
    [["yard.json", "--only", "size"], 'command line: expected --only behind "decide", got it without that'],
    [["decide", "yard.json", "--full"], 'command line: expected --full with site files alone, got it behind "decide"'],
    [["day", "yard.json", "day.json", "--only", "sure"], 'command line: expected --only behind "decide", got it behind "day"'],
  ])("refuses %j and says what it takes instead", async (words, problem) => {
    expect(await run(...words)).toMatchObject({ status: 1, out: "", err: `${problem}\n`, reports: [] });
  });

  test("gives six lines a site at most, and the whole table where it is asked to", async () => {
    const [lane, ...others] = await demoSites();
    const { out } = await run(lane!, ...others);
    const sites = out.split("\n\n").slice(0, -1);
    expect(sites).toHaveLength(others.length + 1);
    for (const site of sites) {
      expect(site.split("\n").length).toBeLessThanOrEqual(6);
      expect(greatestOf(site.split("\n").map((line) => line.length))).toBeLessThanOrEqual(100);
    }
    const full = await run(lane!, "--full");
    expect(full.out).toContain("Where it went, of all together");
    expect(full.out.startsWith(sites[0]!.split("\n").slice(0, 4).join("\n"))).toBe(true);
  });

  test("tells by what is in the file whether works were filled or fail", async () => {
    const [lane, filled] = ["copperbeech-lane.json", "copperbeech-fill-test.json"].map((name) => fileURLToPath(new URL(`../../data/${name}`, import.meta.url))) as [string, string];
    const test = JSON.parse(readFileSync(filled, "utf8")) as { dips: readonly { time: string; depth: string }[]; inflow: object };
    const kind = (): string | undefined => /id="(fill-test|failed)-name"/.exec(readFileSync(join(folder, "out", "copperbeech-lane-measured.html"), "utf8"))?.[1];
    expect(await run("measured", lane, filled)).toMatchObject({ status: 0, err: "", reports: ["copperbeech-lane-measured.html"] });
    expect(kind()).toBe("fill-test");
    // the dips change what the design says in its own storms: about two and a half times as long to empty, with a band
    const page = readFileSync(join(folder, "out", "copperbeech-lane-measured.html"), "utf8").replace(/<[^>]+>/g, " ").replace(/\s+/g, " ");
    expect(page).toMatch(/What it changes in the design .* 1-hour cloudburst .* empty after 35 h 8\d h 8\d h to 8\d h/);
    const table = file("dips.csv", `time,depth\n${test.dips.map(({ time, depth }) => `${time},${depth}`).join("\n")}\n`);
    expect(await run("measured", lane, table)).toMatchObject({ status: 0, err: "" });
    expect(kind()).toBe("fill-test");
    const dips = [{ time: "1 h", depth: "48 in" }, { time: "6 h", depth: "45 in" }, { time: "24 h", depth: "37 in" }];
    const storm = { pattern: "block", depth: "1.8 in", duration: "1 h" };
    expect(await run("measured", lane, file("wet.json", { storm, timesFrom: "end", dips }))).toMatchObject({ status: 0, err: "" });
    expect(kind()).toBe("failed");
    const both = file("both.json", { storm, inflow: test.inflow, dips });
    expect(await run("measured", lane, both)).toMatchObject({ status: 1, err: `${both}: What was read cannot be used:\n  measured: expected `
      + "a fill test (inflow, groundwaterLevel, suspects) or works that fail (storm, hose, timesFrom, began, ended, seen, loadError), got both: inflow, storm\n" });
    expect(await run("measured")).toMatchObject({ status: 1, err: "measured: expected a site file and a file of what was read, got nothing\n" });
    expect(await run("measured", lane)).toMatchObject({ status: 1, err: "measured: expected a file of what was read beside copperbeech-lane.json, or days in that (asBuilt, diary), got neither\n" });
  });

  test("keeps what was built and read in the site file, all else as it was, and shows the life of the pit", async () => {
    const place = fileURLToPath(new URL("../../data/copperbeech-lane.json", import.meta.url));
    const written = readFileSync(place, "utf8");
    const lane = file("lane.json", written);
    file("ash-creek-1973.json", readFileSync(fileURLToPath(new URL("../../data/ash-creek-1973.json", import.meta.url)), "utf8"));
    const dips = JSON.parse(readFileSync(fileURLToPath(new URL("../../data/copperbeech-fill-test.json", import.meta.url)), "utf8")) as object;
    const built = file("built.json", { asBuilt: { date: "2026-05-02", about: "by staff", chamberBank: { length: "15 ft" } } });
    expect(await run("measured", lane, built, "--keep")).toMatchObject({ status: 0, err: "" });
    const undated = file("undated.json", dips);
    expect((await run("measured", lane, undated, "--keep")).err).toContain('date: expected the day it was read, such as "2026-05-02"');
    const filled = file("filled.json", { ...dips, date: "2026-06-01", note: "first fill" });
    expect(await run("measured", lane, filled, "--keep")).toMatchObject({ status: 0, err: "" });
    expect(await run("measured", lane, filled, "--keep")).toMatchObject({ status: 1, err: `${filled}: is kept already, as diary[0] of the site's file\n` });
    const kept = readFileSync(lane, "utf8");
    // all that stood there stands there still, byte for byte
    const end = written.trimEnd().replace(/\s*\}$/, "");
    expect(kept.startsWith(end)).toBe(true);
    const { asBuilt, diary } = JSON.parse(kept) as { asBuilt: object[]; diary: { date: string; note: string }[] };
    expect([asBuilt.length, diary.map(({ date, note }) => [date, note])]).toEqual([1, [["2026-06-01", "first fill"]]]);
    const life = await run("measured", lane);
    expect(life).toMatchObject({ status: 0, err: "" });
    expect(life.out).toMatch(/^By the measurement of 2026-06-01: After “.*” the pit is .* The drawing promised /);
    const page = readFileSync(join(folder, "out", "lane-measured.html"), "utf8");
    for (const words of ["The life of the pit", "Found as built: chamberBank (by staff).", "First fill."]) expect(page).toContain(words);
  });

  test("takes a file's name before a command's", async () => {
    const place = process.cwd();
    process.chdir(folder);
    try {
      file("help", site);
      expect(await run("help")).toMatchObject({ status: 0, reports: ["help.html"] });
    } finally {
      process.chdir(place);
    }
  });

  test("knows the demo sites from the rain and the schema beside them", async () => {
    const data = fileURLToPath(new URL("../../data/", import.meta.url));
    const sites = readdirSync(data).filter((name) => name.endsWith(".json") && "chamberBank" in (JSON.parse(readFileSync(data + name, "utf8")) as object));
    expect((await demoSites()).map((path) => path.split(/[\\/]/).at(-1))).toEqual(sites.sort());
    expect(sites.length).toBeGreaterThanOrEqual(3);
  });
});

describe("a file", () => {
  test("is written whole or not at all", async () => {
    const path = file("page.html", "before");
    await writeWhole(path, "after");
    expect(await readText(path)).toBe("after");
    mkdirSync(join(folder, "taken"));
    await expect(writeWhole(join(folder, "taken"), "text")).rejects.toThrow(/taken: expected a place to write the report, got /);
    await expect(writeWhole(join(path, "under.html"), "text")).rejects.toThrow("got a path that runs through a file");
    expect(readdirSync(folder).sort()).toEqual(["page.html", "taken"]);
  });

  test("and with those that belong to it: where one cannot take its place, none does", async () => {
    const path = file("page.html", "before");
    mkdirSync(join(folder, "taken"));
    const [fresh, taken] = [join(folder, "fresh.html"), join(folder, "taken")];
    const texts = [path, fresh, taken].map((each) => ({ path: each, text: "after" }));
    await expect(writeTogether(texts)).rejects.toThrow(`${taken}: expected a place to write the report, got a directory`);
    expect(readdirSync(folder).sort()).toEqual(["page.html", "taken"]);
    expect(await readText(path)).toBe("before");
    await writeTogether(texts.slice(0, 2));
    expect([await readText(path), await readText(fresh)]).toEqual(["after", "after"]);
    expect(readdirSync(folder).sort()).toEqual(["fresh.html", "page.html", "taken"]);
  });
});

describe("recorded rain", () => {
  test("begins at its first hour, in inches or millimetres", () => {
    const inches = recordedRain({ hours: [10, 11, 12.5], cumulative_in: [0.5, 0.5, 1.5] });
    expect([Array.from(inches.time), Array.from(inches.depth)]).toEqual([[0, 3600, 9000], [0, 0.0254]]);
    expect(recordedRain({ hours: [0, 1], cumulative_mm: [0, 12] }).depth[0]).toBeCloseTo(0.012, 15);
  });

  test.each<[string, unknown, string]>([
    ["no lists", {}, "hours: expected a list of rising hours, got nothing\n  cumulative_in: expected either cumulative_in or cumulative_mm, got neither"],
    ["lists of two lengths", { hours: [0, 1, 2], cumulative_in: [0, 1] }, "hours: expected two or more, and as many as cumulative_in, got 3 hours and 2 depths"],
    ["hours that stand still", { hours: [0, 1, 1], cumulative_in: [0, 1, 2] }, "hours[2]: expected more than 1, got 1"],
    ["depths that fall", { hours: [0, 1, 2], cumulative_mm: [0, 3, 2] }, "cumulative_mm[2]: expected 3 or more, got 2"],
    ["text for a number", { hours: [0, "1"], cumulative_mm: [0, 3] }, 'hours[1]: expected a number, got "1"'],
    ["a list at the top", [1, 2], "hours: expected a list of rising hours, got nothing"],
  ])("with %s is refused in words", (_, content, message) => {
    expect(() => recordedRain(content)).toThrow(`The rain cannot be used:\n  ${message}`);
  });
});

describe("progress", () => {
  test("is silent for a second and then tells, a line a second", () => {
    let time = 0;
    let err = "";
    const tell = progress({ out: () => undefined, err: (text) => { err += text; } }, () => time);
    for (const [at, what] of [[0, "a"], [900, "b"], [1100, "c"], [1500, "d"], [2200, "e"]] as const) {
      time = at;
      tell(what);
    }
    expect(err).toBe("… c\n… e\n");
  });
});
