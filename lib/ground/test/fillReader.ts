import { describe } from "../../text/describe.ts";
import type { OptionReader } from "../../text/optionReader.ts";
import type { Fill } from "./fallingHead.ts";
import { HOLE_DEPTH, TEST_TIME } from "./testBounds.ts";

/** Readings of a fill as they were taken, in texts with units. */
export interface FillReadings {
  /** rising: `["0 min", "10 min"]` */
  readonly time: readonly string[];
  /** water in the hole, from its bottom up (of a borehole: head above the water table) */
  readonly depth?: readonly string[];
  /** or the tape: from a fixed mark down to the water; the test then says how far its bottom lies below the mark */
  readonly down?: readonly string[];
}

/** How a fill is given in short, by one figure in place of readings: `{ minutesPerInch: 18 }`. */
export interface ShortFill {
  readonly key: "minutesPerInch" | "time75to25";
  /** reads the figure of one fill; what is wrong goes to its reader */
  readonly fill: (read: OptionReader) => Fill;
}

/** Fills as read, and what was left out of them, in sentences. */
export interface ReadFills {
  readonly fills: readonly Fill[];
  readonly notes: readonly string[];
}

/** Below it the floor's own law lets the last film linger, and a ruler shows nothing [m]. */
const DRY = 0.001;

/**
 * Reads `fills`, each a table of times and depths; a hole that ran dry is read up to its last reading with water in it.
 *
 * @param bottomKey  the test's key for the distance from the mark down to where depth is 0: `bottomDown`
 * @param short      how a fill of this kind of test may be given in short; not allowed if missing
 */
export function readFills(read: OptionReader, bottomKey: string, short?: ShortFill): ReadFills {
  const tables = read.children("fills").map((table) => ({ table, down: table.has("down") }));
  const anyDown = tables.some(({ down }) => down);
  const bottom = anyDown ? read.quantity(bottomKey, "length", HOLE_DEPTH) : 0;
  const notes: string[] = [];
  const fills = tables.map(({ table, down }, i) => {
    if (short !== undefined && table.has(short.key)) return short.fill(table);
    const time = Float64Array.from(table.list("time", (value, where) => table.check(where, value, "time", { least: 0, most: TEST_TIME.most })));
    const key = down ? "down" : "depth";
    const level = Float64Array.from(table.list(key, (value, where) => table.check(where, value, "length", { least: 0, most: HOLE_DEPTH.most })));
    const depth = down ? level.map((distance) => bottom - distance) : level;
    checkTable(table, key, time, depth);
    return untilDry({ time, depth }, table, i, notes);
  });
  return { fills, notes };
}

function checkTable(table: OptionReader, key: string, time: Float64Array, depth: Float64Array): void {
  const given = (column: string, i: number): string => describe((table.raw(column) as readonly unknown[])[i]);
  // An empty column has been refused already.
  if (time.length !== depth.length && time.length * depth.length > 0) {
    table.problem(key, `one for each time (${time.length})`, String(depth.length));
  }
  const falls = time.findIndex((moment, i) => i > 0 && moment <= time[i - 1]!);
  if (falls > 0) table.problem(`time[${falls}]`, "a time after the one before it", given("time", falls));
  if (falls < 0 && time.length > 1 && time.at(-1)! - time[0]! < TEST_TIME.least) table.problem("time", "readings over a second or more");
  const below = depth.findIndex((water) => water < 0);
  if (below >= 0) table.problem(`${key}[${below}]`, "no deeper than the bottom of the hole", given(key, below));
}

function untilDry({ time, depth }: Fill, table: OptionReader, index: number, notes: string[]): Fill {
  const dry = depth.findIndex((water) => water < DRY);
  const wet = dry < 0 ? depth.length : dry;
  if (wet < 2 && depth.length > 0 && !depth.some(Number.isNaN)) table.problem("time", "two readings or more with water in the hole", String(wet));
  if (dry > 0) {
    notes.push(`Fill ${index + 1} ran dry; what was read after its last depth above 1 mm does not count, for nobody knows when it emptied.`);
  }
  return { time: time.slice(0, wet), depth: depth.slice(0, wet) };
}
