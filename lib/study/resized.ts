import { changedSite } from "../site/changedSite.ts";
import { chamberVolume } from "../site/chamberVolume.ts";
import type { Chamber, Site } from "../site/site.ts";
import { InputError, type Problem } from "../units/problem.ts";

/** Sizes in place of those of the site file; what is missing stays. */
export interface Sizes {
  /** how many chambers in all, 1 or more; the pit's length grows with them */
  readonly chambers?: number;
  /** [m] */
  readonly pitWidth?: number;
  /** stone under the chambers [m]; the pit's floor goes down with it, its top and the chambers stay */
  readonly stoneBase?: number;
  /** [m]; the levels of both ends stay, so a longer trench falls less steeply */
  readonly trenchLength?: number;
}

/**
 * The same works in other sizes. More chambers stand in a longer pit, each with the length of pit that it has now, so that gaps stay;
 * chambers of several sizes keep their proportions and their count is that of all together. A pit without chambers is as long as the
 * site file says.
 *
 * @throws InputError  for sizes that the site's reader would refuse: chambers that do not fit, a trench where there is none
 */
export function resized(site: Site, sizes: Sizes): Site {
  const { chamberBank: bank, overflowTrench: trench } = site;
  const { chambers = chamberCount(site), pitWidth = bank.width, stoneBase = bank.stone.base, trenchLength } = sizes;
  const problems: Problem[] = [];
  const now = chamberCount(site);
  if (sizes.chambers !== undefined && now === 0) problems.push({ where: "chambers", expected: "a pit with chambers, or no such size", got: String(chambers) });
  if (trenchLength !== undefined && trench === null) problems.push({ where: "trenchLength", expected: "a site with a trench, or no such size", got: `${trenchLength} m` });
  const deeper = stoneBase - bank.stone.base;
  const chamberBank = {
    ...bank,
    length: now === 0 ? bank.length : (bank.length * chambers) / now,
    width: pitWidth,
    floor: bank.floor - deeper,
    stone: { ...bank.stone, depth: bank.stone.depth + deeper, base: stoneBase },
    chambers: now === 0 || chambers === now ? bank.chambers : shared(bank.chambers, chambers),
  };
  const least = Math.min(chamberBank.length, chamberBank.width);
  const widest = Math.max(0, ...bank.chambers.map(({ outsideDiameter }) => outsideDiameter));
  if (widest > least + ROUND_OFF) {
    problems.push({ where: "pitWidth", expected: `a pit at least as long and wide as a chamber, ${widest} m`, got: `${least} m` });
  } else if (chamberVolume(chamberBank.chambers.map((each) => ({ ...each, height: 1 }))) > chamberBank.length * chamberBank.width) {
    problems.push({ where: "chambers", expected: "chambers that fit into the pit's plan", got: `${chambers} in ${chamberBank.length} m by ${chamberBank.width} m` });
  }
  if (problems.length > 0) throw new InputError("The works cannot have these sizes:", problems);
  return changedSite(site, {
    chamberBank,
    overflowTrench: trench === null || trenchLength === undefined ? trench : { ...trench, length: trenchLength },
  });
}

/** How many chambers stand in the pit. */
export function chamberCount({ chamberBank }: Pick<Site, "chamberBank">): number {
  return chamberBank.chambers.reduce((sum, { count }) => sum + count, 0);
}

const ROUND_OFF = 1e-9;

/** As many chambers as asked for, sizes in their proportions, the odd ones to the first. */
function shared(chambers: readonly Chamber[], count: number): Chamber[] {
  const now = chambers.reduce((sum, each) => sum + each.count, 0);
  const counts = chambers.map((each) => Math.floor((each.count * count) / now));
  counts[0]! += count - counts.reduce((sum, each) => sum + each, 0);
  return chambers.map((each, i) => ({ ...each, count: counts[i]! })).filter((each) => each.count > 0);
}
