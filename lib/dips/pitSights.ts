import { exits, type ExitKind } from "../simulate/exits.ts";
import type { Run } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import type { Problem } from "../text/problem.ts";

/** What somebody may have seen at the surface between the load's start and the last dip. */
export type Sight =
  | "emitter fired" | "emitter did not fire" | "water over the box rim" | "no water over the box rim"
  | "turf over the trench wet" | "turf over the trench dry" | "turf over the pit wet" | "turf over the pit dry";

const SIGHTS: Readonly<Record<Sight, { readonly exit: ExitKind; readonly seen: boolean }>> = {
  "emitter fired": { exit: "emitter", seen: true },
  "emitter did not fire": { exit: "emitter", seen: false },
  "water over the box rim": { exit: "boxRim", seen: true },
  "no water over the box rim": { exit: "boxRim", seen: false },
  "turf over the trench wet": { exit: "trenchGround", seen: true },
  "turf over the trench dry": { exit: "trenchGround", seen: false },
  "turf over the pit wet": { exit: "pitGround", seen: true },
  "turf over the pit dry": { exit: "pitGround", seen: false },
};

export const sights: readonly Sight[] = Object.freeze(Object.keys(SIGHTS) as Sight[]);

/** Reads the option `seen`; what is wrong goes into `problems`. */
export function readSights(site: Site, given: unknown, where: string, problems: Problem[]): Sight[] {
  if (given === undefined) return [];
  if (!Array.isArray(given)) {
    problems.push({ where, expected: "a list of what was seen", got: describe(given) });
    return [];
  }
  const there = exits(site).map(({ kind }) => kind);
  const read: Sight[] = [];
  given.forEach((word: unknown, i) => {
    const sight = sights.find((each) => each === word);
    const wrong = (expected: string): number => problems.push({ where: `${where}[${i}]`, expected, got: describe(word) });
    if (sight === undefined) wrong(`one of ${sights.map((each) => `"${each}"`).join(", ")}`);
    else if (!there.includes(SIGHTS[sight].exit)) wrong("a thing that the site has");
    else if (read.some((other) => SIGHTS[other].exit === SIGHTS[sight].exit)) wrong("each place once");
    else read.push(sight);
  });
  return read;
}

/** What of all this a run shows up to a time: 1 where it is as seen, 0 where not. */
export function sightsShown(run: Run, seen: readonly Sight[], time: number): number[] {
  if (seen.length === 0) return [];
  const places = exits(run.site);
  return seen.map((sight) => {
    const { exit, seen: was } = SIGHTS[sight];
    const happened = exit === "emitter" ? run.firings.some(({ start }) => start <= time)
      : places.some(({ kind, bodies, level }) => kind === exit && bodies.some((body) => {
        const peak = run.peaks[body]!;
        return peak.level > level && peak.time <= time;
      }));
    return happened === was ? 1 : 0;
  });
}

/** What a run would have had to say of each of the four places; for whoever makes up a case. */
export function sightsOf(run: Run, time: number): Sight[] {
  const there = exits(run.site).map(({ kind }) => kind);
  const possible = sights.filter((sight) => there.includes(SIGHTS[sight].exit));
  const shown = sightsShown(run, possible, time);
  return possible.filter((_, i) => shown[i] === 1);
}
