import type { Site } from "../site/site.ts";
import { waterText } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import { levelAt } from "../works/storageTable.ts";
import type { StepFailure } from "./kernel.ts";
import type { Network } from "./network.ts";
import type { Run } from "./run.ts";
import type { RecordRun } from "./simulateRecord.ts";

/** A run that could not go on: why, where it stood, what was made up to there, and what to change. */
export class StoppedRun extends Error {
  /** why, such as `the step size vanishes` */
  readonly reason: string;
  /** [s]; where `partial` is null, of the time in which the works settled before the run */
  readonly time: number;
  /** [s] */
  readonly stepSize: number;
  /** volumes of the bodies where it stopped [m3], then of the mound's modes [m] */
  readonly state: readonly number[];
  /** levels of the bodies then [m] */
  readonly levels: Readonly<Record<string, number>>;
  /** what was reached: of `simulate` the run up to there, of `simulateRecord` the record; null where it stopped before the run began */
  declare readonly partial: Run | RecordRun | null;

  constructor(failure: StepFailure, { bodies }: Network, { units }: Pick<Site, "units">, partial: Run | RecordRun | null) {
    const levels = bodies.map(({ name, storage }, b): [string, number] => [name, levelAt(storage, failure.state[b]!)]);
    const when = partial === null ? `as the works settled before the rain, after ${failure.time} s` : `at ${momentText(failure.time)}, ${failure.time} s`;
    const shown = levels.slice(0, MOST_TOLD).map(([name, level]) => `${name} ${waterText(level, units)}`);
    super(`the run stopped ${when}: ${failure.reason}. Levels then: ${shown.join(", ")}${levels.length > MOST_TOLD ? ", …" : ""}. ${WHAT_TO_CHANGE}`, { cause: failure });
    this.name = "StoppedRun";
    this.reason = failure.reason;
    this.time = failure.time;
    this.stepSize = failure.stepSize;
    this.state = failure.state;
    this.levels = Object.fromEntries(levels);
    // not enumerable: a whole run printed with the message would bury it
    Object.defineProperty(this, "partial", { value: partial });
  }
}

const MOST_TOLD = 4;

/** A run stops where a flow turns too sharply to be stepped over: at an edge that water just reaches, or with flows beyond all measure. */
const WHAT_TO_CHANGE = "What to change: look for a flow or a depth in a wrong unit; else move a level of the works that lies near one of these by a few millimetres, "
  + "or give the trench fewer segments";
