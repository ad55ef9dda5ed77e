import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { changedSite } from "../site/changedSite.ts";
import { chamberVolume } from "../site/chamberVolume.ts";
import { isBelow } from "../site/judge.ts";
import type { Chamber, ChamberBank, Site } from "../site/site.ts";
import { areaText, lengthText, levelText } from "../text/format.ts";
import { InputError, type Problem } from "../text/problem.ts";

/** Sizes in place of those of the site file; what is missing stays. */
export interface Sizes {
  /** how many chambers in all, 1 or more; the pit's length grows with them */
  readonly chambers?: number;
  /** [m]; of a pit with chambers too, which then stand farther apart or closer */
  readonly pitLength?: number;
  /** [m] */
  readonly pitWidth?: number;
  /** stone under the chambers [m]; the pit's floor goes down with it, its top and the chambers stay */
  readonly stoneBase?: number;
  /** from the ground to the pit's floor [m], in place of `stoneBase`: more of it is more stone under the chambers, the stone's top stays */
  readonly pitDepth?: number;
  /** [m]; the levels of both ends stay, so a longer trench falls less steeply */
  readonly trenchLength?: number;
  /** [m] */
  readonly trenchWidth?: number;
  /** inside diameter of the pipe from every box, and of that to the trench [m]; inverts stay */
  readonly boxOutlet?: number;
  readonly trenchInlet?: number;
}

/** Sizes of pipes, which are bought in the diameters there are; all others but the chambers can have any length. */
export const PIPE_SIZES: readonly (keyof Sizes)[] = ["boxOutlet", "trenchInlet"];

/**
 * The same works in other sizes. More chambers stand in a longer pit, each with the length of pit that it has now, so that gaps stay;
 * chambers of several sizes keep their proportions and their count is that of all together. A pit without chambers is as long as the
 * site file says.
 *
 * @param pitLength    makes the length of the pit [m] one that can be set out
 * @throws InputError  with all problems: sizes that the site's reader would refuse, or of things that are not there
 */
export function resized(site: Site, sizes: Sizes, pitLength: (length: number) => number = (length) => length): Site {
  const problems = sizeProblems(site, sizes);
  if (problems.length > 0) throw new InputError("The works cannot have these sizes:", problems);
  const { overflowTrench: trench, settlingBoxes } = site;
  const { boxOutlet, trenchInlet } = sizes;
  const bank = pitOf(site.chamberBank, sizes);
  return changedSite(site, {
    ...(boxOutlet === undefined ? {} : { settlingBoxes: settlingBoxes.map((box) => ({ ...box, outlet: { ...box.outlet,
      diameter: boxOutlet } })) }),
    chamberBank: { ...bank, length: pitLength(bank.length) },
    overflowTrench: trench && {
      ...trench, length: sizes.trenchLength ?? trench.length, width: sizes.trenchWidth ?? trench.width,
      inlet: trenchInlet === undefined ? trench.inlet : { ...trench.inlet, diameter: trenchInlet },
    },
  });
}

/** How many chambers stand in the pit. */
export function chamberCount({ chamberBank }: Pick<Site, "chamberBank">): number {
  return chamberBank.chambers.reduce((sum, { count }) => sum + count, 0);
}

/**
 * What the reader of a site file would say of the same works in other sizes: `where` is the size that is at fault. A size that could
 * not be read is NaN, about which nothing is said.
 */
export function sizeProblems(site: Site, sizes: Sizes): Problem[] {
  const { units, chamberBank: now, overflowTrench: trench } = site;
  const { trenchLength = Infinity, trenchWidth = Infinity } = sizes;
  const deep = sizes.pitDepth === undefined ? "stoneBase" : "pitDepth";
  const problems: Problem[] = [];
  const refuse = (where: keyof Sizes, expected: string, got: string): void => { problems.push({ where, expected, got }); };
  if (sizes.chambers !== undefined && now.chambers.length === 0) refuse("chambers", "a pit with chambers, or no such size", String(sizes.chambers));
  for (const key of ["trenchLength", "trenchWidth", "trenchInlet"] as const) {
    if (sizes[key] !== undefined && trench === null) refuse(key, "a site with a trench, or no such size", lengthText(sizes[key], units));
  }
  if (trench !== null) {
    if (trenchLength < LEAST) refuse("trenchLength", "1 mm or more", lengthText(trenchLength, units));
    const pipe = Math.max(trench.pipe?.outsideDiameter ?? 0, LEAST);
    if (isBelow(trenchWidth, pipe)) refuse("trenchWidth", `a trench at least as wide as its pipe, ${lengthText(pipe, units)}`, lengthText(trenchWidth, units));
  }
  for (const key of PIPE_SIZES) if (sizes[key]! < LEAST) refuse(key, "1 mm or more", lengthText(sizes[key]!, units));
  if (sizes.stoneBase !== undefined && sizes.pitDepth !== undefined) {
    refuse("pitDepth", "a pitDepth or a stoneBase, which both take the floor down", "both");
  }
  const { length, width, floor, stone, chambers } = pitOf(now, sizes);
  const [short, key] = length < width ? [length, sizes.pitLength === undefined ? "chambers" : "pitLength"] as const : [width, "pitWidth"] as const;
  const widest = greatestOf([0, ...now.chambers.map(({ outsideDiameter }) => outsideDiameter)]);
  const plan = chamberVolume(chambers.map((each) => ({ ...each, height: 1 })));
  if (isBelow(short, Math.max(widest, LEAST))) {
    const expected = widest > 0 ? `a pit at least as long and wide as a chamber, ${lengthText(widest, units)}` : "1 mm or more";
    refuse(key, expected, lengthText(short, units));
  } else if (plan > length * width) {
    refuse("pitWidth", "chambers that fit into the pit's plan, each with the length of pit that it has now",
      `chambers of ${areaText(plan, units)} in a pit of ${areaText(length * width, units)}`);
  }
  const given = sizes[deep] ?? now.stone.base;
  if (isBelow(stone.base, 0)) {
    refuse(deep, deep === "stoneBase" ? "0 or more" : `no less than the ${lengthText(now.ground - now.floor - now.stone.base, units)} that are without stone under the chambers`, lengthText(given, units));
  } else if (isBelow(stone.depth, LEAST)) refuse(deep, "a pit with stone in it", lengthText(given, units));
  // A floor over the crest of a pipe that ends there would make water.
  const crests = [...site.settlingBoxes.map(({ outlet }) => outlet.crest), ...(trench === null ? [] : [trench.inlet.crest])];
  const lowest = leastOf([...crests, site.lowSpot?.grate?.level ?? Infinity]);
  if (isBelow(lowest, floor)) {
    refuse(deep, `a floor of the pit at or below all that opens into it (${levelText(lowest, units)})`, levelText(floor, units));
  }
  return problems;
}

/** Below this the reader takes nothing for a size [m]. */
const LEAST = 0.001;

function pitOf(bank: ChamberBank, sizes: Sizes): ChamberBank {
  const now = chamberCount({ chamberBank: bank });
  const { chambers = now, pitWidth = bank.width } = sizes;
  const deeper = sizes.pitDepth === undefined ? (sizes.stoneBase ?? bank.stone.base) - bank.stone.base
    : sizes.pitDepth - (bank.ground - bank.floor);
  // without chambers there is nothing for stone to lie under
  const stoneBase = sizes.pitDepth === undefined ? sizes.stoneBase ?? bank.stone.base : now === 0 ? bank.stone.base : bank.stone.base
    + deeper;
  return {
    ...bank,
    length: sizes.pitLength ?? (now === 0 ? bank.length : (bank.length * chambers) / now),
    width: pitWidth,
    floor: bank.floor - deeper,
    stone: { ...bank.stone, depth: bank.stone.depth + deeper, base: stoneBase },
    chambers: now === 0 || chambers === now ? bank.chambers : shared(bank.chambers, chambers),
  };
}

/** As many chambers as asked for, sizes in their proportions, the odd ones to the first. */
function shared(chambers: readonly Chamber[], count: number): Chamber[] {
  const now = chambers.reduce((sum, each) => sum + each.count, 0);
  const counts = chambers.map((each) => Math.floor((each.count * count) / now));
  counts[0]! += count - counts.reduce((sum, each) => sum + each, 0);
  return chambers.map((each, i) => ({ ...each, count: counts[i]! })).filter((each) => each.count > 0);
}
