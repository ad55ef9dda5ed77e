import { denseComponent } from "../numerics/rodas4p2.ts";
import { stepWork } from "../numerics/stepWork.ts";
import type { Integration } from "../numerics/integrate.ts";
import type { Network } from "./network.ts";

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
  look(integration: Integration): void;
  results(): Watched[];
}

/** Points within a step at which the volume is looked up: between them it is taken as straight. */
export const LOOKS = 4;

/** @param watches  of bodies that the network has */
export function levelWatch({ bodies }: Network, watches: readonly Watch[]): LevelWatch {
  const watched = watches.map(({ body: name, level }) => {
    const body = bodies.findIndex((each) => each.name === name);
    if (body < 0) throw new RangeError(`watch: expected one of ${bodies.map((each) => each.name).join(", ")}, got "${name}"`);
    return { body, volume: bodies[body]!.volume(Math.max(level, bodies[body]!.storage.floor)), time: 0, longest: 0, stretch: 0 };
  });

  return {
    look({ taken }) {
      for (const each of watched) {
        let before = stepWork.start[each.body]! - each.volume;
        for (let look = 1; look <= LOOKS; look++) {
          const after = denseComponent(each.body, look / LOOKS) - each.volume;
          count(each, before, after, taken / LOOKS);
          before = after;
        }
      }
    },
    results: () => watched.map(({ time, longest }) => ({ time, longest })),
  };
}

/** A straight piece from one height over the level to another, which takes `duration`. */
function count(each: { time: number; longest: number; stretch: number }, from: number, to: number, duration: number): void {
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
