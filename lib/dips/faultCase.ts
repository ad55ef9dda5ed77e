import { designStorm, type DesignStormOptions } from "../rain/storms/designStorm.ts";
import { hydrograph } from "../runoff/hydrograph.ts";
import { normalDraw, uniformDraw } from "../numerics/draw.ts";
import { networkOf } from "../simulate/assemble.ts";
import { bodyInflows, type Load } from "../simulate/bodyInflows.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { variedSite } from "../simulate/variedSite.ts";
import type { Site } from "../site/site.ts";
import type { Dip } from "./dips.ts";
import { FAULTS, faultLoad, faultySite, hasSeverity, isSoil, noSuchFault, SOUND_SOIL, type Fault } from "./faults.ts";
import { LOAD_ERROR, timesLoad, usualDipError, type FailedPitOptions } from "./pitLog.ts";
import { sightsOf } from "./pitSights.ts";

/** A made-up failed pit: what somebody would hand in, and what is wrong. */
export interface FaultCase {
  readonly site: Site;
  readonly options: FailedPitOptions;
  readonly fault: Fault;
  readonly severity: number;
  /** over the design's, 1 where the fault is the soil itself */
  readonly soil: number;
  /** draws that were given up because the dips would have shown nothing */
  readonly hidden: number;
}

/**
 * Case i of a seed: a fault (in turn), a site, a severity, a soil from 0.7 to 3 times the design's by its logarithm, and a storm or a hose
 * fill by lot; six dips with normal noise of the usual dip error, a load that in truth is off by the usual share, and half of the time
 * what was seen at the
 * surface. The same numbers give the same case.
 *
 * A fault is made into a case only where it can be seen: some dip must lie 3 usual dip errors or more from what the works with nothing
 * wrong show in the same soil. What does not is drawn again and counted.
 *
 * @param sites  to draw from; each fault must be possible on one of them
 * @throws RangeError  when after 500 draws nothing of the fault can be seen
 */
export function faultCase(sites: readonly Site[], seed: number, i: number): FaultCase {
  const faults = FAULTS.filter((each) => each !== "asDesigned");
  const fault = faults[i % faults.length]!;
  for (let hidden = 0; hidden < TRIES; hidden++) {
    const draw = (which: number): number => uniformDraw(seed, i * TRIES + hidden, which);
    const site = sites[Math.floor(draw(0) * sites.length)]!;
    if (noSuchFault(site, fault) !== null) continue;
    const severity = hasSeverity(fault) ? draw(1) : 0;
    const soil = isSoil(fault) ? 1 : SOUND_SOIL[0] * (SOUND_SOIL[1] / SOUND_SOIL[0]) ** draw(10);
    const { load, given, end } = drawnLoad(site, draw);
    if (fault === "roofMore" && given.storm === undefined) continue;
    const normal = (which: number): number => normalDraw(seed, i * TRIES + hidden, which);
    const told = bodyInflows(site, load, networkOf(site).bodies.map(({ name }) => name));
    const brought = timesLoad(told, Math.exp(LOAD_ERROR * normal(OFF_LOAD)));
    const run = settledRun(faultySite(site, fault, severity, soil), timesLoad(brought, faultLoad(fault, severity)), {
      until: end + LAST_DIP });
    const dips = drawnDips(run, end);
    const sound = settledRun(soil === 1 ? site : variedSite(site, { conductivityFactor: soil }), brought, { until: end + LAST_DIP });
    if (!dips.some(({ body, time }) => Math.abs(run.level(body, time) - sound.level(body, time)) > VISIBLE * usualDipError(site))) continue;
    const noise = (which: number): number => usualDipError(site) * normal(FIRST_NOISE + which);
    const seen = draw(9) < 0.5 ? sightsOf(run, end + LAST_DIP) : [];
    return { site, options: { ...given, dips: dips.map((dip, d) => read(run, dip, noise(d))), seen }, fault, severity, soil, hidden };
  }
  throw new RangeError(`fault: expected one that shows on a site within ${TRIES} draws, got "${fault}"`);
}

const TRIES = 500;
/** A fault shows from this many dip errors on; below it nobody would have called the pit failed. */
const VISIBLE = 3;
/** Numbers of a draw from here on are noise. */
const FIRST_NOISE = 16;
const OFF_LOAD = 15;
const LAST_DIP = 48 * 3600;

type Draw = (which: number) => number;

function drawnLoad(site: Site, draw: Draw): { load: Load; given: Pick<FailedPitOptions, "storm" | "hose">; end: number } {
  if (draw(2) < 0.5) {
    const depth = `${(30 + 60 * draw(3)).toFixed(1)} mm`;
    const storm: DesignStormOptions = draw(4) < 0.5
      ? { pattern: "nrcs-ii", depth } : { pattern: "block", depth, duration: `${(1 + 5 * draw(5)).toFixed(1)} h` };
    const load = designStorm(storm);
    return { load, given: { storm: { ...storm } }, end: load.time.at(-1)! };
  }
  // enough to fill the pit once to twice, at what a garden hose or a hydrant gives
  const bank = networkOf(site).bodies.find(({ kind }) => kind === "bank")!;
  const room = bank.volume(site.chamberBank.stoneTop);
  const hours = Number((1.5 + 4 * draw(4)).toFixed(2));
  const litres = Number(((room * (1 + draw(3)) * 1000) / (hours * 3600)).toFixed(3));
  const hose = { flow: `${litres} L/s`, duration: `${hours} h` };
  return { load: hydrograph({ time: [0, hours * 3600], flow: [litres / 1000, litres / 1000] }), given: { hose }, end: hours * 3600 };
}

interface DipAt {
  readonly body: string;
  readonly time: number;
}

/** The pit at 1, 6, 24 and 48 hours after the water stopped, box and trench at the first. */
function drawnDips(run: Run, end: number): DipAt[] {
  const trench = networkOf(run.site).bodies.filter(({ kind }) => kind === "trench").at(-1);
  const first = ["chamberBank", run.site.settlingBoxes[0]!.name, ...(trench === undefined ? [] : [trench.name])];
  return [
    ...first.map((body) => ({ body, time: end + 3600 })),
    ...[6, 24, 48].map((hour) => ({ body: "chamberBank", time: end + hour * 3600 })),
  ];
}

/** As a tape would give it, to the millimetre; never below the floor. */
function read(run: Run, { body, time }: DipAt, noise: number): Dip {
  const { floor } = networkOf(run.site).bodies.find(({ name }) => name === body)!.storage;
  return { body, time: `${time} s`, depth: `${Math.max(0, run.level(body, time) + noise - floor).toFixed(3)} m` };
}
