import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { networkOf } from "../simulate/assemble.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Site } from "../site/site.ts";
import { designShows, faultFit, type FaultFit, sharpened } from "./faultFit.ts";
import { type Fault, faultLoad, FAULTS, faultySite, hasSeverity, noSuchFault, SOUND_SOIL } from "./faults.ts";
import { leastSquares } from "./leastSquares.ts";
import { type Leader, looksAfter, type Measurement, nextMeasurements } from "./nextMeasurement.ts";
import { type Cause, CAUSE_WORDS, causeOf, CAUSES, inseparable } from "./pitCauses.ts";
import { type FailedPitOptions, type PitLog, readPitLog, timesLoad, topOf } from "./pitLog.ts";

/** A cause and how likely it is. */
export interface RankedCause {
  readonly cause: Cause;
  /** of all causes that the site can have and of something else, 0 to 1; they add up to 1 */
  readonly share: number;
  readonly likely: "likely" | "possible" | "unlikely";
  /** the fault that fits best, which for a leak names its place, its severity, and the soil over the design's; null for something else */
  readonly fault: Fault | null;
  readonly severity: number;
  readonly soil: number;
  readonly band: readonly [number, number];
  /** what ran in, over what was given, in the curve that fits best */
  readonly load: number;
  /** levels at the dips with all that [m]; the dips themselves for something else */
  readonly levels: Float64Array;
  /** root mean square of what dips and load are off by, in their errors; about 1 or less where the cause explains the dips */
  readonly misfit: number;
}

/** Two causes at once that explain dips which none does alone. */
export interface TwoCauses {
  readonly causes: readonly [Cause, Cause];
  readonly faults: readonly [Fault, Fault];
  readonly severities: readonly [number, number];
  readonly soil: number;
  readonly misfit: number;
  /** as a person says it */
  readonly words: string;
}

/** Two causes whose best curves differ at no dip by as much as the dip error. */
export interface AlikeCauses {
  readonly causes: readonly [Cause, Cause];
  /** greatest difference at a dip [m] */
  readonly difference: number;
  /** why they are known to look alike; null where it is these dips alone */
  readonly because: string | null;
}

/** What the dips say about a pit that does not do its work. */
export interface FailedPit {
  readonly site: Site;
  readonly log: PitLog;
  /** the likeliest first */
  readonly causes: readonly RankedCause[];
  /** causes that this site cannot have, or that none of the dips would show, and why */
  readonly excluded: readonly { readonly cause: Cause; readonly because: string }[];
  /** of causes that are not ruled out, the likeliest first */
  readonly alike: readonly AlikeCauses[];
  /** what could be measured next, the most telling first */
  readonly next: readonly Measurement[];
  /** errors that the shares stand on, of a dip [m] and of the load [share]: those of the log, or larger where nothing explains the dips */
  readonly errorsTaken: { readonly dip: number; readonly load: number };
  /** false where not even the best cause explains the dips: two at once, or one that is not in the list */
  readonly explained: boolean;
  /** looked for only where no cause explains the dips; null where no two do either */
  readonly two: TwoCauses | null;
  /** the run of a cause at its best severity, until the last of the times that could be looked at */
  run(cause: Cause): Run;
}

/**
 * Ranks what may be wrong with a pit by a few dips after a storm or a hose fill.
 *
 * Every fault of `faultySite` is run over its severities, in soil anywhere from 0.7 to 3 times the design's, and held against the dips
 * (`faultFit`); causes start with equal shares, a leak's two places with half of one each, and
 *
 *   share = evidence / sum of all evidence
 *
 * Beside them stands something else: levels anywhere between floor and edge at the first dip of a body, and anywhere below the last one at
 * the others. It comes first where the best cause misses by much more than its errors. No share is above 0.9 while another cause misses by
 * hardly more: squares of `NOISE` are chance.
 *
 * Where the likeliest cause misses by more than 2 errors, nothing is `explained`; both errors are then taken larger by as much as it
 * misses and the shares among the causes are made again, so that they are no surer than the dips (Birge's ratio, Physical Review 40, 1932,
 * from memory), and pairs of the likelier causes are tried.
 *
 * @throws InputError  with all problems of the options
 */
export function failedPit(site: Site, options: FailedPitOptions): FailedPit {
  return diagnosed(site, readPitLog(site, options));
}

/** As `failedPit`, of a log that was read. */
export function diagnosed(site: Site, log: PitLog): FailedPit {
  const looks = looksAfter(site, log.dips);
  const excluded = new Map<Cause, string>();
  const design = designShows(site, log);
  const allFits = (taken: PitLog): FaultFit[] => FAULTS.flatMap((fault) => {
    const why = fault === "roofMore" && log.load === "hose" ? "the water of a hose runs off no roof" : noSuchFault(site, fault);
    const fit = why === null ? faultFit(site, fault, taken, looks, fault === "asDesigned" ? null : design) : null;
    if (fit === null && !excluded.has(causeOf(fault))) excluded.set(causeOf(fault), why ?? "none of these dips would show it");
    return fit ?? [];
  });
  const rough = allFits(log);
  const near = leastOf(rough.map(({ squares }) => squares)) + NEAR;
  const asGiven = rough.map((fit) => (fit.squares < near ? sharpened(site, log, fit) : fit));
  const least = leastOf(asGiven.map(({ misfit }) => misfit));
  const explained = least <= EXPLAINED;
  const taken = explained ? log : { ...log, dipError: least * log.dipError, loadError: least * log.loadError };
  const ranked = rankedOf(explained ? asGiven : asGiven.map((fit) => ({ ...fit,
    evidence: fit.evidence + (fit.squares / 2) * (1 - 1 / least ** 2), misfit: fit.misfit / least })), asGiven, site, log);
  ranked.forEach(({ cause }) => excluded.delete(cause));
  const causes = ranked.map(({ looks: _, squares: __, ...cause }): RankedCause => cause);
  const leaders = ranked.filter((each): each is typeof each & { fault: Fault } => each.fault !== null
    && each.share >= RULED_OUT).slice(0, MOST_LEADERS);
  const known = new Map<Cause, Run>();
  return {
    site, log, causes,
    excluded: [...excluded].map(([cause, because]) => ({ cause, because })),
    alike: alikeOf(causes.filter(({ fault }) => fault !== null), log.dipError),
    next: leaders.length < 2 ? [] : nextMeasurements(site, leaders, log.dips, log.dipError),
    errorsTaken: { dip: taken.dipError, load: taken.loadError }, explained,
    two: explained && causes[0]!.cause !== "somethingElse" ? null : twoAtOnce(site, log, asGiven),
    run(cause) {
      const drawn = causes.filter((each): each is typeof each & { fault: Fault } => each.fault !== null);
      const found = drawn.find((each) => each.cause === cause);
      if (found === undefined) throw new RangeError(`cause: expected one of ${drawn.map((each) => each.cause).join(", ")}, got "${cause}"`);
      const until = Math.max(greatestOf(looks.map(({ time }) => time)), log.loadEnd);
      const made = known.get(cause)
        ?? settledRun(faultySite(site, found.fault, found.severity, found.soil), timesLoad(log.inflows, found.load), { until });
      known.set(cause, made);
      return made;
    },
  };
}

/** Shares from which a cause is called likely, or possible. */
const LIKELY = 0.5;
const POSSIBLE = 0.05;
/** A cause below it is ruled out, and not held against others [share]. */
const RULED_OUT = 0.01;
const MOST_LEADERS = 8;
/** Misfit of the likeliest cause up to which it explains the dips. */
const EXPLAINED = 2;
/** Squares by which two causes may differ by chance: three errors. */
const NOISE = 9;
/** A fault whose squares are within this of the least is looked at more closely. */
const NEAR = 150;
/** No cause is surer than this while another differs by no more than that. */
const SUREST = 0.9;

type Ranked = RankedCause & Omit<Leader, "fault"> & { readonly squares: number };

function rankedOf(fits: readonly FaultFit[], asGiven: readonly FaultFit[], site: Site, log: PitLog): Ranked[] {
  const most = greatestOf(fits.map(({ evidence }) => evidence));
  const causes = CAUSES.flatMap((cause) => {
    const own = fits.filter(({ fault }) => causeOf(fault) === cause);
    if (own.length === 0) return [];
    const best = own.reduce((highest, fit) => (fit.evidence > highest.evidence ? fit : highest));
    return [{ cause, best, weight: own.reduce((sum, { evidence }) => sum + Math.exp(evidence - most), 0) / own.length }];
  });
  const all = causes.reduce((sum, { weight }) => sum + weight, 0);
  // among the causes errors may have been taken larger; whether any of them explains the dips is asked with the errors as they were given
  const named = asGiven.map(({ evidence }) => evidence);
  const [top, other] = [greatestOf(named), otherEvidence(site, log)];
  const highest = Math.max(top, other);
  const sum = CAUSES.reduce((part, cause) => {
    const own = asGiven.filter(({ fault }) => causeOf(fault) === cause);
    return own.length === 0 ? part : part + own.reduce((inner, { evidence }) => inner + Math.exp(evidence - highest), 0) / own.length;
  }, 0);
  const otherShare = Math.exp(other - highest) / (Math.exp(other - highest) + sum);
  const shares = capped([...causes.map(({ weight, best }) => ({ share: (weight / all) * (1 - otherShare), squares: best.squares }))],
    otherShare);
  const likely = (share: number): RankedCause["likely"] => (share >= LIKELY ? "likely" : share >= POSSIBLE ? "possible" : "unlikely");
  return [
    ...causes.map(({ cause, best }, i): Ranked => {
      const { fault, severity, soil, band, load, levels, misfit, looks, squares } = best;
      return { cause, share: shares[i]!, likely: likely(shares[i]!), fault, severity, soil, band, load, levels, misfit, looks, squares };
    }),
    {
      cause: "somethingElse" as const, share: shares.at(-1)!, likely: likely(shares.at(-1)!), fault: null, severity: 0, soil: 1, band: [0, 0] as const, load: 1,
      levels: Float64Array.from(log.dips, ({ level }) => level), misfit: 0, looks: [], squares: 0,
    },
  ].sort((a, b) => b.share - a.share);
}

/** Shares of all causes and, last, of something else, none surer than its rivals allow: what is taken off it goes to those rivals. */
function capped(causes: readonly { readonly share: number; readonly squares: number }[], other: number): number[] {
  const shares = [...causes.map(({ share }) => share), other];
  const first = shares.indexOf(greatestOf(shares));
  if (first === causes.length || shares[first]! <= SUREST) return shares;
  const rivals = causes.flatMap(({ squares }, i) => (i !== first && squares - causes[first]!.squares < NOISE ? [i] : []));
  if (rivals.length === 0) return shares;
  const over = shares[first]! - SUREST;
  const weights = rivals.map((i) => Math.exp(-causes[i]!.squares / 2));
  const all = weights.reduce((sum, each) => sum + each, 0);
  rivals.forEach((i, k) => (shares[i]! += (over * weights[k]!) / all));
  shares[first] = SUREST;
  return shares;
}

/**
 * Logarithm of the likelihood of the dips where nothing is known but that water stands between floor and edge, and falls: in units of the
 * Gaussian densities that the causes' likelihoods leave out. A thing seen is as likely as not.
 */
function otherEvidence(site: Site, { dips, dipError, seen }: PitLog): number {
  const bodies = networkOf(site).bodies;
  const unit = dipError * Math.sqrt(2 * Math.PI);
  return dips.reduce((sum, { body, level }, i) => {
    const before = dips.slice(0, i).findLast((dip) => dip.body === body);
    const { floor } = bodies.find(({ name }) => name === body)!.storage;
    const room = before === undefined ? topOf(site, bodies.find(({ name }) => name === body)!.kind, body) - floor
      : Math.max(before.level, level) - floor + 3 * dipError;
    return sum + Math.log(unit / Math.max(unit, room));
  }, seen.length * Math.log(0.5));
}

function alikeOf(causes: readonly RankedCause[], dipError: number): AlikeCauses[] {
  const open = causes.filter(({ share }) => share >= RULED_OUT);
  return open.flatMap((a, i) => open.slice(i + 1).flatMap((b): AlikeCauses[] => {
    const difference = greatestOf(Array.from(a.levels, (level, d) => Math.abs(level - b.levels[d]!)));
    return difference < dipError ? [{ causes: [a.cause, b.cause], difference, because: inseparable(a.cause, b.cause) }] : [];
  }));
}

/**
 * The two faults that together explain dips which none does alone: pairs of the likelier ones by least squares over both severities, the
 * soil and the load, each with what is known of it beforehand. A slower soil is in no pair, for the soil is free in each.
 *
 * @param fits  of every fault by itself
 * @returns     null where no pair explains them, or none does so much better that it is not chance
 */
function twoAtOnce(site: Site, log: PitLog, fits: readonly FaultFit[]): TwoCauses | null {
  const single = fits.reduce((best, fit) => (fit.squares < best.squares ? fit : best));
  const likelier = [...fits].filter(({ fault }) => fault !== "asDesigned" && fault !== "soilSlower").sort((a, b) => a.squares - b.squares).slice(0, MOST);
  let best: TwoCauses | null = null;
  likelier.forEach((first, i) => {
    for (const second of likelier.slice(i + 1)) {
      if (causeOf(first.fault) === causeOf(second.fault)) continue;
      const found = pairFit(site, log, first, second);
      if (found === null || found.misfit > EXPLAINS || found.misfit ** 2 * log.dips.length > single.squares - GAIN) continue;
      if (best === null || found.misfit < best.misfit) best = found;
    }
  });
  return best;
}

const MOST = 5;
/** Misfit of a pair up to which it explains the dips. */
const EXPLAINS = 1.6;
/** Squares that a second cause has to take off: with two more unknowns less would be chance once in a hundred (chi squared). */
const GAIN = 9.2;

function pairFit(site: Site, log: PitLog, first: FaultFit, second: FaultFit): TwoCauses | null {
  const soils: readonly [number, number] = [Math.log(0.05), Math.log(SOUND_SOIL[1])];
  const unknowns = [
    { start: first.severity, size: 0.2, step: 0.02, low: 0, high: hasSeverity(first.fault) ? 1 : 0 },
    { start: second.severity, size: 0.2, step: 0.02, low: 0, high: hasSeverity(second.fault) ? 1 : 0 },
    { start: Math.log(1.4), size: 0.3, step: 0.01, low: soils[0], high: soils[1] },
    { start: 0, size: 0.1, step: 0.01, low: -1, high: 1, prior: { mean: 0, deviation: Math.max(0.001, log.loadError) } },
  ];
  const until = Math.max(1, log.loadEnd, log.dips.at(-1)!.time);
  // a leak is in the network alone, so it comes last
  const [a, b] = isLeak(first.fault) ? [1, 0] as const : [0, 1] as const;
  const faults = [first.fault, second.fault] as const;
  if (isLeak(first.fault) && isLeak(second.fault)) return null;
  const model = (values: readonly number[]): Float64Array => {
    const [x, y, soil, load] = values as [number, number, number, number];
    const severities = [x, y] as const;
    const once = faultySite(site, faults[a], severities[a]);
    if (noSuchFault(once, faults[b]) !== null) return Float64Array.from(log.dips, () => 1e3);
    const works = faultySite(once, faults[b], severities[b], Math.exp(soil));
    const more = Math.exp(load) * faultLoad(faults[0], x) * faultLoad(faults[1], y);
    const run = settledRun(works, timesLoad(log.inflows, more), { until, tolerance: 1e-5 });
    return Float64Array.from(log.dips, ({ body, time }) => run.level(body, time));
  };
  const told = Float64Array.from(log.dips, ({ level }) => level);
  try {
    const starts = [[first.severity, second.severity], [0.5, 0.5]];
    const fits = starts.map(([x, y]) => leastSquares(told, model, unknowns.map((each, j) => (j > 1 ? each : { ...each,
      start: Math.min(each.high, [x!, y!][j]!) })), log.dipError));
    const best = fits.reduce((least, fit) => (fit.squares < least.squares ? fit : least));
    const causes = [causeOf(first.fault), causeOf(second.fault)] as const;
    return {
      causes, faults, severities: [best.values[0]!, best.values[1]!], soil: Math.exp(best.values[2]!),
      misfit: Math.sqrt(best.squares / log.dips.length) / log.dipError,
      words: `${CAUSE_WORDS[causes[0]]}, and ${CAUSE_WORDS[causes[1]]}`,
    };
  } catch (failure) {
    if (failure instanceof StoppedRun) return null;
    throw failure;
  }
}

function isLeak(fault: Fault): boolean {
  return fault === "leakAtFloor" || fault === "leakAtPipe" || fault === "leakAtTrench" || fault === "holesClogged";
}
