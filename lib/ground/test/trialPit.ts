import { logarithm } from "../../numerics/powers.ts";
import { optionReader, type OptionReader } from "../../text/optionReader.ts";
import { drainingHoleLaw, type Fill } from "./fallingHead.ts";
import { fallingHeadTest } from "./fallingHeadTest.ts";
import { readFills, type FillReadings } from "./fillReader.ts";
import type { FallingHeadResult } from "./soilTestResult.ts";
import { HOLE_DEPTH, HOLE_SIZE, STONE_POROSITY, TEST_TIME } from "./testBounds.ts";
import { neverFell, refuseBeside, refuseList } from "./watchedFill.ts";

/** A soakage test in a rectangular pit: either how long it took from 75 to 25 percent full, or the readings themselves. */
export interface TrialPitOptions {
  readonly length: string;
  readonly width: string;
  /** what counts as full, from the pit's bottom; with `fills` it may be left out, and the first reading of a fill is it */
  readonly waterDepth?: string;
  /** from three quarters of `waterDepth` to one; "never" together with `watched` */
  readonly time75to25?: string;
  /** how long a pit that never drained was watched */
  readonly watched?: string;
  /** several fills of this one pit, each by its readings, or by its time from three quarters of `waterDepth` to one; the slowest governs */
  readonly fills?: readonly (FillReadings | { readonly time75to25: string })[];
  /** from the mark of the tape down to the pit's bottom, where `fills` give `down` */
  readonly bottomDown?: string;
  /** of stone in the pit, 0 to 1; default 1, an open pit */
  readonly stonePorosity?: number;
}

/** What a trial pit says, with the rate that British practice takes from it. */
export interface TrialPitResult extends FallingHeadResult {
  /** by the 75-25 % rule [m/s] */
  readonly soakageRate: number;
}

/**
 * Conductivity and soakage rate from a trial pit. With A the floor, P the perimeter, n the porosity of stone in the pit and t
 * the time from 75 to 25 percent of the depth h:
 *
 *   exact law        K = n A/(P t) ln[(0.75 h + A/P)/(0.25 h + A/P)]
 *   75-25 % rule     f = n V/(a t),  V = A h/2,  a = A + P h/2
 *
 * The rule takes the area wet at half depth, floor included, for the whole time, and so is a few percent below K. From
 * readings K is fitted by least squares, each fill by itself, the slowest governing, and t is that of the fit.
 *
 * @returns  conductivity and soakage rate [m/s] with bands, fits and notes
 * @throws InputError  with all problems
 * @source  exact law: the seepage law of this library's bodies (derived). Rule: UK council guidance pages (the
 *          form of BRE Digest 365, which was not read)
 * @example trialPit({ length: "1.6 m", width: "0.6 m", waterDepth: "0.65 m", time75to25: "67 min" }).soakageRate; // => 3.2474e-5
 */
export function trialPit(options: TrialPitOptions): TrialPitResult {
  return readTrialPit(optionReader("trialPit", options, "The trial pit cannot be read:"));
}

/** The same, from a reader on its options. */
export function readTrialPit(read: OptionReader): TrialPitResult {
  const length = read.quantity("length", "length", HOLE_SIZE);
  const width = read.quantity("width", "length", HOLE_SIZE);
  const porosity = read.number("stonePorosity", STONE_POROSITY);
  const fromReadings = read.has("fills");
  const full = fromReadings && !read.has("waterDepth") ? null : read.quantity("waterDepth", "length", HOLE_DEPTH);
  const fullOf = (table: OptionReader): number => {
    if (full === null) table.problem("time75to25", 'a "waterDepth" of the pit, of which it is the quarters', "none");
    return full ?? NaN;
  };
  const { fills, notes } = !fromReadings ? { fills: [quarterFill(read, full!)], notes: [] }
    : readFills(read, "bottomDown", { key: "time75to25", fill: (table) => fallOfHalf(table, fullOf(table)) });
  if (fromReadings) refuseBeside(read, ["time75to25", "watched"]);
  read.done();
  const [floor, perimeter] = [length * width, 2 * (length + width)];
  const law = drainingHoleLaw(floor, perimeter, porosity);
  const result = fallingHeadTest(fills, law, notes);
  const depthFull = full ?? fills[result.governing]!.depth[0]!;
  const fall = logarithm((0.75 * depthFull + law.offset) / (0.25 * depthFull + law.offset));
  const wetAtHalf = floor + (perimeter * depthFull) / 2;
  // of two depths the time given, of readings that of the fit; infinite where the water did not fall
  const time75to25 = fall / (result.hydraulicConductivity * law.rate);
  return { ...result, soakageRate: (porosity * floor * depthFull) / 2 / (wetAtHalf * time75to25) };
}

function quarterFill(read: OptionReader, full: number): Fill {
  return read.raw("time75to25") === "never" ? neverFell(read, full) : fallOfHalf(read, full);
}

function fallOfHalf(read: OptionReader, full: number): Fill {
  const time = refuseList(read, "time75to25") ? NaN : read.quantity("time75to25", "time", TEST_TIME);
  return { time: Float64Array.of(0, time), depth: Float64Array.of(0.75 * full, 0.25 * full) };
}
