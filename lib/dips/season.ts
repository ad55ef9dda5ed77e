import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { solvedFor } from "../numerics/linearEquations.ts";
import { hasZoneOf, momentOf, type RainRecord } from "../rain/record/readRain.ts";
import { timeStamp } from "../rain/record/timeStamp.ts";
import type { Site } from "../site/site.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { readRecorded, type RecordedStorm } from "../study/criteria.ts";
import { describe } from "../text/describe.ts";
import { depthText, durationText, intensityText, threeFigures } from "../text/format.ts";
import { optionReader } from "../text/optionReader.ts";
import type { Problem } from "../text/problem.ts";
import { asBuiltWorks } from "./asBuiltWorks.ts";
import { withoutFlicker } from "./dryFlicker.ts";
import { type Emptying, emptyingAfter, type FoundWorks, passedOverNotes } from "./emptying.ts";
import { type FoundStorm, foundStorms } from "./foundStorms.ts";
import { oneSidedSlopes, slopes } from "./leastSquares.ts";
import { type LoggerSeries, overSensor, readLogger } from "./readLogger.ts";
import { likeliest, type Likeliest, seasonBand, seasonFit, type SeasonFit, whitening } from "./seasonFit.ts";
import { type Change, seasonModel, type SeasonModel, type SeasonName, type SeasonRecord, YEAR } from "./seasonModel.ts";

/** A logger's season and what stood beside it; quantities are texts with units. */
export interface SeasonOptions {
  readonly about?: string;
  /** the logger's CSV as text; see `readLogger` */
  readonly logger: string;
  /** the rain of the same months, as `readRain` gives it; its clock is the logger's */
  readonly rain: Pick<RainRecord, "rain" | "start">;
  /** the air's pressure as CSV, for a sensor of absolute pressure; `vented: true` for one that needs none */
  readonly barometer?: string;
  readonly vented?: boolean;
  /** level of the sensor in the site's datum; the pit's floor where missing */
  readonly sensorLevel?: string;
  /** water over the sensor up to which it reads as dry; 5 mm where missing */
  readonly dryBelow?: string;
  /** days on which the works were cleaned: `2026-02-14` */
  readonly cleanings?: readonly string[];
  /** of the water in the ground: its mean and half swing over the year, and the warmest day; where missing one temperature */
  readonly warmth?: { readonly mean: string; readonly swing: string; readonly warmest: string };
  /** the rain of recorded storms of the site, which stands in files */
  readonly recorded?: readonly RecordedStorm[];
}

/** A number of a season with its band of 95 percent. */
export interface SeasonNumber {
  readonly name: SeasonName;
  /**
   * soil, roof, floor, cleaned k: times what is designed, drawn or was before; trend, and change where it is one:
   * times a year; waterTable: a level [m]; sine,
   * cosine, drift [m]
   */
  readonly value: number;
  readonly band: { readonly low: number; readonly high: number };
}

/** What a season of a logger tells of the works. */
export interface Season {
  readonly site: Site;
  /** the season's record as it was fitted, and when its time 0 is */
  readonly record: SeasonRecord;
  readonly start: string;
  readonly fit: SeasonFit;
  /** a change that nobody told and the readings ask for; null: none */
  readonly change: ChangePoint | null;
  /** another that the readings do not tell from it, or from the trend; the soil's band holds both */
  readonly rival: ChangePoint | null;
  readonly numbers: readonly SeasonNumber[];
  /** the conductivity to design with next, of each layer: what was measured times what the levels say, low end and best [m/s] */
  readonly soilFigure: readonly { readonly top: number; readonly low: number; readonly best: number; readonly high: number }[];
  readonly emptying: Emptying | null;
  /** the file's storms in the works as they are, beside the drawing */
  readonly inStorms: readonly FoundStorm[];
  /** storms in which the pit rose by a hand's breadth */
  readonly storms: number;
  readonly answer: string;
  readonly notes: readonly string[];
}

/**
 * A season of a level logger held against this library's own run through the months: the soil, the floor, the water table, the roof, a
 * trend and what cleanings did, each with a band; see `seasonModel` for the unknowns and `seasonFit` for the fit.
 *
 * @throws InputError  with all problems of the options and of the texts
 */
export function season(site: Site, options: SeasonOptions): Season {
  return fittedSeason(site, readSeason(site, options));
}

/** As `season`, of a record that was read. */
export function fittedSeason(site: Site, { record: read, start, notes, recorded }: ReadSeason): Season {
  const plain = seasonFit(read);
  const { change, rival } = changePoint(read, plain);
  const fit = change?.fit ?? plain;
  const record = change === null ? read : { ...read, change: { kind: change.kind, at: change.at } };
  const numbers = fit.model.names.map((name): SeasonNumber => {
    const { value, ...own } = seasonBand(fit, name)!;
    // where two stories of the season are as likely, the soil's band holds what it is in both
    const other = rival === null || name !== "soil" ? own : seasonBand(rival.fit, name)!;
    const [low, high] = [Math.min(own.low, other.low), Math.max(own.high, other.high)];
    const shown = isLogarithm(name) ? Math.exp : (each: number): number => each;
    return { name, value: shown(value), band: { low: shown(low), high: shown(high) } };
  });
  const soil = numbers.find(({ name }) => name === "soil")!;
  const soilFigure = site.soil.layers.map(({ top, conductivity }) => {
    const used = conductivity / soilDivisor(site.soil);
    return { top, low: used * soil.band.low, best: used * soil.value, high: used * soil.band.high };
  });
  const of = (name: SeasonName, values: readonly number[], missing: number): number => {
    const j = fit.model.names.indexOf(name);
    return j < 0 ? missing : values[j]!;
  };
  const works = asBuiltWorks(site);
  const found: FoundWorks = {
    values: fit.values, unknowns: fit.model.unknowns, covariance: rival === null ? fit.covariance : asWide(fit, soil.band), deviate: 1.96,
    // a table that is too deep to be told has no slope to go by
    counts: (j) => ["soil", "floor"].includes(fit.model.names[j]!) || (fit.model.names[j] === "waterTable" && !isTooDeep(fit)),
    works: (values, on) => (on === site ? works : asBuiltWorks(on))({
      soil: Math.exp(of("soil", values, 0)), floor: of("floor", values, 1), waterTable: of("waterTable", values, NaN), leak: null,
    }),
    inSoil: fit.model.names.indexOf("soil"),
  };
  const emptying = emptyingAfter(site, site, found, recorded);
  const worksOf = (ofSoil: number): Site => found.works(fit.values.with(found.inSoil!, Math.log(ofSoil)), site);
  const inStorms = foundStorms(site, { low: worksOf(soil.band.low), best: worksOf(soil.value), high: worksOf(soil.band.high) }, recorded);
  const storms = stormsIn(record);
  const { units } = site;
  const days = (record.time.at(-1)! - record.time[0]!) / 86_400;
  const changes = change !== null || rival !== null || record.cleanings.length > 0
    || numbers.some(({ name, band }) => name === "trend" && (band.low > 1 || band.high < 1));
  const answer = `${emptying === null ? "" : `${emptying.sentence} `}${changes ? "At the end of" : "In"} ${Math.round(days)} days and ${storms} ${storms === 1 ? "storm" : "storms"} the soil took in `
    + `${threeFigures(soil.value)} times (${threeFigures(soil.band.low)} to ${threeFigures(soil.band.high)}) what the design counts on.`;
  return {
    site, record, start, fit, change, rival, numbers, soilFigure, emptying, inStorms, storms, answer,
    notes: [
      ...notes, ...changeNotes(change, rival, fit, start), ...notesOn(fit, record, storms, units, numbers), ...passedOverNotes(emptying),
    ],
  };
}

/** The covariance with the soil's part stretched until it is as wide as a band. */
function asWide({ model, covariance }: SeasonFit, { low, high }: SeasonNumber["band"]): number[][] {
  const at = model.names.indexOf("soil");
  const stretch = Math.max(1, Math.log(high / low) / (2 * 1.96 * Math.sqrt(covariance[at]![at]!)));
  return covariance.map((line, j) => line.map((each, k) => each * (j === at ? stretch : 1) * (k === at ? stretch : 1)));
}

/** Whether the water table lies so deep that levels in the pit do not tell where. */
export function isTooDeep({ model, values }: SeasonFit): boolean {
  const j = model.names.indexOf("waterTable");
  return values[j]! < model.unknowns[j]!.low + REACH;
}

/** From where on up a water table shows in the fall at all [m]. */
const REACH = 0.15;

function isLogarithm(name: SeasonName): boolean {
  return name === "soil" || name === "roof" || name === "trend" || name === "change" || name.startsWith("cleaned");
}

/** A season as read. */
export interface ReadSeason {
  readonly record: SeasonRecord;
  readonly start: string;
  readonly notes: readonly string[];
  readonly recorded: readonly RecordedStorm[];
}

/** @throws InputError  with all problems of the options and of the texts */
export function readSeason(site: Site, options: unknown): ReadSeason {
  const read = optionReader("season", options, "The season cannot be used:");
  read.raw("about");
  const problems: Problem[] = [];
  const text = (key: string): string | null => {
    if (!read.has(key)) return null;
    const given = read.raw(key);
    if (typeof given !== "string") read.problem(key, "the text of a logger's CSV");
    return typeof given === "string" ? given : null;
  };
  const loggerText = text("logger");
  if (loggerText === null && !read.has("logger")) read.problem("logger", "the text of a logger's CSV");
  const series = loggerText === null ? null : readLogger(loggerText, "season.logger", problems);
  const airText = text("barometer");
  const air = airText === null ? null : readLogger(airText, "season.barometer", problems);
  const vented = read.flag("vented", false);
  const { floor } = site.chamberBank;
  const sensor = read.has("sensorLevel") ? read.quantity("sensorLevel", "length") : floor;
  const dryBelow = read.quantity("dryBelow", "length", { least: 0, most: 0.5, missing: 0.005 });
  const rain = read.raw("rain") as SeasonOptions["rain"] | undefined;
  if (rain?.rain === undefined || typeof rain.start !== "string") read.problem("rain", "a record of rain, as readRain gives it");
  if (series?.kind === "pressure" && air === null && !vented) read.problem("barometer", "the air's pressure beside a sensor of absolute pressure, or \"vented\": true", "nothing");
  const visits = read.raw("cleanings");
  const cleanings = Array.isArray(visits) && visits.length === 0 ? [] : read.has("cleanings") ? read.list("cleanings", (value, where) => {
    const stamp = typeof value === "string" ? timeStamp(value, "year-month-day") : null;
    if (stamp === null) read.problem(where.slice(read.where.length + 1), "a day such as \"2026-02-14\"", describe(value));
    return stamp?.time ?? NaN;
  }) : [];
  const warmth = read.has("warmth") ? readWarmth() : null;
  const recorded = readRecorded(read);
  problems.forEach(({ where, expected, got }) => read.problem(where.replace("season.", ""), expected, got));
  if (series !== null && rain?.start !== undefined && series.hasZone !== hasZoneOf(rain.start)) {
    read.problem("rain", "a clock like the logger's: both with a zone or both without", rain.start);
  }
  read.done();
  return { ...recordOf(site, series!, air, rain!, sensor, dryBelow, cleanings, warmth), recorded };

  function readWarmth(): { readonly mean: number; readonly swing: number; readonly warmest: number } {
    const child = read.child("warmth");
    const day = child.raw("warmest");
    const stamp = typeof day === "string" ? timeStamp(day, "year-month-day") : null;
    if (stamp === null) child.problem("warmest", "the warmest day of a year, such as \"2026-08-20\"");
    const [mean, warm] = [child.quantity("mean", "temperature", { least: 0, most: 40 }), child.raw("swing")];
    const swing = typeof warm === "string" ? /^([\d.]+) ?(deg ?[CF]|[°]?[CF])$/.exec(warm) : null;
    if (swing === null) child.problem("swing", "a difference of temperature such as \"6 degC\" or \"10 degF\"");
    return { mean, swing: swing === null ? NaN : Number(swing[1]) * (/F/.test(swing[2]!) ? 5 / 9 : 1), warmest: stamp?.time ?? NaN };
  }
}

/** Readings that are fitted at most; of finer records every second, third, ... counts. */
const MOST_READINGS = 6000;

function recordOf(
  site: Site, series: LoggerSeries, air: LoggerSeries | null, { rain, start }: SeasonOptions["rain"], sensor: number, dryBelow: number,
  cleanings: readonly number[], warmth: SeasonRecord["warmth"],
): Omit<ReadSeason, "recorded"> {
  const origin = momentOf(start);
  const over = overSensor(series, air);
  const inRain = [...series.time.keys()].filter((i) => series.time[i]! >= origin && series.time[i]! <= origin + rain.time.at(-1)!);
  const outside = series.time.length - inRain.length;
  const every = Math.max(1, Math.ceil(inRain.length / MOST_READINGS));
  const kept = inRain.filter((_, k) => k % every === 0);
  const read = optionReader("season", {}, "The season cannot be used:");
  if (kept.length < FEWEST) read.problem("rain", `rain over the time of the logger, ${FEWEST} readings of it or more`, `${kept.length} readings within the rain's time`);
  const level = Float64Array.from(kept, (i) => (series.kind === "level" ? over[i]! : sensor + over[i]!));
  const { floor, ground } = site.chamberBank;
  const wrong = level.findIndex((water) => water > ground + 1 || water < Math.min(floor, sensor) - 0.5);
  if (wrong >= 0) read.problem("logger", "levels between the pit's floor and the ground: look at sensorLevel and units", `${level[wrong]!.toFixed(3)} m`);
  read.done();
  const dryAt = Math.max(floor, sensor + dryBelow);
  const record = withoutFlicker({
    site, rain, time: Float64Array.from(kept, (i) => series.time[i]! - origin), level: level.map((water) => Math.max(water, dryAt)),
    dry: Uint8Array.from(level, (water) => (water <= dryAt ? 1 : 0)), dryAt,
    cleanings: cleanings.map((moment) => moment - origin).filter((moment) => moment > series.time[inRain[0]!]! - origin
      && moment < series.time[inRain.at(-1)!]! - origin),
    warmth: warmth === null ? null : { ...warmth, warmest: warmth.warmest - origin },
  });
  const wet = record.dry.reduce((sum, each) => sum + 1 - each, 0);
  if (wet < FEWEST_WET) {
    read.problem("logger", `${FEWEST_WET} readings or more with water over the sensor, by which the works can be judged`, `${wet} of ${level.length}: it stood dry at ${depthText(record.dryAt - floor, site.units)} over the pit's floor`);
  }
  read.done();
  return {
    record,
    start,
    notes: [
      ...series.notes, ...(air === null ? [] : air.notes),
      ...(record.dryAt === dryAt ? [] : [`Without rain the dry sensor reads up to ${depthText(record.dryAt - floor, site.units)} over the pit's floor: readings up to there count as dry.`]),
      ...(outside === 0 ? [] : [`${outside} readings lie outside the time of the rain and are left out.`]),
      ...(every === 1 ? [] : [`Of the readings one in ${every} is fitted; the others would tell little more.`]),
    ],
  };
}

const FEWEST = 48;

/** Half a day of water, hour by hour; with less no fall can be seen. */
const FEWEST_WET = 12;

/** A rise of ten centimetres or more, until the water has fallen by half of it. */
function stormsIn({ level }: SeasonRecord): number {
  let [count, low, high, rising] = [0, level[0]!, level[0]!, false];
  for (const water of level) {
    if (rising) {
      high = Math.max(high, water);
      if (water < high - 0.5 * (high - low)) [rising, low] = [false, water];
    } else {
      low = Math.min(low, water);
      if (water > low + 0.1) [rising, high, count] = [true, water, count + 1];
    }
  }
  return count;
}

/** The day of a moment of the record. */
export function dayText(start: string, moment: number): string {
  return new Date(Date.parse(`${start.slice(0, 10)}T00:00:00Z`) + 1000 * moment).toISOString().slice(0, 10);
}

function changeNotes(change: ChangePoint | null, rival: ChangePoint | null, fit: SeasonFit, start: string): string[] {
  const day = (moment: number): string => dayText(start, moment);
  const told = ({ kind, at, band, fit: itsFit }: ChangePoint): string => {
    const found = seasonBand(itsFit, "change")!;
    const times = `${threeFigures(Math.exp(found.value))} times (${threeFigures(Math.exp(found.low))} to ${threeFigures(Math.exp(found.high))})`;
    const when = `about ${day(at)} (${day(band[0])} to ${day(band[1])})`;
    const more = found.value > 0;
    return kind === "step"
      ? `on ${when} what the soil takes in changed to ${times} what it was: ${more ? "as by a cleaning that nobody wrote down" : "as where silt or a cover closed a floor at once"}`
      : `from ${when} on what the soil takes in changes by ${times} a year: ${more ? "as where works clear themselves, or a table falls" : "as a floor does that silts up"}`;
  };
  const capital = (text: string): string => `${text[0]!.toUpperCase()}${text.slice(1)}`;
  const end = "The soil's figure is that of the end of the record.";
  if (change === null && rival === null) return [];
  if (rival === null) return [`${capital(told(change!))}. ${end}`];
  const other = seasonBand(rival.fit, "soil")!;
  return [
    `The readings do not tell a step from a trend. Either ${change === null ? "what the soil takes in changes evenly through the whole record" : told(change)}; then the soil took in ${threeFigures(Math.exp(seasonBand(fit, "soil")!.value))} times what the design counts on at its end. Or ${told(rival)}; then it took in ${threeFigures(Math.exp(other.value))} times. The soil's band holds both. A reading after the next large storm, or what a look under the lid shows, will part them.`,
  ];
}

function notesOn(fit: SeasonFit, record: SeasonRecord, storms: number, units: Site["units"], numbers: readonly SeasonNumber[]): string[] {
  const { residual, errors } = fit;
  const wet = residual.filter((each) => !Number.isNaN(each));
  const off = wet.length === 0 ? 0 : Math.sqrt(wet.reduce((sum, each) => sum + each * each, 0) / wet.length);
  const dry = record.dry.reduce((sum, each) => sum + each, 0);
  const { rain, time } = record;
  const isRainy = (moment: number): boolean => {
    const from = moment - 6 * 3600;
    for (let i = 0; i < rain.depth.length; i++) if (rain.depth[i]! > 2e-4 && rain.time[i + 1]! > from
      && rain.time[i]! < moment) return true;
    return false;
  };
  const part = (rainy: boolean): number => {
    const of = [...residual.keys()].filter((i) => !Number.isNaN(residual[i]!) && isRainy(time[i]!) === rainy);
    return of.length === 0 ? 0 : of.reduce((sum, i) => sum + residual[i]!, 0) / of.length;
  };
  const [inRain, after] = [part(true), part(false)];
  const lean = (value: number): string => `${depthText(Math.abs(value), units)} ${value > 0 ? "above" : "below"} the run`;
  const trend = numbers.find(({ name }) => name === "trend");
  return [
    `Readings lie ${depthText(off, units)} about the run, remembered for ${durationText(errors.memory)}: that is what the model misses, storm by storm, and the bands stand on it.`,
    ...(Math.max(Math.abs(inRain), Math.abs(after)) > 0.3 * off ? [`Within six hours of rain the readings lie ${lean(inRain)} on average, later ${lean(after)}: loss of the roof or intensity in the hour are not as told.`] : []),
    ...(dry === 0 ? [] : [`${Math.round((100 * dry) / record.dry.length)} % of the readings are of a dry sensor and count as “no higher than that”.`]),
    ...(storms < 4 ? [`Only ${storms} ${storms === 1 ? "storm" : "storms"} filled the pit by a hand's breadth: go on reading before much is built on this.`] : []),
    ...(trend === undefined || (trend.band.low < 1 && trend.band.high > 1) ? [] : [`What the soil takes in changes by ${threeFigures(trend.value)} times a year (${threeFigures(trend.band.low)} to ${threeFigures(trend.band.high)}): ${trend.value < 1 ? "as a floor does that silts up" : "as one that was cleaned, or a table that falls"}.`]),
    "The room in the works is taken as drawn: levels tell conductivity and roof over room, and the doubt of the stone's porosity is in their bands.",
  ];
}

/** The soil's figure for a table, from the top layer down. */
export function soilFigureText({ soilFigure, site: { units } }: Season): string[] {
  return soilFigure.map(({ low, best, high }) => `${intensityText(best, units)} (${intensityText(low, units)} to ${intensityText(high, units)})`);
}

/** A change at a moment that nobody told. */
interface ChangePoint extends Change {
  /** moments between which it lies with 95 percent [s] */
  readonly band: readonly [low: number, high: number];
  /** by how much -2 ln L falls with it, less what a trend beside a step costs */
  readonly gain: number;
  /** the season with it */
  readonly fit: SeasonFit;
}

/** What of a season's changes the readings tell. */
interface ChangesTold {
  /** null: they ask for none beyond a trend throughout */
  readonly change: ChangePoint | null;
  /** a change of another kind that they do not tell from that one, or from the trend */
  readonly rival: ChangePoint | null;
}

/**
 * The change of what the soil takes in that the readings ask for most, at a moment that nobody told: a cleaning that was not written
 * down, a floor that begins to silt up.
 *
 * A season without a change bends its trend and its water table until they look like one, and from there the change cannot be seen. So
 * the pace of the soil is first left free every few days (`loosened`), as nothing else would be: steps p_k at moments all through the
 * record. Around that fit the levels are a straight line in p, and a step on one day, a trend from a day on, one trend throughout or
 * none are each a few numbers phi with p = A phi, whose best leaves
 *
 *   min over phi of |z - J A phi|^2 + priors,    z = r + J p
 *
 * in squares: an equation of ten unknowns for each day and kind. The best days of a step, and of a trend, are fitted in full from
 * there, the better day of each is searched once more with the change in (`daysAround`), and both are compared with each other and with
 * the season that has none by -2 ln L. Where step and trend differ by less than chance, the less likely one is the other's rival.
 *
 * Chance: the model's own faults come storm by storm, and of many moments one is always the best; the limits were found on seasons of
 * `tests/bench/seasonTrials.mjs` other than those it counts.
 *
 * @source   likelihood ratio, any text; the search over moments: Andrews, Econometrica 61, 1993, from memory
 */
function changePoint(record: SeasonRecord, before: SeasonFit): ChangesTold {
  const { time } = record;
  const loose = time.at(-1)! - time[0]! < SHORTEST ? null : loosened(record);
  const trend = seasonBand(before, "trend");
  const hasTrend = trend !== null && (trend.low > 0 || trend.high < 0);
  if (loose === null || (!hasTrend && gainOfPaces(loose, before) < SOME)) return { change: null, rival: null };
  const plain = likeliest(record, before.model, [before.values]);
  const found = ranked(record, loose, before).map((ofKind) => {
    let best = ofKind.map((change) => ({ change, likely: fitted(record, change, change.start) }))
      .reduce((low, each) => (each.likely.surprise < low.likely.surprise ? each : low));
    let around = daysAround(record, best.change, best.likely);
    for (let move = 0; move < MOST_MOVES && around.at !== best.change.at; move++) {
      const change = { ...best.change, at: around.at };
      const likely = fitted(record, change, best.likely.fits[0]!.values);
      if (likely.surprise > best.likely.surprise) break;
      best = { change, likely };
      around = daysAround(record, change, likely);
    }
    const { change: { kind, at, withTrend }, likely } = best;
    const { band } = around;
    return { change: { kind, at, withTrend }, likely, band, gain: plain.surprise - likely.surprise - (withTrend ? BESIDE : 0) };
  }).sort((a, b) => b.gain - a.gain);
  const told = ({ change, likely, band, gain }: (typeof found)[number]): ChangePoint => (
    { ...change, gain, band, fit: seasonFit({ ...record, change }, likely.fits[0]!.values) });
  const [best] = found;
  // a step beside the trend is no other story than the trend
  const other = found.find(({ change: { kind, withTrend } }) => !withTrend && kind !== best!.change.kind)!;
  if (best!.gain >= ASKED) return { change: told(best!), rival: best!.gain - other.gain < TOLD_APART ? told(other) : null };
  const step = found.find(({ change: { kind, withTrend } }) => kind === "step" && !withTrend)!;
  return { change: null, rival: hasTrend && step.gain > -TOLD_APART ? told(step) : null };
}

/** Moments lie so far apart: a few days are as near as storms tell [s]. */
const STEP = 4 * 86_400;
/** Moments that are tried at most. */
const MOST = 32;
/** So near to an end, or to a cleaning that was told, a change is not told from it [s]. */
const EDGE = 8 * 86_400;
/** A record in which to look for one [s]. */
const SHORTEST = 50 * 86_400;
/** What the soil's pace does from one moment to the next, ln: wide enough for a cleaning. */
const PACE = 0.5;
/** Squares that free paces have to take away for a change to be looked for, in variances. */
const SOME = 35;
/** By which -2 ln L has to fall. */
const ASKED = 25;
/** What a trend beside a step has to take off more. */
const BESIDE = 10;
/** By which -2 ln L of step and trend have to differ. */
const TOLD_APART = 10;
/** By which -2 ln L of moments may differ by chance: chi squared of one at 95 percent, times what faults storm by storm make of it. */
const CHANCE = 3.84 * 2.5;
/** Between the days that are tried around one [s]. */
const DAY = 86_400;

/** A season in which the soil's pace may step at many moments. */
interface Loose {
  readonly record: SeasonRecord;
  readonly model: SeasonModel;
  /** which unknown the step at each moment is */
  readonly steps: readonly { readonly at: number; readonly which: number }[];
  /** the season's own unknowns, the trend among them; the trend is held where paces are fitted */
  readonly own: readonly number[];
  readonly trend: number;
}

function loosened(record: SeasonRecord): Loose | null {
  const { time, cleanings } = record;
  const [first, last] = [time[0]!, time.at(-1)!];
  const count = Math.min(MOST, Math.floor((last - first) / STEP));
  const moments = Array.from({ length: count - 1 }, (_, i) => first + ((i + 1) * (last - first)) / count)
    .filter((moment) => moment - first > EDGE && last - moment > EDGE && cleanings.every((each) => Math.abs(each - moment) > EDGE));
  if (moments.length === 0) return null;
  const all = [...cleanings, ...moments].sort((a, b) => a - b);
  const loose = { ...record, cleanings: all };
  const plain = seasonModel(loose);
  const steps = moments.map((at) => ({ at, which: plain.names.indexOf(`cleaned ${all.indexOf(at) + 1}`) }));
  const isStep = new Set(steps.map(({ which }) => which));
  const unknowns = plain.unknowns.map((each, j) => (isStep.has(j) ? { ...each, prior: { mean: 0, deviation: PACE } } : each));
  return {
    record: loose, model: { ...plain, unknowns }, steps, trend: plain.names.indexOf("trend"),
    own: unknowns.flatMap((_, j) => (isStep.has(j) ? [] : [j])),
  };
}

/** The values of a season's own unknowns as those of the loose one, whose cleanings have other numbers; no step anywhere. */
function inLoose({ model, own }: Loose, values: readonly number[]): number[] {
  const all = model.unknowns.map(() => 0);
  own.forEach((j, i) => (all[j] = values[i]!));
  return all;
}

/** By how much the squares would fall, by the slopes at the season without a change, if the soil's pace were free. */
function gainOfPaces(loose: Loose, before: SeasonFit): number {
  const { steps, own } = loose;
  const { normal, right } = linearised(loose, before.errors, inLoose(loose, before.values), true);
  const all = [...own, ...steps.map(({ which }) => which)];
  const gain = (columns: readonly number[]): number => {
    const matrix = columns.map((j) => columns.map((k) => normal[j]![k]! + (j === k ? weightOf(loose.model, j) : 0)));
    const solution = solvedFor(matrix, columns.map((j) => right[j]!));
    return columns.reduce((sum, j, i) => sum + solution[i]! * right[j]!, 0);
  };
  return gain(all) - gain(own);
}

/** What a prior counts for beside squares in variances. */
function weightOf({ unknowns }: SeasonModel, j: number): number {
  const { prior } = unknowns[j]!;
  return prior === undefined ? 1e-9 : 1 / prior.deviation ** 2;
}

/**
 * The normal equations of a loose season around some values: J'J and J'r, what is left counted from those values (`differs`), or J'z of
 * the values themselves.
 */
function linearised(
  { record, model }: Loose, errors: SeasonFit["errors"], values: readonly number[], differs: boolean,
): { readonly normal: readonly (readonly number[])[]; readonly right: readonly number[]; readonly squares: number } {
  const { told, whitenedModel } = whitening(record, model, record.dry.map((each) => 1 - each), errors);
  const base = whitenedModel(values);
  const columns = oneSidedSlopes(whitenedModel, model.unknowns, values).map((column) => column.map((slope) => slope / errors.deviation));
  const left = told.map((each, i) => (each - base[i]!) / errors.deviation
    + (differs ? 0 : values.reduce((sum, value, j) => sum + value * columns[j]![i]!, 0)));
  return {
    normal: columns.map((a) => columns.map((b) => dot(a, b))), right: columns.map((column) => dot(column, left)), squares: dot(left, left),
  };
}

/** A change to be fitted in full, and values to begin with. */
interface Guess extends Required<Change> {
  readonly start: readonly number[];
}

/** A column of J A, as shares of columns of J, with what is known of its number beforehand. */
interface Column {
  readonly parts: readonly (readonly [which: number, share: number])[];
  readonly weight: number;
  readonly mean: number;
}

/** The days of a step, of a trend and of a step beside one that are better than any near them by the paces' free fit, the best first. */
function ranked(record: SeasonRecord, loose: Loose, before: SeasonFit): Guess[][] {
  const { model, steps, own, trend } = loose;
  const held = (values: readonly number[]): number[] => (trend < 0 ? [...values] : values.with(trend, 0));
  const free = likeliest(loose.record, {
    ...model, unknowns: model.unknowns.map((each, j) => (j === trend ? { ...each, low: 0, high: 0 } : each)),
  }, [held(inLoose(loose, before.values))]);
  const { normal, right, squares } = linearised(loose, free.errors, free.fits[0]!.values, false);
  const best = (columns: readonly Column[]) => {
    const matrix = columns.map(({ parts: a, weight }, p) => columns.map(({ parts: b }, q) => a.reduce((sum, [j, x]) =>
      sum + b.reduce((inner, [k, y]) => inner + x * y * normal[j]![k]!, 0), p === q ? weight : 0)));
    const side = columns.map(({ parts, weight, mean }) => parts.reduce((sum, [j, x]) => sum + x * right[j]!, weight * mean));
    const phi = solvedFor(matrix, side);
    return { phi, squares: columns.reduce((sum, { weight, mean }, p) => sum - phi[p]! * side[p]! + weight * mean ** 2, squares) };
  };
  const end = record.time.at(-1)!;
  const stories = [["step", false], ["trend", false], ...(trend < 0 ? [] : [["step", true] as const])] as const;
  return stories.map(([kind, withTrend]) => {
    const tried = steps.map(({ at, which }) => {
      const later = steps.filter((each) => each.at >= at);
      const shape = kind === "step" ? [[which, 1] as const]
        // a line in stairs, each from the middle of one piece to that of the next
        : later.map((each, i) => [each.which, ((later[i + 1]?.at ?? end) - (later[i - 1]?.at ?? each.at)) / 2 / YEAR] as const);
      const kept = own.filter((j) => withTrend || j !== trend);
      const { phi, squares: left } = best([
        ...kept.map((j) => ({ parts: [[j, 1] as const], weight: weightOf(model, j), mean: model.unknowns[j]!.prior?.mean ?? 0 })),
        { parts: shape, weight: kind === "step" ? 1 : 1 / 9, mean: 0 },
      ]);
      return { at, phi, kept, left };
    });
    const chosen: typeof tried = [];
    for (const each of tried.sort((one, other) => one.left - other.left)) {
      if (chosen.length < MOST_GUESSES && chosen.every(({ at }) => Math.abs(at - each.at) > APART)) chosen.push(each);
    }
    return chosen.map(({ at, phi, kept }) => {
      const { names, unknowns } = seasonModel({ ...record, change: { kind, at, withTrend } });
      // own unknowns keep their order; the change stands before the drift
      const values = kept.map((_, i) => phi[i]!);
      values.splice(names.indexOf("change"), 0, phi.at(-1)!);
      return { kind, at, withTrend, start: values.map((value, j) => Math.min(unknowns[j]!.high, Math.max(unknowns[j]!.low, value))) };
    });
  });
}

/** Days of a kind that are fitted in full. */
const MOST_GUESSES = 3;
/** So far apart they are [s]. */
const APART = 12 * 86_400;
/** By which the day of one is moved. */
const MOST_MOVES = 3;

function fitted(record: SeasonRecord, { kind, at, withTrend }: Required<Change>, start: readonly number[]): Likeliest {
  const changed = { ...record, change: { kind, at, withTrend } };
  return likeliest(changed, seasonModel(changed), [start]);
}

/**
 * The likeliest day around that of a fit, and the days that chance allows, day by day outward until they miss by more. Of each day what is
 * left is cleared of what the season's other unknowns would take up, by their slopes at the fit.
 */
function daysAround(
  record: SeasonRecord, { kind, at, withTrend }: Required<Change>, { fits, errors, wet }: Likeliest,
): { readonly at: number; readonly band: readonly [low: number, high: number] } {
  const { values } = fits[0]!;
  const { deviation } = errors;
  const leftAt = (day: number) => {
    const changed = { ...record, change: { kind, at: day, withTrend } };
    const model = seasonModel(changed);
    const { told, whitenedModel } = whitening(changed, model, wet, errors);
    const base = whitenedModel(values);
    return { model, whitenedModel, left: told.map((each, i) => (each - base[i]!) / deviation) };
  };
  const here = leftAt(at);
  const columns = slopes(here.whitenedModel, here.model.unknowns, values).map((column) => column.map((slope) => slope / deviation));
  const normal = columns.map((a, j) => columns.map((b, k) => dot(a, b) + (j === k ? weightOf(here.model, j) : 0)));
  const squaresOf = (left: Float64Array): number => {
    const pull = columns.map((column) => dot(column, left));
    return dot(left, left) - solvedFor(normal, pull).reduce((sum, each, j) => sum + each * pull[j]!, 0);
  };
  const tried = [{ day: at, squares: squaresOf(here.left) }];
  const [first, last] = [record.time[0]!, record.time.at(-1)!];
  for (const side of [-1, 1]) {
    for (let day = at + side * DAY; day > first && day < last; day += side * DAY) {
      const squares = squaresOf(leftAt(day).left);
      tried.push({ day, squares });
      if (squares > leastOf(tried.map((each) => each.squares)) + 3 * CHANCE) break;
    }
  }
  const least = leastOf(tried.map(({ squares }) => squares));
  const near = tried.filter(({ squares }) => squares - least < CHANCE).map(({ day }) => day);
  const flat = tried.filter(({ squares }) => squares - least < FLAT).map(({ day }) => day).sort((a, b) => a - b);
  return { at: flat[flat.length >> 1]!, band: [Math.max(first, leastOf(near) - DAY), Math.min(last, greatestOf(near) + DAY)] };
}

/** Squares within which days are one as good as the other: the middle one of them is told. */
const FLAT = 0.1;

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
