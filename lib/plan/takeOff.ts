import { greatestOf } from "../numerics/extremes.ts";
import { chamberVolume, trenchPipeVolume } from "../site/chamberVolume.ts";
import { isBelow } from "../site/judge.ts";
import { type AssumedFigure, type Load, type MaterialFigures, materialFigures } from "../site/materials.ts";
import { askedWords, type RegionCode, regionsNamed } from "../site/region.ts";
import type { Chamber, SettlingBox, Site } from "../site/site.ts";
import { depthText, levelText } from "../text/format.ts";
import { quantity } from "../text/quantity.ts";
import { digHoles } from "./digHoles.ts";
import { deepest, type Hole } from "./hole.ts";
import { fabricPlan, wrappedBlocks } from "./cutPlan.ts";
import { type Fitting, fittings, type PipeItem, pipeItems } from "./pipeOrder.ts";

/** What somebody asks for in a hole from some depth on. A rule of one's own has the same form. */
export interface DigRule {
  /** what it is about; missing for a rule of one's own on something else */
  readonly about?: "edge" | "ladder" | "walls";
  /** the depth from which it speaks, as its source writes it; "0 ft" for every hole */
  readonly depth: string;
  /** what is asked for, in short and in our own words */
  readonly asks: string;
  readonly says: string;
  /** the country it is published in; missing for a rule of one's own */
  readonly region?: RegionCode;
  /** the document with its section, and its year or that of the copy */
  readonly source: string;
  readonly status: "read" | "from memory" | "common practice" | "given with the site";
}

const DIN_4124 = {
  says: "DIN 4124", region: "DE", status: "read",
  source: "DIN 4124 as told in DGUV Information 201-060 section 7.1 and 201-052 section 4.2, https://bgbau-medien.de, read 29 November 2026",
} as const;
const NTP_278 = {
  says: "INSST NTP 278", region: "ES", status: "read",
  source: "NTP 278 on trenches to 7 m, guidance of the institute for safety at work and no law, https://insst.es, read 29 November 2026",
} as const;
const OSHA = { says: "US OSHA", region: "US", status: "read" } as const;

/**
 * Depths at which others ask for something before anybody goes into a hole, to be edited: a list for `takeOff` starts from
 * this one by `filter` and spread. A site is asked by those of its own country. None of it says that a hole is safe. Every pit
 * can fall in at any depth; local law and a competent person on site decide.
 *
 * @source  the sections named in each rule, read in copies on public pages, not in the register itself; or as it says
 * @example digRules.filter(({ depth }) => depth === "5 ft").map(({ source }) => source.slice(0, 18)); // => ["29 CFR 1926.652(a)"]
 */
export const digRules: readonly DigRule[] = Object.freeze(([
  {
    depth: "0 ft", about: "edge", asks: "spoil, stone and machines kept 2 ft (0.61 m) or more from the edge, or held back from it",
    source: "29 CFR 1926.651(j)(2), print of 2010", ...OSHA,
  },
  {
    depth: "4 ft", about: "ladder", asks: "a ladder, stair or ramp in a trench, within 25 ft (7.6 m) of everybody in it",
    source: "29 CFR 1926.651(c)(2), as quoted on a public page in 2026", ...OSHA,
  },
  {
    depth: "1.2 m", about: "walls", asks: "walls supported or sloped back",
    says: "British contractors", region: "GB", source: "company safety notes of 2026; the public authority names no depth that is safe (from memory)",
    status: "common practice",
  },
  {
    depth: "0 m", about: "edge", asks: "a strip of 0.6 m kept free along the upper edge", ...DIN_4124,
  },
  {
    depth: "1.25 m", about: "walls", asks: "walls supported or sloped back; to 1.75 m upright where what stands over 1.25 m is sloped at 45 degrees", ...DIN_4124,
  },
  {
    depth: "0.8 m", about: "walls", asks: "taken as dangerous in ordinary ground: walls supported or at a slope that the ground holds", ...NTP_278,
  },
  {
    depth: "1.3 m", about: "walls", asks: "the same in firm ground", ...NTP_278,
  },
  {
    depth: "1.25 m", about: "walls", asks: "walls supported or sloped back as the digging goes on, in poor ground from less depth", says: "Austrian ordinances", region: "AT",
    source: "a court's decision on the general ordinance for workers' protection, https://jusline.at/entscheidung/514997, read 29 November 2026; the builders' ordinance of today from memory",
    status: "read",
  },
  {
    depth: "5 ft", about: "walls",
    asks: "walls shored, shielded or sloped back, save in stable rock; in less depth too, unless a competent person finds no sign of a cave-in",
    source: "29 CFR 1926.652(a)(1), as quoted on a public page in 2026", ...OSHA,
  },
] satisfies DigRule[]).map((rule) => Object.freeze(rule)));

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
    /** round the stone of pit and trench, with laps; off the roll in all, cuttings included (`fabricPlan`); the bare surface of both */
    readonly fabric: { readonly pit: number; readonly trench: number; readonly total: number; readonly bare: number };
    /** under boxes and pipes, stone or sand */
    readonly bed: number;
  };
  readonly fill: {
    /** net of chambers and pipe */
    readonly pitStone: number;
    readonly trenchStone: number;
    readonly stone: number;
    /** with the bed under boxes and pipes and what is ordered over it, and what that weighs */
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
 *   stone = length x width x depth - chambers or pipe, outside         ordered = (1 + spare) (stone + bed)
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
  const bed = sum(back.map((each) => each.bed));
  const ordered = (1 + figures.stoneSpare) * (stone + bed);
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
      fabric: fabricOf(site, figures), bed,
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

function fabricOf({ chamberBank: pit, overflowTrench: trench }: Pick<Site, "chamberBank" | "overflowTrench">, { fabricLap, fabricRoll, fabricRollLength }: MaterialFigures): TakeOff["lay"]["fabric"] {
  const none = { bare: 0, withLaps: 0 };
  const wrap = ({ length, width, stone }: { length: number; width: number; stone: { depth: number } }): typeof none =>
    wrapArea({ length, width, depth: stone.depth, lap: fabricLap, roll: fabricRoll });
  const [round, along] = [wrap(pit), trench === null ? none : wrap(trench)];
  const { area } = fabricPlan(wrappedBlocks({ chamberBank: pit, overflowTrench: trench }),
    { roll: fabricRoll, rollLength: fabricRollLength, lap: fabricLap });
  return { pit: round.withLaps, trench: along.withLaps, total: area, bare: round.bare + along.bare };
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

/** A block of stone to be wrapped, and the fabric it is wrapped in [m]. */
interface Wrap {
  readonly length: number;
  readonly width: number;
  readonly depth: number;
  /** at each joint */
  readonly lap: number;
  /** width of the roll, more than the lap */
  readonly roll: number;
}

/**
 * Fabric round a block of stone, floor, sides, top and both ends [m2]: its bare surface, and with laps. A sleeve of girth
 * 2 (width + depth) + lap is laid in strips off the roll, along the block or across it, whichever takes fewer laps; each
 * end piece laps on all its sides.
 *
 *   with laps = (2 (w + d) + lap) L + laps between strips + 2 (w + 2 lap)(d + 2 lap)
 *
 * Cuttings are not counted: how a roll is cut is the layer's art.
 */
export function wrapArea({ length, width, depth, lap, roll }: Wrap): { readonly bare: number; readonly withLaps: number } {
  const girth = 2 * (width + depth) + lap;
  const along = joints(girth, lap, roll) * lap * length;
  const across = joints(length, lap, roll) * lap * girth;
  return {
    bare: 2 * (length * width + length * depth + width * depth),
    withLaps: girth * length + Math.min(along, across) + 2 * (width + 2 * lap) * (depth + 2 * lap),
  };
}

/** Laps between the strips that cover a length: n strips cover n (roll - lap) + lap. */
function joints(length: number, lap: number, roll: number): number {
  // a length that just fits is not to be one strip more by round-off
  return Math.max(0, Math.ceil((length - lap) / (roll - lap) - 1e-9) - 1);
}
