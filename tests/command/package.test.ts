import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { besideFile } from "../../lib/command/beside.ts";
import { checkPackage, isPage } from "../../lib/command/runCheck.ts";
import { packageOf } from "../../lib/command/packageFile.ts";
import { changed, demo } from "../site/siteFiles.ts";

const path = fileURLToPath(new URL("../../data/hazelbank-lower-bench.json", import.meta.url));
const shortFolder = mkdtempSync(`${tmpdir()}/soakstep-package-short-`);
let [page, whole] = ["", ""];

beforeAll(async () => {
  whole = await packageOf(path, besideFile(path, false), "2026-11-29");
  // what is checked again and again is a site of one storm of an hour
  const { storms, ...rest } = demo("hazelbank-lower-bench") as { readonly storms: readonly object[] };
  const short = `${shortFolder}/site.json`;
  writeFileSync(short, JSON.stringify({ ...rest, storms: storms.slice(1) }, null, 2));
  page = await packageOf(short, besideFile(short, false), "2026-11-29");
}, 120_000);
afterAll(() => { rmSync(shortFolder, { recursive: true }); });

describe("a package", () => {
  test("carries the site file as it was written, and holds when it is run again", async () => {
    expect(isPage(whole)).toBe(true);
    const data = JSON.parse(/id="package">([\s\S]*?)<\/script>/.exec(whole)![1]!) as { readonly site: string };
    expect(data.site).toBe(readFileSync(path, "utf8"));
    const attached = /href="data:application\/json;base64,([^"]*)"/.exec(whole)![1]!;
    expect(Buffer.from(attached, "base64").toString("utf8")).toBe(data.site);
    const check = await checkPackage("p.html", whole);
    expect(check.lines.join("\n")).toMatch(/^p\.html: every figure holds \(\d+\), and all else on the page is what the file inside makes/);
    expect(check.holds).toBe(true);
  });

  test("that a browser saved, with other space between its tags, holds too", async () => {
    expect((await checkPackage("p.html", page.replace(/<\/tr>/g, "</tr>\n  ").replace(/<\/p>/g, " </p>"))).holds).toBe(true);
  });

  test.each([
    ["a style that hides", (made: string) => made.replace("</style>", " b{display:none}</style>"), "b{display:none}"],
    ["a style of its own", (made: string) => made.replace("</head>", "<style>h2{display:none}</style></head>"), "<style>h2{display:none}</style>"],
    ["a script", (made: string) => made.replace("</body>", "<script>document.title = 1</script></body>"), "<script>document.title"],
    ["a script that is called data", (made: string) => made.replace("</body>", '<script id="package">1</script></body>'), "<script id="],
    ["a style in what a browser takes for no comment", (made: string) => made.replace("</body>", "<!--><style>b{}</style><!-- --></body>"), "<style>b{}</style>"],
    ["a word hidden", (made: string) => made.replace("<b>", "<b hidden>"), "<b hidden="],
    ["a line of a drawing moved", (made: string) => made.replace(/<(line|path|rect|polygon|polyline|circle|text) ([^>]*?)="[\d.]/, '<$1 $2="7777'), "7777"],
  ])("altered by %s is caught, whatever its words", async (_, alter, got) => {
    const altered = alter(page);
    expect(altered).not.toBe(page);
    const { holds, lines } = await checkPackage("p.html", altered);
    expect(holds).toBe(false);
    expect(lines[0]).toContain("the page is not what the file inside makes");
    expect(lines[1]!.slice(lines[1]!.indexOf("got "))).toContain(JSON.stringify(got).slice(1, -1));
  });

  test("says which site file is inside, by the hash that its first sheet has", async () => {
    const hash = /[0-9a-f]{64}/.exec(page)![0];
    expect((await checkPackage("p.html", page)).lines.at(-1)).toBe(`  The site file inside, SHA-256: ${hash}`);
  });

  test("altered by one digit on the page is caught, with the place", async () => {
    const at = /<td>(\d+\.\d+)\u00a0m<\/td>/.exec(page)!;
    const digit = at[1]!.at(-1) === "9" ? "8" : "9";
    const wrong = `${page.slice(0, at.index)}<td>${at[1]!.slice(0, -1)}${digit}\u00a0m</td>${page.slice(at.index + at[0].length)}`;
    const { holds, lines } = await checkPackage("p.html", wrong);
    expect(holds).toBe(false);
    expect(lines[0]).toContain("the page is not what the file inside makes");
    expect(lines[1]).toContain(`got "${at[1]!.slice(0, -1)}${digit}"`);
  });

  test("altered by one digit of the site file inside is caught, with the figures that moved", async () => {
    const wrong = page.replace('\\"floor\\": \\"17.', '\\"floor\\": \\"16.');
    const moved = wrong === page ? page.replace(/(\\"porosity\\": 0\.)\d/, "$13") : wrong;
    expect(moved).not.toBe(page);
    const { holds, lines } = await checkPackage("p.html", moved);
    expect(holds).toBe(false);
    expect(lines.join("\n")).toMatch(/figures are not what the file inside gives[\s\S]*in the package, now/);
  });

  test("altered by one digit of a carried figure is caught", async () => {
    const { holds, lines } = await checkPackage("p.html", page.replace(/("name":"dig","unit":"m3","value":"\d+\.)(\d)/, (_, head: string, digit: string) => `${head}${(Number(digit) + 1) % 10}`));
    expect(holds).toBe(false);
    expect(lines[1]).toMatch(/^ {2}dig: .* in the package, now .*, by /);
  });

  test("of another version says so, and holds where its figures do", async () => {
    const older = page.replaceAll(/"version":"[^"]*"/g, '"version":"0.0.9"');
    const { holds, lines } = await checkPackage("p.html", older);
    expect(holds).toBe(true);
    expect(lines[0]).toContain("made by soakstep 0.0.9");
  });

  test("of another version whose figures moved says which, and by how much", async () => {
    const [, dug] = /"name":"dig","unit":"m3","value":"([^"]*)"/.exec(page)!;
    const older = page.replaceAll(/"version":"[^"]*"/g, '"version":"0.0.9"').replace(`"name":"dig","unit":"m3","value":"${dug!}"`, `"name":"dig","unit":"m3","value":"${Number(dug) - 2}"`);
    const { holds, lines } = await checkPackage("p.html", older);
    expect(holds).toBe(false);
    expect(lines[0]).toMatch(/^p\.html: 1 of \d+ figures moved \(made by soakstep 0\.0\.9/);
    expect(lines.slice(1)).toEqual([`  dig: ${Number(dug) - 2} m3 in the package, now ${dug!} m3, by 2 m3`]);
  });

  test("is refused, with what was expected, if it is not one", async () => {
    expect(isPage(' { "name": "x" }')).toBe(false);
    await expect(checkPackage("p.html", "<p>no</p>")).rejects.toThrow("p.html: expected a package that soakstep sheets review made, got a page without one");
    await expect(checkPackage("p.html", '<script id="package">{"site":1}</script>')).rejects.toThrow(/^p\.html: The package cannot be read:\n {2}site: expected the text of a site file, got 1/);
  });
});

describe("a package with studies", () => {
  const folder = mkdtempSync(`${tmpdir()}/soakstep-package-test-`);
  let studied = "";
  beforeAll(async () => {
    copyFileSync(fileURLToPath(new URL("../../data/ash-creek-1973.json", import.meta.url)), `${folder}/wet-year.json`);
    const asked = { sure: { runs: 24, conductivityWithin: 3, moments: 9 }, often: { record: { file: "wet-year.json" } } };
    const site = changed(changed(demo("linden-row"), "studies", asked), "storms", [{ name: "wet day", pattern: "block", depth: "46 mm", duration: "1 h" }]);
    writeFileSync(`${folder}/site.json`, JSON.stringify(site));
    studied = await packageOf(`${folder}/site.json`, besideFile(`${folder}/site.json`, false), "2026-11-29");
  }, 120_000);
  afterAll(() => { rmSync(folder, { recursive: true }); });

  test("carries the files that studies name, and echoes what they were asked, seeds included", () => {
    const { files } = JSON.parse(/id="package">([\s\S]*?)<\/script>/.exec(studied)![1]!) as { readonly files: object };
    expect(Object.keys(files)).toEqual(["wet-year.json"]);
    const text = studied.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ");
    expect(text).toContain("studies.sure.runs 24 file, source not given");
    expect(text).toContain("studies.sure.seed 1 assumed (default)");
    expect(text).toContain("studies.often.record.file wet-year.json file, source not given");
  });

  test("says whence a record is, what its words mean, what the survey cannot tell, and that studies need a word of their own", () => {
    const text = studied.replace(/<[^>]*>/g, " ").replace(/&#\d+;/g, "'").replace(/\s+/g, " ");
    expect(text).toContain("wet-year.json Ash Creek at Highland Road, Dallas, Texas, 3 June 1973. U.S. Geological Survey rainfall record, station 08057320");
    expect(text).toMatch(/surroundings\.works\.pit\.at 24\.5 m, 17\.5 m file \(a\) .*\(a\) “Measured from the south-west corner of the garden/);
    // a letter has one meaning: the roughness of a pipe is m, its losses k, an edge U
    for (const word of ["n, m, k share of voids", "edition of 2016", "Cd = 0.59", "From memory: the work named was not at hand"]) expect(text).toContain(word);
    expect(text).toMatch(/Floors sealed by silt ?, “.*?”, which asks most: With .*?the pit rises to/);
    expect(text.indexOf("Floors sealed by silt")).toBeLessThan(text.indexOf("Plan and section"));
    expect(text).toContain("still holds, those of the studies only with --studies");
    for (const word of ["last full the last moment", "half empty from last full", "empty from last full", "l the length over which the head H - G is lost"]) expect(text).toContain(word);
    expect(text).not.toMatch(/prices\.dig\.from/);
    expect(text).toContain("Prices enter no figure of this package");
    expect(text).toMatch(/Plan and section.*weep hole, ⌀ 6 mm, under the outlet lid 62\.\d+ m/);
    expect(text).toContain("a test hole in the soil of the works (");
    expect(text).not.toMatch(/another test hole|at its highest/);
  });

  test("is read with its studies as they are, and with them made again", async () => {
    const quick = await checkPackage("p.html", studied);
    const [, left] = /, (\d+) figures and all that is said of them: --studies computes them again\.$/.exec(quick.lines[1]!)!;
    const whole = await checkPackage("p.html", studied, {});
    const counted = (line: string): number => Number(/every figure holds \((\d+)\)/.exec(line)![1]);
    expect([quick.holds, whole.holds]).toEqual([true, true]);
    expect(counted(whole.lines[0]!) - counted(quick.lines[0]!)).toBe(Number(left));
    expect(Number(left)).toBeGreaterThan(60);
  });

  test("altered by one digit of a study's figure is caught on the page by itself, on the page and inside by making it again", async () => {
    const share = /(share of cases in which the emitter opens<\/th>\s*<td><\/td>\s*<td>)(\d)/;
    const onPage = studied.replace(share, (_, head: string, digit: string) => `${head}${9 - Number(digit)}`);
    expect(onPage).not.toBe(studied);
    expect((await checkPackage("p.html", onPage)).holds).toBe(false);
    const both = onPage.replace(/("name":"sure: share of cases in which the emitter opens","unit":"","value":")(\d)/, (_, head: string, digit: string) => `${head}${9 - Number(digit)}`);
    const { holds, lines } = await checkPackage("p.html", both, {});
    expect(holds).toBe(false);
    expect(lines[1]).toMatch(/^ {2}sure: share of cases in which the emitter opens: .* in the package, now .*, by /);
  });
});

describe("a package of Copperbeech Lane", () => {
  const lane = fileURLToPath(new URL("../../data/copperbeech-lane.json", import.meta.url));
  const folder = mkdtempSync(`${tmpdir()}/soakstep-package-lane-`);
  let text = "";
  beforeAll(async () => {
    const { sure: _sure, often, sweep: _sweep, ...studies } = demo("copperbeech-lane")["studies"] as Readonly<Record<string, object>>;
    const { climate } = often as { readonly climate: object };
    copyFileSync(fileURLToPath(new URL("../../data/ash-creek-1973.json", import.meta.url)), `${folder}/ash-creek-1973.json`);
    const file = changed(demo("copperbeech-lane"), "studies", { ...studies, often: { climate, years: 1 } });
    writeFileSync(`${folder}/site.json`, JSON.stringify(file));
    text = (await packageOf(`${folder}/site.json`, besideFile(`${folder}/site.json`, false), "2026-11-29"))
      .replace(/<[^>]*>/g, " ").replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).replace(/\s+/g, " ");
    expect(readFileSync(lane, "utf8")).toContain("85");
  }, 120_000);
  afterAll(() => { rmSync(folder, { recursive: true }); });

  test("gives one verdict on water over the trench's low ground, at 96.3 ft: on its first page, with each storm and beside what is asked", () => {
    const first = text.slice(text.indexOf("Answers"), text.indexOf("The reviewer"));
    const [, level, over] = /The trench stands at (\S+) ft at most, (\S+) in over the low end of its ground: the run, which takes the cover as high as the ground at mid length, lets nothing out there, but expect a wet patch\./.exec(first)!;
    expect(Math.abs((Number(level) - 96.3) * 12 - Number(over))).toBeLessThan(0.12);
    expect(first).toMatch(/Met with a wet patch: nothing comes out over a rim or the ground in “100 year, 1 h, block”/);
    expect(text).toMatch(/nothing comes out over a rim or the ground in “100 year, 1 h, block” 0 gal; the trench at 96\.\d\d ft, .*? met, with a wet patch/);
    expect(text).toMatch(/ground over the trench 96\.30 ft 96\.\d\d ft reached at hour \S+ 0 gal, a wet patch/);
  });

  test("says in which pattern it was judged and which is advised, the same wherever it says so", () => {
    const said = [...text.matchAll(/Criteria are judged in the storms that the file asks for, of the pattern “block” \(a block where it names none\)\. The pattern to try here is “nested”/g)];
    expect(said).toHaveLength(2);
  });

  test("flags a margin under the survey's error: two levels of 6 mm each, 0.33 in apart", () => {
    expect(text).toContain("0.09 in below, less than the survey can tell (0.33 in)");
    expect(text).not.toMatch(/20\.\d+ in below, less/);
  });

  test("has one rain of a year, that of its climate: 85 storms of 0.45 in; and says where water comes out with the lid iced shut", () => {
    expect(text).toMatch(/rain of a year 38\.25 in: its own climate: storms a year times their mean depth/);
    expect(text).toMatch(/and the lid iced shut .*? 0 gal \d+ gal, ground over the pit/);
  });
});
