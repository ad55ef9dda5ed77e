import { greatestOf } from "../numerics/extremes.ts";
import { leastCost, type Inequality } from "../numerics/linearProgram.ts";
import { levelText, type UnitSystem } from "../text/format.ts";
import { LID_OPENS, partSize, PIPE_FALL, TRENCH_FALL, type PartName, type StandardParts } from "./standardParts.ts";
import { nearText } from "./words.ts";
import { listed } from "../text/words.ts";

/** Ground and distances that the levels of the works have to fit. All [m]. */
export interface GroundTold {
  /** levels of the ground at the box, over the pit, at the trench's head and at the lid; the last two null without a trench */
  readonly box: number;
  readonly pit: number;
  readonly trench: number | null;
  readonly lid: number | null;
  /** level of the house's floor; null where it was not read */
  readonly house: number | null;
  /** level of the groundwater; null where it is not known or far below */
  readonly groundwater: number | null;
  readonly boxToPit: number;
  /** length of the trench, from its head to the lid */
  readonly trenchLength: number;
  /** fall of the ground along which the lid can be moved on, a ratio above 0; null where it does not fall */
  readonly slopeAtLid: number | null;
}

/** Levels of the works [m]. */
export interface WorksLevels {
  readonly boxOutlet: number;
  readonly pitInlet: number;
  readonly stoneTop: number;
  readonly pitFloor: number;
  /** of the trench, all null without one */
  readonly trenchInlet: number | null;
  readonly trenchInletEnd: number | null;
  readonly trenchHigh: number | null;
  readonly trenchLow: number | null;
  readonly crest: number | null;
}

/** What can be built between the levels that were read. */
export type FeasibleLevels =
  | {
      readonly kind: "levels";
      /** with as much stone as the rules leave room for, and as little dug for it as that */
      readonly levels: WorksLevels;
      /** lowest and highest that each level can be, the others as they then have to [m] */
      readonly ranges: Readonly<Record<string, { readonly low: number; readonly high: number }>>;
      /** what is wished and cannot be had on this ground, with what would give it */
      readonly missed: readonly Missed[];
    }
  | { readonly kind: "impossible"; readonly missed: Missed };

/** Rules that cannot stand together. */
export interface Missed {
  /** names of the rules, those that contradict each other */
  readonly rules: readonly string[];
  /** by how much in all [m] */
  readonly by: number;
  /** changes of what was given, each alone enough, the least of its kind */
  readonly remedies: readonly Remedy[];
  /** what comes of it, or what is lacking: `water will stand back in the box`, `15 cm of height` */
  readonly lacks: string;
  /** the remedies as one says them: `raise the box 3 in or move the lid 20 ft down the slope`; "" without any */
  readonly cure: string;
  /** what the rules want, as a list */
  readonly wants: string;
  /** the same in a sentence */
  readonly words: string;
}

export interface Remedy {
  readonly what: "box" | "lid" | "pit" | "cover" | "ground";
  /** [m] */
  readonly by: number;
  readonly words: string;
}

interface Rule extends Inequality {
  readonly name: string;
  readonly words: string;
  /** of what is wished and not needed: what comes of going without it */
  readonly without?: string;
}

/**
 * The levels of the works as a set of linear inequalities: every fall of a pipe, cover of soil, crest and clearance is one row over the
 * levels, and
 * all are solved together. Needed are falls, covers and that the lid opens before water comes up anywhere else; wished are a box in which
 * no
 * water stands back, a floor of the house above the opening lid, and a pit well over the groundwater.
 *
 * Where no levels will do, the rows that contradict each other are named (Farkas' lemma), with the least change of each thing that could
 * be moved.
 *
 * @source  covers and falls: common practice (see `standardParts`); method: see `leastCost`
 */
export function feasibleLevels(ground: GroundTold, parts: StandardParts, units: UnitSystem): FeasibleLevels {
  const all = rulesOf(ground, parts, units, NO_SHIFT);
  const needed = all.filter(({ without }) => without === undefined);
  const named = new Set(all.flatMap(({ of }) => Object.keys(of)));
  const cost = Object.fromEntries(Object.entries(COST).filter(([name]) => named.has(name)));
  const first = leastCost(cost, needed);
  if (first.kind === "impossible") {
    return {
      kind: "impossible",
      missed: missedOf(
        needed,
        first.weights,
        (shift) => rulesOf(ground, parts, units, shift).filter(({ without }) => without === undefined),
        ground,
        units,
      ),
    };
  }
  const kept = [...needed];
  const missed: Missed[] = [];
  for (const wish of all.filter(({ without }) => without !== undefined)) {
    const tried = leastCost(cost, [...kept, wish]);
    if (tried.kind === "impossible") {
      const names = new Set([...kept, wish].map(({ name }) => name));
      missed.push(
        missedOf(
          [...kept, wish],
          tried.weights,
          (shift) => rulesOf(ground, parts, units, shift).filter(({ name }) => names.has(name)),
          ground,
          units,
        ),
      );
    } else kept.push(wish);
  }
  // stone that stands in groundwater holds no rain: where the pit cannot be kept over it, it is as shallow as it can be
  const isWet = ground.groundwater !== null && !kept.some(({ name }) => name === OVER_WATER);
  const best = leastCost(isWet ? { ...cost, pitFloor: -99 } : cost, kept);
  if (best.kind !== "least") throw new Error(`feasibleLevels: expected levels, got ${best.kind}`);
  const unknowns = [...new Set(kept.flatMap(({ of }) => Object.keys(of)))];
  const ranges = Object.fromEntries(unknowns.map((name) => [name, { low: endOf(name, 1, kept), high: endOf(name, -1, kept) }]));
  const at = (name: string): number | null => best.at[name] ?? null;
  return {
    kind: "levels",
    ranges,
    missed: missed.map((each) => (isWet && each === missed.at(-1) ? { ...each, lacks: overWaterWords(best.at["pitFloor"]! - ground.groundwater, units) } : each)),
    levels: {
      boxOutlet: best.at["boxOutlet"]!,
      pitInlet: best.at["pitInlet"]!,
      stoneTop: best.at["stoneTop"]!,
      pitFloor: best.at["pitFloor"]!,
      trenchInlet: at("trenchInlet"),
      trenchInletEnd: at("trenchInletEnd"),
      trenchHigh: at("trenchHigh"),
      trenchLow: at("trenchLow"),
      crest: ground.lid === null ? null : crestOf(ground.lid, parts),
    },
  };
}

/** The rule of a pit well over its groundwater. */
export const OVER_WATER = "over the groundwater";

/** @param over  height of the pit's floor over the water [m] */
function overWaterWords(over: number, units: UnitSystem): string {
  return over < 0
    ? `the pit would stand ${nearText(-over, units, "up")} deep in groundwater`
    : `only ${nearText(over, units, "up")} of soil is left between the pit and the groundwater`;
}

/** As much stone as there is room for counts before anything else; then every level as high as it can be, which is the least dug. */
const COST: Readonly<Record<string, number>> = {
  stoneTop: -101,
  pitFloor: 99,
  boxOutlet: -1,
  pitInlet: -1,
  trenchInlet: -1,
  trenchInletEnd: -1,
  trenchHigh: -1,
  trenchLow: -1,
};

function endOf(name: string, sign: 1 | -1, rules: readonly Rule[]): number {
  const found = leastCost({ [name]: sign }, rules);
  return found.kind === "least" ? sign * found.cost : -sign * Infinity;
}

/** The crest of a lid that lies flush with the turf. */
function crestOf(lid: number, parts: StandardParts): number {
  return lid - partSize(parts, "lidBelowTurf");
}

/**
 * How far what was given is moved, each [m]: the box raised, the lid moved on down the slope, the pit moved to the box, less cover, ground
 * raised over the pit.
 */
type Shift = Readonly<Record<Remedy["what"], number>>;

const NO_SHIFT: Shift = { box: 0, lid: 0, pit: 0, cover: 0, ground: 0 };

function rulesOf(ground: GroundTold, parts: StandardParts, units: UnitSystem, shift: Shift): Rule[] {
  const size = (name: PartName): number => partSize(parts, name);
  const box = ground.box + shift.box;
  const pit = ground.pit + shift.ground;
  const boxToPit = ground.boxToPit - shift.pit;
  const pitCover = size("pitCover") - shift.cover;
  const thick = (name: PartName): string => parts[name];
  const overPipe = size("overChamber") + ROUNDED;
  const rule = (name: string, words: string, of: Inequality["of"], least: number, without?: string): Rule => ({
    name,
    words,
    of,
    least,
    ...(without !== undefined && { without }),
  });
  const rules = [
    rule(
      "cover at the box",
      `${thick("pipeCover")} of soil over the pipe where it leaves the box`,
      { boxOutlet: -1 },
      size("pipe") + size("pipeCover") - box,
    ),
    rule("fall to the pit", "a pipe that falls 1 in 100 from the box to the pit", { boxOutlet: 1, pitInlet: -1 }, PIPE_FALL * boxToPit),
    rule("pipe under the chamber tops", "a pipe that comes in under the tops of the chambers", { stoneTop: 1, pitInlet: -1 }, size("pipe") + overPipe),
    rule("cover over the pit", `${thick("pitCover")} of soil over the stone of the pit`, { stoneTop: -1 }, pitCover - pit),
    rule("least stone", `${thick("leastStone")} of stone`, { stoneTop: 1, pitFloor: -1 }, size("leastStone")),
    rule("most stone", `${thick("mostStone")} of stone at most`, { stoneTop: -1, pitFloor: 1 }, -size("mostStone")),
  ];
  if (ground.lid !== null && ground.trench !== null) {
    const lid = ground.lid - (ground.slopeAtLid ?? 0) * shift.lid;
    const opens = crestOf(lid, parts) + LID_OPENS;
    const rise = size("bedding") + (size("trenchPipeOutside") - size("trenchPipe")) / 2;
    const trenchCover = size("trenchCover") - Math.min(shift.cover, size("trenchCover") / 2);
    rules.push(
      rule(
        "the trench runs before the pipe drowns",
        "a trench that takes over before water stands back in the pipe from the box",
        { pitInlet: 1, trenchInlet: -1 },
        0,
      ),
      rule(
        "trench pipe under the chamber tops",
        "a pipe to the trench that leaves under the tops of the chambers",
        { stoneTop: 1, trenchInlet: -1 },
        size("pipe") + overPipe,
      ),
      rule("trench pipe over the floor", "a pipe to the trench over the floor of the pit", { trenchInlet: 1, pitFloor: -1 }, 0),
      rule("fall to the trench", "a pipe to the trench that falls", { trenchInlet: 1, trenchInletEnd: -1 }, PIPE_FALL * size("gap")),
      rule(
        "into the trench pipe",
        "a pipe that ends over the bottom of the trench's own pipe",
        { trenchInletEnd: 1, trenchHigh: -1 },
        rise,
      ),
      rule(
        "cover at the trench head",
        `${thick("trenchCover")} of soil over the stone at the trench's head`,
        { trenchHigh: -1 },
        size("trenchStone") + trenchCover - ground.trench,
      ),
      rule(
        "fall of the trench",
        "a trench that falls 1 in 200 to the lid",
        { trenchHigh: 1, trenchLow: -1 },
        TRENCH_FALL * (ground.trenchLength + shift.lid),
      ),
      rule(
        "cover at the lid",
        `${thick("trenchCover")} of soil over the stone at the lid`,
        { trenchLow: -1 },
        size("trenchStone") + trenchCover - lid,
      ),
      // these hold of the ground alone: no level can mend them
      rule(
        "the lid below the box",
        `a lid at ${levelText(lid, units)} that opens before the box at ${levelText(box, units)} runs over`,
        {},
        opens + UNDER_RIM - box,
      ),
      rule(
        "the lid below the pit",
        `a lid at ${levelText(lid, units)} that opens before water comes up over the pit at ${levelText(pit, units)}`,
        {},
        opens - pit,
      ),
      rule("the lid below the trench", "a lid that opens before water comes up over the trench", {}, opens - ground.trench),
      rule("no water back into the box", "a lid that opens below the outlet of the box", { boxOutlet: 1 }, opens, "water will stand back in the box"),
    );
    if (ground.house !== null)
      rules.push(
        rule(
          "the lid below the floor",
          `a lid that opens ${thick("underSlab")} below the floor of the house`,
          {},
          opens + size("underSlab") - ground.house,
          `the lid opens less than ${thick("underSlab")} below the floor of the house`,
        ),
      );
  }
  if (ground.groundwater !== null) {
    rules.push(
      rule(
        OVER_WATER,
        `${thick("overGroundwater")} between the pit and the groundwater at ${levelText(ground.groundwater, units)}`,
        { pitFloor: 1 },
        ground.groundwater + size("overGroundwater"),
        `less than ${thick("overGroundwater")} of soil is left between the pit and the groundwater`,
      ),
    );
  }
  return rules;
}

/** What rounding of the levels that are written may take off a crown that just stays under the tops of the chambers [m]. */
const ROUNDED = 0.01;

/** Water at the lid stays so far under the rim of the box [m]; two inches, common practice. */
const UNDER_RIM = 0.05;

function missedOf(
  rules: readonly Rule[],
  weights: readonly number[],
  rulesAt: (shift: Shift) => readonly Rule[],
  ground: GroundTold,
  units: UnitSystem,
): Missed {
  const against = rules.filter((_, r) => weights[r]! > 0);
  // what each row over no level lacks by itself, it lacks beside the others; rows over levels add up
  const isChain = (r: number): boolean => Object.keys(rules[r]!.of).length > 0 && weights[r]! > 0;
  const chain = rules.reduce((sum, { least }, r) => sum + (isChain(r) ? weights[r]! * least : 0), 0);
  const by = greatestOf([
    chain === 0 ? 0 : chain / greatestOf(weights.filter((_, r) => isChain(r))),
    ...against.filter(({ of }) => Object.keys(of).length === 0).map(({ least }) => least),
  ]);
  const remedies = (Object.keys(NO_SHIFT) as Remedy["what"][]).flatMap((what): Remedy[] => {
    const most = furthest(what, ground);
    if (most === 0) return [];
    // each row is linear in a shift: its factor is what one metre of it changes, taken small enough to stay within its bounds
    const step = most / 2;
    const moved = rulesAt({ ...NO_SHIFT, [what]: step });
    const shifted = rules.map(({ of, least }, r): Inequality => ({ of: { ...of, shift: -(moved[r]!.least - least) / step }, least }));
    const found = leastCost({ shift: 1 }, [...shifted, { of: { shift: 1 }, least: 0 }, { of: { shift: -1 }, least: -most }]);
    if (found.kind !== "least" || found.cost < 1e-6) return [];
    return [{ what, by: found.cost, words: remedyWords(what, found.cost, units) }];
  });
  const list = listed(
    against.map(({ words }) => words),
    "and",
  );
  const cure = listed(
    remedies.map(({ words }) => words),
    "or",
  );
  return {
    rules: against.map(({ name }) => name),
    by,
    remedies,
    lacks: rules.at(-1)?.without ?? heightWords(by, units),
    cure,
    wants: list,
    words: missedWords(list, by, cure, units),
  };
}

/** What the ground has no room for, how much is lacking [m] and what would give it. */
export function missedWords(wants: string, by: number, cure: string, units: UnitSystem): string {
  const would = cure === "" ? "Nothing that can be moved here gives room for all of it." : `What would: ${cure}.`;
  return `The ground does not have room for ${wants}${by > 0 ? `: ${nearText(by, units, "up")} is lacking` : ""}. ${would}`;
}

/** What is lacking where no rule says it in words of its own [m]. */
export function heightWords(by: number, units: UnitSystem): string {
  return `${nearText(by, units, "up")} of height`;
}

/** A remedy as one says it on a lawn, never less than it has to be [m]. */
export function remedyWords(what: Remedy["what"], by: number, units: UnitSystem): string {
  return REMEDY[what](nearText(by, units, what === "lid" || what === "pit" ? "along" : "up"));
}

/** How far each could be moved at most [m]: a box is not raised over two feet, cover not less than half of it. */
function furthest(what: Remedy["what"], { slopeAtLid, boxToPit, lid }: GroundTold): number {
  if (what === "lid") return lid === null || slopeAtLid === null ? 0 : 60;
  if (what === "pit") return Math.max(0, boxToPit - 1);
  return what === "cover" ? 0.15 : 0.6;
}

const REMEDY: Readonly<Record<Remedy["what"], (by: string) => string>> = {
  box: (by) => `raise the box ${by}`,
  lid: (by) => `move the lid ${by} down the slope`,
  pit: (by) => `bring the pit ${by} nearer to the box`,
  cover: (by) => `lay the stone ${by} nearer to the turf`,
  ground: (by) => `raise the ground over the pit ${by}`,
};
