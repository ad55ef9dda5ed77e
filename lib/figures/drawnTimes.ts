/**
 * The times at which smooth functions must be drawn so that straight lines between them stay right: near every
 * function within a tolerance, as far as halving the knots' intervals can see. All functions share the times, so that
 * one pointer reads them all at once.
 *
 * @param functions          each asked at times between the first and last knot [s]; smooth between neighbouring knots
 * @param knots              times [s] that do not fall, two or more: ends of steps, corners, both sides of a jump
 * @param options.tolerance  how far a line may stray, in the functions' unit; doubled until the times are few enough
 * @param options.points     times at most, 600 where not given; a quarter of them may go to times that only make the
 *                           spacing even
 * @returns                  times [s], rising, from the first knot to the last
 */
export function drawnTimes(
  functions: readonly ((time: number) => number)[],
  knots: ArrayLike<number>,
  options: { readonly tolerance: number; readonly points?: number },
): number[] {
  const most = options.points ?? 600;
  // Half of the tolerance is spent on looking closely enough, half on leaving points out.
  const looked = samples(functions, knots, options.tolerance / 2);
  const evenly = Math.floor(most / 4);
  let tolerance = options.tolerance / 2;
  let kept = needed(looked, tolerance);
  while (kept.length > most - evenly) {
    tolerance *= 2;
    kept = needed(looked, tolerance);
  }
  return spacedOut(kept, evenly);
}

/** A time and every function's value there. */
interface Sample {
  readonly time: number;
  readonly values: readonly number[];
}

function samples(functions: readonly ((time: number) => number)[], knots: ArrayLike<number>, tolerance: number): Sample[] {
  const sampleAt = (time: number): Sample => ({ time, values: functions.map((value) => value(time)) });
  const found: Sample[] = [sampleAt(knots[0]!)];
  const refine = (to: Sample, halvings: number): void => {
    const from = found.at(-1)!;
    // Off the middle too, since a curve may cross its chord there.
    const strays = halvings > 0 && [0.25, 0.5, 0.75].some((share) =>
      distance(sampleAt(from.time + share * (to.time - from.time)), from, to) > tolerance);
    if (strays) {
      refine(sampleAt(from.time + (to.time - from.time) / 2), halvings - 1);
      refine(to, halvings - 1);
    } else found.push(to);
  };
  for (let i = 1; i < knots.length; i++) {
    if (knots[i]! > knots[i - 1]!) refine(sampleAt(knots[i]!), MOST_HALVINGS);
  }
  return found;
}

// A step of the solver halved this often is shorter than a pixel of any picture.
const MOST_HALVINGS = 6;

/** Which samples a line within `tolerance` of all of them keeps (Douglas and Peucker 1973, by height instead of distance). */
function needed(looked: readonly Sample[], tolerance: number): number[] {
  const keep = new Set([0, looked.length - 1]);
  const spans: [from: number, to: number][] = [[0, looked.length - 1]];
  for (let span = spans.pop(); span !== undefined; span = spans.pop()) {
    const [from, to] = span;
    let worst = tolerance;
    let at = -1;
    for (let i = from + 1; i < to; i++) {
      const off = distance(looked[i]!, looked[from]!, looked[to]!);
      if (off > worst) {
        worst = off;
        at = i;
      }
    }
    if (at >= 0) {
      keep.add(at);
      spans.push([from, at], [at, to]);
    }
  }
  return [...keep].sort((a, b) => a - b).map((i) => looked[i]!.time);
}

/** How far a sample lies from the straight line between two others, of the function that is farthest. */
function distance(sample: Sample, from: Sample, to: Sample): number {
  const share = (sample.time - from.time) / (to.time - from.time);
  let most = 0;
  for (let i = 0; i < sample.values.length; i++) {
    const line = from.values[i]! + share * (to.values[i]! - from.values[i]!);
    most = Math.max(most, Math.abs(sample.values[i]! - line));
  }
  return most;
}

/** The times, with others between them where they stand farther apart than one part in `parts` of the whole. */
function spacedOut(times: readonly number[], parts: number): number[] {
  const widest = (times.at(-1)! - times[0]!) / Math.max(1, parts);
  const spaced: number[] = [times[0]!];
  for (let i = 1; i < times.length; i++) {
    const from = times[i - 1]!;
    const pieces = Math.max(1, Math.floor((times[i]! - from) / widest));
    for (let k = 1; k < pieces; k++) spaced.push(from + (k / pieces) * (times[i]! - from));
    spaced.push(times[i]!);
  }
  return spaced;
}
