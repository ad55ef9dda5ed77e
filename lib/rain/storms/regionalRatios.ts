/** Names of the published sets of ratios. */
export type RegionalRatios = "nrcs-a" | "nrcs-b" | "nrcs-c" | "nrcs-d";

const DURATIONS = ["5 min", "10 min", "15 min", "30 min", "60 min", "2 h", "3 h", "6 h", "12 h", "24 h"] as const;

/**
 * Depth of a duration over that of 24 hours, in the four regions of rain that NRCS drew from NOAA Atlas 14 for the Ohio River basin and
 * the states about it: from A, where most of a day's rain falls within the hour, to D.
 *
 * @source  NRCS, National Engineering Handbook part 630, chapter 4 (2019), figure 4-72; the figures read in a stored program text that
 *          names figure and page, without a second source. Which region a county lies in, the handbook's map says.
 */
const RATIOS: Readonly<Record<RegionalRatios, readonly number[]>> = Object.freeze({
  "nrcs-a": [0.143, 0.219, 0.272, 0.386, 0.502, 0.594, 0.635, 0.749, 0.864, 1],
  "nrcs-b": [0.121, 0.189, 0.237, 0.344, 0.453, 0.543, 0.585, 0.705, 0.84, 1],
  "nrcs-c": [0.105, 0.166, 0.21, 0.308, 0.409, 0.5, 0.545, 0.672, 0.823, 1],
  "nrcs-d": [0.094, 0.149, 0.188, 0.276, 0.366, 0.454, 0.501, 0.636, 0.805, 1],
});

export const REGIONAL_RATIOS: readonly string[] = Object.freeze(Object.keys(RATIOS));

/** A published set by duration; null for an unknown name. */
export function regionalRatios(name: string): Readonly<Record<string, number>> | null {
  const ratios = Object.entries(RATIOS).find(([each]) => each === name)?.[1];
  return ratios === undefined ? null : Object.fromEntries(DURATIONS.map((duration, k) => [duration, ratios[k]!]));
}
