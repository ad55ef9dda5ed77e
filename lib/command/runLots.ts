import { basename, join } from "node:path";
import { parquetParts } from "../node/parquetParts.ts";
import { readStudyFile, studyFile } from "../node/studyFile.ts";
import { UserFault } from "../node/userFault.ts";
import { decidesSentence, lotsPage, lotsSentence, testFirst, type LotsTold } from "../report/lotsPage.ts";
import { plainText } from "../text/plainText.ts";
import { parseJson } from "../schema/parseJson.ts";
import type { Site } from "../site/site.ts";
import { inflowHydrographs } from "../runoff/inflowHydrographs.ts";
import { LOT_COLUMNS, type LotsStudy } from "../study/lotCases.ts";
import { FLOWS_BEFORE, LEDGER_ENTRIES, type LotFlowsStudy } from "../study/lotFlows.ts";
import { lotResults, type LotResult } from "../study/lotResults.ts";
import { LOT_WORDS, lotFile, lotPattern, type LotPattern } from "../study/lotSite.ts";
import { lotTable, type Lot, type LotTable } from "../study/lotTable.ts";
import { gutters, neighbourRises, type Gutter, type LotFlow, type NeighbourRise, type StreetPit } from "../study/streets.ts";
import { LostRows, makeStudy, ShareMade, type StudyOptions } from "../study/runStudy.ts";
import { nearest } from "../text/nearest.ts";
import { describe } from "../text/describe.ts";
import { flowText } from "../text/format.ts";
import { heightText } from "../text/words.ts";
import { momentText } from "../text/hours.ts";
import { InputError } from "../text/problem.ts";
import { besideFile } from "./beside.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText, writeTogether } from "./files.ts";
import { openPool, quantityOption, shareOption, sharePath, shareSentence, type ManyOptions, type OpenPool } from "./manyMachines.ts";
import { progressBar } from "./progressBar.ts";
import { siteRain, type StormRain } from "./siteRain.ts";
import { siteTable } from "./runStudies.ts";
import { sizeOptionsOf } from "./studies.ts";
import { runSites } from "./runSites.ts";
import { sizedLots } from "../study/sizedLots.ts";
import { siteFileWithRain } from "./siteWithRain.ts";

/** What `soakstep lots` is told beside its table. */
export interface LotsAsked extends ManyOptions {
  readonly stop: () => AbortSignal;
  readonly allowOutside: boolean;
  readonly site?: string | undefined;
  readonly map?: string | undefined;
  readonly storm?: string | undefined;
  readonly soils?: string | undefined;
  readonly within?: string | undefined;
  readonly neighbours?: string | undefined;
  /** sizes the works of every lot by the pattern's study of sizes */
  readonly size?: boolean | undefined;
  /** makes the whole report of one lot */
  readonly lot?: string | undefined;
}

/**
 * Runs a table of lots, each the works of a pattern with its own values, in one storm and several soils: sentences to the terminal, a row a
 * lot as CSV and Parquet, every run as Parquet in numbered parts, a page. Rows that cannot be run are said with row and column, and
 * the others run. Stopped, it goes on from there.
 *
 * @param words  the table: CSV or GeoJSON
 * @returns      the exit status: 1 where a row or a run could not be made, 130 when it was stopped
 */
export async function runLots(words: readonly string[], folder: string, console: Console, asked: LotsAsked): Promise<number> {
  const [path, ...rest] = words;
  if (path === undefined || rest.length > 0 || asked.site === undefined) {
    console.err(
      `lots: expected a table of lots and a pattern site, soakstep lots table.csv --site pattern.json, got ${words.length === 0 ? "nothing" : words.map(describe).join(", ")}${asked.site === undefined ? " and no --site" : ""}\n`,
    );
    return 1;
  }
  const signal = asked.stop();
  let pool: OpenPool | null = null;
  try {
    const share = shareOption(asked.share);
    const ready = await readLots(path, asked);
    for (const { where, expected, got } of ready.table.problems) console.err(`${path}: ${where}: expected ${expected}, got ${got}\n`);
    if (ready.table.unused.length > 0)
      console.err(
        `${path}: columns that stand for nothing here, and were left: ${ready.table.unused.map((head) => plainText(head, 40)).join(", ")}\n`,
      );
    for (const note of ready.table.notes) console.err(`${path}: ${note}\n`);
    if (ready.table.lots.length === 0)
      throw new UserFault(`${path}: expected a lot that can be run, got none in ${ready.table.bad} rows`);
    if (asked.lot !== undefined) return await reportOf(asked.lot, path, ready, folder, console, asked);
    pool = await openPool(asked, console);
    const files = pathsOf(path, folder);
    const how: StudyOptions = { pool, signal, ...(share === undefined ? {} : { share }) };
    const lost = await madeInto(sharePath(files.runs, share), ready.study, how, console, pool, `${path}: runs`);
    const told = await lotsTold(path, ready, files, lost, asked, { pool, signal }, console);
    await writeResults(files, ready, told);
    console.out(`${sentences(told).join("\n")}\n`);
    for (const each of [files.lotsCsv, files.lotsParquet, files.runsParquet, files.page]) console.out(`${each}\n`);
    return ready.table.bad > 0 || lost.length > 0 ? 1 : 0;
  } catch (error) {
    const share = error instanceof ShareMade ? shareOption(asked.share) : undefined;
    if (share !== undefined) {
      const { runs } = pathsOf(path, folder);
      console.out(`${shareSentence(runs, share)}\n${sharePath(runs, share)}\n`);
      return 0;
    }
    const kept = `${path}: stopped; what was made is kept in ${folder}, and the same command goes on from there`;
    console.err(`${signal.aborted ? kept : faultText(path, error)}\n`);
    return signal.aborted ? 130 : 1;
  } finally {
    await pool?.close();
  }
}

/** The report of one lot: its own site file, and what `soakstep` makes of that. */
async function reportOf(
  name: string,
  path: string,
  { table, pattern, file }: Ready,
  folder: string,
  console: Console,
  { allowOutside }: LotsAsked,
): Promise<number> {
  const lot = table.lots.find((each) => each.name === name);
  if (lot === undefined) {
    const meant = nearest(
      name,
      table.lots.map((each) => each.name),
    );
    throw new UserFault(
      `--lot: expected a lot of ${path} that can be run${meant === null ? "" : ` (did you mean ${JSON.stringify(meant)}?)`}, got ${describe(name)}`,
      "unknown",
    );
  }
  const stem = basename(pathsOf(path, folder).page).replace(/-lots\.html$/, "");
  const own = join(
    folder,
    `${stem}-${
      name
        .toLowerCase()
        .replaceAll(/[^\p{L}\p{N}]+/gu, "-")
        .replaceAll(/^-|-$/g, "") || String(lot.row)
    }.json`,
  );
  await writeTogether([{ path: own, text: `${JSON.stringify(lotFile(file, pattern, table.keys, lot.values, lot.name), null, 2)}\n` }]);
  return runSites([own], folder, console, { isWasm: true, isFull: false, allowOutside });
}

interface Ready {
  /** the pattern's file as it is */
  readonly file: Readonly<Record<string, unknown>>;
  readonly pattern: LotPattern;
  /** as its file has it, with name, storms and units */
  readonly site: Site;
  readonly table: LotTable;
  readonly storm: { readonly name: string } & StormRain;
  readonly study: LotsStudy;
}

async function readLots(path: string, asked: LotsAsked): Promise<Ready> {
  const patternPath = asked.site!;
  const beside = besideFile(patternPath, asked.allowOutside);
  const { site, file } = await inFile(patternPath, () => siteFileWithRain(patternPath, beside));
  const names = site.storms.map(({ name }) => JSON.stringify(name)).join(", ");
  const choice = asked.storm === undefined ? site.storms[0] : site.storms.find(({ name }) => name === asked.storm);
  if (choice === undefined) {
    throw new UserFault(
      asked.storm === undefined
        ? `${patternPath}: storms: expected a storm to run the lots in, got none`
        : `--storm: expected a storm of ${patternPath}: ${names || "which has none"}, got ${describe(asked.storm)}`,
    );
  }
  const [rain] = await inFile(patternPath, () => siteRain([choice], beside));
  const soils = whole(
    "--soils",
    asked.soils,
    9,
    (n) => n >= 1 && n <= 999 && n % 2 === 1,
    "an odd whole number from 1 to 999, so that the middle one is the lot's own",
  );
  const conductivityWithin = whole("--within", asked.within, 3, (n) => n >= 1 && n <= 1000, "a factor from 1 to 1000", false);
  const map = asked.map === undefined ? {} : await readMapFile(asked.map);
  const pattern = await inFile(patternPath, () => Promise.resolve(lotPattern(file)));
  const text = await readText(path);
  const table = lotTable(text, pattern, map);
  const size =
    asked.size === true ? await inFile(patternPath, async () => sizeOptionsOf(await siteTable(site, beside), beside)) : undefined;
  const strange = size === undefined ? [] : Object.keys(size.steps).filter((key) => !(LOT_WORDS as readonly string[]).includes(key));
  if (strange.length > 0) {
    const expected = "steps of chambers, pitWidth, stoneBase and trenchLength alone";
    throw new UserFault(`${patternPath}: studies.size.steps: expected ${expected} for lots, got ${strange.join(", ")}`);
  }
  const options = {
    storms: [{ name: choice.name, rain: rain!.rain }],
    soils,
    conductivityWithin: soils === 1 ? 1 : conductivityWithin,
    ...(size === undefined ? {} : { size }),
  };
  return {
    file: file as Readonly<Record<string, unknown>>,
    pattern,
    site,
    table,
    storm: { name: choice.name, ...rain! },
    study: { kind: "lots", file: pattern.file, keys: table.keys, values: table.lots.map(({ values }) => values), options },
  };
}

async function readMapFile(path: string): Promise<unknown> {
  const problems: { where: string; expected: string; got: string }[] = [];
  const map = parseJson(await readText(path), problems);
  if (problems.length > 0) throw new UserFault(`${path}: ${new InputError("The map of the table cannot be used:", problems).message}`);
  return map;
}

/** A fault of a file is said with its name. */
async function inFile<Result>(path: string, work: () => Promise<Result>): Promise<Result> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof InputError) throw new UserFault(`${path}: ${error.message}`);
    throw error;
  }
}

function whole(
  option: string,
  text: string | undefined,
  missing: number,
  fits: (n: number) => boolean,
  expected: string,
  isWhole = true,
): number {
  if (text === undefined) return missing;
  const value = Number(text);
  if (text.trim() === "" || !Number.isFinite(value) || (isWhole && !Number.isInteger(value)) || !fits(value))
    throw new UserFault(`${option}: expected ${expected}, got ${describe(text)}`);
  return value;
}

/** What a table of lots is made into. */
function pathsOf(
  path: string,
  folder: string,
): Readonly<Record<"runs" | "flows" | "runsParquet" | "lotsCsv" | "lotsParquet" | "streets" | "page", string>> {
  const stem = join(folder, basename(path).replace(/\.(?:csv|tsv|txt|json|geojson)$/i, "") || "lots");
  return {
    runs: `${stem}-runs.csv`,
    flows: `${stem}-flows.csv`,
    runsParquet: `${stem}-rows.parquet`,
    lotsCsv: `${stem}-lots.csv`,
    lotsParquet: `${stem}-lots.parquet`,
    streets: `${stem}-streets.csv`,
    page: `${stem}-lots.html`,
  };
}

/** Makes a study into its file; the rows that could not be made, all others being there. */
async function madeInto(
  path: string,
  study: LotsStudy | LotFlowsStudy,
  how: StudyOptions,
  console: Console,
  pool: OpenPool,
  label: string,
): Promise<LostRows["lost"]> {
  const bar = progressBar(console, () => `${label}${pool.who()}`);
  const onOther = (): void => {
    console.err(`${path}: its rows were those of the table before a change of it, of soakstep or of Node, and make place for new ones\n`);
  };
  try {
    await makeStudy(
      study,
      {
        ...how,
        store: (each) => studyFile(path, each, { onOther }),
        onRows: (_, made, count) => {
          bar.tell(made, count);
        },
      },
      () => undefined,
    );
    return [];
  } catch (error) {
    if (!(error instanceof LostRows)) throw error;
    return error.lost;
  } finally {
    bar.clear();
  }
}

async function lotsTold(
  path: string,
  ready: Ready,
  files: ReturnType<typeof pathsOf>,
  lost: LostRows["lost"],
  asked: LotsAsked,
  how: { readonly pool: OpenPool; readonly signal: AbortSignal },
  console: Console,
): Promise<LotsTold> {
  const { table, study, site, storm } = ready;
  const results = resultsOf(files.runs, study);
  const perLot = study.options.storms.length * (study.options.soils + 2);
  for (const { row, why } of lost)
    console.err(
      `${path}: lot ${JSON.stringify(table.lots[Math.floor(row / perLot)]!.name)}: run ${row} could not be made and is left out: ${why}\n`,
    );
  const sized = sizedLots(ready.pattern, study, table.lots, results);
  const lots = results.map((result) => ({ lot: sized.lots[result.lot]!, result }));
  const within =
    asked.neighbours === undefined ? null : quantityOption("--neighbours", asked.neighbours, "length", 'a distance such as "30 m"');
  const streets = await streetsOf(
    path,
    { ...ready, table: { ...table, keys: sized.keys, lots: sized.lots } },
    files,
    within,
    how,
    console,
  );
  return {
    table: basename(path),
    patternPath: asked.site!,
    pattern: site,
    storm: storm.name,
    keys: sized.keys,
    sized: sized.steps,
    soils: study.options.soils,
    conductivityWithin: study.options.conductivityWithin,
    lots,
    within,
    problems: table.problems,
    bad: table.bad,
    notes: [
      ...table.notes,
      ...storm.notes,
      ...(lost.length === 0 ? [] : [`${lost.length} runs could not be made; the terminal names them.`]),
    ],
    ...streets,
  };
}

/** Results from the file of runs, row by row; a lot with a run that is missing counts it as one that could not go on. */
function resultsOf(path: string, study: LotsStudy): LotResult[] {
  const take = lotResults(study.options.soils);
  const found: LotResult[] = [];
  for (const rows of readStudyFile(path, study, missingRun(study))) for (const result of take(rows)) found.push(result);
  return found;
}

function missingRun({ options: { soils, storms } }: LotsStudy): (row: number) => number[] {
  const states = soils + 2;
  return (row) => [
    Math.floor(row / (states * storms.length)),
    Math.floor(row / states) % storms.length,
    row % states,
    NaN,
    ...LOT_COLUMNS.slice(4).map(({ name }) => (name === "stopped" ? 1 : NaN)),
  ];
}

const LID_BIN = 300;
const SOIL_BIN = 3600;
const RUNS_ON = 72 * 3600;

/** What lots do to gutters and neighbours: only of those that have some. */
async function streetsOf(
  path: string,
  { table, study, site, storm, pattern }: Ready,
  files: ReturnType<typeof pathsOf>,
  within: number | null,
  { pool, signal }: { readonly pool: OpenPool; readonly signal: AbortSignal },
  console: Console,
): Promise<Pick<LotsTold, "gutters" | "rises" | "soaked">> {
  if (within !== null) {
    if (pattern.site.groundwater.mounding === null)
      throw new UserFault(
        '--neighbours: expected a pattern with "groundwater": { "mounding": … }, the aquifer in which mounds rise, got none',
      );
    if (table.lots.every(({ place }) => place === null))
      throw new UserFault("--neighbours: expected a table with places: columns x and y, longitude and latitude, or GeoJSON, got none");
  }
  const isOfStreet = table.lots.map(({ runsTo, place }) => runsTo !== null || (within !== null && place !== null));
  const members = table.lots.flatMap((_, i) => (isOfStreet[i] ? [i] : []));
  if (members.length === 0) return { gutters: [], rises: [], soaked: { ledgers: 0, mounds: 0 } };
  const end = Object.values(inflowHydrographs(site, storm.rain)).reduce((last, { time }) => Math.max(last, time.at(-1) ?? 0), 0);
  const soilBins = Math.ceil((end + RUNS_ON) / SOIL_BIN);
  const until = soilBins * SOIL_BIN;
  const lidBins = until / LID_BIN;
  const flowStudy: LotFlowsStudy = {
    kind: "lotFlows",
    file: study.file,
    keys: table.keys,
    values: members.map((i) => table.lots[i]!.values),
    options: { rain: storm.rain, until, lidBins, soilBins },
  };
  const lost = await madeInto(files.flows, flowStudy, { pool, signal }, console, pool, `${path}: flows`);
  for (const { row, why } of lost)
    console.err(`${path}: lot ${JSON.stringify(table.lots[members[row]!]!.name)}: its flow could not be made and is left out: ${why}\n`);
  const flows: LotFlow[] = [];
  const width = FLOWS_BEFORE + lidBins + soilBins;
  for (const { from, values } of readStudyFile(files.flows, flowStudy, (row) => [
    row,
    ...new Array<number>(LEDGER_ENTRIES.length).fill(NaN),
    1,
    ...new Array<number>(lidBins + soilBins).fill(NaN),
  ])) {
    for (let at = 0; at < values.length; at += width)
      flows.push({ lot: members[from + at / width]!, values: values.slice(at, at + width) });
  }
  const pits =
    within === null
      ? []
      : flows
          .filter(({ values }) => values[FLOWS_BEFORE - 1] === 0)
          .flatMap(({ lot, values }): StreetPit[] => {
            const { place, pit } = table.lots[lot]!;
            return place === null || pit.mound === null
              ? []
              : [{ lot, x: place.x, y: place.y, pit: pit.mound, soaked: values.subarray(FLOWS_BEFORE + lidBins) }];
          });
  const rises = within === null ? [] : neighbourRises(pits, { until, within });
  const near = new Set(rises.map(({ lot }) => lot));
  const seepage = 1 + LEDGER_ENTRIES.indexOf("bankSeepage");
  const ledgers = flows.filter(({ lot }) => near.has(lot)).reduce((sum, { values }) => sum + values[seepage]!, 0);
  const mounds = pits
    .filter(({ lot }) => near.has(lot))
    .reduce((sum, { soaked }) => sum + Array.from(soaked).reduce((all, each) => all + each, 0), 0);
  return { gutters: gutters(flows, (lot) => table.lots[lot]!.runsTo, { until, lidBins }), rises, soaked: { ledgers, mounds } };
}

function sentences(told: LotsTold): string[] {
  const { units } = told.pattern;
  const first = testFirst(told);
  const busiest = told.gutters.reduce<Gutter | null>((most, each) => (most === null || each.peak > most.peak ? each : most), null);
  const most = told.rises.reduce<NeighbourRise | null>((best, each) => (best === null || each.rise > best.rise ? each : best), null);
  const nameOf = (lot: number): string => told.lots.find(({ result }) => result.lot === lot)?.lot.name ?? String(lot);
  return [
    lotsSentence(told),
    ...[decidesSentence(told)].filter((each) => each !== null),
    ...(first.length === 0
      ? []
      : [
          `Test the soil first on ${first.length}: ${first
            .slice(0, 5)
            .map(({ lot }) => plainText(lot.name, 40))
            .join(", ")}${first.length > 5 ? ", …" : ""}.`,
        ]),
    ...(busiest === null || busiest.peakTime === null
      ? []
      : [`The lids send “${plainText(busiest.name, 40)}” at most ${flowText(busiest.peak, units)}, ${momentText(busiest.peakTime)}.`]),
    ...(most === null
      ? []
      : [`Neighbours' mounds lift the water table under “${plainText(nameOf(most.lot), 40)}” by ${heightText(most.rise, units)}.`]),
    ...(told.bad === 0 ? [] : [`${told.bad} ${told.bad === 1 ? "row was" : "rows were"} not run; what is wrong with them stands above.`]),
  ];
}

/** A column of the table of results: its name, its unit, and its cell for a lot. */
interface ResultColumn {
  readonly name: string;
  readonly unit: string;
  readonly type: "DOUBLE" | "INT32" | "STRING";
  readonly cell: (lot: Lot, result: LotResult, told: LotsTold) => number | string | null;
}

const BANDED = ["pitPeak", "boxHeadroom", "emitterVolume", "openTime", "spilled", "half", "empty"] as const;
const UNIT_OF = {
  pitPeak: "m",
  boxHeadroom: "m",
  emitterVolume: "m3",
  openTime: "s",
  spilled: "m3",
  half: "s",
  empty: "s",
  out: "m3",
} as const;

/** A row a lot: what it is, what happens, the answers with their least and most of all soils, its own values as the table has them. */
function resultColumns(keys: readonly string[], rises: readonly NeighbourRise[]): ResultColumn[] {
  const riseOf = new Map(rises.map(({ lot, rise }) => [lot, rise]));
  const banded = (name: keyof typeof UNIT_OF, of: (result: LotResult) => LotResult["out"]): ResultColumn[] =>
    (["own", "least", "most"] as const).map((which): ResultColumn => ({
      name: which === "own" ? name : `${name}${which === "least" ? "Least" : "Most"}`,
      unit: UNIT_OF[name],
      type: "DOUBLE",
      cell: (_, result) => of(result)[which],
    }));
  return [
    { name: "lot", unit: "", type: "STRING", cell: ({ name }) => name },
    { name: "number", unit: "", type: "INT32", cell: (_, { lot }) => lot },
    { name: "row", unit: "", type: "INT32", cell: ({ row }) => row },
    { name: "x", unit: "m", type: "DOUBLE", cell: ({ place }) => place?.x ?? null },
    { name: "y", unit: "m", type: "DOUBLE", cell: ({ place }) => place?.y ?? null },
    { name: "storm", unit: "", type: "STRING", cell: (_lot, _result, { storm }) => storm },
    { name: "state", unit: "", type: "STRING", cell: (_, { state }) => state },
    {
      name: "sized",
      unit: "",
      type: "STRING",
      cell: (_lot, { design }, { sized }) => (sized === 0 ? null : design === null ? "no size will do" : "yes"),
    },
    { name: "decides", unit: "", type: "STRING", cell: (_, { decides }) => decides },
    { name: "keeps", unit: "", type: "DOUBLE", cell: (_, { keeps, decides }) => (decides === null ? null : keeps) },
    { name: "holdsShare", unit: "", type: "DOUBLE", cell: (_, { holds }) => holds },
    { name: "spillsNotShare", unit: "", type: "DOUBLE", cell: (_, { spillsNot }) => spillsNot },
    { name: "testTells", unit: "", type: "DOUBLE", cell: (_, { testTells }) => testTells },
    { name: "tested", unit: "", type: "STRING", cell: ({ tested }) => (tested === null ? null : tested ? "yes" : "no") },
    { name: "runsTo", unit: "", type: "STRING", cell: ({ runsTo }) => runsTo },
    { name: "neighbourRise", unit: "m", type: "DOUBLE", cell: (_, { lot }) => riseOf.get(lot) ?? null },
    ...banded("out", ({ out }) => out),
    ...BANDED.flatMap((name) => banded(name, ({ answers }) => answers[name])),
    { name: "stopped", unit: "", type: "INT32", cell: (_, { stopped }) => stopped },
    ...keys.map((key, k): ResultColumn => ({
      name: `given ${key}`,
      unit: "",
      type: "STRING",
      cell: ({ values }) => (values[k] === null ? null : String(values[k])),
    })),
  ];
}

async function writeResults(files: ReturnType<typeof pathsOf>, { study }: Ready, told: LotsTold): Promise<void> {
  const columns = resultColumns(told.keys, told.rises);
  const cells = columns.map(({ cell }) => told.lots.map(({ lot, result }) => cell(lot, result, told)));
  const lots = parquetParts(
    files.lotsParquet,
    columns.map(({ name, type }) => ({ name, type })),
  );
  lots.add(cells);
  lots.finish();
  const runs = parquetParts(
    files.runsParquet,
    LOT_COLUMNS.map(({ name }) => ({ name, type: ["lot", "storm", "state", "stopped"].includes(name) ? "INT32" : "DOUBLE" })),
  );
  const width = LOT_COLUMNS.length;
  for (const { values } of readStudyFile(files.runs, study, missingRun(study))) {
    runs.add(LOT_COLUMNS.map((_, c) => Float64Array.from({ length: values.length / width }, (_row, r) => values[r * width + c]!)));
  }
  runs.finish();
  const heads = columns.map(({ name, unit }) => csvCell(unit === "" ? name : `${name} [${unit}]`)).join(",");
  const lines = told.lots.map((_, i) => cells.map((each) => csvCell(each[i]!)).join(","));
  const streets = streetLines(told);
  await writeTogether([
    { path: files.lotsCsv, text: `${[heads, ...lines].join("\n")}\n` },
    ...(streets.length > 1 ? [{ path: files.streets, text: `${streets.join("\n")}\n` }] : []),
    { path: files.page, text: lotsPage(told) },
  ]);
}

/** A row a gutter or low spot. */
function streetLines({ gutters: all }: LotsTold): string[] {
  return [
    [
      "runsTo",
      "lots",
      "peak [m3/s]",
      "peakTime [s]",
      "volume [m3]",
      "difference [m3]",
      ...LEDGER_ENTRIES.map((entry) => `${entry} [m3]`),
    ].join(","),
    ...all.map(({ name, lots, peak, peakTime, volume, difference, ledger }) =>
      [name, lots.length, peak, peakTime, volume, difference, ...LEDGER_ENTRIES.map((entry) => ledger[entry])].map(csvCell).join(","),
    ),
  ];
}

function csvCell(cell: number | string | null): string {
  if (cell === null || (typeof cell === "number" && Number.isNaN(cell))) return "";
  const text = String(cell);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
