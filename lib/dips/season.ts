import { hasZoneOf, momentOf, type RainRecord } from "../rain/record/readRain.ts";
import { timeStamp } from "../rain/record/timeStamp.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import type { Site } from "../site/site.ts";
import { readRecorded, type RecordedStorm } from "../study/criteria.ts";
import { describe } from "../text/describe.ts";
import { depthText, durationText, intensityText, twoFigures } from "../text/format.ts";
import { optionReader } from "../text/optionReader.ts";
import type { Problem } from "../text/problem.ts";
import { asBuiltWorks } from "./asBuiltWorks.ts";
import { withoutFlicker } from "./dryFlicker.ts";
import { emptyingAfter, passedOverNotes, type Emptying, type FoundWorks } from "./emptying.ts";
import { foundStorms, type FoundStorm } from "./foundStorms.ts";
import { overSensor, readLogger, type LoggerSeries } from "./readLogger.ts";
import { changePoint, type ChangePoint } from "./changePoint.ts";
import { seasonBand, seasonFit, type SeasonFit } from "./seasonFit.ts";
import type { SeasonName, SeasonRecord } from "./seasonModel.ts";

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
    + `${twoFigures(soil.value)} times (${twoFigures(soil.band.low)} to ${twoFigures(soil.band.high)}) what the design counts on.`;
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
    const times = `${twoFigures(Math.exp(found.value))} times (${twoFigures(Math.exp(found.low))} to ${twoFigures(Math.exp(found.high))})`;
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
  const hasTrend = seasonBand(fit, "trend") !== null;
  const open = (change === null ? "trend" : change.kind) !== rival.kind && (change !== null || hasTrend) ? "a step from a trend"
    : change === null && !hasTrend ? "whether what the soil takes in changed" : "since when what the soil takes in changes";
  const either = change !== null ? told(change) : `what the soil takes in ${hasTrend ? "changes evenly through the whole record" : "does not change in it"}`;
  return [
    `The readings do not tell ${open}. Either ${either}; then the soil took in ${twoFigures(Math.exp(seasonBand(fit, "soil")!.value))} times what the design counts on at its end. Or ${told(rival)}; then it took in ${twoFigures(Math.exp(other.value))} times. The soil's band holds both. A reading after the next large storm, or what a look under the lid shows, will part them.`,
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
    ...(trend === undefined || (trend.band.low < 1 && trend.band.high > 1) ? [] : [`What the soil takes in changes by ${twoFigures(trend.value)} times a year (${twoFigures(trend.band.low)} to ${twoFigures(trend.band.high)}): ${trend.value < 1 ? "as a floor does that silts up" : "as one that was cleaned, or a table that falls"}.`]),
    "The room in the works is taken as drawn: levels tell conductivity and roof over room, and the doubt of the stone's porosity is in their bands.",
  ];
}

/** The soil's figure for a table, from the top layer down. */
export function soilFigureText({ soilFigure, site: { units } }: Season): string[] {
  return soilFigure.map(({ low, best, high }) => `${intensityText(best, units)} (${intensityText(low, units)} to ${intensityText(high, units)})`);
}

