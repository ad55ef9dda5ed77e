import { UserFault } from "../node/userFault.ts";
import { readStudyFile } from "../node/studyFile.ts";
import type { LotsTold } from "../report/lotsTold.ts";
import { inflowHydrographs } from "../runoff/inflowHydrographs.ts";
import { FLOWS_BEFORE, LEDGER_ENTRIES, type LotFlowsStudy } from "../study/lotFlows.ts";
import { gutters, neighbourRises, type LotFlow, type StreetPit } from "../study/streets.ts";
import type { Console } from "./console.ts";
import type { LotPaths } from "./lotFiles.ts";
import { madeInto } from "./lotRuns.ts";
import type { OpenPool } from "./manyMachines.ts";
import type { ReadyLots } from "./readLots.ts";

const LID_BIN = 300;
const SOIL_BIN = 3600;
const RUNS_ON = 72 * 3600;

/** What lots do to gutters and neighbours: only of those that have some. */
export async function lotStreets(
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
