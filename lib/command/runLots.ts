import { basename, join } from "node:path";
import { UserFault } from "../node/userFault.ts";
import { lotsSentences, type LotsTold } from "../report/lotsTold.ts";
import { WHAT_IF } from "../study/lotCases.ts";
import { lotFile } from "../study/lotSite.ts";
import { oftenPlan } from "../study/oftenCases.ts";
import { rainTold } from "../study/rainTold.ts";
import type { LostRows, StudyOptions } from "../study/runStudy.ts";
import { sizedLots } from "../study/lotResults.ts";
import { describe } from "../text/describe.ts";
import { nearest } from "../text/nearest.ts";
import { plainText } from "../text/plainText.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { writeTogether } from "./files.ts";
import { lotPaths, writeLotFiles, type LotPaths } from "./lotFiles.ts";
import { madeInto, runResults, yearResults } from "./lotRuns.ts";
import { openPool, openStore, quantityOption, shareOption, sharePath, shareSentence, withNote, type OpenPool } from "./manyMachines.ts";
import { readLots, type LotsAsked, type ReadyLots } from "./readLots.ts";
import { runSites } from "./runSites.ts";
import { readStudyFile } from "../node/studyFile.ts";
import { inflowHydrographs } from "../simulate/inflowHydrographs.ts";
import { FLOWS_BEFORE, LEDGER_ENTRIES, type LotFlowsStudy } from "../study/lotFlows.ts";
import { gutters, neighbourRises, type LotFlow, type StreetPit } from "../study/streets.ts";

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
