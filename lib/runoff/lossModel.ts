import type { Hyetograph } from "../rain/hyetograph.ts";

/**
 * What the ground keeps: rain in, effective rain out (the part that runs off). The effective rain has all edges of the
 * rain, and more where the law has a kink; at its edges it is exact whatever the intervals. Between two edges a curved
 * law is spread evenly: give it rain that is split finely enough (`splitEvery`).
 */
export type LossModel = (rain: Hyetograph) => Hyetograph;
