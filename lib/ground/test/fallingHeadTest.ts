import { logarithm, power } from "../../numerics/powers.ts";
import { leastOf } from "../../numerics/extremes.ts";
import { studentQuantile } from "../../numerics/studentQuantile.ts";
import { durationText, twoFigures } from "../../text/format.ts";
import { percentText } from "../../text/words.ts";
import { type FallingHeadFit, type FallingHeadLaw, type Fill, fitFallingHead, fittedDepth } from "./fallingHead.ts";
import type { FallingHeadResult, FillResult } from "./soilTestResult.ts";
import { type Band, withinSiteBand } from "./withinSiteBand.ts";

/** Fills that differ by less than this share count as alike: common practice, from memory. */
const ALIKE = 0.1;

/** What a person should know about the fills of a test, in sentences. */
function fillNotes(
  fills: readonly JudgedFill[], governing: number, law: FallingHeadLaw, naiveFactor: number | null,
): string[] {
  const slowest = fills[governing]!;
  if (!slowest.drained) return neverDrained(slowest);
  return [
    ...dryingIn(fills, governing),
    ...bending(slowest.fill, law),
    ...(slowest.fit.standardError === null
      ? ["Two readings leave no residual to judge by, so the band is the scatter of soils within a site."] : []),
    ...naiveReading(naiveFactor),
  ];
}

function naiveReading(factor: number | null): string[] {
  if (factor === null || Math.abs(factor - 1) < 0.05) return [];
  const wrong = factor > 1 ? `${twoFigures(factor)} times too high` : `${twoFigures(1 / factor)} times too low`;
  return [`The speed at which water falls in a hole is no conductivity: taken for one it would be ${wrong}.`];
}

function neverDrained({ fill, fit }: JudgedFill): string[] {
  const watched = durationText(fill.time.at(-1)! - fill.time[0]!);
  const rose = fit.standardError === null ? fill.depth.at(-1)! > fill.depth[0]! : -fit.hydraulicConductivity > 2 * fit.standardError;
  if (rose) {
    return [
      `The water rose over ${watched}: groundwater comes into the hole. It says where the water table is, not how well the soil drains.`,
      "Read the level when it has stopped rising, and give it as the groundwater level. A pit below it fills from the ground.",
    ];
  }
  return [
    `In ${watched} the water did not fall by more than the readings can show: this hole does not drain.`,
    "Either groundwater stands as high as the water in the hole (or is held up there by a tight layer), or the soil is tight clay, or "
      + "digging smeared the sides shut.",
    "To tell which: bail the hole out and look again the next day. If water has come back, that is the water table, and no pit drains "
      + "while it stands there, however large. If it stays dry, roughen the sides, soak the hole over night and test again: only if it "
      + "still holds water is it the clay.",
    "As measured the conductivity is 0. The band ends at what could have gone unseen.",
  ];
}

/** A soil that is not yet soaked drinks by suction too, so its first fills are too fast. */
function dryingIn(fills: readonly JudgedFill[], governing: number): string[] {
  if (fills.length === 1) {
    return ["One fill only: soil that is not yet soaked drinks faster than it drains. Fill again until two fills agree within a tenth."];
  }
  const [before, last] = fills.slice(-2).map(({ fit }) => fit.hydraulicConductivity) as [number, number];
  const notes: string[] = [];
  if (last < (1 - ALIKE) * before) {
    notes.push(`The last fill drained ${percentText(1 - last / before)} slower than the one before: the soil was still drying in, that is not `
      + "yet soaked. Fill again until two fills agree within a tenth; the conductivity may still come down.");
  } else if (last > (1 + ALIKE) * before) {
    notes.push(`The last fill drained ${percentText(last / before - 1)} faster than the one before: something opened in the hole, or the `
      + "readings are loose. The slowest fill is used.");
  }
  const first = fills[0]!.fit.hydraulicConductivity;
  const slowest = fills[governing]!.fit.hydraulicConductivity;
  if (slowest < (1 - ALIKE) * first) {
    notes.push(`Fill ${governing + 1} of ${fills.length} is the slowest and is used; the first was ${twoFigures(first / slowest)} times `
      + "as fast.");
  }
  return notes;
}

/** Halves of a fill's readings that the law fits by clearly different conductivities. */
function bending(fill: Fill, law: FallingHeadLaw): string[] {
  const count = fill.time.length;
  if (count < 6) return [];
  const [early, late] = [half(fill, 0, Math.ceil(count / 2)), half(fill, Math.floor(count / 2), count)];
  const [first, second] = [fitFallingHead(early, law), fitFallingHead(late, law)];
  const [k1, k2] = [first.hydraulicConductivity, second.hydraulicConductivity];
  // Far beyond what a fit that is right would show, so that a note means something.
  const together = Math.sqrt(power(first.standardError!, 2) + power(second.standardError!, 2));
  const clear = Math.abs(k1 - k2) > 4 * together && Math.abs(k1 - k2) > 2 * ALIKE * k1;
  if (!clear) return [];
  if (stands(early, late, first, law)) {
    return ["The water stopped falling with some of it left in the hole: a water table, or a tight layer, stands at that level. The "
      + "conductivity is of the soil above it at best; give that level as the groundwater level."];
  }
  return [k2 < k1
    ? "The second half of this fill drained slower than its first half would have it: the soil is still drying in, or a water table "
      + "is near. Take the conductivity for an upper bound."
    : "The second half of this fill drained faster than its first half would have it: the soil is more open lower down, or the "
      + "readings are loose."];
}

/** Hardly any fall in the late half, where the early half's conductivity would have made one that shows. */
function stands(early: Fill, late: Fill, first: FallingHeadFit, law: FallingHeadLaw): boolean {
  const [begin, end] = [late.depth[0]!, late.depth.at(-1)!];
  const expected = begin - Math.max(0, fittedDepth({ ...first, start: begin }, law, late.time.at(-1)! - late.time[0]!));
  const fellBefore = early.depth[0]! - early.depth.at(-1)!;
  return end > 0.1 * early.depth[0]! && begin - end < 0.1 * expected && begin - end < 0.1 * fellBefore;
}

function half({ time, depth }: Fill, from: number, to: number): Fill {
  return { time: time.slice(from, to), depth: depth.slice(from, to) };
}

/** A fill with its fit, and how much of the water's fall can be believed. */
export interface JudgedFill {
  readonly fill: Fill;
  readonly fit: FallingHeadFit;
  /** the water fell, and by more than the readings' own scatter */
  readonly drained: boolean;
  /** the conductivity at which the water would have fallen by 3 mm, which a tape just shows [m/s] */
  readonly unseen: number;
}

/** Smallest fall that a tape or a ruler in a hole shows, an eighth of an inch [m]; ours. */
const SMALLEST_FALL = 0.003;

/** Readings that are all alike leave a fall of round-off, and an error as small [m]. */
const ROUND_OFF = 1e-9;

/**
 * The result of a test in which water falls: each fill fitted by itself, the slowest governing.
 *
 * The band is K -+ t SE, Student's t with n - 2 degrees of freedom, 2.5 percent left out at either end and nothing below 0.
 * Where the slowest of m fills was taken it is more likely too slow than too fast, so what is left out above is 1 - 0.95^(1/m)
 * where that is less. Where the water did not fall the band ends at what could have gone unseen.
 *
 * @param fills     one or more, each of two readings or more with water in the hole
 * @param leftOut   which readings do not count and why, as sentences
 * @param believed  what the fall taken for a conductivity is held against, from the governing fill; default the fit's conductivity
 */
export function fallingHeadTest(
  fills: readonly Fill[], law: FallingHeadLaw, leftOut: readonly string[] = [],
  believed: (governing: JudgedFill) => number = ({ fit }) => Math.max(0, fit.hydraulicConductivity),
): FallingHeadResult {
  const judged = fills.map((fill) => judge(fill, law));
  const conductivity = judged.map(({ fit }) => Math.max(0, fit.hydraulicConductivity));
  const governing = conductivity.indexOf(leastOf(conductivity));
  const { fill, fit, drained, unseen } = judged[governing]!;
  const hydraulicConductivity = conductivity[governing]!;
  const own = bandOf(judged[governing]!, Math.min(0.025, 1 - power(0.95, 1 / fills.length)));
  const siteBand = drained
    ? withinSiteBand(hydraulicConductivity, (fit.standardError ?? 0) / hydraulicConductivity)
    : { low: 0, high: withinSiteBand(Math.max(own?.high ?? 0, hydraulicConductivity, unseen)).high, from: "within-site scatter" as const };
  const naive = Math.max(0, fill.depth[0]! - fill.depth.at(-1)!) / (fill.time.at(-1)! - fill.time[0]!);
  const naiveFactor = hydraulicConductivity > 0 ? naive / believed(judged[governing]!) : null;
  return {
    hydraulicConductivity,
    band: own ?? siteBand,
    siteBand,
    naive,
    naiveFactor,
    drained,
    fills: judged.map((each) => fillResult(each, law)),
    governing,
    notes: [...leftOut, ...fillNotes(judged, governing, law, naiveFactor)],
  };
}

function judge(fill: Fill, law: FallingHeadLaw): JudgedFill {
  const fit = fitFallingHead(fill, law);
  const count = fill.time.length;
  const span = fill.time[count - 1]! - fill.time[0]!;
  const fall = fill.depth[0]! - fill.depth[count - 1]!;
  const fittedFall = fit.fitted[0]! - fit.fitted[count - 1]!;
  const drained = fit.standardError === null
    ? fall >= SMALLEST_FALL
    : fittedFall > ROUND_OFF && fit.hydraulicConductivity > studentQuantile(0.975, count - 2) * fit.standardError;
  const first = fill.depth[0]! + law.offset;
  const unseen = logarithm(first / Math.max(first / 2, first - SMALLEST_FALL)) / (law.rate * span);
  return { fill, fit, drained, unseen };
}

function bandOf({ fill, fit, drained, unseen }: JudgedFill, leftOutAbove: number): Band | null {
  if (fit.standardError === null) return null;
  const freedom = fill.time.length - 2;
  const low = Math.max(0, fit.hydraulicConductivity - studentQuantile(0.975, freedom) * fit.standardError);
  const high = fit.hydraulicConductivity + studentQuantile(1 - leftOutAbove, freedom) * fit.standardError;
  return { low, high: drained ? high : Math.max(high, unseen), from: "readings" };
}

/** Points of a drawn curve: no bend of an exponential shows between them. */
const LINE_POINTS = 61;

function fillResult(judged: JudgedFill, law: FallingHeadLaw): FillResult {
  const { fill: { time, depth }, fit } = judged;
  const count = time.length;
  const lineTime = Float64Array.from({ length: LINE_POINTS }, (_, i) => time[0]! + (i / (LINE_POINTS - 1)) * (time[count - 1]! - time[0]!));
  const squares = fit.residual.reduce((sum, residual) => sum + residual * residual, 0);
  return {
    hydraulicConductivity: Math.max(0, fit.hydraulicConductivity),
    band: bandOf(judged, 0.025),
    time,
    depth,
    fitted: fit.fitted,
    residual: fit.residual,
    residualDeviation: count > 2 ? Math.sqrt(squares / (count - 2)) : null,
    line: { time: lineTime, depth: lineTime.map((moment) => fittedDepth(fit, law, moment - time[0]!)) },
  };
}
