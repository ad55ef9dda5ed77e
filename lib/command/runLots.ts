import { basename, join } from "node:path";
import { parquetParts } from "../node/parquetParts.ts";
import { readStudyFile, studyFile } from "../node/studyFile.ts";
import { UserFault } from "../node/userFault.ts";
import { lotsPage } from "../report/lotsPage.ts";
import { lotsSentences, type LotsTold } from "../report/lotsTold.ts";
import { inflowHydrographs } from "../simulate/inflowHydrographs.ts";
import { LOT_COLUMNS, type LotsStudy, WHAT_IF } from "../study/lotCases.ts";
import { FLOWS_BEFORE, LEDGER_ENTRIES, type LotFlowsStudy } from "../study/lotFlows.ts";
import { type Banded, type LotResult, lotResults, sizedLots } from "../study/lotResults.ts";
import { lotFile } from "../study/lotSite.ts";
import type { Lot } from "../study/lotTable.ts";
import { LOT_YEAR_COLUMNS, lotYearResults, type LotYears, type LotYearsStudy } from "../study/lotYears.ts";
import { oftenPlan } from "../study/oftenCases.ts";
import { rainTold } from "../study/rainTold.ts";
import { LostRows, makeStudy, ShareMade, type StudyOptions } from "../study/runStudy.ts";
import { gutters, type LotFlow, neighbourRises, type StreetPit } from "../study/streets.ts";
import type { Study } from "../study/study.ts";
import { csvCell } from "../text/csvCell.ts";
import { describe } from "../text/describe.ts";
import { nearest } from "../text/nearest.ts";
import { plainText } from "../text/plainText.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { writeTogether } from "./files.ts";
import { openPool, type OpenPool, openStore, quantityOption, shareOption, sharePath, shareSentence, withNote } from "./manyMachines.ts";
import { progressBar } from "./progressBar.ts";
import { type LotsAsked, readLots, type ReadyLots } from "./readLots.ts";
import { runSites } from "./runSites.ts";

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
    const store = await openStore(asked);
    pool = await openPool(asked, console);
    const files = lotPaths(path, folder);
    const how: StudyOptions = { pool, signal, ...(share === undefined ? {} : { share }) };
    const lost = await madeInto(sharePath(files.runs, share), ready.study, how, console, pool, `${path}: runs`);
    const lostYears = ready.years === null ? [] : await madeInto(sharePath(files.years, share), ready.years, how, console, pool, `${path}: years`);
    tellLost(path, ready, { runs: lost, years: lostYears }, console);
    if (share !== undefined) {
      const shares = [files.runs, ...(ready.years === null ? [] : [files.years])];
      for (const each of shares) console.out(`${shareSentence(each, share)}\n${sharePath(each, share)}\n`);
      for (const each of await store(shares.flatMap((path) => withNote(sharePath(path, share))))) console.out(`${each}\n`);
      return lost.length + lostYears.length > 0 ? 1 : 0;
    }
    const told = await lotsTold(path, ready, files, { runs: lost, years: lostYears }, asked, { pool, signal }, console);
    const written = await writeLotFiles(files, ready, told);
    console.out(`${lotsSentences(told).join("\n")}\n`);
    for (const each of [...written, ...(await store(written))]) console.out(`${each}\n`);
    return ready.table.bad > 0 || lost.length + lostYears.length > 0 ? 1 : 0;
  } catch (error) {
    const kept = `${path}: stopped; what was made is kept in ${folder}, and the same command goes on from there`;
    console.err(`${signal.aborted ? kept : faultText(path, error)}\n`);
    return signal.aborted ? 130 : 1;
  } finally {
    await pool?.close();
  }
}

/** Names what could not be made, by the lot that it is of. */
function tellLost(path: string, { table, study: { options }, years }: ReadyLots, lost: LostOfLots, console: Console): void {
  const plan = years === null ? null : oftenPlan(years.options.often);
  const tell = (rows: LostRows["lost"], perLot: number, what: string): void => {
    for (const { row, why } of rows) {
      const lot = JSON.stringify(table.lots[Math.floor(row / perLot)]!.name);
      console.err(`${path}: lot ${lot}: ${what} ${row} could not be made and is left out: ${why}\n`);
    }
  };
  tell(lost.runs, options.storms.length * (options.soils + WHAT_IF.length), "run");
  if (plan !== null) tell(lost.years, plan.records * plan.factors.length, "run of years");
}

type LostOfLots = Readonly<Record<"runs" | "years", LostRows["lost"]>>;

/** The report of one lot: its own site file, and what `soakstep` makes of that. */
async function reportOf(
  name: string,
  path: string,
  { table, pattern, file }: ReadyLots,
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
  const stem = basename(lotPaths(path, folder).page).replace(/-lots\.html$/, "");
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

async function lotsTold(
  path: string,
  ready: ReadyLots,
  files: LotPaths,
  lost: LostOfLots,
  asked: LotsAsked,
  how: { readonly pool: OpenPool; readonly signal: AbortSignal },
  console: Console,
): Promise<LotsTold> {
  const { table, study, site, storm, years } = ready;
  const results = runResults(files.runs, study);
  const rain = years === null ? null : oftenPlan(years.options.often);
  const lostRuns = lost.runs.length + lost.years.length;
  const sized = sizedLots(ready.pattern, study, table.lots, results);
  const lots = results.map((result) => ({ lot: sized.lots[result.lot]!, result }));
  const within =
    asked.neighbours === undefined ? null : quantityOption("--neighbours", asked.neighbours, "length", 'a distance such as "30 m"');
  const streets = await lotStreets(
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
    files: { lots: basename(files.lotsCsv), streets: basename(files.streets) },
    storm: storm.name,
    years: years === null || rain === null ? null : { length: rain.records * rain.years, lots: yearResults(files.years, years) },
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
      ...(rain === null ? [] : rainTold(rain, years?.options.often.rainfall !== undefined).notes),
      ...(lostRuns === 0 ? [] : [`${lostRuns} ${lostRuns === 1 ? "run" : "runs"} could not be made; the terminal names them.`]),
    ],
    ...streets,
  };
}

const LID_BIN = 300;
const SOIL_BIN = 3600;
const RUNS_ON = 72 * 3600;

/** What lots do to gutters and neighbours: only of those that have some. */
async function lotStreets(
  path: string,
  { table, study, site, storm, pattern }: ReadyLots,
  files: LotPaths,
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

/** What a table of lots is made into. */
type LotPaths = Readonly<Record<"runs" | "years" | "flows" | "runsParquet" | "lotsCsv" | "lotsParquet" | "streets" | "page", string>>;

function lotPaths(path: string, folder: string): LotPaths {
  const stem = join(folder, basename(path).replace(/\.(?:csv|tsv|txt|json|geojson)$/i, "") || "lots");
  return {
    runs: `${stem}-runs.csv`,
    years: `${stem}-years.csv`,
    flows: `${stem}-flows.csv`,
    runsParquet: `${stem}-rows.parquet`,
    lotsCsv: `${stem}-lots.csv`,
    lotsParquet: `${stem}-lots.parquet`,
    streets: `${stem}-streets.csv`,
    page: `${stem}-lots.html`,
  };
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
} as const;

/** What years of rain do: a year, and at most in one storm. */
const YEARLY: readonly (readonly [name: string, unit: string, of: (years: LotYears | undefined) => Banded | undefined])[] = [
  ["firingStormsYearly", "", (years) => years?.firingStorms],
  ["spillStormsYearly", "", (years) => years?.spillStorms],
  ["emitterVolumeYearly", "m3", (years) => years?.emitterVolume],
  ["greatestStormOfYears", "m3", (years) => years?.greatestStorm],
  ["wetShare", "", (years) => years?.wet],
];

/** A row a lot: what it is, what happens, the answers with their least and most of all soils, its own values as the table has them. */
function resultColumns({ keys, rises, years }: LotsTold): ResultColumn[] {
  const riseOf = new Map(rises.map(({ lot, rise }) => [lot, rise]));
  const banded = (name: string, unit: string, of: (result: LotResult) => Banded | undefined): ResultColumn[] =>
    (["own", "least", "most"] as const).map((which): ResultColumn => ({
      name: which === "own" ? name : `${name}${which === "least" ? "Least" : "Most"}`,
      unit,
      type: "DOUBLE",
      cell: (_, result) => of(result)?.[which] ?? null,
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
    ...banded("out", "m3", ({ out }) => out),
    ...BANDED.flatMap((name) => banded(name, UNIT_OF[name], ({ answers }) => answers[name])),
    ...(years === null ? [] : YEARLY.flatMap(([name, unit, of]) => banded(name, unit, ({ lot }) => of(years.lots.get(lot))))),
    { name: "stopped", unit: "", type: "INT32", cell: (_, { lot, stopped }) => stopped + (years?.lots.get(lot)?.stopped ?? 0) },
    ...keys.map((key, k): ResultColumn => ({
      name: `given ${key}`,
      unit: "",
      type: "STRING",
      cell: ({ values }) => (values[k] === null ? null : String(values[k])),
    })),
  ];
}

/**
 * Writes what a table of lots comes to.
 *
 * @returns  the paths, in the order in which they are printed
 */
async function writeLotFiles(files: LotPaths, { study }: ReadyLots, told: LotsTold): Promise<string[]> {
  const columns = resultColumns(told);
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
  const lines = told.lots.map((_, i) => cells.map((each) => cellText(each[i]!)).join(","));
  const streets = streetLines(told);
  const hasStreets = streets.length > 1;
  await writeTogether([
    { path: files.lotsCsv, text: `${[heads, ...lines].join("\n")}\n` },
    ...(hasStreets ? [{ path: files.streets, text: `${streets.join("\n")}\n` }] : []),
    { path: files.page, text: lotsPage(told) },
  ]);
  return [files.lotsCsv, ...(hasStreets ? [files.streets] : []), files.lotsParquet, files.runsParquet, files.page];
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
      [name, lots.length, peak, peakTime, volume, difference, ...LEDGER_ENTRIES.map((entry) => ledger[entry])].map(cellText).join(","),
    ),
  ];
}

function cellText(cell: number | string | null): string {
  return cell === null || (typeof cell === "number" && Number.isNaN(cell)) ? "" : csvCell(String(cell));
}

/** Makes a study, or a share of it, into its file; the rows that could not be made, all others being there. */
async function madeInto(
  path: string,
  study: Study,
  how: StudyOptions,
  console: Console,
  pool: OpenPool,
  label: string,
): Promise<LostRows["lost"]> {
  const bar = progressBar(console, () => `${label}${pool.who()}`);
  const onOther = (): void => {
    console.err(`${path}: its rows came from another version of the table, of soakstep or of Node; they are replaced\n`);
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
    if (error instanceof ShareMade) return [];
    if (!(error instanceof LostRows)) throw error;
    return error.lost;
  } finally {
    bar.clear();
  }
}

/** Results from the file of runs, row by row; a lot with a run that is missing counts it as one that could not go on. */
function runResults(path: string, study: LotsStudy): LotResult[] {
  const take = lotResults(study.options.soils);
  const found: LotResult[] = [];
  for (const rows of readStudyFile(path, study, missingRun(study))) for (const result of take(rows)) found.push(result);
  return found;
}

function missingRun({ options: { soils, storms } }: LotsStudy): (row: number) => number[] {
  const states = soils + WHAT_IF.length;
  return (row) => [
    Math.floor(row / (states * storms.length)),
    Math.floor(row / states) % storms.length,
    row % states,
    NaN,
    ...LOT_COLUMNS.slice(4).map(({ name }) => (name === "stopped" ? 1 : NaN)),
  ];
}

/** What years of rain do, by lot, from the file of them; a run that is missing counts as one that could not go on. */
function yearResults(path: string, study: LotYearsStudy): ReadonlyMap<number, LotYears> {
  const { often } = study.options;
  const take = lotYearResults(often);
  const { records, factors } = oftenPlan(often);
  const missing = (row: number): number[] => [
    Math.floor(row / (records * factors.length)),
    ...LOT_YEAR_COLUMNS.slice(1).map(({ name }) => (name === "stopped" ? 1 : NaN)),
  ];
  const found = new Map<number, LotYears>();
  for (const rows of readStudyFile(path, study, missing)) for (const years of take(rows)) found.set(years.lot, years);
  return found;
}
