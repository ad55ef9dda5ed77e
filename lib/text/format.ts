import { describe } from "./describe.ts";
import type { Reading } from "./quantity.ts";
import { unitNamed } from "./unitTable.ts";

/** The system a site's file is written in and its answers are shown in: US customary, or SI. */
export type UnitSystem = "us" | "si";

/** The kinds of number a person is shown; `level` is an elevation, `depth` a short length (rain, a head, a diameter). */
export type DisplayKind = "level" | "depth" | "area" | "volume" | "flow" | "intensity" | "time";

/** A unit to show numbers in: `shown = si / size`, on an axis or in a table headed `label`. */
export interface DisplayUnit {
  readonly label: string;
  /** one such unit in SI */
  readonly size: number;
}

/**
 * The unit each kind of number is shown in, for the axes of plots and the heads of tables.
 *
 *             level  depth  area   volume  flow     intensity  time
 *     "us"    ft     in     sq ft  gal     gal/min  in/h       h
 *     "si"    m      mm     m²     m³      L/s      mm/h       h
 *
 * @example displayUnits("us").flow.label; // => "gal/min"
 */
export function displayUnits(system: UnitSystem): Readonly<Record<DisplayKind, DisplayUnit>> {
  return DISPLAY[system];
}

/**
 * An elevation [m] to 0.01 ft or to the millimetre: coarser, the two heads of an emitter's lid (12 and 3 mm) would read
 * the same.
 *
 * @example levelText(29.678, "us"); // => "97.37 ft"
 */
export function levelText(level: number, system: UnitSystem): string {
  return fixed(level, DISPLAY[system].level, system === "us" ? 2 : 3);
}

/**
 * A level that water comes to [m], to 0.01 ft or the centimetre: no run on a soil that is known to a factor of three tells the
 * millimetre. What is built is `levelText`'s.
 *
 * @example waterText(62.6376, "si"); // => "62.64 m"
 */
export function waterText(level: number, system: UnitSystem): string {
  return fixed(level, DISPLAY[system].level, 2);
}

/**
 * A short length [m], such as a rain depth, a head or a diameter: `0.47 in` or `12 mm`, to 0.01 in or 0.1 mm below 10 mm.
 *
 * @example depthText(0.012, "us"); // => "0.47 in"
 */
export function depthText(depth: number, system: UnitSystem): string {
  const decimals = system === "us" ? 2 : Math.abs(depth) < 0.01 ? 1 : 0;
  return fixed(depth, DISPLAY[system].depth, decimals);
}

/**
 * A length along the ground [m]: `16.4 ft` or `5 m`, to three figures.
 *
 * @example lengthText(5, "us"); // => "16.4 ft"
 */
export function lengthText(length: number, system: UnitSystem): string {
  return figures(length, DISPLAY[system].level);
}

/**
 * A plan area [m2] to three figures: `1450 sq ft` or `135 m²`.
 *
 * @example areaText(135, "us"); // => "1450 sq ft"
 */
export function areaText(area: number, system: UnitSystem): string {
  return figures(area, DISPLAY[system].area);
}

/**
 * A volume [m3] to three figures, which is more than a soil's conductivity is ever known to: `264 gal`; `1.2 m³`, and
 * litres below a cubic metre.
 *
 * @example volumeText(0.25, "si"); // => "250 L"
 */
export function volumeText(volume: number, system: UnitSystem): string {
  return figures(volume, system === "si" && volume !== 0 && Math.abs(volume) < 1 ? LITRE : DISPLAY[system].volume);
}

/**
 * A volume [m3] as one tells it over the fence, to two figures of what is shown: `1500 gal`.
 *
 * @example roughVolumeText(5.614, "us"); // => "1500 gal"
 */
export function roughVolumeText(volume: number, system: UnitSystem): string {
  const { size } = DISPLAY[system].volume;
  return volumeText(Number((volume / size).toPrecision(2)) * size, system);
}

/**
 * A flow [m3/s] to three figures: `39.6 gal/min` or `2.5 L/s`.
 *
 * @example flowText(0.0025, "us"); // => "39.6 gal/min"
 */
export function flowText(flow: number, system: UnitSystem): string {
  return figures(flow, DISPLAY[system].flow);
}

/**
 * A rain intensity or a hydraulic conductivity [m/s] to three figures: `0.5 in/h` or `12.7 mm/h`.
 *
 * @example intensityText(3.5e-6, "si"); // => "12.6 mm/h"
 */
export function intensityText(intensity: number, system: UnitSystem): string {
  return figures(intensity, DISPLAY[system].intensity);
}

/**
 * A range of them [m/s]: `6 to 15 mm/h`; one figure where both read the same.
 *
 * @example intensityRangeText(1e-6, 3.5e-6, "si"); // => "3.6 to 12.6 mm/h"
 */
export function intensityRangeText(low: number, high: number, system: UnitSystem): string {
  const [from, to] = [intensityText(low, system), intensityText(high, system)];
  return from === to ? to : `${from.slice(0, from.lastIndexOf(" "))} to ${to}`;
}

/**
 * The range in which a conductivity [m/s] is known, to two figures: `30 to 790 mm/h`.
 *
 * @example intensityBandText(8.42e-6, 2.203e-4, "si"); // => "30 to 790 mm/h"
 */
export function intensityBandText(low: number, high: number, system: UnitSystem): string {
  const { label, size } = DISPLAY[system].intensity;
  const [from, to] = [twoFigures(low / size), twoFigures(high / size)];
  return `${from === to ? "" : `${from} to `}${to} ${label}`;
}

/**
 * A time [s], the same in both systems: `45 s`, `8.5 min`, `2 h 31 min`, and from two days on `3.4 days`.
 *
 * @example durationText(9060); // => "2 h 31 min"
 */
export function durationText(time: number): string {
  if (time < 0) return `-${durationText(-time)}`;
  if (time < 89.5) return `${Math.round(time)} s`;
  if (time < 9.95 * 60) return `${trimmed((time / 60).toFixed(1))} min`;
  const minutes = Math.round(time / 60);
  if (minutes < 60) return `${minutes} min`;
  if (minutes < 48 * 60) return minutes % 60 === 0 ? `${minutes / 60} h` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  return `${threeFigures(time / 86400)} days`;
}

/**
 * A number to three significant figures as people write it: no exponent, no separators, no more than three decimals.
 *
 * @example threeFigures(12345); // => "12300"
 */
export function threeFigures(number: number): string {
  const magnitude = number === 0 ? 0 : Math.floor(Math.log10(Math.abs(number)));
  if (magnitude < 3) return trimmed(number.toFixed(Math.min(3, 2 - Math.min(2, magnitude))));
  const step = 10 ** (magnitude - 2);
  return String(Math.round(number / step) * step);
}

/**
 * A number that was estimated, to two figures: more would say that it is known.
 *
 * @example twoFigures(0.4471); // => "0.45"
 */
export function twoFigures(number: number): string {
  return threeFigures(Number(number.toPrecision(2)));
}

/** What is some and would be written as none is `under 0.001` of its unit; a millionth of it is round-off. */
function figures(si: number, { label, size }: DisplayUnit): string {
  const shown = si / size;
  const text = threeFigures(shown);
  return `${text === "0" && shown > 1e-6 ? "under 0.001" : text} ${label}`;
}

function fixed(si: number, { label, size }: DisplayUnit, decimals: number): string {
  return `${unsignedZero((si / size).toFixed(decimals))} ${label}`;
}

/** `2.50` as `2.5` and `3.00` as `3`; the digits before the point stay. */
function trimmed(decimal: string): string {
  return unsignedZero(decimal.includes(".") ? decimal.replace(/\.?0+$/, "") : decimal);
}

/** A small negative number rounds to `-0.00`, which is nothing below zero. */
function unsignedZero(decimal: string): string {
  return /^-[0.]+$/.test(decimal) ? decimal.slice(1) : decimal;
}

function displayUnit(label: string): DisplayUnit {
  const { numerator, denominator } = unitNamed(label)!;
  return Object.freeze({ label, size: numerator / denominator });
}

const LITRE: DisplayUnit = displayUnit("L");

const DISPLAY: Readonly<Record<UnitSystem, Readonly<Record<DisplayKind, DisplayUnit>>>> = Object.freeze({
  us: Object.freeze({
    level: displayUnit("ft"),
    depth: displayUnit("in"),
    area: displayUnit("sq ft"),
    volume: displayUnit("gal"),
    flow: displayUnit("gal/min"),
    intensity: displayUnit("in/h"),
    time: displayUnit("h"),
  }),
  si: Object.freeze({
    level: displayUnit("m"),
    depth: displayUnit("mm"),
    area: displayUnit("m²"),
    volume: displayUnit("m³"),
    flow: displayUnit("L/s"),
    intensity: displayUnit("mm/h"),
    time: displayUnit("h"),
  }),
});

/**
 * A volume of earth or stone [m3] to three figures, as it is ordered: `12.3 cu yd` or `9.4 m³`. Water is `volumeText`'s.
 *
 * @example bulkText(9.4, "us"); // => "12.3 cu yd"
 */
export function bulkText(volume: number, system: UnitSystem): string {
  return ordered(volume, system === "us" ? "cu yd" : "m³");
}

/**
 * An area of what comes in rolls [m2] to three figures, fabric or turf: `48 sq yd` or `40.1 m²`.
 *
 * @example sheetText(40.1, "us"); // => "48 sq yd"
 */
export function sheetText(area: number, system: UnitSystem): string {
  return ordered(area, system === "us" ? "sq yd" : "m²");
}

function ordered(si: number, label: string): string {
  const { numerator, denominator } = unitNamed(label)!;
  return `${threeFigures((si * denominator) / numerator)} ${label}`;
}

/**
 * A diameter or a height as it is bought [m], to three figures: `4 in`, `29.5 in`, `110 mm`.
 *
 * @example sizeText(0.1016, "us"); // => "4 in"
 */
export function sizeText(size: number, units: UnitSystem): string {
  const { label, size: unit } = displayUnits(units).depth;
  return `${threeFigures(size / unit)} ${label}`;
}

/**
 * A mass that a person can lift [kg], to two figures, for it is a guess: `24 lb` or `11 kg`. Loads of a lorry are `massText`'s.
 *
 * @example weightText(11, "us"); // => "24 lb"
 */
export function weightText(mass: number, system: UnitSystem): string {
  const shown = system === "us" ? (mass * 100_000_000) / 45_359_237 : mass;
  return `${threeFigures(Number(shown.toPrecision(2)))} ${system === "us" ? "lb" : "kg"}`;
}

/**
 * A mass [kg] of a text with a unit: `"12 t"`, `"14 ton"`, `"24 000 lb"` without the space. A ton is the short ton of
 * 2000 lb, as it is sold in the United States; a tonne is 1000 kg.
 *
 * @returns  `{ value }` in kg, or `{ expected, got }` in the words of a `Problem`
 * @source   a pound is 0.45359237 kg, international yard and pound agreement of 1959, from memory
 * @example  readMass("14 ton"); // => { value: 12700.58636 }
 */
export function readMass(text: unknown): Reading {
  const match = typeof text === "string" ? MASS.exec(text) : null;
  if (match === null) return { expected: 'a mass such as "12 t" or "14 ton"', got: describe(text) };
  const [over, under] = SIZES[match[2]!]!;
  return { value: (Number(match[1]) * over) / under };
}

/**
 * A mass [kg] to three figures, in short tons or in tonnes.
 *
 * @example massText(12700, "us"); // => "14 short tons"
 */
export function massText(mass: number, system: UnitSystem): string {
  const [over, under] = SIZES[system === "us" ? "ton" : "t"]!;
  const shown = threeFigures((mass * under) / over);
  return system === "si" ? `${shown} t` : `${shown} short ton${shown === "1" ? "" : "s"}`;
}

/** Kilograms in a unit, as a ratio of whole numbers. */
const SIZES: Readonly<Record<string, readonly [over: number, under: number]>> = Object.freeze({
  "t": [1000, 1], "tonne": [1000, 1], "tonnes": [1000, 1],
  "ton": [90_718_474, 100_000], "tons": [90_718_474, 100_000], "short ton": [90_718_474, 100_000], "short tons": [90_718_474, 100_000],
  "kg": [1, 1], "lb": [45_359_237, 100_000_000], "lbs": [45_359_237, 100_000_000],
});

/** A regular expression, as JSON Schema writes one, for the texts that `readMass` reads. */
export const massPattern: string = `^\\s*(\\d{1,9}(?:\\.\\d{1,9})?|\\.\\d{1,9})\\s*(${Object.keys(SIZES).join("|")})\\s*$`;

const MASS = new RegExp(massPattern);
