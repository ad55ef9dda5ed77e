import type { RainFrequency } from "./rainFrequency.ts";

/** The most that falls in any stretch of a storm, by the stretch's length. */
export interface StormProfile {
  /** [s], rising; the last is how long the storm lasts */
  readonly durations: readonly number[];
  /** [m] for each; it rises less and less steeply, so that stretches nested round a peak are the richest ones */
  readonly depths: readonly number[];
}

/** Storms whose richest stretches come at the rates of a table, at every duration at once. */
export interface NestedRarity {
  /** storms a year that are rarer than `often` at the duration at which they are rarest */
  readonly perYear: number;
  /**
   * One of them.
   *
   * @param rarity  how many a year are as rare, or rarer, at the storm's own duration: of (0, often), all alike likely
   * @param pick    0 to 1: picks the storm's own duration
   */
  profile(rarity: number, pick: number): StormProfile;
  /** What is passed `often` times a year, [s] -> [m]. */
  often(duration: number): number;
}

/**
 * Storms by their rarity. A storm is rarest at a duration p of its own, where u storms a year are as rare; at another duration d it is
 * commoner by a factor that grows with the distance of the two:
 *
 *   v(d) = u exp|s(d) - s(p)|        its rate at d,        R(d) = D(d, v(d))        its richest stretch of the length d
 *   s(d) = ln(d/1 h)/1.4 up to an hour, ln(d/1 h)/2.5 beyond
 *
 * Storms of own duration p come at a rate w(p) du. Those with v(d) < x come at the rate x sum over p of w(p) exp(-|s(d) - s(p)|), which
 * is x itself, so that every duration has the table's own rates, where at all durations d of the table
 *
 *   sum over p of w(p) exp(-|s(d) - s(p)|) = 1
 *
 * For durations h apart in s this is solved by w = (tanh(h before/2) + tanh(h after/2))/2, with 1 in place of the tanh before the
 * first and after the last, as the inverse of that matrix has three diagonals. Annual maxima at one duration are then those of the
 * table; at two durations they are dependent as those of a max-stable process: they fall in one storm in a share of years equal to
 * Kendall's tau between them. The 1.4 and 2.5 were fitted to the tau of Uccle's 35 annual maxima: 0.43, 0.44 and 0.23 between 10 min and
 * 1 h, 1 h and 24 h, 10 min and 24 h.
 *
 * A storm ends where it would be commoner than `often`. Depths are held to what a storm can be: they do not fall with duration and rise
 * less and less steeply. Where the table itself does so that changes a few storms commoner than its first column only.
 *
 * @param often  events a year
 * @param most   events a year at which depths are 0, above `often`
 * @source  derived; max-stable processes after de Haan, Annals of Probability 12, 1984, their concurrence after Dombry, Ribatet & Stoev,
 *          2018, both from memory; Uccle 1938 to 1972: dataset uccle of R's package evd
 */
export function nestedRarity(rain: RainFrequency, often: number, most: number): NestedRarity {
  const { durations } = rain;
  const last = durations.length - 1;
  const logs = durations.map(Math.log);
  const places = durations.map((duration) => Math.log(duration / HOUR) / (duration < HOUR ? REACH.minutes : REACH.hours));
  const tanh = places.slice(1).map((place, k) => Math.tanh((place - places[k]!) / 2));
  const weights = durations.map((_, k) => ((tanh[k - 1] ?? 1) + (tanh[k] ?? 1)) / 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const oftenDepths = durations.map((_, k) => rain.depth(k, often, most));
  return {
    perYear: total * often,
    profile(rarity, pick) {
      const own = pickOf(weights, pick * total);
      const rateAt = (k: number): number => rarity * Math.exp(Math.abs(places[k]! - places[own]!));
      let end = own;
      while (end < last && rateAt(end + 1) < often) end++;
      const depths = durations.slice(0, end + 1).map((_, k) => rain.depth(k, rateAt(k), most));
      return concave(durations.slice(0, end + 1), depths);
    },
    often(duration) {
      const steep = Math.log(oftenDepths[last]! / oftenDepths[last - 1]!) / (logs[last]! - logs[last - 1]!);
      if (duration >= durations[last]!) return oftenDepths[last]! * (duration / durations[last]!) ** steep;
      if (duration <= durations[0]!) return oftenDepths[0]! * (duration / durations[0]!);
      let k = 1;
      while (durations[k]! < duration) k++;
      const share = (Math.log(duration) - logs[k - 1]!) / (logs[k]! - logs[k - 1]!);
      return oftenDepths[k - 1]! * (oftenDepths[k]! / oftenDepths[k - 1]!) ** share;
    },
  };
}

const HOUR = 3600;

/** How far in logarithm of time a storm keeps its rarity; see above. */
const REACH = { minutes: 1.4, hours: 2.5 } as const;

function pickOf(weights: readonly number[], place: number): number {
  let sum = 0;
  for (let k = 0; k < weights.length - 1; k++) {
    sum += weights[k]!;
    if (place < sum) return k;
  }
  return weights.length - 1;
}

/** The least profile over this one that does not fall and rises less and less steeply, from nothing at no time. */
function concave(durations: readonly number[], depths: readonly number[]): StormProfile {
  const corners: { at: number; depth: number }[] = [{ at: 0, depth: 0 }];
  let highest = 0;
  durations.forEach((at, k) => {
    highest = Math.max(highest, depths[k]!);
    while (corners.length > 1) {
      const [before, middle] = [corners.at(-2)!, corners.at(-1)!];
      if ((middle.depth - before.depth) * (at - middle.at) > (highest - middle.depth) * (middle.at - before.at)) break;
      corners.pop();
    }
    corners.push({ at, depth: highest });
  });
  // it lasts as long as it brings more
  while (corners.length > 2 && corners.at(-1)!.depth <= corners.at(-2)!.depth) corners.pop();
  const shown = corners.slice(1);
  return { durations: shown.map(({ at }) => at), depths: shown.map(({ depth }) => depth) };
}
