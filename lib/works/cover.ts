/** [ground, K_c A_plan / t_c] of soil and turf over a body */
export function coverRow(ground: number, conductivity: number, planArea: number, thickness: number): number[] {
  return [ground, (conductivity * planArea) / thickness];
}
