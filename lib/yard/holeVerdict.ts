import { usedConductivity } from "../ground/test/usedConductivity.ts";
import { soilTest, type SoilTest } from "../ground/test/soilTest.ts";
import type { FallingHeadResult } from "../ground/test/soilTestResult.ts";
import { intensityBandText, intensityText, type UnitSystem } from "../text/format.ts";

/** A hole that was filled with water, as a site file writes it. */
export type HoleTest = SoilTest & { readonly kind: "percolationHole" };

/** What a test at the hole says while one stands beside it. */
export interface HoleVerdict {
  readonly result: FallingHeadResult;
  readonly isEnough: boolean;
  /** `Enough: …` or `One more fill: …` */
  readonly words: string;
}

/** Fills that follow one another agree when their conductivities differ by no more [share of the larger]. */
const ALIKE = 0.1;

/**
 * Whether a hole was filled often enough. A dry soil drinks more than a wet one, so a hole is filled until it takes water no slower than
 * the time
 * before: two fills within a tenth of each other, with three readings in the last.
 *
 * @source  to fill until successive drops agree is the trade's rule for percolation holes (common practice; US EPA, Design Manual, Onsite
 * Wastewater
 *          Treatment and Disposal Systems, 1980, asks for two drops within 1/16 in, from memory); the tenth is ours
 * @throws InputError  for a test that cannot be read
 */
export function holeVerdict(test: HoleTest, units: UnitSystem): HoleVerdict {
  return verdictOf(soilTest(test), units);
}

/** The same of a test that was read. */
export function verdictOf(result: FallingHeadResult, units: UnitSystem): HoleVerdict {
  const { fills } = result;
  const last = fills.at(-1)!;
  const before = fills.at(-2);
  const { conductivity, band } = usedConductivity(result, "lower");
  const says = result.drained
    ? `the soil takes in ${intensityText(conductivity, units)}, ${intensityBandText(band.low, band.high, units)} on the lot`
    : `the water does not fall by more than the tape can show, ${intensityText(band.high, units)} at most`;
  const verdict = (isEnough: boolean, why: string): HoleVerdict => ({ result, isEnough, words: `${isEnough ? "Enough" : "One more fill"}: ${why} So far ${says}.` });
  if (last.time.length < 3) return verdict(false, "the last one has two readings, which leave nothing to judge them by: take three or more.");
  if (before === undefined) return verdict(false, "the first one only wets the soil.");
  const [now, then] = [last.hydraulicConductivity, before.hydraulicConductivity];
  const apart = Math.max(now, then) === 0 ? 0 : Math.abs(now - then) / Math.max(now, then);
  if (apart <= ALIKE) return verdict(true, `the last two fills agree within ${Math.max(1, Math.round(100 * apart))} %.`);
  return verdict(false, now < then
    ? `the last took in ${Math.round(100 * apart)} % less than the one before, so the soil is still drinking itself full.`
    : `the last took in ${Math.round(100 * apart)} % more than the one before, which a soil that gets wetter does not: look at the readings.`);
}
