import { LAW, type Network } from "./network.ts";
import type { Firing, RunEvent } from "./run.ts";
import { firstReached, type Trajectory } from "./trajectory.ts";

/**
 * What happened in a run, when, in which body, in order of time:
 *
 *   kind          time                                   body                  value
 *   stoneFull     water first at the stone top           the pit or trench     level [m]
 *   runsOver      water first over the crest of a pipe   the body it leaves    level of the crest [m]
 *   spills        water first over a rim or the ground   the body              volume in all [m3]
 *   emitterOpens  the lid opens                          the emitter's body    peak flow of the firing [m3/s]
 *   emitterCloses the lid closes                         the emitter's body    volume of the firing [m3]
 */
export function runEvents(
  network: Network, trajectory: Trajectory, totals: Float64Array, firings: readonly Firing[],
): RunEvent[] {
  const events: RunEvent[] = [];
  const note = (kind: string, time: number | null, body: string, value: number): void => {
    if (time !== null) events.push({ kind, time, body, value });
  };
  network.bodies.forEach((body, b) => {
    if (body.stoneTop !== null) note("stoneFull", firstReached(trajectory, b, body.volume(body.stoneTop)), body.name, body.stoneTop);
  });
  network.passages.forEach(({ name, law, from, row }, p) => {
    const body = network.bodies[from]!;
    const level = network.table[row]!;
    if (law === LAW.pipe && name.startsWith("trenchInlet")) {
      note("runsOver", firstReached(trajectory, from, body.volume(level)), body.name, level);
    }
    const isSpill = law === LAW.weir || law === LAW.sharedWeir || law === LAW.cover;
    if (isSpill && totals[p]! > 0) note("spills", firstReached(trajectory, from, body.volume(level)), body.name, totals[p]!);
  });
  if (network.emitter !== null) {
    const body = network.bodies[network.passages[network.emitter.passage]!.from]!.name;
    for (const { start, end, volume, peakFlow } of firings) {
      note("emitterOpens", start, body, peakFlow);
      note("emitterCloses", end, body, volume);
    }
  }
  return events.sort((a, b) => a.time - b.time);
}
