import type { Groundwater } from "./site.ts";

/**
 * Length over which a body's head to the groundwater is lost [m]: what the file says for all of them, or a multiple (1 unless a
 * study asks for another) of the body's own length: the width of pit and trench, the side of a square as large as the pocket of a
 * weep hole, the diameter of a circle as large as the low spot.
 *
 * @source  a choice, not a law: a near water table stops mattering past about twice a basin's width in a steady state (Bouwer,
 *          Hydrogeology Journal 10, 2002, from memory), which no storm is
 */
export function seepagePath({ pathLength, ownLengths }: Pick<Groundwater, "pathLength" | "ownLengths">, own: number): number {
  return pathLength ?? ownLengths * own;
}
