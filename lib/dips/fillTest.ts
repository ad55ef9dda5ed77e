import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { normalQuantile } from "../numerics/normalQuantile.ts";
import type { Site } from "../site/site.ts";
import type { RecordedStorm } from "../study/criteria.ts";
import { depthText, durationText, twoFigures } from "../text/format.ts";
import { staffText } from "../text/staffText.ts";
import type { Dips, DipsGiven } from "./dips.ts";
import { type Emptying, emptyingAfter, foundByFill, passedOverNotes } from "./emptying.ts";
import { deviateOf } from "./fillFit.ts";
import { type FillLine, fillLines } from "./fillLine.ts";
import { type Cause, type FilledPit, isLogarithm, type UnknownName } from "./fillModel.ts";
import { fallFrom, PASS_AFTER } from "./fillSheet.ts";
import { type FillSolution, solveFill, widest } from "./fillSolution.ts";
import { causesText, fillVerdict, type FillVerdict } from "./fillVerdict.ts";
import { type FoundStorm, foundStorms } from "./foundStorms.ts";
import { slopes } from "./leastSquares.ts";
import { withoutMisread } from "./misread.ts";
import { readFillTest, type ReadFillTest } from "./readFillTest.ts";
import { POROSITY_ERROR, roomDoubt } from "./roomDoubt.ts";

/** What was done and read on site, in texts with units. */
export interface FillTestOptions extends DipsGiven {
  /** free text; nothing is made of it */
  readonly about?: string;
  /** the hose, opened at time 0; where missing the first dip is what the pit was filled to, and the times are anybody's */
  readonly inflow?: {
    /** may stand on the page of the dips instead, as may the hours: `hose 12 gal/min`, `hose on 8:05`, `hose off 9:20` */
    readonly flow?: string;
    readonly duration?: string;
    /** or the hours between which it ran, by the clock of the dips: `8:05`, `9:20 AM` */
    readonly opened?: string;
    readonly shut?: string;
    /** the body it runs into; "chamberBank" where missing */
    readonly into?: string;
    /** what the flow is known to, one standard deviation as a share of it; 0.1 where missing */
    readonly within?: number;
  };
  /** of the groundwater as it was found on the day, in place of the site's */
  readonly groundwaterLevel?: string;
  /** standard deviation of a dip: two of three are better than this; taken from the scatter of the dips where missing */
  readonly dipError?: string;
  /** what to look for besides the soil; floor, waterTable, leak and dry where missing */
  readonly suspects?: readonly Cause[];
  /** the rain of recorded storms of the site, which stands in files */
  readonly recorded?: readonly RecordedStorm[];
}

/** A number that the test found. */
export interface FittedNumber {
  readonly name: UnknownName | "fall" | "room";
  /**
   * fall: how fast the water falls, over the design's: conductivity over room, which is all that dips tell by themselves; soil: the
   * conductivity, over the design's, with the doubt of the room in its band; room: of the works, over the drawn; hose, floor: times what
   * was given or designed (floor: over the sides'); start, waterTable, leakLevel: a level [m]; leakFlow: at the highest dip, dry: an hour
   * after the water came in [m3/s]
   */
  readonly value: number;
  /** 95 percent band over the model chosen and its rivals; null where the dips set no bound on that side */
  readonly band: { readonly low: number | null; readonly high: number | null };
}

/** A model that was tried. */
export interface TriedModel {
  readonly causes: readonly Cause[];
  /** false: the design as drawn, only the water that went in was fitted */
  readonly soil: boolean;
  readonly unknowns: number;
  /** root of the mean square of the residuals [m] */
  readonly rms: number;
}

/** Something that stands out, in words that can stand alone. */
export interface FillFinding {
  readonly kind:
    | "misread" | "rain" | "second fill" | "floor sealed" | "sides smeared" | "leak" | "water table" | "dry soil" | "less room" | "more room"
    | "less water" | "does not fit";
  readonly words: string;
}

/** A fill test held against the design. */
export interface FillTestResult {
  /** the design, with the groundwater of the day where that was given */
  readonly site: Site;
  readonly verdict: FillVerdict;
  /** whether it passes by the line of the crew's paper; null where no reading says, or the dips fit nothing */
  readonly pass: PassLine | null;
  /** how long the works take to empty after the storm asked of them; null where the file has no storm, or the dips fit nothing */
  readonly emptying: Emptying | null;
  /** the file's storms in the works as they are, beside the drawing; none where the dips fit nothing */
  readonly storms: readonly FoundStorm[];
  /** what stands out, the graver first */
  readonly findings: readonly FillFinding[];
  /** what was found to be at work besides the soil, in the order found */
  readonly causes: readonly Cause[];
  /** causes that would do as well, one list a model */
  readonly rivals: readonly (readonly Cause[])[];
  readonly numbers: readonly FittedNumber[];
  /** pairs of numbers that the dips hardly tell apart: coefficients of correlation beyond 0.9 either way */
  readonly tied: readonly { readonly names: readonly [UnknownName, UnknownName]; readonly correlation: number }[];
  /** dips that count, and what the fitted works would have shown [s], [m] */
  readonly dips: Dips & { readonly fitted: Float64Array; readonly residual: Float64Array };
  /** root of the mean square of the residuals [m] */
  readonly rms: number;
  /** standard deviation of a dip that the bands stand on [m], and the degrees of freedom it is known with; Infinity: it was given */
  readonly dipDeviation: number;
  readonly freedom: number;
  readonly tried: readonly TriedModel[];
  /** fitted works with the 95 percent band of their line, and the design filled alike */
  readonly line: FillLine;
  /** the dip that would help most; null where none is worth waiting for */
  readonly nextDip: NextDip | null;
  readonly notes: readonly string[];
}

/**
 * A test of finished works: fill the pit by a hose, dip it while it falls, and hold the levels against this library's own runs.
 *
 * Fitted by least squares are always the water that went in and one factor on the soil, and where the dips ask for it a floor of its
 * own, a water table or a leak (see `fillModel` for the unknowns, `chooseFill` for the choice). Bands are by the likelihood profile, 95
 * percent, wide enough for every cause that the dips do not rule out.
 *
 * Dips tell how fast the water falls: conductivity over room. The room is known by its drawing to what stone's porosity is known
 * (`roomDoubt`), better where a hose of known flow filled it; that doubt is in the soil's band.
 *
 * A dip that alone lies far off the line of all others was misread: it is named and left out. Water that rises again is not made to fit.
 *
 * @throws InputError  for options that cannot be read, too few dips, or dips without a fall; all at once
 * @source  method: least squares of a model over its runs (Bates & Watts, 1988); the test itself: common practice
 */
export function fillTest(site: Site, options: FillTestOptions): FillTestResult {
  return judgedFill(site, readFillTest(site, options));
}

/** As `fillTest`, of a test that was read. */
export function judgedFill(site: Site, read: ReadFillTest): FillTestResult {
  const { dipError, suspects } = read;
  const { pit, choice, misread } = withoutMisread(read.pit, suspects, dipError);
  const { chosen, tried, rivals } = choice;
  const solution = solveFill(pit, chosen, dipError);
  const solutions = [solution, ...rivals.map((rival) => solveFill(pit, rival, dipError))];
  const { model, fit } = solution.fit;
  const numbers = withRoom(pit, model.names.map((name, j): FittedNumber => numberOf(name, fit.values[j]!, widest(solutions, name))));
  const count = fit.residual.length;
  const line = fillLines(pit, solution);
  const found = foundByFill(pit, solution);
  const verdict = fillVerdict(pit, numbers, line, solutions.map((each) => each.fit.model.causes), solution.scatter);
  const isExplained = verdict.kind !== "unexplained";
  const emptying = isExplained ? emptyingAfter(pit.site, site, found, read.recorded) : null;
  // the room as drawn: what the dips tell is the fall
  const { band } = numbers.find(({ name }) => name === "fall")!;
  const inSoil = model.names.indexOf("soil");
  const worksOf = (end: number | null): Site | null => (end === null ? null : found.works(fit.values.with(inSoil, end), pit.site));
  const ends = { low: worksOf(band.low), best: found.works(fit.values, pit.site), high: worksOf(band.high) };
  const storms = isExplained ? foundStorms(site, ends, read.recorded) : [];
  const pass = isExplained ? passLine(pit) : null;
  return {
    site: pit.site,
    verdict,
    pass,
    emptying,
    storms,
    findings: [...verdict.findings, ...misread, ...read.findings, ...hoseFindings(pit, numbers)],
    causes: model.causes,
    rivals: rivals.map((rival) => rival.model.causes),
    numbers,
    tied: tiedNumbers(solution),
    dips: { ...pit.dips, fitted: fit.fitted, residual: fit.residual },
    rms: Math.sqrt(fit.squares / count),
    dipDeviation: solution.scatter.deviation,
    freedom: solution.scatter.freedom,
    tried: tried.map((each) => ({
      causes: each.model.causes, soil: each.model.names.includes("soil"), unknowns: each.model.unknowns.length,
      rms: Math.sqrt(each.fit.squares / count),
    })),
    line,
    nextDip: isExplained ? nextDip(pit, solutions) : null,
    notes: [...read.notes, ...notesOn(pit, solution, dipError), ...passedOverNotes(emptying)],
  };
}

function numberOf(name: UnknownName, value: number, { low, high }: FittedNumber["band"]): FittedNumber {
  const shown = (counted: number | null): number | null => (counted === null ? null : isLogarithm(name) ? Math.exp(counted) : counted);
  return { name, value: shown(value)!, band: { low: shown(low), high: shown(high) } };
}

/**
 * The fit has the room as drawn, so its soil is conductivity over room, and its hose water over room. With h = ln(hose over room) found,
 * the hose known to e and the room to d (both of logarithms), the room is
 *
 *   ln(room) = -h d^2/(d^2 + e^2),  with a variance of d^2 e^2/(d^2 + e^2)
 *
 * and d^2 where no hose tells; the soil is the fall times that, and what a leak loses or dry soil drinks is the fitted flow times that.
 *
 * @source  two measurements of one number, any text; variances of logarithms added
 */
export function withRoom({ site, filling, dips }: FilledPit, numbers: readonly FittedNumber[]): FittedNumber[] {
  const doubt = roomDoubt(site, leastOf(dips.level), greatestOf(dips.level));
  const hose = numbers.find(({ name }) => name === "hose");
  const [within, told] = filling.by === "hose" && hose !== undefined ? [filling.within, Math.log(hose.value)] : [Infinity, 0];
  const known = within === Infinity ? 1 : within ** 2 / (within ** 2 + doubt ** 2);
  const room = Math.exp(-told * (1 - known));
  const spread = normalQuantile(0.975) * doubt * Math.sqrt(known);
  return numbers.flatMap((number): FittedNumber[] => {
    if (!["soil", "leakFlow", "dry"].includes(number.name)) return [number];
    const wider = (end: number | null, side: 1 | -1): number | null => (
      end === null || !(number.value > 0) ? end : end <= 0 ? 0
        : number.value * room * Math.exp(side * Math.hypot(Math.log(end / number.value), spread)));
    const band = { low: wider(number.band.low, -1), high: wider(number.band.high, 1) };
    const inRoom: FittedNumber = { ...number, value: number.value * room, band };
    if (number.name !== "soil") return [inRoom];
    return [{ ...number, name: "fall" }, inRoom, { name: "room", value: room, band: { low: room * Math.exp(-spread), high: room * Math.exp(spread) } }];
  });
}

function tiedNumbers({ fit: { model }, covariance }: FillSolution): FillTestResult["tied"] {
  // what went in is the first, and no answer
  return model.names.flatMap((first, j) => model.names.slice(j + 1).flatMap((second, k) => {
    const other = j + 1 + k;
    if (j === 0) return [];
    const correlation = covariance[j]![other]! / Math.sqrt(covariance[j]![j]! * covariance[other]![other]!);
    return Math.abs(correlation) > 0.9 ? [{ names: [first, second] as const, correlation }] : [];
  }));
}

function notesOn({ site, filling }: FilledPit, { scatter, fit }: FillSolution, dipError: number | null): string[] {
  const { units } = site;
  const own = depthText(scatter.deviation, units);
  const factor = site.soil.factorOfSafety;
  return [
    `The soil is held against what the design counts on${factor === 1 ? "" : `: its conductivity divided by the factor of safety, ${factor}`}.`,
    ...(dipError !== null && scatter.freedom !== Infinity
      ? [`The dips lie ${own} about the line, far more than the ${depthText(dipError, units)} they were said to be off: the model lacks something, or a dip was misread. The bands stand on the larger.`] : []),
    ...(scatter.freedom < 3 ? [`With ${fit.fit.residual.length} dips there is next to nothing left over to judge by; a few more would narrow every band.`] : []),
    ...(site.groundwater.mounding === null ? [] : ["The mound under the pit is left out: the hours of a test are too short for one to show."]),
    filling.by === "hose" ? `The hose's flow is taken as known to ${Math.round(100 * filling.within)} % and the stone's porosity to ${Math.round(100 * POROSITY_ERROR)} % of itself, one standard deviation: the bands of soil and room stand on that.`
      : `The first dip is taken as any other: the level the pit was filled to is fitted along with the rest. The stone's porosity is taken as known to ${Math.round(100 * POROSITY_ERROR)} % of itself, one standard deviation; the soil's band stands on that.`,
  ];
}

/** A hose that is off by more than this was misread, or the room in the pit is not what was drawn; ours. */
const HOSE_OFF = 1.25;

function hoseFindings({ site, filling }: FilledPit, numbers: readonly FittedNumber[]): FillFinding[] {
  const asked = numbers.find(({ name }) => name === "hose")?.value ?? 1;
  if (filling.by !== "hose" || (asked < HOSE_OFF && asked > 1 / HOSE_OFF)) return [];
  const start = `The levels ask for ${twoFigures(asked)} times the water that the hose is said to have brought`;
  const room = numbers.find(({ name }) => name === "room")!;
  const stone = `between ${twoFigures(room.band.low!)} and ${twoFigures(room.band.high!)} times as drawn if its flow was read right to ${Math.round(100 * filling.within)} %`;
  if (asked < 1 && site.settlingBoxes.some(({ name }) => name === filling.into)) {
    return [{ kind: "less water", words: `${start}: look whether the box's outlet is choked and the box spilled or still holds the rest; else check the hose with a bucket and a watch, or the pit has more room than drawn (${stone}).` }];
  }
  return [{
    kind: asked > 1 ? "less room" : "more room",
    words: `${start}: check its flow with a bucket and a watch; if it is right, the pit has ${asked > 1 ? "less" : "more"} room than drawn, ${stone}.`,
  }];
}

/** The moment at which one more dip would tell most. */
interface NextDip {
  /** on the test's clock [s] */
  readonly time: number;
  /** what the fitted works would show then [m] */
  readonly level: number;
  readonly words: string;
}

/** A soil known to this share needs no further dip; it is known worse from anything else. */
const KNOWN_WELL = 0.2;

/** What a dip must narrow the soil's band by to be worth waiting for. */
const WORTH = 0.8;

/** Moments that are tried, after the last dip, in spans of the test. */
const LATER: readonly number[] = [0.15, 0.3, 0.5, 0.75, 1, 1.5, 2, 3];

/**
 * Where rivals are left: when their levels lie farthest apart, if that is more than three times what a dip is off. Else, where the
 * soil's band is wide: the dip that narrows it most, by the slopes of the fitted line,
 *
 *   C' = C - C g g' C/(s^2 + g' C g),    g the slopes of the level at that moment
 *
 * @source  the next best measurement: Atkinson & Donev, Optimum Experimental Designs, 1992, from memory
 */
function nextDip(pit: FilledPit, solutions: readonly FillSolution[]): NextDip | null {
  const { time, level } = pit.dips;
  const span = time.at(-1)! - time[level.indexOf(greatestOf(level))]!;
  const moments = Float64Array.from(LATER, (share) => round(time.at(-1)! + share * span));
  return tellingDip(pit, solutions, moments) ?? narrowingDip(pit, solutions[0]!, moments);
}

function tellingDip({ site, dips }: FilledPit, solutions: readonly FillSolution[], moments: Float64Array): NextDip | null {
  const { chamberBank: { floor }, units } = site;
  if (solutions.length < 2) return null;
  const levels = solutions.map(({ fit: { model, fit } }) => model.levels(fit.values, moments));
  const apart = moments.map((_, i) => greatestOf(levels.map((each) => each[i]!)) - leastOf(levels.map((each) => each[i]!)));
  const at = apart.indexOf(greatestOf(apart));
  if (!(apart[at]! > 3 * solutions[0]!.scatter.deviation)) return null;
  const expected = solutions.map(({ fit: { model } }, k) => `${staffText(levels[k]![at]! - floor, units)} of water if it is ${causesText(model.causes)}`);
  return {
    time: moments[at]!, level: levels[0]![at]!,
    words: `One more dip ${durationText(moments[at]! - dips.time.at(-1)!)} after the last would tell: ${expected.join(", ")}.`,
  };
}

function narrowingDip({ site, dips }: FilledPit, solution: FillSolution, moments: Float64Array): NextDip | null {
  const { chamberBank: { floor }, units } = site;
  const { fit: { model, fit }, covariance, scatter } = solution;
  const soil = model.names.indexOf("soil");
  const variance = covariance[soil]![soil]!;
  if (deviateOf(scatter, 0.975) * Math.sqrt(variance) < KNOWN_WELL * fit.values[soil]!) return null;
  const levels = model.levels(fit.values, moments);
  const columns = slopes((values) => model.levels(values, moments), model.unknowns, fit.values);
  const left = moments.map((_, i) => {
    const turned = covariance.map((line) => line.reduce((sum, value, k) => sum + value * columns[k]![i]!, 0));
    const own = turned.reduce((sum, value, k) => sum + value * columns[k]![i]!, 0);
    return levels[i]! > floor + 0.02 ? (turned[soil]! ** 2) / (scatter.deviation ** 2 + own) : 0;
  });
  const at = left.indexOf(greatestOf(left));
  const narrowed = Math.sqrt(Math.max(0, 1 - left[at]! / variance));
  if (narrowed > WORTH) return null;
  return {
    time: moments[at]!, level: levels[at]!,
    words: `One more dip ${durationText(moments[at]! - dips.time.at(-1)!)} after the last, at about ${staffText(levels[at]! - floor, units)} of water, `
      + `would narrow the soil's band to ${Math.round(100 * narrowed)} percent of its width.`,
  };
}

/** To five minutes, as people look at a watch; to one below an hour. */
function round(time: number): number {
  const step = time < 3600 ? 60 : 300;
  return Math.ceil(time / step) * step;
}

/** What the crew's paper says of a fill test: whether it passes. */
interface PassLine {
  /** of the reading that is asked, after the first one with the hose shut [s] */
  readonly after: number;
  /** the level as drawn then, and as read [m] */
  readonly line: number;
  readonly read: number;
  readonly passes: boolean;
  readonly sentence: string;
}

/** A reading so near to the paper's hours is taken for theirs, as a share of them. */
const NEAR = 0.1;

/**
 * Whether a fill test passes by the line of the crew's paper (`fallFrom`): twelve hours after the hose is shut the water stands at or below
 * where it would in the design's soil. Of the readings the one nearest to that hour is held against the line at its own time, from the
 * level of the first with the hose shut; where none is near, the last, which says only how it looks so far.
 *
 * @returns  null where no reading follows the first with the hose shut, or as drawn nothing soaks away
 */
export function passLine({ site, filling, dips: { time, level } }: FilledPit): PassLine | null {
  const shut = filling.by === "hose" ? filling.duration : time[0]!;
  const first = time.findIndex((moment) => moment >= shut);
  if (first < 0 || first === time.length - 1) return null;
  const since = Array.from(time, (moment) => moment - time[first]!);
  const off = (i: number): number => Math.abs(since[i]! - PASS_AFTER);
  const nearest = since.reduce((best, _, i) => (i > first && off(i) < off(best) ? i : best), first + 1);
  const after = since[nearest]!;
  const line = fallFrom(site, level[first]!, 1, [after])[0]!;
  if (line > level[first]! - STILL) return null;
  const read = level[nearest]!;
  const passes = read <= line;
  return { after, line, read, passes, sentence: sentenceOf(site, after, line, read, passes) };
}

/** Least fall as drawn that counts as one [m]. */
const STILL = 0.001;

function sentenceOf({ units, chamberBank: { floor } }: Site, after: number, line: number, read: number, passes: boolean): string {
  const depth = (level: number): string => staffText(Math.max(0, level - floor), units);
  const isTheirs = Math.abs(after - PASS_AFTER) <= NEAR * PASS_AFTER;
  const verdict = isTheirs ? ` it ${passes ? "passes" : "does not pass"}`
    : `, which asks after ${durationText(PASS_AFTER)}, it would ${passes ? "" : "not "}pass as things stand`;
  return `By the line of the crew's paper${verdict}: ${durationText(after)} after the first reading with the hose shut there are ${depth(read)} of water, and in the design's soil there would be ${depth(line)}.`;
}
