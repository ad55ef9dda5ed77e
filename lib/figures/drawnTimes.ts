/**
 * The times at which smooth functions must be drawn so that straight lines between them stay right: near every
 * function within a tolerance, as far as halving the knots' intervals can see; what turns within a fifty-thousandth of
 * the whole is seen at its knots alone. All functions share the times, so that one pointer reads them all at once.
 *
 * @param functions          each asked at times between the first and last knot [s]; smooth between neighbouring knots
 * @param knots              times [s] that do not fall, two or more: ends of steps, corners, both sides of a jump
 * @param options.tolerance  how far a line may stray, in the functions' unit, as far as the points allow
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
  const kept = needed(looked, options.tolerance / 2, most - evenly);
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
  const shortest = SHORTEST * (knots[knots.length - 1]! - knots[0]!);
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
    const step = knots[i]! - knots[i - 1]!;
    if (step > 0) refine(sampleAt(knots[i]!), step > shortest ? MOST_HALVINGS : 0);
  }
  return found;
}

// A step of the solver halved this often is shorter than a pixel of any picture.
const MOST_HALVINGS = 6;

// Of the whole: a small part of a pixel. Years of rain have a hundred thousand steps as short.
const SHORTEST = 2e-5;

/**
 * Times of the samples that a line within `tolerance` of all of them needs, the most needed first as long as there are
 * points (Douglas and Peucker 1973, by height instead of distance, worst span first).
 */
function needed(looked: readonly Sample[], tolerance: number, points: number): number[] {
  const keep = [0, looked.length - 1];
  const spans = [worstIn(looked, 0, looked.length - 1)];
  while (keep.length < points) {
    let worst = 0;
    spans.forEach((span, i) => {
      if (span.off > spans[worst]!.off) worst = i;
    });
    const { from, at, to, off } = spans[worst]!;
    if (off <= tolerance) break;
    keep.push(at);
    spans.splice(worst, 1, worstIn(looked, from, at), worstIn(looked, at, to));
  }
  return keep.sort((a, b) => a - b).map((i) => looked[i]!.time);
}

/** The sample between two others that lies farthest from the line through them. */
function worstIn(looked: readonly Sample[], from: number, to: number): { from: number; at: number; to: number; off: number } {
  let off = 0;
  let at = from;
  for (let i = from + 1; i < to; i++) {
    const away = distance(looked[i]!, looked[from]!, looked[to]!);
    if (away > off) {
      off = away;
      at = i;
    }
  }
  return { from, at, to, off };
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
