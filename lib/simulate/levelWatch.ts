import type { StepRows } from "./kernel.ts";
import type { Network } from "./network.ts";
import { denseValue } from "./trajectory.ts";

/** A level to be watched over a long run. */
export interface Watch {
  readonly body: string;
  /** [m] */
  readonly level: number;
}

/** How long the water stood at or above a watched level, in all and at one stretch [s]. */
export interface Watched {
  readonly time: number;
  readonly longest: number;
}

/** Looks at every step of a run whether the water of some bodies stands above some levels. */
export interface LevelWatch {
  look(rows: StepRows): void;
  results(): Watched[];
}

/** Points within a step at which the volume is looked up: between them it is taken as straight. */
export const LOOKS = 4;

/**
 * @param watches  of bodies that the network has
 * @param start    states at the start of the run
 */
export function levelWatch({ bodies }: Network, watches: readonly Watch[], start: Float64Array): LevelWatch {
  const watched = watches.map(({ body: name, level }) => {
    const body = bodies.findIndex((each) => each.name === name);
    if (body < 0) throw new RangeError(`watch: expected one of ${bodies.map((each) => each.name).join(", ")}, got "${name}"`);
    const volume = bodies[body]!.volume(Math.max(level, bodies[body]!.storage.floor));
    return { body, volume, last: start[body]!, time: 0, longest: 0, stretch: 0 };
  });

  let time = 0;
  return {
    look({ numbers, count }) {
      const size = 1 + 3 * start.length;
      for (let row = 0; row < count * size; row += size) {
        const taken = numbers[row]! - time;
        for (const each of watched) {
          const at = row + 1 + 3 * each.body;
          const [y0, y1, e1, e2] = [each.last, numbers[at]!, numbers[at + 1]!, numbers[at + 2]!];
          let before = y0 - each.volume;
          for (let look = 1; look <= LOOKS; look++) {
            const after = denseValue(y0, y1, e1, e2, look / LOOKS) - each.volume;
            tally(each, before, after, taken / LOOKS);
            before = after;
          }
          each.last = y1;
        }
        time = numbers[row]!;
      }
    },
    results: () => watched.map(({ time, longest }) => ({ time, longest })),
  };
}

/** A straight piece from one height over the level to another, which takes `duration`. */
function tally(each: { time: number; longest: number; stretch: number }, from: number, to: number, duration: number): void {
  const share = shareAbove(from, to);
  each.time += share * duration;
  // a stretch that ends within the piece is counted to its end, and one that begins within it from its beginning
  each.stretch = from >= 0 ? each.stretch + share * duration : share * duration;
  each.longest = Math.max(each.longest, each.stretch);
  if (to < 0) each.stretch = 0;
}

/** Of a straight line from one height over a level to another the share at or above it. */
export function shareAbove(from: number, to: number): number {
  if (from >= 0 && to >= 0) return 1;
  if (from < 0 && to < 0) return 0;
  return Math.max(from, to) / Math.abs(to - from);
}
