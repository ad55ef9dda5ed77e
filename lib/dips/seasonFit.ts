import { errorFunction } from "../numerics/errorFunction.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { inverseOf } from "../numerics/linearEquations.ts";
import { normalQuantile } from "../numerics/normalQuantile.ts";
import { studentQuantile } from "../numerics/studentQuantile.ts";
import type { Site } from "../site/site.ts";
import { leastSquares, type LeastSquaresFit, type Model, priorSquares, slopes, type Unknown } from "./leastSquares.ts";
import { roomDoubt } from "./roomDoubt.ts";
import { seasonModel, type SeasonModel, type SeasonName, type SeasonRecord } from "./seasonModel.ts";

/** A season's numbers with what can be believed of them. */
export interface SeasonFit {
  readonly deviate: number;
  readonly room: number;
  readonly model: SeasonModel;
  readonly values: readonly number[];
  /** least squares of what is left, in variances */
  readonly squares: number;
  /** other hollows of the likelihood, the nearer ones first */
  readonly others: readonly SeasonHollow[];
  /** half the width of a value's band of 95 percent, as the fit counts it */
  readonly halves: readonly number[];
  /** of the values by the likelihood alone, as the fit counts them */
  readonly covariance: readonly (readonly number[])[];
  /** ends of the soil's band by the likelihood profile, the room as drawn, as the fit counts it */
  readonly soilBand: readonly [low: number, high: number];
  /** standard deviation of what a reading is off [m], and how it is remembered */
  readonly errors: ErrorKind & { readonly deviation: number };
  /** by the model, and read less that; NaN where the sensor stood dry [m] */
  readonly fitted: Float64Array;
  readonly residual: Float64Array;
  /** stretches that tell something of their own: the freedom the bands stand on */
  readonly stretches: number;
}

/** Values at which the likelihood is as high as anywhere near them. */
export interface SeasonHollow extends Pick<SeasonFit, "values" | "squares" | "halves" | "covariance" | "stretches"> {
  /** by which an error of the soil is multiplied for a band of 95 percent */
  readonly deviate: number;
  /** standard deviation of the logarithm of the room between the readings */
  readonly room: number;
}

/**
 * The likeliest values of a season's unknowns: Gaussian errors that are remembered for a time (`correlatedErrors`), a reading of a dry
 * sensor counted as "no higher than the sensor", with the chance of that, and what is known beforehand.
 *
 * Values and errors are found in turn: least squares of what is left when the correlation is taken out, then the likeliest memory of the
 * residuals, some rounds. A reading of a dry sensor is a square of -2 ln Phi((sensor - level)/s).
 *
 * Bands: that of the soil by the likelihood profile (`alongSoil`), for soil, floor and table make up for one another along a bent valley
 * of which slopes at one place of it see nothing. A table too deep to hold the pit's water back is a season of fewer unknowns: it is ruled
 * out where it misses by more than chance gives the unknowns it is without (chi squared), and while it is not the soil's band over it
 * belongs to the soil's band. The others by the slopes at the solution. The model is not the pit, and its faults come
 * storm by storm, so the larger is taken of the covariance that the likelihood has and the one that scatters as the stretches of some days
 * do ("sandwich"), with Student's t for their number.
 *
 * @source  maximum likelihood, any text; censored readings: Tobin, Econometrica 26, 1958; the sandwich: Huber 1967, White, Econometrica 50,
 *          1982; all from memory
 * @param near  the hollows of the likelihood, where they are known; where missing soils and tables all over what can be are tried
 * @param about  errors to set out from, where some like them are known
 */
export function seasonFit(record: SeasonRecord, near?: readonly (readonly number[])[], about?: SeasonFit["errors"]): SeasonFit {
  const { level } = record;
  const model = seasonModel(record);
  const starts = near ?? startsOf(record, model);
  const { told, whitenedModel, errors, wet, ...found } = likeliest(record, model, starts, about);
  const believed = (each: LeastSquaresFit): SeasonHollow => beliefs(record, told, whitenedModel, each, model, errors.deviation);
  let { fits } = found;
  const deep = { ...model, unknowns: heldOutOfReach(model) };
  const inDeep = searched(told, whitenedModel, deep, errors, withSoil(record, model, outOfReach(model, fits[0]!.values)).values, CLOSELY);
  const first = believed(fits[0]!);
  const walked = alongSoil(told, whitenedModel, model, fits[0]!, first, errors.deviation);
  const lowest = [...walked, inDeep].reduce((best, each) => (each.squares < best.squares ? each : best), fits[0]!);
  if (lowest !== fits[0]) fits = [searched(told, whitenedModel, model, errors, lowest.values, CLOSELY), ...fits];
  fits = hollowsOf(fits, errors.deviation, squaresOf(told, whitenedModel, model, errors));
  const [fit, ...others] = fits[0] === found.fits[0] ? [first, ...fits.slice(1).map(believed)] : fits.map(believed);
  const fitted = Float64Array.from(model.levels(fit!.values));
  return {
    model, ...fit!, others, errors, fitted, soilBand: withDeepTable(soilBandOf([...walked, ...fits], fit!, model, errors.deviation)),
    residual: level.map((each, i) => (wet[i] === 1 ? each - fitted[i]! : NaN)),
  };

  /** The soil's band with that over a table out of reach in it, where the readings do not rule such a table out. */
  function withDeepTable([low, high]: readonly [number, number]): [number, number] {
    const held = deep.unknowns.filter((each) => each.low === each.high).length;
    if (inDeep.squares / errors.deviation ** 2 - fit!.squares > fit!.deviate ** 2 * (RULED_OUT_OF[held]! / RULED_OUT)) return [low, high];
    const hollow = believed(inDeep);
    const at = model.names.indexOf("soil");
    const [value, half] = [inDeep.values[at]!, hollow.deviate * Math.sqrt(hollow.covariance[at]![at]!)];
    if (low <= value - half && value + half <= high) return [low, high];
    const along = alongSoil(told, whitenedModel, deep, inDeep, hollow, errors.deviation);
    const least = leastOf([inDeep, ...along].map(({ squares }) => squares)) / errors.deviation ** 2;
    const band = soilBandOf([inDeep, ...along], { ...hollow, squares: least }, model, errors.deviation);
    return [Math.min(low, band[0]), Math.max(high, band[1])];
  }
}

/** Values and errors of a season at which its likelihood is highest, without any band. */
export interface Likeliest {
  /** the hollows of the squares that were found, the deepest first */
  readonly fits: readonly LeastSquaresFit[];
  readonly errors: SeasonFit["errors"];
  /** -2 ln L there, less what is the same for all models of these readings */
  readonly surprise: number;
  readonly told: Float64Array;
  readonly whitenedModel: Model;
  /** 1 where the sensor did not stand dry */
  readonly wet: Uint8Array;
}

/**
 * Values and errors that are likeliest, found in turn; see `seasonFit`.
 *
 * @param starts  values to set out from
 * @param about   errors to set out from, where some like them are known
 */
export function likeliest(
  record: SeasonRecord, model: SeasonModel, starts: readonly (readonly number[])[], about?: SeasonFit["errors"],
): Likeliest {
  const { time, level, dry } = record;
  const wet = dry.map((each) => 1 - each);
  const [rises, lid] = [risesOf(level), withoutLid(record.site)];
  const step = middleStep(time);
  const bounds = [Math.max(step / 3, 600), Math.min(LONGEST_MEMORY, (time.at(-1)! - time[0]!) / 12)] as const;
  let errors: SeasonFit["errors"] = about ?? { memory: Math.min(bounds[1], 6 * 3600), white: 0.1, deviation: 0.03 };
  let fits: readonly LeastSquaresFit[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const { told, whitenedModel } = whitening(record, model, wet, errors);
    const from = round === 0 ? starts : fits.map(({ values }) => values);
    fits = hollowsOf(from.map((start) => searched(told, whitenedModel, model, errors, start, ROUGHLY)), errors.deviation,
      squaresOf(told, whitenedModel, model, errors));
    const [read, shown] = [lid(level), lid(model.levels(fits[0]!.values))];
    const residual = read.map((each, i) => (wet[i] === 1 ? each - shown[i]! : 0));
    const found = errorsOf(residual, time, wet, bounds, { of: rises, deviation: errors.deviation });
    const settled = Math.abs(Math.log(found.memory / errors.memory)) < 0.01 && Math.abs(found.deviation / errors.deviation - 1) < 0.02;
    errors = { ...found, deviation: Math.max(FINEST, found.deviation) };
    if (settled) break;
  }
  const { told, whitenedModel, logVariance } = whitening(record, model, wet, errors);
  fits = hollowsOf(fits.map(({ values }) => searched(told, whitenedModel, model, errors, values, CLOSELY)), errors.deviation,
    squaresOf(told, whitenedModel, model, errors));
  const count = wet.reduce((sum, each) => sum + each, 0);
  return {
    fits, errors, told, whitenedModel, wet,
    surprise: fits[0]!.squares / errors.deviation ** 2 + 2 * count * Math.log(errors.deviation) + logVariance,
  };
}

function searched(
  told: Float64Array, model: Model, { unknowns }: SeasonModel, { deviation }: SeasonFit["errors"], start: readonly number[],
  options: Parameters<typeof leastSquares>[4],
): LeastSquaresFit {
  return leastSquares(told, model, unknowns.map((each, j) => ({ ...each, start: start[j]! })), deviation, options);
}

/** Readings and model without the correlation of their errors; a dry reading is a row of its own. */
export function whitening(
  { site, level, time, dryAt }: SeasonRecord, { levels }: SeasonModel, wet: Uint8Array, kind: SeasonFit["errors"],
): { readonly told: Float64Array; readonly whitenedModel: Model; readonly logVariance: number } {
  const { of, logVariance } = whitener(time, wet, kind, risesOf(level));
  const lid = withoutLid(site);
  const whole = kind.deviation * Math.sqrt(1 + kind.white);
  return {
    told: of(lid(level)), logVariance,
    whitenedModel: (values) => {
      const water = levels(values);
      const out = of(lid(water));
      // an empty pit stands at one level
      let [stood, miss] = [NaN, NaN];
      for (let i = 0; i < out.length; i++) {
        if (wet[i] === 1) continue;
        if (water[i] !== stood) [stood, miss] = [water[i]!, missOfDry((dryAt - water[i]!) / whole)];
        out[i] = kind.deviation * shareOfDry(time, i, kind.memory) * miss;
      }
      return out;
    },
  };
}

/**
 * Levels with the band taken out in which an emitter's lid goes up and down: where in that band a reading finds the water depends on
 * seconds, and tells nothing of the works.
 */
function withoutLid({ emitter }: Site): (levels: Float64Array) => Float64Array {
  if (emitter === null) return (levels) => levels;
  const rest = Math.max(emitter.crest, emitter.tailwater ?? -Infinity);
  const [shuts, opens] = [rest + emitter.closesAtHead - BESIDE, rest + emitter.opensAtHead + BESIDE];
  return (levels) => levels.map((water) => (water <= shuts ? water : water < opens ? shuts : water - (opens - shuts)));
}

/** By which the pit stands off the trench while its water comes and goes through the lid [m]. */
const BESIDE = 0.005;

const ROUNDS = 5;

/** A run of months is dear: slopes are kept for some steps. While the errors are still being found searches need not go to the bottom. */
const CLOSELY = { kept: 4 };
const ROUGHLY = { kept: 4, enough: 5e-4 };
const WALKING = { kept: 6, enough: 5e-5, trusts: true };

/**
 * Fits with the soil held, from that of the best fit down and up, each from the ones before it, until they miss by more than chance: the
 * valley along which table, soil and floor make up for one another.
 */
function alongSoil(
  told: Float64Array, model: Model, { names, unknowns }: SeasonModel, fit: LeastSquaresFit, { covariance, deviate }: SeasonHollow,
  deviation: number,
): LeastSquaresFit[] {
  const at = names.indexOf("soil");
  const { low, high } = unknowns[at]!;
  const error = Math.sqrt(covariance[at]![at]!);
  const walked: LeastSquaresFit[] = [];
  let least = fit.squares;
  for (const side of [-1, 1] as const) {
    let [from, pace, before] = [fit, Math.min(LONGEST_STEP, Math.max(SHORTEST_STEP, (deviate / 2) * error)), 0];
    // where a straight model would have the others, then where the last two fits point
    let drift = unknowns.map((_, j) => covariance[j]![at]! / covariance[at]![at]!);
    for (let step = 0; step < MOST_STEPS; step++) {
      const soil = Math.min(high, Math.max(low, from.values[at]! + side * pace));
      const gone = soil - from.values[at]!;
      if (gone === 0) break;
      const next = leastSquares(told, model, unknowns.map((each, j) => (j === at ? { ...each, start: soil, low: soil, high: soil }
        : { ...each, start: Math.min(each.high, Math.max(each.low, from.values[j]! + gone * drift[j]!)) })), deviation, WALKING);
      drift = unknowns.map((_, j) => (next.values[j]! - from.values[j]!) / gone);
      from = next;
      walked.push(from);
      least = Math.min(least, from.squares);
      const rise = (from.squares - least) / deviation ** 2;
      if (rise > deviate ** 2 + BEYOND) break;
      if (rise - before < deviate ** 2 / 6) pace = Math.min(LONGEST_STEP, 1.6 * pace);
      before = rise;
    }
  }
  return walked;
}

const MOST_STEPS = 12;

/** Squares, in variances, past which the valley is left: a little beyond chance, for its bottom is not smooth. */
const BEYOND = 5;

/** Steps of the soil's logarithm. */
const SHORTEST_STEP = 0.04;
const LONGEST_STEP = 0.8;

/**
 * The soils that fits along the valley do not rule out: from the outermost that chance allows on to where, between it and the next one
 * that it does not, the root of the squares passes `deviate`.
 */
function soilBandOf(
  fits: readonly LeastSquaresFit[], { squares, deviate }: SeasonHollow, { names }: SeasonModel, deviation: number,
): [number, number] {
  const at = names.indexOf("soil");
  const all = fits.map((each) => ({ soil: each.values[at]!, rise: Math.sqrt(Math.max(0, each.squares / deviation ** 2 - squares)) }));
  const end = (side: 1 | -1): number => {
    const sorted = all.toSorted((a, b) => side * (a.soil - b.soil));
    const last = sorted.findLastIndex(({ rise }) => rise <= deviate);
    const [inside, outside] = [sorted[last]!, sorted[last + 1]];
    return outside === undefined ? inside.soil
      : inside.soil + (outside.soil - inside.soil) * ((deviate - inside.rise) / (outside.rise - inside.rise));
  };
  return [end(-1), end(1)];
}

/** No tape or sensor is finer [m]. */
const FINEST = 5e-4;

/** Longest memory that an error may have [s]: two days; ours. */
const LONGEST_MEMORY = 2 * 86_400;

/** What a dry reading is off, in errors: by straight lines between values of `missAt`, for it is asked for by the million. */
function missOfDry(z: number): number {
  if (z > 6) return 0;
  if (z < -8) return missAt(z);
  const [at, all] = [64 * (z + 8), MISSES];
  const i = Math.min(all.length - 2, Math.floor(at));
  return all[i]! + (at - i) * (all[i + 1]! - all[i]!);
}

/** sqrt(-2 ln Phi(z)); for z far below, where Phi is too small for a number, by its tail. */
function missAt(z: number): number {
  const share = (1 + errorFunction(z / Math.SQRT2)) / 2;
  return Math.sqrt(-2 * (share > 1e-12 ? Math.log(share) : -(z * z) / 2 - Math.log(-z * Math.sqrt(2 * Math.PI))));
}

/** From z = -8 to 6. */
const MISSES: Float64Array = Float64Array.from({ length: 64 * 14 + 1 }, (_, i) => missAt(i / 64 - 8));

/** Dry readings one after another share their errors: together they count as many as there are memories in them. */
function shareOfDry(time: Float64Array, i: number, memory: number): number {
  const step = i === 0 ? time[1]! - time[0]! : time[i]! - time[i - 1]!;
  return Math.sqrt(Math.min(1, step / memory));
}

function middleStep(time: Float64Array): number {
  const steps = Float64Array.from({ length: time.length - 1 }, (_, i) => time[i + 1]! - time[i]!).sort();
  return steps[steps.length >> 1]!;
}

/**
 * Values to set out from: soils from a ninth of the design's to nine times, each over several water tables, the best of each table, the
 * nearest ones first; and always one with the table out of reach (`outOfReach`).
 */
function startsOf(record: SeasonRecord, model: SeasonModel): number[][] {
  const base = model.unknowns.map(({ start }) => start);
  const table = model.names.indexOf("waterTable");
  const { low, high } = model.unknowns[table]!;
  const reached = [base[table]!, ...[0.15, 0.5, 0.8].map((share) => low + share * (high - low))]
    .map((stands) => withSoil(record, model, base.with(table, stands)));
  return [withSoil(record, model, outOfReach(model, base)), ...reached.sort((a, b) => a.miss - b.miss).slice(0, MOST_REACHED)]
    .map(({ values }) => values);
}

/**
 * The same season over a water table that stands too deep to hold the pit's water back, the floor as drawn. Here levels hang on soil and
 * floor alone, and nearly straight; from a table within reach a search does not come here, for a hill of the squares lies between.
 */
export function outOfReach({ names, unknowns }: SeasonModel, values: readonly number[]): number[] {
  return values.map((value, j) => {
    switch (names[j]) {
      case "floor": return unknowns[j]!.start;
      case "waterTable": return unknowns[j]!.low;
      case "tableSine": case "tableCosine": return 0;
      default: return value;
    }
  });
}

/** The unknowns of a season whose water table stands out of reach: it is held, and so is its swing. */
export function heldOutOfReach({ names, unknowns }: SeasonModel): Unknown[] {
  return unknowns.map((each, j) => {
    switch (names[j]) {
      case "waterTable": return { ...each, start: each.low, high: each.low };
      case "tableSine": case "tableCosine": return { ...each, start: 0, low: 0, high: 0 };
      default: return each;
    }
  });
}

/** The values with the soil, of a few all over what can be, by which the levels miss the readings least. */
export function withSoil(
  { level, dry }: SeasonRecord, { names, levels }: SeasonModel, values: readonly number[],
): { readonly values: number[]; readonly miss: number } {
  const soil = names.indexOf("soil");
  return SOILS.map((ln) => {
    const tried = values.with(soil, ln);
    return { values: tried, miss: levels(tried).reduce((sum, each, i) => sum + (dry[i] === 1 ? 0 : Math.abs(each - level[i]!)), 0) };
  }).reduce((best, each) => (each.miss < best.miss ? each : best));
}

const SOILS: readonly number[] = [-2.2, -1.1, 0, 1.1, 2.2];

/** Searches that are made at first from tables within reach; later only the remaining hollows are searched. */
const MOST_REACHED = 2;

/**
 * Fits between which there is a hill, the best first; those that no band would count are left out. A fit belongs to a
 * better one's hollow if the squares half way between the two are no more than at the worse of them: its search stopped on the slope.
 */
function hollowsOf(
  fits: readonly LeastSquaresFit[], deviation: number, squaresAt: (values: readonly number[]) => number,
): LeastSquaresFit[] {
  const hollows: LeastSquaresFit[] = [];
  for (const each of fits.toSorted((a, b) => a.squares - b.squares)) {
    const isNew = hollows.every(({ values, squares }, i) => (i > 0 || each.squares - squares < LEFT * deviation ** 2)
      && values.some((value, j) => Math.abs(value - each.values[j]!) > 0.05)
      && squaresAt(values.map((value, j) => (value + each.values[j]!) / 2)) > each.squares + deviation ** 2);
    if (isNew) hollows.push(each);
  }
  return hollows;
}

/** The squares at some values, as a search counts them. */
function squaresOf(
  told: Float64Array, model: Model, { unknowns }: SeasonModel, { deviation }: SeasonFit["errors"],
): (values: readonly number[]) => number {
  return (values) => model(values).reduce((sum, each, i) => sum + (told[i]! - each) ** 2, priorSquares(unknowns, values, deviation));
}

/** Squares that a hollow may be above the best, in variances, and still be searched while the errors are still being found. */
const LEFT = 30;

/** Stretches whose scatter counts [s]: longer than any error is remembered. */
const STRETCH = 5 * 86_400;

function beliefs(
  { site, time, level, dry }: SeasonRecord, told: Float64Array, model: Model, fit: LeastSquaresFit, { unknowns, names }: SeasonModel,
    deviation: number,
): SeasonHollow {
  const n = unknowns.length;
  const columns = slopes(model, unknowns, fit.values).map((column, j) => column.map((slope) => (slope * unknowns[j]!.size) / deviation));
  const prior = unknowns.map(({ size, prior: known }) => (known === undefined ? 1e-9 : (size / known.deviation) ** 2));
  const zero = (): number[][] => Array.from({ length: n }, () => new Array<number>(n).fill(0));
  const information = zero();
  const scatter = zero();
  const blocks = Math.max(1, Math.ceil((time.at(-1)! - time[0]!) / STRETCH));
  const scores = Array.from({ length: blocks }, () => new Float64Array(n));
  const weights = new Float64Array(blocks);
  for (let i = 0; i < told.length; i++) {
    const off = (told[i]! - fit.fitted[i]!) / deviation;
    const b = Math.min(blocks - 1, Math.floor((time[i]! - time[0]!) / STRETCH));
    for (let j = 0; j < n; j++) {
      const slope = columns[j]![i]!;
      if (slope === 0) continue;
      scores[b]![j]! += slope * off;
      if (j === 0) weights[b]! += slope * slope;
      for (let k = 0; k < n; k++) information[j]![k]! += slope * columns[k]![i]!;
    }
  }
  for (const score of scores) for (let j = 0; j < n; j++) for (let k = 0; k < n; k++) scatter[j]![k]! += score[j]! * score[k]!;
  for (let j = 0; j < n; j++) {
    information[j]![j]! += prior[j]!;
    scatter[j]![j]! += prior[j]!;
  }
  // stretches that tell of the soil, counted by how evenly they do
  const [sum, squares] = [weights.reduce((a, b) => a + b, 0), weights.reduce((a, b) => a + b * b, 0)];
  const stretches = squares > 0 ? (sum * sum) / squares : 1;
  const plain = inverseOf(information);
  const robust = times(times(plain, scatter.map((line) => line.map((each) => each * (stretches / Math.max(1, stretches - 1))))), plain);
  const wet = level.filter((_, i) => dry[i] === 0);
  const room = wet.length === 0 ? 0 : roomDoubt(site, leastOf(wet), greatestOf(wet));
  const t = studentQuantile(0.975, Math.max(1, stretches - 1));
  const normal = normalQuantile(0.975);
  const soil = names.indexOf("soil");
  const scattered = Math.sqrt(robust[soil]![soil]! / plain[soil]![soil]!);
  return {
    values: fit.values, squares: fit.squares / deviation ** 2, stretches, room,
    deviate: BENT * Math.max(normal, Math.min(MOST_ROBUST * normal, t) * Math.min(MOST_SCATTER, scattered)),
    halves: unknowns.map(({ size }, j) => Math.hypot(
      BENT * size * Math.max(normal * Math.sqrt(plain[j]![j]!), Math.min(MOST_ROBUST * normal, t) * Math.sqrt(robust[j]![j]!)),
      names[j] === "soil" || names[j] === "roof" ? normal * room : 0,
    )),
    covariance: plain.map((line, j) => line.map((each, k) => each * unknowns[j]!.size * unknowns[k]!.size)),
  };
}

/**
 * The works are not quite the model, and that is in no error of a reading. With bands a quarter wider than the likelihood has them the
 * soil's, by its profile, held 261 of the first 278 seeded seasons of `tests/prove/seasons`.
 */
const BENT = 1.25;

/** What scatters more by its stretches than so does so because there are few. */
const MOST_SCATTER = 2;

/** Student's t of one or two stretches says nothing but that; no band is widened more by it. */
const MOST_ROBUST = 1.5;

function times(a: readonly (readonly number[])[], b: readonly (readonly number[])[]): number[][] {
  return a.map((line) => b[0]!.map((_, k) => line.reduce((sum, each, j) => sum + each * b[j]![k]!, 0)));
}

/**
 * An unknown's value and its band of 95 percent, every hollow that is not ruled out in it, as the fit counts it; null where the model has
 * not got it.
 */
export function seasonBand(fit: SeasonFit, name: SeasonName): { readonly value: number; readonly low: number;
  readonly high: number } | null {
  const j = fit.model.names.indexOf(name);
  if (j < 0) return null;
  const { low, high } = fit.model.unknowns[j]!;
  if (name === "soil") {
    const value = fit.values[j]!;
    const wider = (end: number): number => Math.hypot(end - value, normalQuantile(0.975) * fit.room);
    return { value, low: Math.max(low, value - wider(fit.soilBand[0])), high: Math.min(high, value + wider(fit.soilBand[1])) };
  }
  const hollows: readonly SeasonHollow[] = [fit, ...fit.others.filter(({ squares }) => squares - fit.squares < RULED_OUT)];
  return {
    value: fit.values[j]!,
    low: Math.max(low, leastOf(hollows.map(({ values, halves }) => values[j]! - halves[j]!))),
    high: Math.min(high, greatestOf(hollows.map(({ values, halves }) => values[j]! + halves[j]!))),
  };
}

/** Chi squared at 95 percent with one degree of freedom. */
const RULED_OUT = 3.84;

/** Chi squared at 95 percent by its degrees of freedom, one for each unknown that is held; from memory. */
const RULED_OUT_OF: Readonly<Record<number, number>> = { 1: RULED_OUT, 3: 7.81 };

/** What the errors of a series are like: a white part, and one that is remembered and takes in a fresh error where the level rises much. */
interface ErrorKind {
  /** time in which the remembered part falls to 1/e [s] */
  readonly memory: number;
  /** variance of the white part over that of the remembered one */
  readonly white: number;
  /** what the square of a rise adds to the variance of the remembered part, over that part's own [1/unit2]; none where missing */
  readonly rise?: number;
}

/** Takes the correlation of one kind of errors out of series that were read at the same times. */
interface Whitener {
  /** n numbers of variance 1 without correlation where the series is of such errors, 0 where nothing counts */
  of(series: Float64Array): Float64Array;
  /** sum of ln S, which a likelihood pays for */
  readonly logVariance: number;
}

/** What a series rises from one reading to the next [its unit]. */
function risesOf(level: Float64Array): Float64Array {
  return level.map((each, i) => (i === 0 ? 0 : Math.max(0, each - level[i - 1]!)));
}

/**
 * Takes the correlation out of series: what comes out has, of errors of this kind with a remembered part of variance 1, a variance of 1
 * each and no correlation. It is linear in the series, so the difference of two series comes out as that of what comes out of them.
 *
 * The remembered part is that of Ornstein and Uhlenbeck, exp(-|t - t'|/memory), which knows uneven intervals; with the white part the
 * innovations are those of a filter of one state,
 *
 *   a = phi a,  P = phi^2 P + 1 - phi^2 + rise r^2,  phi = exp(-dt/memory);   v = x - a,  S = P + white;   a += P v/S,  P = P (1 - P/S)
 *
 * and v/sqrt(S) is what comes out. The third term is the fresh error of the model after each storm, a share of what the storm did (r): a
 * model that has the loss of a roof a little wrong is off by so much after every storm, and no single reading of a rise may weigh more than
 * that leaves it.
 *
 * @param time    n times that rise [s]
 * @param kept    which of them count; the others are passed over, and time goes on
 * @param rises   n rises, as `risesOf` gives them; none where missing
 * @source  Kalman's filter, any text; the correlation: Uhlenbeck & Ornstein, Physical Review 36, 1930, from memory
 */
export function whitener(
  time: Float64Array, kept: Uint8Array, { memory, white, rise = 0 }: ErrorKind, rises?: Float64Array,
): Whitener {
  const n = time.length;
  const [phis, gains, roots] = [new Float64Array(n), new Float64Array(n), new Float64Array(n)];
  let [variance, last, logVariance] = [1, NaN, 0];
  for (let i = 0; i < n; i++) {
    if (kept[i] === 0) continue;
    if (!Number.isNaN(last)) {
      const phi = Math.exp(-(time[i]! - last) / memory);
      phis[i] = phi;
      variance = phi * phi * variance + 1 - phi * phi + rise * (rises?.[i] ?? 0) ** 2;
    }
    last = time[i]!;
    const all = variance + white;
    gains[i] = variance / all;
    roots[i] = Math.sqrt(all);
    logVariance += Math.log(all);
    variance *= 1 - gains[i]!;
  }
  return {
    logVariance,
    of(series) {
      const out = new Float64Array(n);
      let state = 0;
      for (let i = 0; i < n; i++) {
        if (kept[i] === 0) continue;
        state *= phis[i]!;
        const off = series[i]! - state;
        out[i] = off / roots[i]!;
        state += gains[i]! * off;
      }
      return out;
    },
  };
}

/**
 * The likeliest kind of errors of some residuals, by the Gaussian likelihood with its variance taken out,
 *
 *   -2 ln L = n ln(sum v^2/S / n) + sum ln S
 *
 * over memories within bounds and a few shares of white error. The bounds are there so that no error is remembered for so long that a
 * season, or a floor that silts up, would pass for one.
 *
 * @param rises      what the series rose, and about what an error is [the residuals' unit]; where missing no rise brings a fresh error
 * @returns  the kind, and the standard deviation of its remembered part [the residuals' unit]
 */
export function errorsOf(
  residual: Float64Array, time: Float64Array, kept: Uint8Array, [shortest, longest]: readonly [number, number],
  rises?: { readonly of: Float64Array; readonly deviation: number },
): ErrorKind & { readonly deviation: number } {
  const count = kept.reduce((sum, each) => sum + each, 0);
  let best: ErrorKind & { readonly deviation: number } = { memory: shortest, white: 0, deviation: NaN };
  let least = Infinity;
  for (let step = 0; step < MEMORIES; step++) {
    const memory = shortest * (longest / shortest) ** (step / (MEMORIES - 1));
    for (const white of WHITES) for (const share of rises === undefined ? [0] : RISE_SHARES) {
      const kind = { memory, white, ...(share === 0 ? {} : { rise: (share / rises!.deviation) ** 2 }) };
      const { of, logVariance } = whitener(time, kept, kind, rises?.of);
      const squares = of(residual).reduce((sum, each) => sum + each * each, 0);
      const cost = count * Math.log(Math.max(squares, Number.MIN_VALUE) / count) + logVariance;
      if (cost < least) [least, best] = [cost, { ...kind, deviation: Math.sqrt(squares / count) }];
    }
  }
  return best;
}

const MEMORIES = 10;
const WHITES: readonly number[] = [0.003, 0.03, 0.1, 0.3, 1, 3];
/** What a model may be off after a rise, as shares of the rise. */
const RISE_SHARES: readonly number[] = [0, 0.01, 0.03, 0.1];
