import { arSinh } from "../../numerics/powers.ts";
import { optionReader, type OptionReader } from "../../text/optionReader.ts";
import { fallingHeadTest } from "./fallingHeadTest.ts";
import { readFills, type FillReadings } from "./fillReader.ts";
import type { FallingHeadResult } from "./soilTestResult.ts";
import { HOLE_DEPTH, HOLE_SIZE } from "./testBounds.ts";

/** A falling-head test in a borehole that reaches the water table. */
export interface BoreholeTestOptions {
  /** of the open length, or of the casing's end */
  readonly diameter: string;
  /** of the pipe in which the water falls; default `diameter` */
  readonly casingDiameter?: string;
  /** uncased or screened length below the water table; "0 m" for a casing open at its end only, else the diameter or more */
  readonly openLength: string;
  /** depths are heads above the resting water table */
  readonly fills: readonly FillReadings[];
  /** from the mark of the tape down to the resting water table, where `fills` give `down` */
  readonly waterTableDown?: string;
}

/**
 * Conductivity from a falling head in a borehole in saturated ground:
 *
 *   A dh/dt = -F K h,  A the pipe's section
 *   open length L:       F = 2 pi L/asinh(L/D)
 *   open end only:       F = 2.75 D
 *
 * A hole above the water table is a percolation hole: use `percolationHole`, whose law counts gravity and not the head alone.
 *
 * @returns  conductivity [m/s] with its bands, fits and notes
 * @throws InputError  with all problems
 * @source  Hvorslev, Time lag and soil permeability in ground-water observations, WES Bulletin 36, 1951; shape factors from memory
 * @example boreholeTest({ diameter: "100 mm", openLength: "1 m", fills: [{ time: ["0 min", "10 min"], depth: ["1 m", "0.5 m"] }] })
 *   .hydraulicConductivity; // => 4.33e-6
 */
export function boreholeTest(options: BoreholeTestOptions): FallingHeadResult {
  return readBoreholeTest(optionReader("boreholeTest", options, "The borehole test cannot be read:"));
}

/** The same, from a reader on its options. */
export function readBoreholeTest(read: OptionReader): FallingHeadResult {
  const diameter = read.quantity("diameter", "length", HOLE_SIZE);
  const casing = read.has("casingDiameter") ? read.quantity("casingDiameter", "length", HOLE_SIZE) : diameter;
  const openLength = read.quantity("openLength", "length", { least: 0, most: HOLE_DEPTH.most });
  if (openLength > 0 && openLength < diameter) read.problem("openLength", "0 m, or the diameter or more, which the shape factor asks for");
  const { fills, notes } = readFills(read, "waterTableDown");
  read.done();
  const shape = openLength > 0 ? (2 * Math.PI * openLength) / arSinh(openLength / diameter) : 2.75 * diameter;
  return fallingHeadTest(fills, { offset: 0, rate: shape / ((Math.PI / 4) * casing * casing) }, notes);
}
