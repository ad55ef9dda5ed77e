/** Points of a line as a picture has them, [px]; null is a gap. */
export type PixelPoint = readonly [x: number, y: number] | null;

/**
 * The path of a line through points, broken at gaps. To a tenth of a pixel, and points that stand on the pixel before them
 * are left out: a browser then has less to read.
 *
 * @param steps  true: level to the next point, then up or down to it
 */
export function linePath(points: readonly PixelPoint[], steps: boolean = false): string {
  const parts: string[] = [];
  let last: readonly [number, number] | null = null;
  for (const point of points) {
    if (point === null) {
      last = null;
      continue;
    }
    const [x, y] = [tenth(point[0]), tenth(point[1])];
    if (last === null) parts.push(`M${x} ${y}`);
    else if (steps) parts.push(`H${x}V${y}`);
    else if (x !== last[0] || y !== last[1]) parts.push(`L${x} ${y}`);
    last = [x, y];
  }
  return parts.join("");
}

function tenth(pixel: number): number {
  return Math.round(pixel * 10) / 10;
}
