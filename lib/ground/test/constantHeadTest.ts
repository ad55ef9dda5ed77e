import { studentQuantile } from "../../numerics/studentQuantile.ts";
import { optionReader, type OptionReader } from "../../text/optionReader.ts";
import { elrickConductivity, gloverConductivity } from "./constantHeadLaw.ts";
import type { SoilTestResult } from "./soilTestResult.ts";
import { SORPTIVE_NUMBER } from "./sorptiveNumber.ts";
import { HOLE_DEPTH, HOLE_SIZE } from "./testBounds.ts";
import { withinSiteBand, type Band } from "./withinSiteBand.ts";

/** A round hole in which the water was held at one depth. */
export interface ConstantHeadTestOptions {
  readonly diameter: string;
  readonly waterDepth: string;
  /** what it took to hold it, once steady; a list of readings one after the other gives a band */
  readonly flow: string | readonly string[];
  /** alpha*, of the soil: 0.36 coarse sand, 0.12 most structured soils, 0.04 fine ones without structure, 0.01 compacted clay */
  readonly sorptiveNumber_perCm?: number;
  /** from the water's surface in the hole down to the water table; three depths of water or more are as good as far */
  readonly waterTableBelow?: string;
}

/** What a constant-head test says. */
export interface ConstantHeadResult extends SoilTestResult {
  readonly method: "Glover" | "Reynolds and Elrick";
  /** steady flow the result is for [m3/s] */
  readonly flow: number;
  /** readings less their mean [m3/s] */
  readonly residual: Float64Array;
}

/**
 * Conductivity from the flow that holds water at one depth in a hole. With the soil's sorptive number the suction of the dry
 * soil around is separated from gravity (`elrickConductivity`); without it all flow is laid to the pressure of the water
 * (`gloverConductivity`), which in fine soil makes the conductivity several times too high, and the result says so.
 *
 * The band is that of the mean of the readings, Student's t with n - 1 degrees of freedom.
 *
 * @returns  conductivity [m/s] with its bands and notes
 * @throws InputError  with all problems
 * @source  see the two laws
 * @example constantHeadTest({ diameter: "6 cm", waterDepth: "15 cm", flow: "0.3 L/h", sorptiveNumber_perCm: 0.12 })
 *   .hydraulicConductivity; // => 6.18e-7
 */
export function constantHeadTest(options: ConstantHeadTestOptions): ConstantHeadResult {
  return readConstantHeadTest(optionReader("constantHeadTest", options, "The constant-head test cannot be read:"));
}

/** The same, from a reader on its options. */
export function readConstantHeadTest(read: OptionReader): ConstantHeadResult {
  const radius = read.quantity("diameter", "length", HOLE_SIZE) / 2;
  const depth = read.quantity("waterDepth", "length", HOLE_DEPTH);
  const flows = Float64Array.from(Array.isArray(read.raw("flow"))
    ? read.list("flow", (value, where) => read.check(where, value, "flow", STEADY_FLOW))
    : [read.quantity("flow", "flow", STEADY_FLOW)]);
  const suction = read.has("sorptiveNumber_perCm") ? 100 * read.number("sorptiveNumber_perCm", SORPTIVE_NUMBER) : null;
  const waterTable = read.has("waterTableBelow") ? read.quantity("waterTableBelow", "length", HOLE_DEPTH) : Infinity;
  if (waterTable < depth) read.problem("waterTableBelow", "the depth of water or more: nearer it is a test in saturated ground");
  if (suction !== null && waterTable < 3 * depth) {
    read.problem("waterTableBelow", "three depths of water or more, or no sorptiveNumber_perCm: its law knows no water table");
  }
  read.done();
  const conductivityOf = (flow: number): number => suction === null
    ? gloverConductivity({ flow, radius, depth, waterTable })
    : elrickConductivity({ flow, radius, depth, sorptiveNumber: suction });
  const flow = flows.reduce((sum, each) => sum + each, 0) / flows.length;
  const residual = flows.map((each) => each - flow);
  const error = meanError(residual);
  const hydraulicConductivity = conductivityOf(flow);
  const siteBand = withinSiteBand(hydraulicConductivity, (error ?? 0) / flow);
  // how fast the water would begin to fall if nothing were poured in
  const naive = flow / (Math.PI * radius * radius);
  return {
    hydraulicConductivity,
    band: error === null ? siteBand : flowBand(hydraulicConductivity, error / flow, flows.length),
    siteBand,
    naive,
    naiveFactor: naive / hydraulicConductivity,
    method: suction === null ? "Glover" : "Reynolds and Elrick",
    flow,
    residual,
    notes: notesOf(flows, depth / radius, suction),
  };
}

/** From a drop in a day to a river: nothing that a test is fed with lies outside [m3/s]. */
const STEADY_FLOW = { least: 1e-13, most: 10 };

/** Standard error of the mean [m3/s]; null for one reading. */
function meanError(residual: Float64Array): number | null {
  const count = residual.length;
  return count < 2 ? null : Math.sqrt(residual.reduce((sum, each) => sum + each * each, 0) / (count - 1) / count);
}

function flowBand(conductivity: number, relativeError: number, count: number): Band {
  const reach = studentQuantile(0.975, count - 1) * relativeError;
  return { low: Math.max(0, conductivity * (1 - reach)), high: conductivity * (1 + reach), from: "readings" };
}

function notesOf(flows: Float64Array, slenderness: number, suction: number | null): string[] {
  const notes: string[] = [];
  if (flows.length > 2 && flows.every((flow, i) => i === 0 || flow < flows[i - 1]!) && flows[0]! > 1.1 * flows.at(-1)!) {
    notes.push("Each flow is less than the one before: the soil was still drying in. Go on until the flow holds steady; the conductivity may "
      + "still come down.");
  }
  if (flows.length === 1) notes.push("One reading leaves no scatter to judge by, so the band is the scatter of soils within a site.");
  if (suction === null) {
    notes.push("Without the soil's sorptive number all flow is laid to the pressure of the water. In dry fine soil the conductivity may be "
      + "several times lower.");
    if (slenderness < 5) notes.push("The formula is meant for water five radii deep or more; here it stands less deep.");
  }
  return notes;
}
