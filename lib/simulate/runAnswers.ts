import { firstAfter } from "../numerics/firstAfter.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { nearest } from "../text/nearest.ts";
import { levelAt } from "../works/storageTable.ts";
import { withKernel } from "./kernel.ts";
import { groundwaterInto, ledgerOf, runSums } from "./ledger.ts";
import { driving, type Marched, type Outset, peaksOf } from "./march.ts";
import { riseAt } from "./mound.ts";
import { once } from "./once.ts";
import { drainDown } from "./pitWater.ts";
import type { Run } from "./run.ts";
import { runEvents } from "./runEvents.ts";
import { runNotes } from "./runNotes.ts";
import type { SimulateOptions } from "./runOptions.ts";
import { type Trajectory, volumeAt } from "./trajectory.ts";

/** What a finished, or a stopped, march leaves behind. */
export interface RunRecord extends Outset, Marched {
  readonly site: Site;
  readonly rain: Hyetograph | null;
  readonly options: SimulateOptions;
  readonly trajectory: Trajectory;
}

/** The run a person asks questions of, made from its record. */
export function runAnswers(record: RunRecord): Run {
  const { site, network, mound, trajectory, sums, tops, firings, until } = record;
  const { bodies, passages } = network;
  const names = bodies.map((body) => body.name);
  const level = (body: number, time: number): number => levelAt(bodies[body]!.storage, volumeIn(record, body, time));
  const ledger = ledgerOf(network, sums, record.start, record.end);
  const into = groundwaterInto(network, sums);
  const cameIn = (kind: string): number => into.reduce((sum, volume, b) => sum + (bodies[b]!.kind === kind ? volume : 0), 0);
  const groundwaterIn = { bank: cameIn("bank"), trench: cameIn("trench"), lowSpot: cameIn("lowSpot") };
  const { openTime, emitted, spilled, seeped } = runSums(network, sums, ledger, firings, until);
  // ten thousand runs rarely ask all of it: what needs a look at every step is made when first asked for
  const peaks = once(() => peaksOf(network, tops));
  const drained = once(() => drainDown(record));
  const events = once(() => runEvents(record, run));
  const notes = once(() => runNotes(run));
  const run: Run = {
    site,
    rain: record.rain,
    options: record.options,
    inflows: record.inflows,
    until,
    settled: record.settle,
    bodies: bodies.map(({ name, kind }) => ({ name, kind })),
    passages: passages.map((passage) => passage.name),
    level(body, time) {
      return level(indexOf(body, names, "body"), inRun(time, until));
    },
    levels(body, times) {
      const b = indexOf(body, names, "body");
      const made = new Float64Array(times.length);
      for (let i = 0; i < made.length; i++) made[i] = level(b, inRun(times[i]!, until));
      return made;
    },
    flow: passageFlow(record),
    times: trajectory.time,
    rise(time) {
      inRun(time, until);
      if (mound === null) return null;
      return { centre: riseAt(trajectory, mound, mound.centre, time), offset: riseAt(trajectory, mound, mound.offset, time) };
    },
    get peaks() { return peaks(); },
    firings,
    openTime, emitted, spilled, seeped,
    ledger,
    groundwaterIn,
    get drainDown() { return drained(); },
    get events() { return events(); },
    get notes() { return notes(); },
    work: record.work,
  };
  return run;
}

/** What a body holds [m3]: between two steps the interpolant may dip below the least by less than the tolerance; its ends never do. */
function volumeIn({ trajectory, keeps }: RunRecord, body: number, time: number): number {
  return Math.max(0, keeps[body]!, volumeAt(trajectory, body, time));
}

/** Flow through a passage at any time, by its law at the levels of the dense output; what it needs is made when first asked. */
function passageFlow(record: RunRecord): Run["flow"] {
  const names = record.network.passages.map((passage) => passage.name);
  const flows = once(() => flowsIn(record));
  return (passage, time) => {
    const p = indexOf(passage, names, "passage");
    return flows()(inRun(time, record.until))[p]!;
  };
}

/** All flows at once, which are kept for the next passage that is asked for at the same time. */
function flowsIn(record: RunRecord): (time: number) => Float64Array {
  const { network, firings, trajectory } = record;
  const line = driving(record);
  const starts = Float64Array.from(firings, ({ start }) => start);
  const flowsAt = (time: number): Float64Array => {
    const segment = Math.max(0, firstAfter(line.corners, time, line.corners.length - 1) - 1);
    const firing = firings[firstAfter(starts, time) - 1];
    const lidOpen = firing !== undefined && time < (firing.end ?? Infinity);
    const states = new Float64Array(trajectory.size);
    for (let i = 0; i < states.length; i++) {
      states[i] = i < network.bodies.length ? volumeIn(record, i, time) : volumeAt(trajectory, i, time);
    }
    return withKernel((kernel) => {
      kernel.load(record);
      return kernel.flowsAt(line.segments(segment, segment + 1), time, states, lidOpen).passages;
    });
  };
  let last: { readonly time: number; readonly flows: Float64Array } | null = null;
  return (time) => {
    if (last?.time !== time) last = { time, flows: flowsAt(time) };
    return last.flows;
  };
}

function indexOf(name: string, names: readonly string[], what: string): number {
  const index = names.indexOf(name);
  if (index >= 0) return index;
  const meant = nearest(name, names);
  const expected = meant === null ? `one of ${names.join(", ")}` : `one of the run's, such as "${meant}"`;
  throw new RangeError(`${what}: expected ${expected}, got ${describe(name)}`);
}

function inRun(time: number, until: number): number {
  if (time >= 0 && time <= until) return time;
  throw new RangeError(`time: expected 0 to ${until} s, got ${describe(time)}`);
}
