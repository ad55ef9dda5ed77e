import { greatestOf } from "../../numerics/extremes.ts";
import type { Hydrograph } from "../../runoff/hydrograph.ts";
import { networkOf } from "../../simulate/assemble.ts";
import { OUT, SOIL } from "../../simulate/network.ts";
import type { Run } from "../../simulate/run.ts";
import { SURE_DEFAULTS } from "../../study/howSure.ts";
import { CLIMATE_DEFAULTS } from "../../study/oftenCases.ts";

/** The balance of a run from its start to a moment [s], [m3], [m3/s], [m]. */
export interface BalanceRow {
  readonly time: number;
  /** fallen since the start [m]; null without rain */
  readonly rain: number | null;
  /** flow into all bodies */
  readonly inflow: number;
  readonly levels: readonly number[];
  /** volumes since the start */
  readonly cameIn: number;
  readonly soil: number;
  readonly emitter: number;
  readonly surface: number;
  readonly stored: number;
  /** in + stored at the start - stored - out: what this table's own sum leaves open */
  readonly open: number;
}

/**
 * The balance of a run by its own flows, added up again: Gauss's rule with two points over every step of the run, so that it shares
 * nothing with the ledger but the flows.
 *
 * @param times  rising, within the run
 */
export function balanceRows(run: Run, times: readonly number[]): BalanceRow[] {
  const network = networkOf(run.site);
  const out = network.passages.filter(({ to }) => to === OUT || to === SOIL);
  const kind = (passage: (typeof out)[number]): 0 | 1 | 2 => (passage.to === SOIL || passage.ledger === "weep" ? 0 : passage.ledger === "emitter" ? 1 : 2);
  const inflows = Object.values(run.inflows);
  const rate = (time: number): number[] => {
    const sums = [inflows.reduce((sum, each) => sum + flowAt(each, time), 0), 0, 0, 0];
    for (const passage of out) sums[1 + kind(passage)]! += run.flow(passage.name, time);
    return sums;
  };
  const stored = (time: number): number => network.bodies.reduce((sum, body) => sum + body.volume(run.level(body.name, time)), 0);
  const atStart = stored(0);
  const sums = [0, 0, 0, 0];
  let from = 0;
  const edges = [...new Set([...run.times, ...times])].sort((a, b) => a - b);
  const rows: BalanceRow[] = [];
  for (const to of edges) {
    if (to > from) {
      const [middle, half] = [(from + to) / 2, (to - from) / 2];
      for (const at of [middle - half / Math.sqrt(3), middle + half / Math.sqrt(3)]) rate(at)
        .forEach((flow, i) => { sums[i]! += half * flow; });
      from = to;
    }
    if (!times.includes(to)) continue;
    const [cameIn, soil, emitter, surface] = sums as [number, number, number, number];
    const now = stored(to);
    rows.push({
      time: to, rain: run.rain === null ? null : fallen(run.rain, to), inflow: rate(to)[0]!,
        levels: run.bodies.map(({ name }) => run.level(name, to)),
      cameIn, soil, emitter, surface, stored: now, open: cameIn + atStart - now - soil - emitter - surface,
    });
  }
  return rows;
}

function fallen({ time, depth }: NonNullable<Run["rain"]>, moment: number): number {
  return depth.reduce((sum, each, i) => sum + each * Math.max(0, Math.min(1, (moment - time[i]!) / (time[i + 1]! - time[i]!))), 0);
}

/** Some moments of a run: in round steps while water runs in, in wider ones from then on, and its end [s]. */
export function tableTimes(run: Run): number[] {
  const last = greatestOf([...Object.values(run.inflows).map(({ time }) => time.at(-1)!), 60]);
  const end = Math.min(last, run.until);
  const even = (from: number, to: number, most: number): number[] => {
    const step = STEPS.find((each) => (to - from) / each <= most) ?? (to - from) / most;
    const first = Math.floor(from / step) + 1;
    return Array.from({ length: Math.max(0, Math.floor(to / step) - first + 1) }, (_, i) => (first + i) * step);
  };
  return [0, ...even(0, end, 13), ...even(end, run.until, 8).filter((time) => time > end), run.until]
    .filter((time, i, all) => time <= run.until && (i === 0 || time > all[i - 1]!));
}

/** Round steps of a table [s]: from a minute to a month. */
const STEPS: readonly number[] = [
  ...[1, 2, 5, 10, 15, 30].map((minutes) => minutes * 60), ...[1, 2, 3, 4, 6, 8, 12].map((hours) => hours * 3600),
  ...[1, 2, 5, 10, 30].map((days) => days * 86_400),
];

/** Flow of a hydrograph at a moment that is no jump [m3/s]. */
function flowAt({ time, flow }: Hydrograph, moment: number): number {
  if (moment < time[0]! || moment > time.at(-1)!) return 0;
  let [low, high] = [0, time.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (time[middle]! <= moment) low = middle;
    else high = middle;
  }
  const span = time[high]! - time[low]!;
  return span > 0 ? flow[low]! + ((moment - time[low]!) / span) * (flow[high]! - flow[low]!) : flow[high]!;
}

/** One input of a site file as it was written, or as it was taken where the file is silent. */
interface Echo {
  readonly path: string;
  readonly written: string;
  readonly source: "file" | "assumed";
  /** where the file says that it has it from: the "about" or the "source" of the part it stands in; null where it says nothing */
  readonly from?: string | null;
}

/** Runs and seeds that a study takes where the file is silent; the file holds studies as they are written, without defaults. */
function studyDefaults(value: object, path: string): Echo[] {
  const taken = path === "studies.sure" ? SURE_DEFAULTS : path === "studies.often" && Object.hasOwn(value, "climate") ? CLIMATE_DEFAULTS : {};
  return Object.entries(taken).filter(([key]) => !Object.hasOwn(value, key)).map(([key, each]) => ({ path: `${path}.${key}`, written: String(each), source: "assumed" }));
}

/** Keys that say nothing without another. */
const BESIDE: Readonly<Record<string, readonly string[]>> = { initialAbstractionRatio: ["curveNumber"], peakRateFactor: ["curveNumber"] };

interface Schema {
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly items?: Schema;
  readonly default?: unknown;
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
}

/** Parts that no run of the package reads. */
const LEFT_OUT: ReadonlySet<string> = new Set(["$schema", "about", "papers", "variants", "diary", "prices"]);

/**
 * Every input of a site file in its order, and beside the keys of each object those that it leaves to a default.
 *
 * @param schema  of the site file, from which the defaults come
 */
export function inputEcho(file: unknown, schema: object): Echo[] {
  return walk(file, schema as Schema, "").filter(({ path }) => !LEFT_OUT.has(path.split(/[.[]/)[0]!))
    .map((echo) => (echo.source === "file" ? { ...echo, from: saidOf(file, echo.path) } : echo));
}

/** What the innermost part round an input says of where its figures come from; the file's own words on itself speak of no single one. */
function saidOf(file: unknown, path: string): string | null {
  let [part, said]: [unknown, string | null] = [file, null];
  for (const step of path.split(/[.[]/).slice(0, -1)) {
    const key = step.endsWith("]") ? Number(step.slice(0, -1)) - 1 : step;
    part = typeof part === "object" && part !== null ? (part as Readonly<Record<string | number, unknown>>)[key] : undefined;
    if (typeof part !== "object" || part === null) break;
    const { about, source } = part as { readonly about?: unknown; readonly source?: unknown };
    if (typeof source === "string") said = source;
    else if (typeof about === "string") said = about;
  }
  return said;
}

function walk(value: unknown, schema: Schema | undefined, path: string): Echo[] {
  if (Array.isArray(value)) {
    if (value.every((each) => typeof each !== "object" || each === null)) return [{ path, written: value.map(String).join(", "), source: "file" }];
    // points of a plan on one line
    if (value.every((each) => Array.isArray(each) && each.every((part) => typeof part !== "object"))) return [{ path, written: value.map((each) => (each as unknown[]).map(String).join(", ")).join("; "), source: "file" }];
    return value.flatMap((each, i) => walk(each, itemsOf(schema), `${path}[${i + 1}]`));
  }
  if (typeof value === "object" && value !== null) {
    const given = Object.entries(value).flatMap(([key, each]) => walk(each, propertiesOf(schema)?.[key], path === "" ? key : `${path}.${key}`));
    const missing = Object.entries(propertiesOf(schema) ?? {})
      .filter(([key, each]) => !Object.hasOwn(value, key) && isPlain(each.default))
      .filter(([key]) => (BESIDE[key] ?? []).every((other) => Object.hasOwn(value, other)))
      .map(([key, each]): Echo => ({ path: path === "" ? key : `${path}.${key}`, written: String(each.default), source: "assumed" }));
    return [...given, ...missing, ...studyDefaults(value, path)];
  }
  return [{ path, written: String(value), source: "file" }];
}

function isPlain(value: unknown): boolean {
  return (typeof value === "string" && value !== "") || typeof value === "number" || typeof value === "boolean";
}

/** Of a schema of several forms those of an object. */
function propertiesOf(schema: Schema | undefined): Schema["properties"] {
  return schema?.properties ?? [...schema?.anyOf ?? [], ...schema?.oneOf ?? []].find(({ properties }) =>
    properties !== undefined)?.properties;
}

function itemsOf(schema: Schema | undefined): Schema | undefined {
  const own = schema?.items ?? [...schema?.anyOf ?? [], ...schema?.oneOf ?? []].find(({ items }) => items !== undefined)?.items;
  // a list may stand where a single one is described too
  return own ?? schema;
}
