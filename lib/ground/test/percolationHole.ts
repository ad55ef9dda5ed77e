import { exponential, logarithm, power } from "../../numerics/powers.ts";
import { greatestOf, leastOf } from "../../numerics/extremes.ts";
import { describe } from "../../text/describe.ts";
import { optionReader, type OptionReader } from "../../text/optionReader.ts";
import { elrickConductivity } from "./constantHeadLaw.ts";
import { drainingHoleLaw, type Fill } from "./fallingHead.ts";
import { fallingHeadTest } from "./fallingHeadTest.ts";
import { readFills, type FillReadings, type ReadFills } from "./fillReader.ts";
import type { FallingHeadResult, PercolationHoleResult } from "./soilTestResult.ts";
import { readSorptiveNumber, SORPTIVE_CLASSES_PER_M, type SorptiveNumber } from "./sorptiveNumber.ts";
import type { TextureName } from "../soilTexture.ts";
import { HOLE_DEPTH, HOLE_SIZE, STONE_POROSITY } from "./testBounds.ts";
import { minutesPerInch } from "../../text/typedQuantity.ts";
import { threeFigures } from "../../text/format.ts";
import { neverFell, refuseBeside, refuseList } from "./watchedFill.ts";

/** A percolation test in a round hole: either how long an inch took, or the readings themselves. */
export interface PercolationHoleOptions {
  readonly diameter: string;
  /** water at the start of the inch, from the bottom of the hole; not with `fills` that are all readings */
  readonly waterDepth?: string;
  /** minutes for an inch of fall from `waterDepth`, `30` or `"30 min/in"`; "never" together with `watched` */
  readonly minutesPerInch?: number | string;
  /** how long a hole that never drained was watched */
  readonly watched?: string;
  /** of several fills of this one hole, each by its readings, or by its minutes for an inch from `waterDepth`; the slowest governs */
  readonly fills?: readonly (FillReadings | { readonly minutesPerInch: number | string })[];
  /** from the mark of the tape down to the bottom of the hole, where `fills` give `down` */
  readonly bottomDown?: string;
  /** of stone in the hole, 0 to 1; default 1, an open hole */
  readonly stonePorosity?: number;
  /** of the soil, if known: it says how strongly suction draws (`sorptiveNumberOf`) */
  readonly texture?: TextureName;
  /** or alpha* itself: 0.36 coarse sand, 0.12 most structured soils, 0.04 fine ones without structure, 0.01 compacted clay */
  readonly sorptiveNumber_perCm?: number;
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
 * Gravity is not all that empties a hole of hand size: the pressure of its water and the suction of the soil around draw more out of
 * it than they will out of a pit, so that K is too high for a design. `fieldSaturated` is the conductivity by the steady law for one
 * head (`elrickConductivity`), with the mean rate Q = n pi R^2 (h1 - h2)/t at mid-depth (h1 + h2)/2; its sorptive number alpha* is that
 * of `texture`, or 12 per metre where nothing is known. A site takes the lower of the two (`usedConductivity`).
 *
 * @returns  both conductivities [m/s] with their bands, fits and notes
 * @throws InputError  with all problems
 * @source  the seepage law of this library's bodies; as a field rule (inverse auger hole, Porchet): ILRI Publication 16,
 *          chapter 12, from memory. The steady law: Reynolds & Elrick, Soil Science 140, 1985; alpha* by class: Elrick, Reynolds &
 *          Tan, Ground Water Monitoring Review 9(3), 1989; both from memory. A falling inch taken as steady: an assumption of ours
 * @example percolationHole({ diameter: "12 in", waterDepth: "6 in", minutesPerInch: 10 }).hydraulicConductivity; // => 1.4958e-5
 */
export function percolationHole(options: PercolationHoleOptions): PercolationHoleResult {
  return readPercolationHole(optionReader("percolationHole", options, "The percolation test cannot be read:"));
}

/** The same, from a reader on its options. */
export function readPercolationHole(read: OptionReader): PercolationHoleResult {
  const diameter = read.quantity("diameter", "length", HOLE_SIZE);
  const porosity = read.number("stonePorosity", STONE_POROSITY);
  const { fills, notes } = read.has("fills") ? fillsOf(read) : { fills: [inchFill(read)], notes: [] };
  const sorptive = readSorptiveNumber(read);
  read.done();
  const law = drainingHoleLaw((Math.PI / 4) * diameter * diameter, Math.PI * diameter, porosity);
  const steady = (time: Float64Array, fitted: Float64Array, alpha: number): number => {
    const [from, to] = [fitted[0]!, fitted.at(-1)!];
    const flow = (porosity * Math.PI * diameter * diameter * (from - to)) / (4 * (time.at(-1)! - time[0]!));
    return Math.max(0, elrickConductivity({ flow, radius: diameter / 2, depth: (from + to) / 2, sorptiveNumber: alpha }));
  };
  const result = fallingHeadTest(fills, law, notes, ({ fill, fit }) => (
    Math.min(Math.max(0, fit.hydraulicConductivity), steady(fill.time, fit.fitted, sorptive.alpha))
  ));
  const { time, fitted } = result.fills[result.governing]!;
  // What gravity would draw at mid-depth with a conductivity of 1, as the steady law reads it: for a hole that did not drain.
  const depth = (fitted[0]! + fitted.at(-1)!) / 2;
  const gravity = (Math.PI / 4) * diameter * diameter + Math.PI * diameter * depth;
  const share = (alpha: number): number => elrickConductivity({ flow: gravity, radius: diameter / 2, depth, sorptiveNumber: alpha });
  return withFieldSaturated(result, sorptive, (alpha) => steady(time, fitted, alpha), share);
}

function withFieldSaturated(
  result: FallingHeadResult, { alpha, from }: SorptiveNumber, steady: (alpha: number) => number, share: (alpha: number) => number,
): PercolationHoleResult {
  const { hydraulicConductivity, siteBand, drained } = result;
  const fieldSaturated = steady(alpha);
  const over = (from === "given" ? [alpha] : SORPTIVE_CLASSES_PER_M).map(steady);
  const fieldSaturatedOver = { low: leastOf(over), high: greatestOf(over) };
  const scatter = logarithm(siteBand.high / hydraulicConductivity);
  const reach = (end: number): number => exponential(Math.sqrt(scatter * scatter + power(logarithm(end / fieldSaturated), 2)));
  const fieldSaturatedBand = drained
    ? { ...siteBand, low: fieldSaturated / reach(fieldSaturatedOver.low), high: fieldSaturated * reach(fieldSaturatedOver.high) }
    : { ...siteBand, high: siteBand.high * share(from === "given" ? alpha : SORPTIVE_CLASSES_PER_M[0]) };
  const lower = drained && fieldSaturated < hydraulicConductivity;
  return {
    ...result, fieldSaturated, alpha, alphaFrom: from, fieldSaturatedOver, fieldSaturatedBand,
    notes: lower ? [...result.notes, smallHole(hydraulicConductivity, fieldSaturated, fieldSaturatedOver, alpha, from)] : result.notes,
  };
}

function smallHole(
  hole: number, field: number, over: PercolationHoleResult["fieldSaturatedOver"], alpha: number, from: SorptiveNumber["from"],
): string {
  const says = {
    given: "", texture: ", which its texture suggests", assumed: ", which is assumed, for nothing says which soil it is",
  }[from];
  const range = from === "given" ? "" : ` (${threeFigures(hole / over.high)} to ${threeFigures(hole / over.low)} times less over all its classes)`;
  return `A hole this small loses water to pressure and suction too: by the steady law of Reynolds and Elrick the soil takes ${threeFigures(hole / field)} `
    + `times less than the hole's fall says by gravity alone, at a sorptive number of ${threeFigures(alpha)} per metre${says}${range}.`;
}

const INCH = 254 / 10000;

function fillsOf(read: OptionReader): ReadFills {
  let depth: number | null = null;
  const waterDepth = (): number => (depth ??= read.quantity("waterDepth", "length", INCH_FROM));
  const found = readFills(read, "bottomDown", { key: "minutesPerInch", fill: (fill) => fallOfAnInch(fill, waterDepth()) });
  refuseBeside(read, [...(depth === null ? ["waterDepth"] : []), "minutesPerInch", "watched"]);
  return found;
}

function inchFill(read: OptionReader): Fill {
  const waterDepth = read.quantity("waterDepth", "length", INCH_FROM);
  return read.raw("minutesPerInch") === "never" ? neverFell(read, waterDepth) : fallOfAnInch(read, waterDepth);
}

const INCH_FROM = { least: INCH, most: HOLE_DEPTH.most } as const;

function fallOfAnInch(read: OptionReader, waterDepth: number): Fill {
  const written = read.raw("minutesPerInch");
  const value = typeof written === "string" ? minutesPerInch(written) : written;
  const usable = typeof value === "number" && value >= 0.001 && value <= 1e7;
  if (!usable && !refuseList(read, "minutesPerInch")) {
    read.problem("minutesPerInch", 'minutes from 0.001 to ten million, or "never" with "watched" (or "fills" instead)', describe(written));
  }
  return { time: Float64Array.of(0, 60 * (usable ? value : NaN)), depth: Float64Array.of(waterDepth, waterDepth - INCH) };
}
