import type { Site } from "../site/site.ts";

/** A piece to be cut off a roll, and where it lies on it: across the roll, and along it from its free end [m]. */
export interface FabricPiece {
  readonly block: "pit" | "trench";
  readonly part: "round" | "along" | "end";
  readonly across: number;
  readonly long: number;
  readonly roll: number;
  readonly at: { readonly across: number; readonly along: number };
}

/** How the fabric is cut. */
export interface FabricPlan {
  readonly pieces: readonly FabricPiece[];
  /** how far each roll is used [m] */
  readonly used: readonly number[];
  /** width of the roll times all that is used [m2] */
  readonly area: number;
}

/** A block of stone to be wrapped [m]. */
export interface Block {
  readonly block: FabricPiece["block"];
  readonly length: number;
  readonly width: number;
  readonly depth: number;
}

/** The blocks of stone of a site that are wrapped. */
export function wrappedBlocks({ chamberBank: pit, overflowTrench: trench }: Pick<Site, "chamberBank" | "overflowTrench">): Block[] {
  return [
    { block: "pit", length: pit.length, width: pit.width, depth: pit.stone.depth },
    ...(trench === null ? [] : [{ block: "trench" as const, length: trench.length, width: trench.width, depth: trench.stone.depth }]),
  ];
}

/**
 * Strips and end pieces for blocks of stone, laid out on rolls so that little is left over. A block is wrapped in strips that run round it
 * (girth 2 (w + d) + lap long) or along it, with a lap at each joint, and its two ends get a piece with a lap on all sides. Of the ways to
 * do both blocks the one that uses least of the roll is taken. A layout by a rule, not the best there is.
 *
 * @param roll    width of the roll, more than the lap
 * @param rollLength  [m]
 * @example fabricPlan([{ block: "pit", length: 3, width: 1, depth: 1 }], { roll: 4, rollLength: 50, lap: 0.3 }).used.length; // => 1
 */
export function fabricPlan(blocks: readonly Block[], sizes: {
  readonly roll: number; readonly rollLength: number; readonly lap: number }): FabricPlan {
  const ways = blocks.reduce<Rectangle[][]>((found, block) => found.flatMap((before) => (
    (["round", "along"] as const).map((way) => [...before, ...piecesOf(block, way, sizes)])
  )), [[]]);
  let best: FabricPlan = { pieces: [], used: [], area: Infinity };
  for (const pieces of ways) {
    for (const order of ORDERS) best = packed([...pieces].sort(order), sizes, best.area - 1e-9) ?? best;
  }
  return best;
}

interface Rectangle {
  readonly block: FabricPiece["block"];
  readonly part: FabricPiece["part"];
  readonly one: number;
  readonly other: number;
}

function piecesOf({ block, length, width, depth }: Block, way: "round" | "along", { roll, rollLength, lap }: Sizes): Rectangle[] {
  const girth = 2 * (width + depth) + lap;
  const covered = way === "round" ? { across: length, long: girth } : { across: girth, long: length };
  const sheet = (part: FabricPiece["part"], across: number, long: number): Rectangle[] => (
    lengths(across, roll, lap).flatMap((one) => lengths(long, rollLength, lap).map((other) => ({ block, part, one, other })))
  );
  const [high, wide] = [depth + 2 * lap, width + 2 * lap];
  const end = (): Rectangle[] => sheet("end", Math.min(high, wide), Math.max(high, wide));
  return [...sheet(way, covered.across, covered.long), ...end(), ...end()];
}

interface Sizes {
  readonly roll: number;
  readonly rollLength: number;
  readonly lap: number;
}

/** A length in pieces of at most so much, with a lap at each joint: n pieces cover n (most - lap) + lap. */
function lengths(whole: number, most: number, lap: number): number[] {
  // what just fits is not to be one piece more by round-off
  const count = Math.max(1, Math.ceil((whole - lap) / (most - lap) - 1e-9));
  return Array.from({ length: count }, (_, i) => (i < count - 1 ? most : whole - (count - 1) * (most - lap)));
}

const ORDERS: readonly ((a: Rectangle, b: Rectangle) => number)[] = [
  (a, b) => Math.max(b.one, b.other) - Math.max(a.one, a.other), (a, b) => b.one * b.other - a.one * a.other, (a, b) => b.one - a.one,
    (a, b) => b.other - a.other,
];

/** A rectangle of a roll that nothing has been cut from. */
interface Free {
  readonly roll: number;
  readonly across: number;
  readonly along: number;
  readonly wide: number;
  readonly long: number;
}

/**
 * Each piece goes, either way round, where it ends nearest to the roll's free end; what it leaves is two rectangles. Null as soon as
 * that takes `most` or more [m2].
 */
function packed(pieces: readonly Rectangle[], { roll, rollLength }: Sizes, most: number): FabricPlan | null {
  const free: Free[] = [{ roll: 0, across: 0, along: 0, wide: roll, long: rollLength }];
  const used = [0];
  const placed: FabricPiece[] = [];
  let sum = 0;
  for (const { block, part, one, other } of pieces) {
    let found = nearestFit(free, used, one, other);
    if (found === null) {
      free.push({ roll: used.length, across: 0, along: 0, wide: roll, long: rollLength });
      used.push(0);
      found = nearestFit(free, used, one, other)!;
    }
    const { at, wide, long } = found;
    const spot = free[at]!;
    placed.push({ block, part, across: wide, long, roll: spot.roll, at: { across: spot.across, along: spot.along } });
    const end = Math.max(used[spot.roll]!, spot.along + long);
    sum += end - used[spot.roll]!;
    used[spot.roll] = end;
    if (roll * sum >= most) return null;
    free.splice(at, 1);
    if (isCuttable(spot.wide - wide, long)) free.push({ ...spot, across: spot.across + wide, wide: spot.wide - wide, long });
    if (isCuttable(spot.wide, spot.long - long)) free.push({ ...spot, along: spot.along + long, long: spot.long - long });
  }
  return { pieces: placed, used, area: roll * used.reduce((total, each) => total + each, 0) };
}

function isCuttable(wide: number, long: number): boolean {
  return wide > 1e-6 && long > 1e-6;
}

/** Which free rectangle a piece goes into, and how; of those that take as little more of their roll the one that it fills best. */
function nearestFit(free: readonly Free[], used: readonly number[], one: number, other: number): {
  readonly at: number; readonly wide: number; readonly long: number } | null {
  let best: { readonly at: number; readonly wide: number; readonly long: number } | null = null;
  let [grown, waste] = [Infinity, Infinity];
  for (let at = 0; at < free.length; at++) {
    const spot = free[at]!;
    for (let turned = 0; turned < 2; turned++) {
      const [wide, long] = turned === 0 ? [one, other] : [other, one];
      if (wide > spot.wide + 1e-9 || long > spot.long + 1e-9) continue;
      const more = Math.max(0, spot.along + long - used[spot.roll]!);
      const left = Math.min(spot.wide - wide, spot.long - long);
      if (best === null || more < grown - 1e-9 || (more <= grown + 1e-9 && left < waste - 1e-9)) {
        [best, grown, waste] = [{ at, wide, long }, more, left];
      }
    }
  }
  return best;
}

/** A length of pipe as it is bought, what is cut off it, and what is left [m]. */
export interface PipeLength {
  readonly cuts: readonly { readonly name: string; readonly length: number }[];
  readonly left: number;
}

/**
 * Whole lengths of pipe for runs of one size: each run takes whole lengths, and what remains of the runs is cut, the longest first, off the
 * first length that still has it.
 *
 * @example pipeLengths([{ name: "a", length: 4 }, { name: "b", length: 2 }], 3).length; // => 2
 */
export function pipeLengths(runs: readonly { readonly name: string; readonly length: number }[], whole: number): PipeLength[] {
  const lengths: { cuts: { name: string; length: number }[]; left: number }[] = [];
  const rests: { name: string; length: number }[] = [];
  for (const { name, length } of runs) {
    const full = Math.floor(length / whole + 1e-9);
    for (let i = 0; i < full; i++) lengths.push({ cuts: [{ name, length: whole }], left: 0 });
    const rest = length - full * whole;
    if (rest > 1e-6) rests.push({ name, length: rest });
  }
  for (const rest of rests.sort((a, b) => b.length - a.length)) {
    const found = lengths.find(({ left }) => left >= rest.length - 1e-9);
    if (found === undefined) lengths.push({ cuts: [rest], left: whole - rest.length });
    else {
      found.cuts.push(rest);
      found.left -= rest.length;
    }
  }
  return lengths;
}
