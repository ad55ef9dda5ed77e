import { csvCells, separatorOf } from "../rain/record/csvCells.ts";
import { unitInBrackets } from "../rain/record/unitInBrackets.ts";
import { describe } from "../text/describe.ts";
import { nearest } from "../text/nearest.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { LOT_WORDS, changesOf, lotSite, type LotPattern } from "./lotSite.ts";
import { onePlane, type LotPlace, type PlaceFault, type WrittenGeometry } from "./lotPlaces.ts";
import type { MoundPit } from "../ground/mound/moundPit.ts";
import type { Site } from "../site/site.ts";
import { moundPitOf } from "./streets.ts";

/** One lot of a table: what its row changes in the pattern, and what is said of it beside the works. */
export interface Lot {
  readonly name: string;
  /** the line of the CSV file, its heads being line 1, or the number of the feature, from 1 */
  readonly row: number;
  /** one for each of the table's `keys`: text, number, or null for what the pattern says */
  readonly values: readonly LotValue[];
  /** [m] on one plane, x to the east and y to the north; null where the table says nothing of places */
  readonly place: LotPlace | null;
  /** the gutter or low spot that the water of its lid runs to; null where the table does not say */
  readonly runsTo: string | null;
  /** whether the soil of this very lot was tested; null where the table does not say */
  readonly tested: boolean | null;
  /** its pit, as the table has it */
  readonly pit: LotPit;
}

/** What of a lot's pit is printed and drawn: levels [m], and what its mound is made of; null where the file says nothing of the aquifer. */
export interface LotPit {
  readonly floor: number;
  readonly ground: number;
  readonly mound: MoundPit | null;
}

/** The pit of a lot's site. */
export function lotPit(site: Site): LotPit {
  return { floor: site.chamberBank.floor, ground: site.chamberBank.ground, mound: moundPitOf(site) };
}

export type LotValue = string | number | null;

/** A table of lots, read and held against the reader of site files. */
export interface LotTable {
  /** site-file keys such as `chamberBank.length`, or words of `LOT_WORDS` */
  readonly keys: readonly string[];
  /** rows that can be run */
  readonly lots: readonly Lot[];
  /** what is wrong with the others: `where` names row and column */
  readonly problems: readonly Problem[];
  /** rows that cannot be run */
  readonly bad: number;
  /** heads of columns that stand for nothing here */
  readonly unused: readonly string[];
  /** what was taken for granted, in sentences */
  readonly notes: readonly string[];
}

/** What a column of a table stands for, as a map file writes it. */
export type WrittenColumn =
  | string
  | {
      /** a key of the site file, or a word such as "roofArea" */
      readonly key: string;
      /** of bare numbers in the column */
      readonly unit?: string;
      /** what words in the column stand for: `{ "clay": "0.1 in/hr" }` */
      readonly values?: Readonly<Record<string, string | number>>;
    };

/** From the heads of a table to what its columns stand for. */
export type WrittenMap = Readonly<Record<string, WrittenColumn>>;

/** What a head stands for. */
interface LotColumn {
  readonly head: string;
  readonly key: string;
  readonly unit: string | null;
  readonly values: Readonly<Record<string, string | number>> | null;
}

interface WrittenRow {
  readonly row: number;
  readonly cells: ReadonlyMap<string, unknown>;
  readonly geometry: WrittenGeometry | null;
}

/**
 * Reads a table of lots: CSV, its first line the heads, or GeoJSON (RFC 7946), a feature a lot. A column stands for a key of the site file
 * (`chamberBank.length`, `soil.layers[0].conductivity`, `catchments[*].timeOfConcentration`) or one of `LOT_WORDS`, by its own head or by
 * the map. Bare numbers take the unit in the head's brackets, `roofArea [m^2]`, or the map's. An empty cell is what the pattern says.
 *
 * @param text     of the table
 * @param pattern  the site that each row varies, as `lotPattern` makes it
 * @param map      what heads stand for that are neither
 * @returns        the rows that can be run, and every problem of the others with its row and column
 * @throws InputError  for what is wrong with the table as a whole, or with the map
 */
export function lotTable(text: string, pattern: LotPattern, map: unknown = {}): LotTable {
  const isJson = /^\s*\{/.test(text);
  const written = isJson ? geoJsonRows(text) : csvRows(text);
  const { columns, unused } = columnsFor(written.heads, readMap(map, written.heads), pattern);
  const keys = columns.map(({ key }) => key).filter((key) => !SAID.has(key));
  const { places, notes } = onePlane(written.rows.map(({ geometry, cells }) => geometry ?? pointOf(columns, cells)));
  const problems: Problem[] = [];
  const seen = new Map<string, number>();
  let bad = 0;
  const lots = written.rows.flatMap((row, i): Lot[] => {
    const found: Problem[] = [];
    const lot = lotOf(row, columns, pattern, places[i]!, isJson, found);
    const before = seen.get(lot.name);
    if (before !== undefined)
      found.push({
        where: placeOf(row.row, lot.name, isJson, headOf(columns, "lot")),
        expected: "a name that no other lot has",
        got: `that of ${isJson ? "feature" : "row"} ${before}`,
        code: "conflict",
      });
    seen.set(lot.name, before ?? row.row);
    for (const problem of found) problems.push(problem);
    if (found.length > 0) bad++;
    return found.length > 0 ? [] : [lot];
  });
  return { keys, lots, problems, bad, unused, notes };
}

/** Words that say something of a lot beside its works. */
const SAID: ReadonlySet<string> = new Set(["lot", "x", "y", "longitude", "latitude", "runsTo", "tested"]);

function lotOf(
  { row, cells }: WrittenRow,
  columns: readonly LotColumn[],
  pattern: LotPattern,
  place: LotPlace | PlaceFault | null,
  isJson: boolean,
  found: Problem[],
): Lot {
  const said = (key: string): string => cellText(cells.get(headOf(columns, key) ?? ""));
  const name = said("lot") === "" ? `${isJson ? "feature" : "row"} ${row}` : said("lot");
  const where = (head: string | null): string => placeOf(row, name, isJson, head);
  const refuse = (head: string | null, problem: Omit<Problem, "where">): void => {
    found.push({ where: where(head), ...problem });
  };
  const values = columns
    .filter(({ key }) => !SAID.has(key))
    .map((column): LotValue => {
      const value = valueOf(column, cells.get(column.head));
      if (typeof value === "object" && value !== null) {
        refuse(column.head, value);
        return null;
      }
      return value;
    });
  if (place !== null && "fault" in place) refuse(place.head, place.fault);
  const tested = yesOrNo(said("tested"));
  if (typeof tested === "object" && tested !== null) refuse(headOf(columns, "tested"), tested);
  const site = checkedSite(name, values, columns, pattern, refuse);
  return {
    name,
    row,
    values,
    pit: lotPit(site ?? pattern.site),
    place: place === null || "fault" in place ? null : place,
    runsTo: said("runsTo") === "" ? null : said("runsTo"),
    tested: typeof tested === "object" ? null : tested,
  };
}

/** The lot's works, held against the reader of site files; null where they cannot be, each problem at the column that it comes from. */
function checkedSite(
  name: string,
  values: readonly LotValue[],
  columns: readonly LotColumn[],
  pattern: LotPattern,
  refuse: (head: string | null, problem: Omit<Problem, "where">) => void,
): Site | null {
  const keys = columns.map(({ key }) => key).filter((key) => !SAID.has(key));
  try {
    return lotSite(pattern, keys, values, name);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const { from } = changesOf(pattern, keys, values);
    const said = new Set<string>();
    for (const { where, expected, got, code } of error.problems) {
      const key =
        from.find(({ path }) => where === path || where.startsWith(`${path}.`) || where.startsWith(`${path}[`))?.key ??
        keys.find((each) => each === where);
      const head = columns.find((column) => column.key === key)?.head ?? null;
      const problem = { expected: head === null ? `${where}: ${expected}` : expected, got, code };
      // one cell may stand at several places of the file
      const words = JSON.stringify([head, problem]);
      if (!said.has(words)) refuse(head, problem);
      said.add(words);
    }
    return null;
  }
}

function placeOf(row: number, name: string, isJson: boolean, head: string | null): string {
  const kind = isJson ? "feature" : "row";
  const lot = name === `${kind} ${row}` ? "" : ` (lot ${JSON.stringify(name)})`;
  return `${kind} ${row}${lot}${head === null ? "" : `, column ${JSON.stringify(head)}`}`;
}

function headOf(columns: readonly LotColumn[], key: string): string | null {
  return columns.find((column) => column.key === key)?.head ?? null;
}

/** The cell as the site file would have it: a bare number takes the column's unit, a word what the map gives for it. */
function valueOf({ unit, values }: LotColumn, cell: unknown): LotValue | Omit<Problem, "where"> {
  if (cell === undefined || cell === null || (typeof cell === "string" && cell.trim() === "")) return null;
  if (typeof cell !== "string" && typeof cell !== "number") return { expected: "text or a number", got: describe(cell) };
  const text = String(cell).trim();
  if (values !== null) {
    if (Object.hasOwn(values, text)) return values[text]!;
    const known = Object.keys(values);
    const meant = nearest(text, known);
    if (!BARE.test(text) && !/^[-+.\d]/.test(text)) {
      return {
        expected: `one of ${known.map((each) => JSON.stringify(each)).join(", ")}${meant === null ? "" : ` (did you mean ${JSON.stringify(meant)}?)`}, or a quantity`,
        got: describe(text),
        code: "unknown",
      };
    }
  }
  return BARE.test(text) && unit !== null ? `${text} ${unit}` : BARE.test(text) ? Number(text) : text;
}

const BARE = /^[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?$/i;

/** What a cell says, "" where it says nothing; of what is neither text nor number its kind. */
function cellText(cell: unknown): string {
  if (cell === undefined || cell === null) return "";
  return typeof cell === "string" || typeof cell === "number" || typeof cell === "boolean" ? String(cell).trim() : describe(cell);
}

function yesOrNo(cell: string): boolean | null | Omit<Problem, "where"> {
  const word = cell.toLowerCase();
  if (word === "") return null;
  if (["yes", "true", "1", "y"].includes(word)) return true;
  if (["no", "false", "0", "n"].includes(word)) return false;
  return { expected: 'whether the soil was tested, "yes" or "no"', got: describe(cell) };
}

/** A point from the columns x and y, or longitude and latitude; null where the table has neither. */
function pointOf(columns: readonly LotColumn[], cells: ReadonlyMap<string, unknown>): WrittenGeometry | null {
  for (const [east, north, isDegrees] of [
    ["longitude", "latitude", true],
    ["x", "y", false],
  ] as const) {
    const [a, b] = [headOf(columns, east), headOf(columns, north)];
    if (a === null || b === null) continue;
    const written = [cells.get(a), cells.get(b)].map(cellText);
    if (written.every((each) => each === "")) return null;
    const units = [a, b].map((head) => columns.find((column) => column.head === head)!.unit);
    return {
      kind: "written",
      east: { head: a, text: written[0]!, unit: units[0]! },
      north: { head: b, text: written[1]!, unit: units[1]! },
      isDegrees,
    };
  }
  return null;
}

/** What the heads stand for; every head that is used is so once. */
function columnsFor(
  heads: readonly string[],
  map: ReadonlyMap<string, LotColumn>,
  pattern: LotPattern,
): { readonly columns: readonly LotColumn[]; readonly unused: readonly string[] } {
  const problems: Problem[] = [];
  const unused: string[] = [];
  const columns = heads.flatMap((head): LotColumn[] => {
    const mapped = map.get(head);
    const bracketed = unitInBrackets(head);
    const word = mapped?.key ?? bracketed?.word ?? head;
    const key = KNOWN.get(word.toLowerCase().replaceAll(/[\s_-]/g, "")) ?? word;
    if (!KNOWN_KEYS.has(key) && !pattern.knows(key)) {
      const meant = nearest(key, [...KNOWN_KEYS]);
      if (mapped !== undefined)
        problems.push({
          where: `map: ${JSON.stringify(head)}`,
          expected: `a key of the site file, or one of ${[...KNOWN_KEYS].join(", ")}`,
          got: describe(key),
          code: "unknown",
        });
      else if (key.includes(".") || meant !== null)
        problems.push({
          where: `column ${JSON.stringify(head)}`,
          expected: meant === null ? "a key of the site file that the pattern has room for" : `a known column (did you mean "${meant}"?)`,
          got: describe(head),
          code: "unknown",
        });
      else unused.push(head);
      return [];
    }
    return [{ head, key, unit: mapped?.unit ?? bracketed?.unit ?? null, values: mapped?.values ?? null }];
  });
  columns.forEach(({ head, key }, i) => {
    const first = columns.findIndex((column) => column.key === key);
    if (first < i)
      problems.push({
        where: `column ${JSON.stringify(head)}`,
        expected: "one column for each thing",
        got: `${key}, for which column ${JSON.stringify(columns[first]!.head)} stands too`,
        code: "conflict",
      });
  });
  if (problems.length === 0 && columns.every(({ key }) => SAID.has(key))) {
    problems.push({
      where: "the heads",
      expected: `a column that changes something: a key of the site file, or one of ${LOT_WORDS.join(", ")}`,
      got: heads.length === 0 ? "nothing" : heads.slice(0, 12).join(", "),
    });
  }
  if (problems.length > 0) throw new InputError("The table of lots cannot be used:", problems);
  return { columns, unused };
}

const KNOWN_KEYS: ReadonlySet<string> = new Set([...SAID, ...LOT_WORDS]);

/** Heads are found whatever their capitals, blanks and dashes; a lot's name is often called so, or by its address. */
const KNOWN: ReadonlyMap<string, string> = new Map([
  ...[...KNOWN_KEYS].map((key) => [key.toLowerCase(), key] as const),
  ["name", "lot"],
  ["lon", "longitude"],
  ["lat", "latitude"],
]);

function readMap(map: unknown, heads: readonly string[]): ReadonlyMap<string, LotColumn> {
  const problems: Problem[] = [];
  const read = new Map<string, LotColumn>();
  if (typeof map !== "object" || map === null || Array.isArray(map))
    throw new InputError("The map of the table cannot be used:", [
      { where: "map", expected: 'an object such as { "roof_sqm": { "key": "roofArea", "unit": "m^2" } }', got: describe(map) },
    ]);
  for (const [head, written] of Object.entries(map as Readonly<Record<string, unknown>>)) {
    const where = `map: ${JSON.stringify(head)}`;
    const {
      key,
      unit = null,
      values = null,
      ...others
    } = (typeof written === "string" ? { key: written } : (written ?? {})) as Readonly<Record<string, unknown>>;
    if (!heads.includes(head)) {
      const meant = nearest(head, [...heads]);
      problems.push({
        where,
        expected:
          meant === null ? `a head of the table: ${heads.join(", ")}` : `a head of the table (did you mean ${JSON.stringify(meant)}?)`,
        got: describe(head),
        code: "unknown",
      });
    }
    if (typeof key !== "string")
      problems.push({ where, expected: "a key of the site file, or an object with one", got: describe(written) });
    if (unit !== null && typeof unit !== "string")
      problems.push({ where: `${where}.unit`, expected: 'a unit such as "m^2"', got: describe(unit) });
    const isWords =
      values === null ||
      (typeof values === "object" &&
        !Array.isArray(values) &&
        Object.values(values).every((each) => typeof each === "string" || typeof each === "number"));
    if (!isWords)
      problems.push({ where: `${where}.values`, expected: 'what words stand for, { "clay": "0.1 in/hr" }', got: describe(values) });
    for (const other of Object.keys(others))
      problems.push({ where: `${where}.${other}`, expected: "key, unit or values", got: describe(other), code: "unknown" });
    if (typeof key === "string") read.set(head, { head, key, unit: unit as string | null, values: values as LotColumn["values"] });
  }
  if (problems.length > 0) throw new InputError("The map of the table cannot be used:", problems);
  return read;
}

interface Written {
  readonly heads: readonly string[];
  readonly rows: readonly WrittenRow[];
}

function csvRows(text: string): Written {
  const lines = wholeLines(text);
  const first = lines.findIndex(({ line }) => line.trim() !== "");
  if (first < 0)
    throw new InputError("The table of lots cannot be used:", [
      { where: "row 1", expected: "heads, such as lot,roofArea,soil,waterTable", got: "nothing" },
    ]);
  const separator = separatorOf(lines[first]!.line);
  const heads = csvCells(lines[first]!.line, separator);
  const problems: Problem[] = heads.flatMap((head, i) =>
    head === ""
      ? []
      : heads.indexOf(head) < i
        ? [{ where: `column ${i + 1}`, expected: "a head of its own", got: describe(head), code: "conflict" as const }]
        : [],
  );
  const rows = lines
    .slice(first + 1)
    .filter(({ line }) => line.trim() !== "" && !/^[\s,;]*$/.test(line))
    .map(({ line, number }): WrittenRow => {
      const cells = csvCells(line, separator);
      if (cells.length > heads.length && cells.slice(heads.length).some((cell) => cell !== "")) {
        problems.push({
          where: `row ${number}`,
          expected: `${heads.length} cells, as there are heads`,
          got: `${cells.length}`,
          code: "syntax",
        });
      }
      return { row: number, cells: new Map(heads.map((head, i) => [head, cells[i] ?? ""])), geometry: null };
    });
  if (problems.length === 0 && rows.length === 0) problems.push({ where: "row 2", expected: "a lot", got: "nothing" });
  if (problems.length > 0) throw new InputError("The table of lots cannot be used:", problems);
  return { heads: heads.filter((head) => head !== ""), rows };
}

/** Lines with their numbers; a quoted cell may run over several (RFC 4180). */
function wholeLines(text: string): { readonly line: string; readonly number: number }[] {
  const found: { line: string; number: number }[] = [];
  let open = false;
  text.split(/\r\n|\n|\r/).forEach((line, i) => {
    if (open) found.at(-1)!.line += ` ${line}`;
    else found.push({ line, number: i + 1 });
    if ((line.split('"').length - 1) % 2 === 1) open = !open;
  });
  return found;
}

function geoJsonRows(text: string): Written {
  const refuse = (where: string, expected: string, got: string): InputError =>
    new InputError("The table of lots cannot be used:", [{ where, expected, got, code: "syntax" }]);
  let root: unknown;
  try {
    root = JSON.parse(text);
  } catch (error) {
    throw refuse("the table", "GeoJSON or CSV", (error as Error).message);
  }
  const { type, features } = root as { readonly type?: unknown; readonly features?: unknown };
  if (type !== "FeatureCollection" || !Array.isArray(features) || features.length === 0)
    throw refuse(
      "type",
      "a FeatureCollection of GeoJSON with one feature or more",
      type === "FeatureCollection" ? "one without" : describe(type),
    );
  const heads = new Set<string>();
  const rows = features.map((feature: unknown, i): WrittenRow => {
    const { properties, geometry = null } = (feature ?? {}) as { readonly properties?: unknown; readonly geometry?: unknown };
    if (typeof properties !== "object" || properties === null)
      throw refuse(`feature ${i + 1}`, "a feature with properties", describe(properties));
    const cells = new Map(Object.entries(properties));
    for (const head of cells.keys()) heads.add(head);
    return { row: i + 1, cells, geometry: geometry === null ? null : { kind: "geojson", geometry } };
  });
  return { heads: [...heads], rows };
}
