/** [ground, K_c A_plan / t_c] of soil and turf over a body */
export function coverRow(ground: number, conductivity: number, planArea: number, thickness: number): number[] {
  return [ground, (conductivity * planArea) / thickness];
}

/**
 * Water pressed up through the cover (Darcy), upwards only: Q = K_c A_plan (Ha - max(ground, Hb)) / t_c.
 *
 * @param Hb  level of the water on the surface [m], -Infinity where it runs off
 */
export function coverFlow(table: Float64Array, row: number, Ha: number, Hb: number, out: Float64Array): void {
  const ground = table[row]!;
  const head = Ha - Math.max(ground, Hb);
  const conductance = head > 0 ? table[row + 1]! : 0;
  out[0] = conductance * Math.max(0, head);
  out[1] = conductance;
  out[2] = Hb > ground ? -conductance : 0;
}
