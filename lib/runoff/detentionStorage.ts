import { optionReader } from "../text/optionReader.ts";
import { NRCS_PATTERNS, type NrcsPattern } from "./graphicalPeak.ts";

/** Vs / Vr by a cubic in the ratio of peaks: TR-55 (2nd ed. 1986) Table F-2 p. F-2. */
const TYPES_I_AND_IA = [0.66, -1.76, 1.96, -0.73];
const TYPES_II_AND_III = [0.682, -1.43, 1.64, -0.804];

/**
 * First estimate of the storage that brings a day storm's peak down, to hold a run's answer against.
 *
 *   Vs / Vr = C0 + C1 r + C2 r^2 + C3 r^3,   r = peak out / peak in, 0.1 to 0.8
 *
 * @param pond.pattern       distribution of the day's rain; types I and IA have one curve, II and III another
 * @param pond.peakRatio     r
 * @param pond.runoffVolume  Vr [m3]
 * @returns  Vs [m3]
 * @throws InputError  when r is outside the curves or the volume below 0
 * @source  TR-55 (2nd ed. 1986) figure 6-1 by its equation, Table F-2 p. F-2; its range of r from memory
 * @example detentionStorage({ pattern: "nrcs-ii", peakRatio: 0.5, runoffVolume: 100 }); // => 27.65
 */
export function detentionStorage(pond: {
  readonly pattern: NrcsPattern;
  readonly peakRatio: number;
  readonly runoffVolume: number;
}): number {
  const read = optionReader("detentionStorage", pond, "The storage cannot be estimated:");
  const pattern = read.word("pattern", NRCS_PATTERNS);
  const ratio = read.number("peakRatio", { least: 0.1, most: 0.8 });
  const volume = read.number("runoffVolume", { least: 0 });
  read.done();
  const coefficients = pattern === "nrcs-i" || pattern === "nrcs-ia" ? TYPES_I_AND_IA : TYPES_II_AND_III;
  return volume * coefficients.reduceRight((sum, coefficient) => sum * ratio + coefficient, 0);
}
