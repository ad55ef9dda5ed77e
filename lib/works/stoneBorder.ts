/** [low floor of the upper segment, k_s w / L_r, stone depth] */
export function stoneBorderRow(floor: number, conductivity: number, width: number, length: number, depth: number): number[] {
  return [floor, (conductivity * width) / length, depth];
}
