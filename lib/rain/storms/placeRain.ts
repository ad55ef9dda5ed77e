import { uniformDraw, truncatedExponential } from "../../numerics/draw.ts";
import { optionReader } from "../../text/optionReader.ts";
import { YEAR } from "../../text/unitTable.ts";
import type { Rainfall } from "./depthDuration.ts";
import { hyetograph, type Hyetograph } from "../hyetograph.ts";
import { rainFrequency, type RainFrequency } from "./rainFrequency.ts";
import { readClimate, type Climate, type ReadClimate } from "./stochasticRain.ts";

/** What years of a place's rain are made of. */
export interface PlaceRainOptions extends Climate {
  /** the town's table with two return periods or more, or the UK's factors */
  readonly rainfall: Rainfall;
  readonly years: number;
  readonly seed: number;
  /** tells several records of one seed apart */
  readonly record?: number;
}

/**
 * Years of invented rain whose extremes are those of the town's table, at every duration and return period that it covers, and whose
 * storms have the averages of the place. Every storm of the year is one of two kinds:
 *
 * - a rare one, of `nestedRarity`: the richest stretch of each duration as rare as it is drawn, round a peak that lies anywhere in the
 *   middle four fifths of the storm, down to the table's shortest duration. Their rates are the table's up to six events a year (less
 *   in places with few or small storms: half of the storms and four fifths of depth and time at most).
 * - a common one: its duration t exponential, its depth a share of what is passed as often as those six in the duration t, the share
 *   exponential, cut at 1. Half of it falls evenly, half nested as the table has it. At no duration does it reach what the rare ones
 *   bring.
 *
 * The means of the common ones make up what the rare ones leave of the place's storms, depth and time. Dry spells are exponential beyond
 * 6 hours, and beyond 12 beside a rare storm, so that no day's richest stretch is made of two of them. With S storms a year a storm is
 * as rare as u with the probability 1 - exp(-u w/S), w the rare ones for each event a year.
 *
 * Year y of record r draws from (seed, r) alone: a longer record begins with the shorter one.
 *
 * @returns  a record from 0 to the end of its years; a storm across that end is cut there
 * @throws InputError  with all problems: of the climate, a rainfall without rates, a climate with less rain than the table
 * @source  derived here; held against the tables themselves in tests/prove/placeRain.test.ts
 */
export function placeRain(options: PlaceRainOptions): Hyetograph {
  const read = optionReader("climate", options, "The rain cannot be made:");
  const climate = readClimate(read);
  const rain = rainFrequency(read.raw("rainfall") as Rainfall);
  if (rain === null) read.problem("rainfall", "a table of two durations and return periods or more, or the UK's factors", "rain without rates");
  read.done();
  const law = stormLaw(rain!, climate);
  if (law === null) {
    read.problem("meanDepth", "more rain in a year than the table's own rare storms bring", `${climate.perYear * climate.meanDepth} m a year`);
    read.done();
  }
  return drawnYears(law!, climate);
}

/** Rare and common storms of a place. */
interface StormLaw {
  /** of a storm to be a rare one */
  readonly rareChance: number;
  readonly rare: (share: number, pick: number) => StormProfile;
  readonly common: (share: number, time: number) => StormProfile;
  /** least dry spell, between common storms and beside a rare one, and mean of what is drawn beyond it [s] */
  readonly dry: { readonly common: number; readonly rare: number; readonly beyond: number };
}

/** Events a year up to which the rare storms have the table's rates: as often as that, in practice, a lid opens. */
const OFTEN = 6;

/** Of storms, depth and time that the rare storms may take. */
const [MOST_STORMS, MOST_REST] = [0.5, 0.8];

/** null where even the storms of the table's commonest return period leave nothing for others */
function stormLaw(rain: RainFrequency, climate: ReadClimate): StormLaw | null {
  const { perYear, meanDepth, meanDuration } = climate;
  const least = 1.2 * rain.rateOf(rain.returnPeriods[0]!);
  for (let often = Math.min(OFTEN, perYear / 4); often >= Math.min(least, 1); often *= 0.85) {
    const rarity = nestedRarity(rain, often, perYear);
    const rareChance = -Math.expm1(-rarity.perYear / perYear);
    const rare = (share: number, pick: number): StormProfile => (
      rarity.profile((-perYear / rarity.perYear) * often * Math.log1p(-rareChance * share), pick)
    );
    const { depth, time } = meansOf(rare);
    const left = {
      depth: (meanDepth - rareChance * depth) / (1 - rareChance), time: (meanDuration - rareChance * time) / (1 - rareChance),
    };
    const fits = rareChance <= MOST_STORMS && rareChance * depth <= MOST_REST * meanDepth && rareChance * time <= MOST_REST * meanDuration;
    const room = mean((share) => rarity.often(-left.time * Math.log(share)));
    if (!fits || left.depth >= MOST_REST * room) continue;
    const common = commonStorms(rain, rarity, left.time, left.depth / room);
    return { rareChance, rare, common, dry: drySpells(climate, rareChance) };
  }
  return null;
}

function meansOf(rare: StormLaw["rare"]): { readonly depth: number; readonly time: number } {
  const over = (of: (storm: StormProfile) => number): number => mean((pick) => mean((share) => of(rare(share, pick)), 50), 100);
  return { depth: over(({ depths }) => depths.at(-1)!), time: over(({ durations }) => durations.at(-1)!) };
}

/** Of a function over 0 to 1, at the middles of equal parts. */
function mean(of: (share: number) => number, parts: number = 1000): number {
  let sum = 0;
  for (let i = 0; i < parts; i++) sum += of((i + 0.5) / parts);
  return sum / parts;
}

function commonStorms({ durations }: RainFrequency, rarity: NestedRarity, meanTime: number, meanShare: number): StormLaw["common"] {
  const shareOf = truncatedExponential(meanShare);
  // a burst in four times its length, and so on, is as much as a common storm needs
  const inner = durations.reduce<number[]>((kept, each) => (each >= 4 * (kept.at(-1) ?? 0) && each >= 600 ? [...kept, each] : kept), []);
  return (share, time) => {
    const lasts = Math.max(60, -meanTime * Math.log(time));
    const within = inner.filter((each) => each < lasts);
    const whole = rarity.often(lasts);
    const depth = shareOf(share) * whole;
    return {
      durations: [...within, lasts],
      depths: [...within.map((each) => (depth / 2) * (each / lasts + rarity.often(each) / whole)), depth],
    };
  };
}

/** Two storms have at least this long without rain between them [s]. */
const APART = 6 * 3600;

function drySpells({ perYear, meanDuration }: ReadClimate, rareChance: number): StormLaw["dry"] {
  const dry = YEAR / perYear - meanDuration;
  const least = APART * (1 + (1 - (1 - rareChance) ** 2));
  // where it rains nearly always dry spells are as short as they must be
  const scale = Math.min(1, (0.8 * dry) / least);
  return { common: APART * scale, rare: 2 * APART * scale, beyond: dry - least * scale };
}

/** Numbers drawn for a storm at most. */
const DRAWS = 8;

function drawnYears({ rareChance, rare, common, dry }: StormLaw, { years, seed, record }: ReadClimate): Hyetograph {
  const end = years * YEAR;
  const time = [0];
  const depth: number[] = [];
  let wasRare = false;
  for (let storm = 0; ; storm++) {
    const draw = (which: number): number => uniformDraw(seed, storm, DRAWS * record + which);
    const isRare = draw(0) < rareChance;
    const start = time.at(-1)! + (isRare || wasRare ? dry.rare : dry.common) - dry.beyond * Math.log(draw(1));
    if (start >= end) break;
    wasRare = isRare;
    const profile = isRare ? rare(draw(2), draw(3)) : common(draw(2), draw(3));
    time.push(start);
    depth.push(0);
    placeStorm(profile, 0.1 + 0.8 * draw(4), start, end, time, depth);
    if (time.at(-1)! >= end) break;
  }
  if (time.at(-1)! < end) {
    time.push(end);
    depth.push(0);
  }
  return hyetograph({ time, depth });
}

/** A storm's stretches nested round its peak, cut there as `peakAt` to the rest, until the record's end. */
function placeStorm(
  { durations, depths }: StormProfile, peakAt: number, start: number, end: number, time: number[], depth: number[],
): void {
  const last = durations.length - 1;
  const peak = start + peakAt * durations[last]!;
  const intensity = (k: number): number => (depths[k]! - (depths[k - 1] ?? 0)) / (durations[k]! - (durations[k - 1] ?? 0));
  const until = (edge: number, rate: number): void => {
    const [from, to] = [time.at(-1)!, Math.min(edge, end)];
    if (!(to > from)) return;
    time.push(to);
    depth.push(rate * (to - from));
  };
  for (let k = last; k > 0; k--) until(peak - peakAt * durations[k - 1]!, intensity(k));
  for (let k = 0; k <= last; k++) until(peak + (1 - peakAt) * durations[k]!, intensity(k));
}

/** The most that falls in any stretch of a storm, by the stretch's length. */
interface StormProfile {
  /** [s], rising; the last is how long the storm lasts */
  readonly durations: readonly number[];
  /** [m] for each; it rises less and less steeply, so that stretches nested round a peak are the richest ones */
  readonly depths: readonly number[];
}

/** Storms whose richest stretches come at the rates of a table, at every duration at once. */
interface NestedRarity {
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
