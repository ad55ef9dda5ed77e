import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { levelText, lengthText } from "../text/format.ts";
import { isBelow, type Judge } from "./judge.ts";
import type { Site } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";

type Levels = Pick<Site, "settlingBoxes" | "chamberBank" | "overflowTrench" | "emitter" | "soil" | "groundwater" | "watchLevels">;

// Nothing of this is impossible, but a unit that slipped, inches for feet or feet for metres, looks like it. The limits are common
// practice, no source: works of this kind are dug by hand or by a small machine.

/** Deeper than this, 50 ft, such works are not dug: it is an error [m]. */
const DEEPEST = 15.24;
/** Deeper than this, 15 ft, it is said first of all [m]. */
const DEEP = 4.572;
/** Stone deeper under the ground than this, 10 ft, likewise [m]. */
const DEEP_STONE = 3.048;
/** A pipe wider than this, 2 ft, likewise [m]. */
const WIDE = 0.6096;
/** A level further from the ground over the pit than this, likewise [m]. */
const FAR = 15.24;

/** Holes deeper than any that are dug. */
export function checkDepths({ boxesInList, settlingBoxes, chamberBank, overflowTrench }: SiteFile, judge: Judge): void {
  const refuse = (where: string, depth: number, from: string): void => {
    if (depth > DEEPEST) {
      judge.refuse(where, `a floor at most ${judge.level(DEEPEST)} below ${from} (is a unit wrong?)`, `${judge.given(where)}, ${judge.level(depth)} below it`);
    }
  };
  settlingBoxes.forEach(({ floor, rim }, i) => refuse(boxesInList ? `settlingBox[${i}].floor` : "settlingBox.floor", rim - floor, "the rim"));
  refuse("chamberBank.floor", chamberBank.ground - chamberBank.floor, "the ground");
  if (overflowTrench !== null) refuse("overflowTrench.floor", Math.max(overflowTrench.ground.high, overflowTrench.ground.low) - overflowTrench.floor, "the ground");
}

/** What is hardly meant: holes too deep, stone too far down, pipes too wide, a start full of groundwater, levels far from the works. */
export function implausibleNotes(site: Levels & Pick<Site, "units">): string[] {
  return [...depthNotes(site), ...pipeNotes(site), ...fullNotes(site), ...farNotes(site)];
}

function depthNotes({ settlingBoxes, chamberBank: pit, overflowTrench: trench, units }: Levels & Pick<Site, "units">): string[] {
  const holes = [
    ...settlingBoxes.map(({ name, rim, floor }) => ({ name: settlingBoxes.length === 1 ? "settling box" : `box “${name}”`, depth: rim - floor, over: 0 })),
    { name: "pit", depth: pit.ground - pit.floor, over: pit.ground - pit.stoneTop },
    ...(trench === null ? [] : [{
      name: "trench", depth: Math.max(trench.ground.high - trench.floor, trench.ground.low - trench.lowFloor),
      over: Math.max(trench.ground.high - trench.stoneTop.high, trench.ground.low - trench.stoneTop.low),
    }]),
  ];
  return holes.flatMap(({ name, depth, over }) => {
    if (isBelow(DEEP, depth)) return [`The ${name} is ${lengthText(depth, units)} deep, and more than ${lengthText(DEEP, units)} is hardly ever dug: is a unit or a level wrong?`];
    if (isBelow(DEEP_STONE, over)) {
      return [`The stone of the ${name} lies ${lengthText(over, units)} under the ground, and more than ${lengthText(DEEP_STONE, units)} is hardly ever dug: is a unit or a level wrong?`];
    }
    return [];
  });
}

function pipeNotes({ settlingBoxes, overflowTrench: trench, units }: Levels & Pick<Site, "units">): string[] {
  const pipes = [
    ...settlingBoxes.map(({ name, outlet }) => ({
      name: settlingBoxes.length === 1 ? "pipe from the settling box" : `pipe from box “${name}”`, wide: outlet.diameter,
    })),
    ...(trench === null ? [] : [{ name: "pipe from the pit to the trench", wide: trench.inlet.diameter }]),
    ...(trench?.pipe ? [{ name: "pipe in the trench", wide: trench.pipe.insideDiameter }] : []),
  ];
  return pipes.filter(({ wide }) => isBelow(WIDE, wide)).map(({ name, wide }) =>
    `The ${name} is ${lengthText(wide, units)} wide, and more than ${lengthText(WIDE, units)} is hardly ever laid here: is a unit wrong?`);
}

/** Whether the groundwater fills the stone of the pit before any rain. */
export function startsFull({ chamberBank: { groundwater, stoneTop } }: Pick<Site, "chamberBank">): boolean {
  return groundwater !== null && !isBelow(groundwater.level[0]!, stoneTop);
}

function fullNotes(site: Levels & Pick<Site, "units">): string[] {
  if (!startsFull(site)) return [];
  const { chamberBank: { groundwater, stoneTop }, units } = site;
  return [`Groundwater at ${levelText(groundwater!.level[0]!, units)} reaches the top of the pit's stone, ${levelText(stoneTop, units)}: there is no room in it for rain.`];
}

function farNotes({ chamberBank: { ground, groundwater }, emitter, soil, watchLevels, units }: Levels & Pick<Site, "units">): string[] {
  const levels = [
    ...soil.layers.slice(1).map(({ top }, i) => ({ name: `The top of soil layer ${i + 2}`, level: top })),
    ...[...new Set(groundwater === null ? [] : [greatestOf(groundwater.level), leastOf(groundwater.level)])].map((level) => ({ name: "Groundwater", level })),
    ...(emitter === null ? [] : [{ name: "The emitter's crest", level: emitter.crest }]),
    ...watchLevels.map(({ name, level }) => ({ name: `“${name}”`, level })),
  ];
  return levels.filter(({ level }) => isBelow(FAR, Math.abs(level - ground))).map(({ name, level }) =>
    `${name} at ${levelText(level, units)} lies ${lengthText(Math.abs(level - ground), units)} ${level < ground ? "below" : "above"} the ground over the pit: is its unit right?`);
}
