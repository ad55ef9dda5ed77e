import type { PlanPoint } from "../plane/planShape.ts";
import type { OverflowTrench, Site } from "../site/site.ts";
import { worksShapes } from "./worksShapes.ts";

/** A place at which a pipe turns on the plan, and the parts that turn it. */
export interface PipeTurn {
  /** the peg of the setting out: T1 is the upper end of the trench, the next ones its bends */
  readonly peg: string;
  /** inside diameter of the pipe that turns [m] */
  readonly diameter: number;
  /** on the plan, from straight on, 0 to 180 [degrees] */
  readonly degrees: number;
  /** going with the water */
  readonly side: "left" | "right";
  /** whether the pair of bends to the level of the trench pipe is here, rolled to the side (`dropBends`) */
  readonly hasPair: boolean;
  /** bends laid level, the largest first [degrees] */
  readonly level: readonly number[];
  /** what those bends leave over, or overshoot [degrees]; 0 where a rolled pair takes it up */
  readonly rest: number;
  /** flexible couplings that take up the rest; 0 where the joints do */
  readonly couplings: number;
}

/**
 * Where the pipe to the trench and the pipe in it turn on the plan: at the head of the trench and at its bends. Empty without a plan or
 * without a pipe in the trench; what is straight is left out. The pipe from a box turns nowhere: the box faces it, and it runs straight to
 * the middle of a chamber.
 */
export function pipeTurns(site: Site): PipeTurn[] {
  const trench = site.overflowTrench;
  const works = worksShapes(site);
  const line = works?.trench?.line.points ?? [];
  if (trench === null || works === null || trench.pipe === null) return [];
  const inlet = works.holes.find(({ name }) => name === "pipe to the trench")?.shape.points;
  const { insideDiameter } = trench.pipe;
  const turns: PipeTurn[] = [];
  line.forEach((at, i) => {
    const before = i === 0 ? inlet?.[0] : line[i - 1];
    const after = line.slice(i + 1).find((each) => apart(each, at) > 0);
    if (before === undefined || after === undefined || apart(before, at) === 0) return;
    const { degrees, side } = turnAt(before, at, after);
    if (degrees <= JOINT_PLAY) return;
    const pair = i === 0 ? dropBends(trench, site.writtenIn, degrees) : null;
    const parts = pair === null ? levelBends(degrees, site.writtenIn) : { level: pair.level, rest: 0, couplings: 0 };
    turns.push({ peg: `T${i + 1}`, diameter: i === 0 ? trench.inlet.diameter : insideDiameter, degrees, side, hasPair: pair !== null, ...parts });
  });
  return turns;
}

/** The angle between the way to a point and the way from it, from straight on [degrees], and the side it turns to. */
function turnAt([ax, ay]: PlanPoint, [x, y]: PlanPoint, [bx, by]: PlanPoint): Pick<PipeTurn, "degrees" | "side"> {
  const [ux, uy, vx, vy] = [x - ax, y - ay, bx - x, by - y];
  const turn = Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
  return { degrees: (Math.abs(turn) * 180) / Math.PI, side: turn < 0 ? "right" : "left" };
}

function apart(a: PlanPoint, b: PlanPoint): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

/**
 * Bends laid level that turn a pipe, and what takes up the rest: of all sets of at most three the one with the fewest parts, then the one
 * that leaves least over.
 *
 * @param degrees  0 to 180
 * @example levelBends(28.5, "us"); // => { level: [22.5], rest: 6, couplings: 1 }
 */
export function levelBends(degrees: number, units: Site["units"]): Pick<PipeTurn, "level" | "rest" | "couplings"> {
  const sets = setsOf([90, ...BENDS[units]], 3).map((level) => {
    const rest = Math.abs(degrees - sumOf(level));
    return { level, rest, couplings: rest <= JOINT_PLAY + 1e-9 ? 0 : Math.ceil(rest / COUPLING_PLAY - 1e-9) };
  });
  const parts = ({ level, couplings }: (typeof sets)[number]): number => level.length + couplings;
  return sets.reduce((best, each) => {
    const more = parts(each) - parts(best);
    return more < 0 || (more === 0 && each.rest < best.rest - 1e-9) ? each : best;
  });
}

/** Whether a step from one pipe to the next takes two bends. */
export function hasBends(drop: number): boolean {
  return Math.abs(drop) > STEEP;
}

/** The two bends that take up a step to the pipe in the trench, and a turn on the plan with it. */
export interface DropBends {
  /** of each of the two [degrees] */
  readonly degrees: number;
  /** between their middles, along the slope between them [m] */
  readonly apart: number;
  /** how far each is rolled off plumb, to the side to which the pipe turns [degrees] */
  readonly roll: number;
  /** bends laid level before them, where the turn is more than they take up rolled by 45 degrees or less, the largest first [degrees] */
  readonly level: readonly number[];
}

/**
 * The two bends that take up the step to the pipe in the trench: the steepest that leave room for both; null where a coupling does. Where
 * the pipe turns on the plan too, by t, both are rolled to that side: the piece between them points halfway between the two directions
 * and so lies at the bends' own angle, d, to either pipe, both pipes taken level.
 *
 *   along = cos d / cos(t/2),   down = sqrt(1 - along^2),   apart = step / down,   tan roll = along sin(t/2) / down
 *
 * @param turn      on the plan, 0 to 180 [degrees]
 * @source  solid geometry, derived; for t = 0 it is apart = step / sin d
 */
export function dropBends(trench: OverflowTrench, units: Site["units"], turn = 0): DropBends | null {
  const drop = Math.abs(inletDrop(trench) ?? 0);
  if (!hasBends(drop)) return null;
  const room = BEND_ROOM * trench.inlet.diameter;
  const sold = BENDS[units];
  const ways = setsOf([90, ...sold], 2).filter((level) => sumOf(level) <= turn + 1e-9)
    .sort((a, b) => a.length - b.length || sumOf(b) - sumOf(a))
    .flatMap((level) => sold.flatMap((degrees): DropBends[] => {
      const rolled = rolledBy(degrees, turn - sumOf(level));
      return rolled === null ? [] : [{ degrees, apart: drop / rolled.down, roll: rolled.roll, level }];
    }));
  return ways.find(({ apart: long }) => long >= room) ?? ways.filter(({ degrees }) => degrees === sold.at(-1)!)[0]!;
}

/** The pair of bends at the head of a site's trench, rolled as far as the pipe turns there; null without one. */
export function headBends(site: Site): DropBends | null {
  const { overflowTrench: trench, writtenIn } = site;
  const turn = pipeTurns(site).find(({ hasPair }) => hasPair)?.degrees ?? 0;
  return trench === null ? null : dropBends(trench, writtenIn, turn);
}

/** How steep the piece between two bends lies that turn a pipe on the plan too, and their roll [degrees]; null for more than 45 degrees. */
function rolledBy(bend: number, turn: number): { readonly down: number; readonly roll: number } | null {
  const [d, half] = [(bend * Math.PI) / 180, (turn * Math.PI) / 360];
  const along = Math.cos(d) / Math.cos(half);
  if (!(half < d)) return null;
  const down = Math.sqrt(1 - along ** 2);
  const roll = (Math.atan2(along * Math.sin(half), down) * 180) / Math.PI;
  return roll > 45 ? null : { down, roll };
}

/** From the end of the pipe to the trench down to the pipe in it, both at the inside bottom [m]; null without a pipe in the trench. */
export function inletDrop({ inlet, floor, pipe }: OverflowTrench): number | null {
  return pipe === null ? null : inlet.outletInvert - (floor + pipe.rise);
}

/** All sets of some numbers with up to so many of them, each in falling order, the empty one first. */
function setsOf(numbers: readonly number[], most: number): number[][] {
  let last: number[][] = [[]];
  let sets = last;
  for (let count = 1; count <= most; count++) {
    last = last.flatMap((set) => numbers.filter((each) => each <= (set.at(-1) ?? Infinity)).map((each) => [...set, each]));
    sets = [...sets, ...last];
  }
  return sets;
}

function sumOf(numbers: readonly number[]): number {
  return numbers.reduce((sum, each) => sum + each, 0);
}

/** A step that no coupling takes up: two bends do [m]; common practice. */
const STEEP = 0.025;

/** Bends as they are sold [degrees], the steepest first, beside one of 90; common practice. */
const BENDS: Readonly<Record<Site["units"], readonly number[]>> = Object.freeze({ us: [45, 22.5, 11.25], si: [45, 30, 15] });

/** Between the middles of two bends, in diameters of the pipe; common practice. */
const BEND_ROOM = 1.5;

/**
 * What the joints of a small pipe give way to [degrees]; the least that a utility asks of flexible joints of up to 200 mm, read on a public
 * page, 30 November 2026.
 */
const JOINT_PLAY = 3;

/** What a flexible coupling gives way to [degrees]; figure of a maker for small ones, read on a public page, 30 November 2026. */
const COUPLING_PLAY = 6;
