import { optionReader } from "../units/optionReader.ts";

/** Vs / Vr by a cubic in the ratio of peaks. */
const RATIO_COEFFICIENTS = {
  "i and ia": [0.66, -1.76, 1.96, -0.73],
  "ii and iii": [0.682, -1.43, 1.64, -0.804],
} as const;

/**
 * First estimate of the storage that brings a day storm's peak down, to hold a run's answer against.
 *
 *   Vs / Vr = C0 + C1 r + C2 r^2 + C3 r^3,   r = peak out / peak in, 0.1 to 0.8
 *
 * @param pond.rainType      which NRCS distributions
 * @param pond.peakRatio     r
 * @param pond.runoffVolume  Vr [m3]
 * @returns  Vs [m3]
 * @throws InputError  when r is outside the curves or the volume below 0
 * @source  TR-55 (2nd ed. 1986) figure 6-1 by its equation, Table F-2 p. F-2; its range of r from memory
 * @example detentionStorage({ rainType: "ii and iii", peakRatio: 0.5, runoffVolume: 100 }); // => 27.65
 */
export function detentionStorage(pond: {
  readonly rainType: keyof typeof RATIO_COEFFICIENTS;
  readonly peakRatio: number;
  readonly runoffVolume: number;
}): number {
  const read = optionReader("detentionStorage", pond, "The storage cannot be estimated:");
  const rainType = read.word("rainType", ["i and ia", "ii and iii"]);
  const ratio = read.number("peakRatio", { least: 0.1, most: 0.8 });
  const volume = read.number("runoffVolume", { least: 0 });
  read.done();
  return volume * RATIO_COEFFICIENTS[rainType].reduceRight((sum, coefficient) => sum * ratio + coefficient, 0);
}
