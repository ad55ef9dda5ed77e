import { optionReader } from "../../text/optionReader.ts";
import { readBoreholeTest, type BoreholeTestOptions } from "./boreholeTest.ts";
import { readConstantHeadTest, type ConstantHeadResult, type ConstantHeadTestOptions } from "./constantHeadTest.ts";
import { readPercolationHole, type PercolationHoleOptions } from "./percolationHole.ts";
import type { FallingHeadResult, PercolationHoleResult } from "./soilTestResult.ts";
import { readTrialPit, type TrialPitOptions, type TrialPitResult } from "./trialPit.ts";

/** A test in the ground as plain data, such as a layer of a site file holds. */
export type SoilTest =
  | ({ readonly kind: "percolationHole" } & PercolationHoleOptions)
  | ({ readonly kind: "trialPit" } & TrialPitOptions)
  | ({ readonly kind: "borehole" } & BoreholeTestOptions)
  | ({ readonly kind: "constantHead" } & ConstantHeadTestOptions);

/** What comes of each kind of test. */
export interface SoilTestResults {
  readonly percolationHole: PercolationHoleResult;
  readonly trialPit: TrialPitResult;
  readonly borehole: FallingHeadResult;
  readonly constantHead: ConstantHeadResult;
}

/**
 * Conductivity from any of the tests, distinguished by `kind`.
 *
 * @param test   plain data, as inside a site file
 * @param where  the test's place in words, for errors: `soil.layers[0].test`
 * @throws InputError  with all problems
 * @source  the function of each kind
 * @example soilTest({ kind: "percolationHole", diameter: "6 in", waterDepth: "12 in", minutesPerInch: 10 }).naiveFactor; // => 27.8
 */
export function soilTest<Test extends SoilTest>(test: Test, where?: string): SoilTestResults[Test["kind"]];
export function soilTest(test: SoilTest, where = "soilTest"): SoilTestResults[SoilTest["kind"]] {
  const read = optionReader(where, test, "The soil test cannot be read:");
  const kind = read.word("kind", KINDS);
  // Of a test of no known kind the other keys have no meaning, and one problem is enough.
  if (!KINDS.includes(kind)) {
    read.keys().forEach((key) => read.has(key));
    read.done();
  }
  return READERS[kind](read);
}

const READERS = {
  percolationHole: readPercolationHole,
  trialPit: readTrialPit,
  borehole: readBoreholeTest,
  constantHead: readConstantHeadTest,
} as const;

const KINDS = Object.keys(READERS) as SoilTest["kind"][];
