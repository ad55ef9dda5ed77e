import { basename, join } from "node:path";
import { parquetParts } from "../node/parquetParts.ts";
import { readStudyFile } from "../node/studyFile.ts";
import { lotsPage } from "../report/lotsPage.ts";
import type { LotsTold } from "../report/lotsTold.ts";
import { LOT_COLUMNS } from "../study/lotCases.ts";
import { LEDGER_ENTRIES } from "../study/lotFlows.ts";
import type { Banded, LotResult } from "../study/lotResults.ts";
import type { Lot } from "../study/lotTable.ts";
import type { LotYears } from "../study/lotYears.ts";
import { csvCell } from "../text/csvCell.ts";
import { writeTogether } from "./files.ts";
import { missingRun } from "./lotRuns.ts";
import type { ReadyLots } from "./readLots.ts";

/** What a table of lots is made into. */
export type LotPaths = Readonly<Record<"runs" | "years" | "flows" | "runsParquet" | "lotsCsv" | "lotsParquet" | "streets" | "page", string>>;

export function lotPaths(path: string, folder: string): LotPaths {
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
 * @returns  the paths, in the order in which they are told
 */
export async function writeLotFiles(files: LotPaths, { study }: ReadyLots, told: LotsTold): Promise<string[]> {
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
