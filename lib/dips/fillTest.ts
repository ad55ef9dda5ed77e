import { greatestOf } from "../numerics/extremes.ts";
import { normalQuantile } from "../numerics/normalQuantile.ts";
import { studentQuantile } from "../numerics/studentQuantile.ts";
import { networkOf } from "../simulate/assemble.ts";
import { variedSite } from "../simulate/variedSite.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { depthText, durationText, threeFigures } from "../text/format.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { type Dips, type DipsGiven, readDips } from "./dips.ts";
import { type FillFit, fitFill, scatterOf } from "./fillFit.ts";
import { type FillLine, fillLines } from "./fillLine.ts";
import { type Cause, type FilledPit, isLogarithm, type UnknownName } from "./fillModel.ts";
import { type FillSolution, solveFill, widest } from "./fillSolution.ts";
import { fillVerdict, type FillVerdict } from "./fillVerdict.ts";
import { nextDip, type NextDip } from "./nextDip.ts";

/** A fill test as read, in SI. */
interface ReadFillTest {
  readonly pit: FilledPit;
  readonly dipError: number | null;
  readonly suspects: readonly Cause[];
  readonly notes: readonly string[];
}

/**
 * Reads the options of a fill test and leaves out dips that say nothing.
 *
 * @throws InputError  for options that cannot be read, too few dips, or dips without a fall; all at once
 */
function readFillTest(site: Site, options: FillTestOptions): ReadFillTest {
  const reader = optionReader("fillTest", options, "The fill test cannot be used:");
  if (reader.has("about") && typeof reader.raw("about") !== "string") reader.problem("about", "a text");
  const { floor, ground } = site.chamberBank;
  const dips = readDips(reader, floor, ground);
  const inflow = reader.has("inflow") ? readInflow(reader.child("inflow"), site) : null;
  const groundwater = reader.has("groundwaterLevel") ? reader.quantity("groundwaterLevel", "length") : null;
  const dipError = reader.has("dipError") ? reader.quantity("dipError", "length", { least: 0.0001, most: 0.1 }) : null;
  const suspects = reader.has("suspects") ? readSuspects(reader) : CAUSES;
  const wet = wetDips(dips, floor, inflow !== null);
  if (dips.level.length > 0 && !dips.level.some(Number.isNaN) && !dips.time.some(Number.isNaN)) checkDips(reader, site, wet, inflow);
  reader.done();
  const left = dips.level.length - wet.level.length;
  return {
    pit: {
      site: groundwater === null ? site : variedSite(site, { groundwaterLevel: groundwater }),
      filling: inflow ?? { by: "firstDip" },
      dips: wet,
    },
    dipError,
    suspects: suspects.filter((cause) => cause !== "floor" || (site.soil.floor && site.soil.sides && site.chamberBank.openFloorShare > 0)),
    notes: left === 0 ? [] : [`${left === 1 ? "One dip does" : `${left} dips do`} not count: before any water was in, or with the pit dry, for nobody knows since when.`],
  };
}

/** The least that leaves a residual to judge by: the fill and the soil take two. */
const FEWEST = 4;

/** A fall that a tape shows beyond doubt [m]; ours. */
const LEAST_FALL = 0.02;

const CAUSES: readonly Cause[] = ["floor", "waterTable", "leak"];

type Hose = Extract<FilledPit["filling"], { readonly by: "hose" }>;

function readInflow(reader: OptionReader, site: Site): Hose {
  const bodies = networkOf(site).bodies.map(({ name }) => name);
  return {
    by: "hose",
    flow: reader.quantity("flow", "flow", { above: 0 }),
    duration: reader.quantity("duration", "time", { above: 0, most: 30 * 86400 }),
    into: reader.word("into", bodies, "chamberBank"),
  };
}

function readSuspects(reader: OptionReader): Cause[] {
  return reader.list("suspects", (value, where): Cause => {
    const found = CAUSES.find((cause) => cause === value);
    if (found === undefined) reader.problem(where.slice(reader.where.length + 1), `one of ${CAUSES.map((cause) => `"${cause}"`).join(", ")}`, describe(value));
    return found ?? "floor";
  });
}

/** Water less deep than this is the floor's own damp [m]. */
const DRY = 0.003;

/** From the first dip with water on to the last before one without; a hose's own time 0 says only where it began. */
function wetDips({ time, level }: Dips, floor: number, byHose: boolean): Dips {
  const isWet = (i: number): boolean => level[i]! > floor + DRY && !(byHose && time[i] === 0);
  const first = level.findIndex((_, i) => isWet(i));
  if (first < 0) return { time: new Float64Array(), level: new Float64Array() };
  const dry = level.findIndex((_, i) => i > first && !isWet(i));
  const end = dry < 0 ? level.length : dry;
  return { time: time.slice(first, end), level: level.slice(first, end) };
}

function checkDips(reader: OptionReader, { units }: Site, { time, level }: Dips, inflow: Hose | null): void {
  if (level.length < FEWEST) {
    reader.problem("dips", `${FEWEST} or more dips with water in the pit, while it falls`, String(level.length));
    return;
  }
  const from = Math.max(0, inflow === null ? 0 : time.findIndex((moment) => moment >= inflow.duration));
  const falling = level.slice(from);
  const fall = greatestOf(falling) - falling.at(-1)!;
  if (inflow !== null && !(time.at(-1)! > inflow.duration)) {
    reader.problem("dips", `dips after the hose was shut (${durationText(inflow.duration)})`, `the last at ${durationText(time.at(-1)!)}`);
  } else if (!(fall >= LEAST_FALL)) {
    const waited = durationText(time.at(-1)! - time[from]!);
    reader.problem("dips", `a fall of ${depthText(LEAST_FALL, units)} or more: wait longer, or look for groundwater at that level`, `${depthText(Math.max(0, fall), units)} in ${waited}`);
  }
}

/** What the dips ask for, and what else would do. */
interface FillChoice {
  readonly chosen: FillFit;
  /** all models that were fitted, the design as drawn first */
  readonly tried: readonly FillFit[];
  /** models with other causes that the dips do not rule out */
  readonly rivals: readonly FillFit[];
}

/**
 * Chooses among nested models: the design as drawn, another soil, and beside that a floor of its own, a water table, a leak. A
 * cause comes in when what it takes off the squares would happen in one test of a hundred without it (extra sum of squares):
 *
 *   F = ((S0 - S1)/q)/(S1/(n - p)) > F(q, n - p; 0.99),    where dips' error s is known (S0 - S1)/s^2 > chi2(q; 0.99)
 *
 * of several the one with the lowest information criterion (Akaike's, corrected for few dips). A second cause comes in beside the
 * first by the same rule. A model of as many causes with another in it is a rival while its likelihood, by that criterion, is a
 * twentieth of the chosen one's or more.
 *
 * @source  extra sum of squares: Bates & Watts, Nonlinear Regression Analysis and Its Applications, 1988, 3.10; the criterion: Hurvich &
 *          Tsai, Biometrika 76, 1989; both from memory. For q = 1 F is t squared, for q = 2 its tail is (1 + 2 F/v)^(-v/2).
 */
export function chooseFill(pit: FilledPit, suspects: readonly Cause[], dipError: number | null): FillChoice {
  const spread = dipError ?? USUAL;
  const count = pit.dips.level.length;
  const design = fitFill(pit, [], spread, null, false);
  const tried = [design, fitFill(pit, [], spread)];
  let chosen = tried[1]!;
  let beside: FillFit[] = [];
  while (chosen.model.causes.length < MOST_CAUSES) {
    const before = chosen;
    const larger = suspects.filter((cause) => !before.model.causes.includes(cause))
      .map((cause) => [...before.model.causes, cause]).filter((causes) => unknownsOf(causes) < count + (dipError === null ? -1 : 0))
      .map((causes) => fitFill(pit, causes, spread, before));
    for (const each of larger) tried.push(each);
    const asked = larger.filter((after) => isAskedFor(before, after, dipError));
    if (asked.length === 0) break;
    chosen = asked.reduce((best, each) => (criterion(each, dipError) < criterion(best, dipError) ? each : best));
    beside = asked.filter((each) => each !== chosen);
  }
  const rivals = beside.filter((each) => criterion(each, dipError) - criterion(chosen, dipError) < 2 * Math.log(20));
  return { chosen, tried, rivals };
}

/** What a dip by tape is off, where nobody says; only the scale of the search [m]. */
const USUAL = 0.003;

/** More at once no fill test tells apart. */
const MOST_CAUSES = 2;

/** One in a hundred. */
const RARE = 0.01;

/** The fill, the soil, and what the causes add. */
function unknownsOf(causes: readonly Cause[]): number {
  return 2 + causes.reduce((sum, cause) => sum + (cause === "leak" ? 2 : 1), 0);
}

function isAskedFor(before: FillFit, after: FillFit, dipError: number | null): boolean {
  const more = after.model.unknowns.length - before.model.unknowns.length;
  const { deviation, freedom } = scatterOf(after, dipError);
  const gain = (before.fit.squares - after.fit.squares) / deviation ** 2;
  if (freedom === Infinity) return gain > (more === 1 ? normalQuantile(1 - RARE / 2) ** 2 : -2 * Math.log(RARE));
  return gain / more > (more === 1 ? studentQuantile(1 - RARE / 2, freedom) ** 2 : (freedom / 2) * (RARE ** (-2 / freedom) - 1));
}

/** -2 ln of the likelihood, with what the unknowns cost: 2 p where the scatter is known, else with it as one more, corrected. */
function criterion(fit: FillFit, dipError: number | null): number {
  const { deviation, freedom } = scatterOf(fit, dipError);
  const count = fit.fit.residual.length;
  const unknowns = fit.model.unknowns.length;
  if (freedom === Infinity) return fit.fit.squares / deviation ** 2 + 2 * unknowns + 2 * count * Math.log(deviation);
  const all = unknowns + 1;
  const likelihood = 2 * count * Math.log(deviation) + count * Math.log(freedom / count) + count;
  return likelihood + 2 * all + (2 * all * (all + 1)) / Math.max(1, count - all - 1);
}

/** What was done and read on site, in texts with units. */
export interface FillTestOptions extends DipsGiven {
  /** free text; nothing is made of it */
  readonly about?: string;
  /** the hose, opened at time 0; where missing the first dip is what the pit was filled to, and the times are anybody's */
  readonly inflow?: {
    readonly flow: string;
    readonly duration: string;
    /** the body it runs into; "chamberBank" where missing */
    readonly into?: string;
  };
  /** of the groundwater as it was found on the day, in place of the site's */
  readonly groundwaterLevel?: string;
  /** standard deviation of a dip: two of three are better than this; taken from the scatter of the dips where missing */
  readonly dipError?: string;
  /** what to look for besides the soil; floor, waterTable and leak where missing */
  readonly suspects?: readonly Cause[];
}

/** A number that the test found. */
export interface FittedNumber {
  readonly name: UnknownName;
  /**
   * hose, soil, floor: times what was given or designed (floor: over the sides'); start, waterTable, leakLevel: a level [m];
   * leakFlow: at the highest dip [m3/s]
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

/** A fill test held against the design. */
export interface FillTestResult {
  /** the design, with the groundwater of the day where that was given */
  readonly site: Site;
  readonly verdict: FillVerdict;
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
 * A factor on the soil is one on conductivity over porosity: a fill test cannot tell slower soil from stone with more room, except
 * by a hose whose flow is well known.
 *
 * @throws InputError  for options that cannot be read, too few dips, or dips without a fall; all at once
 * @source  method: least squares of a model over its runs (Bates & Watts, 1988); the test itself: common practice
 */
export function fillTest(site: Site, options: FillTestOptions): FillTestResult {
  const { pit, dipError, suspects, notes } = readFillTest(site, options);
  const { chosen, tried, rivals } = chooseFill(pit, suspects, dipError);
  const solution = solveFill(pit, chosen, dipError);
  const solutions = [solution, ...rivals.map((rival) => solveFill(pit, rival, dipError))];
  const { model, fit } = solution.fit;
  const numbers = model.names.map((name, j): FittedNumber => numberOf(name, fit.values[j]!, widest(solutions, name)));
  const count = fit.residual.length;
  const line = fillLines(pit, solution);
  return {
    site: pit.site,
    verdict: fillVerdict(pit, numbers, line, solutions.map((each) => each.fit.model.causes), solution.scatter),
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
    nextDip: nextDip(pit, solutions),
    notes: [...notes, ...notesOn(pit, solution, dipError)],
  };
}

function numberOf(name: UnknownName, value: number, { low, high }: FittedNumber["band"]): FittedNumber {
  const shown = (counted: number | null): number | null => (counted === null ? null : isLogarithm(name) ? Math.exp(counted) : counted);
  return { name, value: shown(value)!, band: { low: shown(low), high: shown(high) } };
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
    `The soil is held against what the design counts on${factor === 1 ? "" : `, its factor of safety of ${factor} taken off`}.`,
    ...(dipError !== null && scatter.freedom !== Infinity
      ? [`The dips lie ${own} about the line, far more than the ${depthText(dipError, units)} they were said to be off: the model lacks something, or a dip was misread. The bands stand on the larger.`] : []),
    ...(scatter.freedom < 3 ? [`With ${fit.fit.residual.length} dips there is next to nothing left over to judge by; a few more would narrow every band.`] : []),
    ...(site.groundwater.mounding === null ? [] : ["The mound under the pit is left out: the hours of a test are too short for one to show."]),
    ...(filling.by === "hose" ? hoseNotes(Math.exp(fit.fit.values[0]!)) : []),
    filling.by === "hose" ? "A hose's flow is only roughly known, and the stone's room too: the water that went in is fitted along with the rest."
      : "The first dip is taken as any other: the level the pit was filled to is fitted along with the rest.",
  ];
}

/** A hose that is off by more than this was misread, or the room in the pit is not what was drawn; ours. */
const HOSE_OFF = 1.25;

function hoseNotes(factor: number): string[] {
  if (factor < HOSE_OFF && factor > 1 / HOSE_OFF) return [];
  return [`The levels ask for ${threeFigures(factor)} times the water that the hose is said to have brought: check its flow with a bucket and a watch; if it is right, `
    + `the pit has ${factor > 1 ? "less" : "more"} room than drawn, and the soil's factor is off with it.`];
}
