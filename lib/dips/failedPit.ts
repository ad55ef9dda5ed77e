import { greatestOf } from "../numerics/extremes.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Site } from "../site/site.ts";
import { designShows, faultFit, type FaultFit } from "./faultFit.ts";
import { FAULTS, faultySite, noSuchFault, type Fault } from "./faults.ts";
import { looksAfter, nextMeasurements, type Leader, type Measurement } from "./nextMeasurement.ts";
import { CAUSES, causeOf, inseparable, type Cause } from "./pitCauses.ts";
import { readPitLog, timesLoad, type FailedPitOptions, type PitLog } from "./pitLog.ts";

/** A cause and how likely it is. */
export interface RankedCause {
  readonly cause: Cause;
  /** of all causes that the site can have, 0 to 1; they add up to 1 */
  readonly share: number;
  readonly likely: "likely" | "possible" | "unlikely";
  /** the fault that fits best, which for a leak names its place, and its severity */
  readonly fault: Fault;
  readonly severity: number;
  readonly band: readonly [number, number];
  /** what ran in, over what was given, in the curve that fits best */
  readonly load: number;
  /** levels at the dips with both [m] */
  readonly levels: Float64Array;
  /** root mean square of what dips and load are off by, in their errors; about 1 or less where the cause explains the dips */
  readonly misfit: number;
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
  /** the run of a cause at its best severity, until the last of the times that could be looked at */
  run(cause: Cause): Run;
}

/**
 * Ranks what may be wrong with a pit by a few dips after a storm or a hose fill.
 *
 * Every fault of `faultySite` is run over its severities and held against the dips (`faultFit`); causes start with equal shares, a
 * leak's two places with half of one each, and
 *
 *   share = evidence / sum of all evidence
 *
 * Each cause stands alone, beside works and soil as designed: two at once fit none of them well. Where the likeliest misses by more
 * than 2 errors, nothing is `explained`; both errors are then taken larger by as much as it misses and shares are made anew, so
 * that they are no surer than the dips (Birge's ratio, Physical Review 40, 1932, from memory).
 *
 * It is as good as the design it is held against. Of 100 blind cases (`faultCase`) it ranks the true cause first in nine of ten; where
 * the soil in truth is 1.3 or 0.8 times the design's, and nobody says so, in eight of ten.
 *
 * @throws InputError  with all problems of the options
 */
export function failedPit(site: Site, options: FailedPitOptions): FailedPit {
  const log = readPitLog(site, options);
  const looks = looksAfter(site, log.dips);
  const excluded = new Map<Cause, string>();
  const design = designShows(site, log);
  const allFits = (taken: PitLog): FaultFit[] => FAULTS.flatMap((fault) => {
    const why = noSuchFault(site, fault);
    const fit = why === null ? faultFit(site, fault, taken, looks, fault === "asDesigned" ? null : design) : null;
    if (fit === null) excluded.set(causeOf(fault), why ?? "none of these dips would show it");
    return fit ?? [];
  });
  const asGiven = allFits(log);
  const { misfit } = rankedOf(asGiven)[0]!;
  const explained = misfit <= EXPLAINED;
  const taken = explained ? log : { ...log, dipError: misfit * log.dipError, loadError: misfit * log.loadError };
  const ranked = rankedOf(explained ? asGiven : allFits(taken));
  ranked.forEach(({ cause }) => excluded.delete(cause));
  const causes = ranked.map(({ looks: _, ...cause }): RankedCause => cause);
  const leaders = ranked.filter(({ share }, i) => i < 2 || (i < MOST_LEADERS && share >= POSSIBLE));
  const known = new Map<Cause, Run>();
  return {
    site, log, causes,
    excluded: [...excluded].map(([cause, because]) => ({ cause, because })),
    alike: alikeOf(causes, log.dipError),
    next: leaders.length < 2 ? [] : nextMeasurements(site, leaders, log.dips, log.dipError),
    errorsTaken: { dip: taken.dipError, load: taken.loadError }, explained,
    run(cause) {
      const found = causes.find((each) => each.cause === cause);
      if (found === undefined) throw new RangeError(`cause: expected one of ${causes.map((each) => each.cause).join(", ")}, got "${cause}"`);
      const until = Math.max(greatestOf(looks.map(({ time }) => time)), log.loadEnd);
      const made = known.get(cause)
        ?? settledRun(faultySite(site, found.fault, found.severity), timesLoad(log.inflows, found.load), { until });
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
const MOST_LEADERS = 4;
/** Misfit of the likeliest cause up to which it explains the dips. */
const EXPLAINED = 2;

function rankedOf(fits: readonly FaultFit[]): (RankedCause & Leader)[] {
  const most = greatestOf(fits.map(({ evidence }) => evidence));
  const causes = CAUSES.flatMap((cause) => {
    const own = fits.filter(({ fault }) => causeOf(fault) === cause);
    if (own.length === 0) return [];
    const best = own.reduce((most, fit) => (fit.evidence > most.evidence ? fit : most));
    return [{ cause, best, weight: own.reduce((sum, { evidence }) => sum + Math.exp(evidence - most), 0) / own.length }];
  });
  const all = causes.reduce((sum, { weight }) => sum + weight, 0);
  return causes.map(({ cause, best, weight }) => {
    const share = weight / all;
    const { fault, severity, band, load, levels, misfit, looks } = best;
    const likely = share >= LIKELY ? "likely" as const : share >= POSSIBLE ? "possible" as const : "unlikely" as const;
    return { cause, share, likely, fault, severity, band, load, levels, misfit, looks };
  }).sort((a, b) => b.share - a.share);
}

function alikeOf(causes: readonly RankedCause[], dipError: number): AlikeCauses[] {
  const open = causes.filter(({ share }) => share >= RULED_OUT);
  return open.flatMap((a, i) => open.slice(i + 1).flatMap((b): AlikeCauses[] => {
    const difference = greatestOf(Array.from(a.levels, (level, d) => Math.abs(level - b.levels[d]!)));
    return difference < dipError ? [{ causes: [a.cause, b.cause], difference, because: inseparable(a.cause, b.cause) }] : [];
  }));
}
