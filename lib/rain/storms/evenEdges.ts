/**
 * Edges from 0 to a duration, every interval to both sides of a pivot; the first and last interval may be shorter.
 *
 * @param duration  [s], more than 0
 * @param interval  [s], more than 0
 * @param pivot     [s], an edge of its own, 0 to duration
 */
export function evenEdges(duration: number, interval: number, pivot: number): number[] {
  const before = Math.ceil(pivot / interval - NEAR);
  const after = Math.ceil((duration - pivot) / interval - NEAR);
  const edges: number[] = [];
  for (let k = before; k > 0; k--) edges.push(k === before ? 0 : pivot - k * interval);
  edges.push(pivot);
  for (let k = 1; k <= after; k++) edges.push(k === after ? duration : pivot + k * interval);
  return edges;
}

/** Share of an interval that is rounding and no interval of its own. */
const NEAR = 1e-9;
