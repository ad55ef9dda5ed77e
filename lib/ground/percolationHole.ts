import { describe } from "../units/describe.ts";
import { optionReader, type OptionReader } from "../units/optionReader.ts";
import { drainingHoleLaw, type Fill } from "./fallingHead.ts";
import { fallingHeadTest } from "./fallingHeadTest.ts";
import { readFills, type FillReadings } from "./fillReader.ts";
import type { FallingHeadResult } from "./soilTestResult.ts";
import { HOLE_DEPTH, HOLE_SIZE, STONE_POROSITY } from "./testBounds.ts";
import { neverFell, refuseBeside } from "./watchedFill.ts";

/** A percolation test in a round hole: either how long an inch took, or the readings themselves. */
export interface PercolationHoleOptions {
  readonly diameter: string;
  /** water at the start of the inch, from the bottom of the hole; not with `fills` */
  readonly waterDepth?: string;
  /** minutes for the water to fall one inch from `waterDepth`; of several fills a list; "never" together with `watched` */
  readonly minutesPerInch?: number | readonly number[] | "never";
  /** how long a hole that never drained was watched */
  readonly watched?: string;
  readonly fills?: readonly FillReadings[];
  /** from the mark of the tape down to the bottom of the hole, where `fills` give `down` */
  readonly bottomDown?: string;
  /** of stone in the hole, 0 to 1; default 1, an open hole */
  readonly stonePorosity?: number;
}

/**
 * Conductivity from a percolation test. Minutes per inch are no conductivity: water leaves through the side as well as the
 * floor, and the more so the deeper it stands. By the law of a hole that drains at gradient 1 through both, an inch in a time t
 * from depth h in a hole of radius R means
 *
 *   K = R/(2 t) ln[(h + R/2)/(h - 1 in + R/2)]
 *
 * which taken as "one inch per t" would be 2.8 times too high for a 12 in hole with 6 in of water, and 8.7 times for a 6 in
 * hole with 12 in (derived). Readings are fitted by least squares (`fitFallingHead`), each fill by itself; the slowest governs.
 *
 * @returns  conductivity [m/s] with its bands, fits and notes
 * @throws InputError  with all problems
 * @source  the seepage law of this library's bodies; as a field rule (inverse auger hole, Porchet): ILRI Publication 16,
 *          chapter 12, from memory
 * @example percolationHole({ diameter: "12 in", waterDepth: "6 in", minutesPerInch: 10 }).hydraulicConductivity; // => 1.4958e-5
 */
export function percolationHole(options: PercolationHoleOptions): FallingHeadResult {
  return readPercolationHole(optionReader("percolationHole", options, "The percolation test cannot be read:"));
}

/** The same, from a reader on its options. */
export function readPercolationHole(read: OptionReader): FallingHeadResult {
  const diameter = read.quantity("diameter", "length", HOLE_SIZE);
  const porosity = read.number("stonePorosity", STONE_POROSITY);
  const { fills, notes } = read.has("fills") ? readFills(read, "bottomDown") : { fills: inchFills(read), notes: [] };
  if (read.has("fills")) refuseBeside(read, ["waterDepth", "minutesPerInch", "watched"]);
  read.done();
  const law = drainingHoleLaw((Math.PI / 4) * diameter * diameter, Math.PI * diameter, porosity);
  return fallingHeadTest(fills, law, notes);
}

const INCH = 254 / 10000;

function inchFills(read: OptionReader): Fill[] {
  const waterDepth = read.quantity("waterDepth", "length", { least: INCH, most: HOLE_DEPTH.most });
  const given = read.raw("minutesPerInch");
  if (given === "never") return [neverFell(read, waterDepth)];
  const minutes = Array.isArray(given) ? read.list("minutesPerInch", (value) => value) : [given];
  return minutes.map((value, i) => {
    const usable = typeof value === "number" && value >= 0.001 && value <= 1e7;
    const key = Array.isArray(given) ? `minutesPerInch[${i}]` : "minutesPerInch";
    if (!usable) read.problem(key, 'minutes from 0.001 to ten million, or "never" with "watched" (or "fills" instead)', describe(value));
    return { time: Float64Array.of(0, 60 * (usable ? value : NaN)), depth: Float64Array.of(waterDepth, waterDepth - INCH) };
  });
}
