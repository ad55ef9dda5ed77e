import { greatestOf } from "../numerics/extremes.ts";
import { depthText, levelText } from "../text/format.ts";
import { quantity } from "../text/quantity.ts";
import { chamberVolume, trenchPipeVolume } from "../site/chamberVolume.ts";
import { digHoles } from "./digHoles.ts";
import { digRules, type DigRule } from "./digRules.ts";
import { deepest, type Hole } from "./hole.ts";
import { isBelow } from "../site/judge.ts";
import { materialFigures, type AssumedFigure } from "../site/materialFigures.ts";
import type { Load, MaterialFigures } from "../site/materials.ts";
import { fittings, pipeItems, type Fitting, type PipeItem } from "./pipeOrder.ts";
import { askedWords, regionsNamed } from "../site/region.ts";
import type { Chamber, SettlingBox, Site } from "../site/site.ts";
import { wrapArea } from "./wrapArea.ts";

/** The order list of a site, in the order of the working days. Volumes [m3], areas [m2], lengths [m], masses [kg]. */
export interface TakeOff {
  readonly dig: {
    readonly holes: readonly Hole[];
    /** of all holes, as it lies in the ground, and loose beside them */
    readonly volume: number;
    readonly loose: number;
    readonly rules: readonly DigRuleMet[];
    /** whose published rules those are, and why, in words */
    readonly asking: string;
    /** what is to be said of groundwater in the open pit; null where none stands over its floor, or none is given */
    readonly groundwater: string | null;
  };
  readonly lay: {
    readonly boxes: readonly Pick<SettlingBox, "name" | "plan" | "floor" | "rim">[];
    readonly chambers: readonly Pick<Chamber, "count" | "insideDiameter" | "outsideDiameter" | "height">[];
    /** outside volume of all chambers */
    readonly chamberVolume: number;
    readonly pipes: readonly PipeItem[];
    readonly fittings: readonly Fitting[];
    /** diameter of the emitter; null without one */
    readonly emitter: number | null;
    /** round the stone of the pit and of the trench, with laps; the bare surface of both */
    readonly fabric: { readonly pit: number; readonly trench: number; readonly total: number; readonly bare: number };
    /** under boxes and pipes, stone or sand */
    readonly bed: number;
  };
  readonly fill: {
    /** net of chambers and pipe */
    readonly pitStone: number;
    readonly trenchStone: number;
    readonly stone: number;
    /** with what is ordered over it, and what that weighs */
    readonly ordered: number;
    readonly mass: number;
    readonly load: Load;
    readonly loads: number;
  };
  readonly cover: {
    /** firm, over the stone and round boxes and pipes: from the spoil */
    readonly soil: number;
    readonly turf: number;
    readonly turfArea: number;
    /** spoil that is left: as it lay in the ground, loose, and what it weighs */
    readonly spoilLeft: number;
    readonly spoilLoose: number;
    readonly spoilMass: number;
    readonly load: Load;
    readonly loads: number;
  };
  readonly figures: MaterialFigures;
  /** figures that the file does not give */
  readonly assumed: readonly AssumedFigure[];
  /** what the list cannot know, in words */
  readonly notes: readonly string[];
}

/** A rule, and the holes as deep as it speaks of. */
export interface DigRuleMet {
  readonly rule: DigRule;
  /** [m] */
  readonly depth: number;
  readonly holes: readonly Hole[];
}

/**
 * What is dug, laid, filled in and put back, from the site and its `materials`, with common practice in the place of figures
 * that it does not give.
 *
 *   stone = length x width x depth - chambers or pipe, outside         ordered = (1 + spare) stone
 *   loose spoil = bulking x dug,    left = dug - soil that goes back,  loads = the next whole number
 *
 * Soil put back is taken to fill as much as it filled in the ground: firm again, no more and no less.
 *
 * @param options.rules  depths at which others ask for something, in place of the published ones of the site's own country, or of
 *                       those that `publishedRules` names
 * @throws InputError    for a rule whose depth cannot be read
 * @source  volumes of prisms; what is common practice is named in `materialPractice`
 */
export function takeOff(site: Site, options: { readonly rules?: readonly DigRule[] } = {}): TakeOff {
  const { figures, assumed } = materialFigures(site);
  const { chamberBank: pit, overflowTrench: trench } = site;
  const holes = digHoles(site, figures);
  const dug = sum(holes.map(({ volume }) => volume));
  const back = holes.map((hole) => hole.back);
  const soil = sum(back.map((each) => each.soil));
  const chambers = chamberVolume(pit.chambers);
  const pitStone = pit.length * pit.width * pit.stone.depth - chambers;
  const trenchStone = trench === null ? 0 : trench.length * trench.width * trench.stone.depth - trenchPipeVolume(trench);
  const stone = pitStone + trenchStone;
  const ordered = (1 + figures.stoneSpare) * stone;
  const spoilLeft = dug - soil;
  const spoilLoose = figures.bulking * spoilLeft;
  const [mass, spoilMass] = [ordered * figures.stoneDensity, spoilLeft * figures.soilDensity];
  const pipes = pipeItems(site, figures);
  return {
    dig: {
      holes, volume: dug, loose: figures.bulking * dug, rules: rulesMet(holes, options.rules ?? digRulesOf(site)),
      asking: options.rules === undefined ? askedWords(site, regionsNamed(site), digRules, " on digging", false) : "Rules of the call's own are asked.",
      groundwater: groundwaterWords(site),
    },
    lay: {
      boxes: site.settlingBoxes.map(({ name, plan, floor, rim }) => ({ name, plan, floor, rim })),
      chambers: pit.chambers, chamberVolume: chambers, pipes, fittings: fittings(site, pipes), emitter: site.emitter?.diameter ?? null,
      fabric: fabricOf(site, figures), bed: sum(back.map(({ bed }) => bed)),
    },
    fill: {
      pitStone, trenchStone, stone, ordered, mass, load: figures.stoneLoad, loads: loadsOf(figures.stoneLoad, mass, ordered),
    },
    cover: {
      soil, turf: sum(back.map(({ turf }) => turf)), turfArea: sum(back.map(({ turfArea }) => turfArea)),
      spoilLeft, spoilLoose, spoilMass, load: figures.spoilLoad, loads: loadsOf(figures.spoilLoad, spoilMass, spoilLoose),
    },
    figures, assumed, notes: notesOf(site),
  };
}

function fabricOf({ chamberBank: pit, overflowTrench: trench }: Site, { fabricLap, fabricRoll }: MaterialFigures): TakeOff["lay"]["fabric"] {
  const none = { bare: 0, withLaps: 0 };
  const wrap = ({ length, width, stone }: { length: number; width: number; stone: { depth: number } }): typeof none =>
    wrapArea({ length, width, depth: stone.depth, lap: fabricLap, roll: fabricRoll });
  const [round, along] = [wrap(pit), trench === null ? none : wrap(trench)];
  return { pit: round.withLaps, trench: along.withLaps, total: round.withLaps + along.withLaps, bare: round.bare + along.bare };
}

function digRulesOf(site: Site): readonly DigRule[] {
  const regions = regionsNamed(site);
  return digRules.filter(({ region }) => regions.includes(region!));
}

function rulesMet(holes: readonly Hole[], rules: readonly DigRule[]): DigRuleMet[] {
  return rules
    .map((rule, i) => ({ rule, depth: quantity(rule.depth, "length", `rules[${i}].depth`) }))
    .sort((a, b) => a.depth - b.depth)
    .map(({ rule, depth }) => ({ rule, depth, holes: holes.filter((hole) => !isBelow(deepest(hole), depth)) }));
}

/** Whole loads; what just fits is not to be one more by round-off. */
function loadsOf(load: Load, mass: number, loose: number): number {
  const loads = "mass" in load ? mass / load.mass : loose / load.volume;
  return Math.max(0, Math.ceil(loads - 1e-9));
}

function groundwaterWords({ chamberBank: pit, units }: Site): string | null {
  const series = pit.groundwater;
  const highest = series === null ? -Infinity : greatestOf(series.level);
  if (!isBelow(pit.floor, highest)) return null;
  return `Groundwater at ${levelText(highest, units)} stands ${depthText(highest - pit.floor, units)} over the floor of the pit: it has to be kept out while the pit is open, and wet walls stand less.`;
}

function notesOf({ chamberBank: pit, settlingBoxes }: Site): string[] {
  const boxes = settlingBoxes.length === 1 ? "the settling box" : "each settling box";
  const chambers = pit.chambers.reduce((count, chamber) => count + chamber.count, 0);
  return [
    `The ground round ${boxes} is taken at its rim: the file gives none. Walls of holes are taken upright; sloped back, more is dug and more goes back.`,
    ...(chambers > 1 ? ["How the pipes reach the chambers is not in the file: bends and tees for it are not counted."] : []),
    "The pipes from the downpipes to the box are not in the file, nor in this list.",
  ];
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, each) => total + each, 0);
}
