import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { Site } from "../site/site.ts";
import type { TwoCauses } from "./failedPit.ts";
import type { FaultFit } from "./faultFit.ts";
import { faultLoad, faultySite, hasSeverity, noSuchFault, SOUND_SOIL, type Fault } from "./faults.ts";
import { leastSquares } from "./leastSquares.ts";
import { CAUSE_WORDS, causeOf } from "./pitCauses.ts";
import { timesLoad, type PitLog } from "./pitLog.ts";

/**
 * The two faults that together explain dips which none does alone: pairs of the likelier ones by least squares over both severities, the
 * soil and the load, each with what is known of it beforehand. A slower soil is in no pair, for the soil is free in each.
 *
 * @param fits  of every fault by itself
 * @returns     null where no pair explains them, or none does so much better that it is not chance
 */
export function twoAtOnce(site: Site, log: PitLog, fits: readonly FaultFit[]): TwoCauses | null {
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
