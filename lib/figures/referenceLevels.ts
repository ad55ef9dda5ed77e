import type { OverflowTrench, Site } from "../site/site.ts";
import { isLevelGround } from "../site/trenchGround.ts";
import type { Tone } from "./look.ts";
import { plainText } from "../text/plainText.ts";

/** A level of a site that water is measured against. */
export interface ReferenceLevel {
  readonly words: string;
  /** the same for a narrow picture */
  readonly short: string;
  readonly level: number;
  readonly tone: Tone;
  /** named on a narrow picture too */
  readonly major: boolean;
  /** groundwater or a level to watch, which may lie far from the works */
  readonly around: boolean;
}

/**
 * Every level that stands still on a level picture, from the highest to the lowest: rims, grounds, stone tops, the
 * crests that water must rise over, floors, the level that opens the emitter, groundwater where it is fixed, and the
 * site's own watch levels. A groundwater that moves is a curve, not one of these.
 */
export function referenceLevels(site: Site): ReferenceLevel[] {
  const levels = [
    ...boxLevels(site), ...pitLevels(site), ...trenchLevels(site), ...emitterLevels(site), ...lowSpotLevels(site),
    ...waterAndWatch(site),
  ];
  return levels.sort((a, b) => b.level - a.level);
}

function boxLevels(site: Site): ReferenceLevel[] {
  return site.settlingBoxes.flatMap((box) => {
    const name = site.settlingBoxes.length === 1 ? "box" : plainText(box.name, 16);
    return [
      { words: `${name} rim`, short: `${name} rim`, level: box.rim, tone: "box" as const, major: true, around: false },
      { words: `${name} outlet`, short: `${name} outlet`, level: box.outlet.crest, tone: "box" as const, major: false, around: false },
    ];
  });
}

function pitLevels({ chamberBank: pit }: Site): ReferenceLevel[] {
  const levels: ReferenceLevel[] = [
    { words: "ground over the pit", short: "pit ground", level: pit.ground, tone: "still", major: true, around: false },
    { words: "stone top of the pit", short: "pit stone", level: pit.stoneTop, tone: "still", major: false, around: false },
    { words: "pit floor", short: "pit floor", level: pit.floor, tone: "pit", major: true, around: false },
  ];
  return levels;
}

function trenchLevels({ overflowTrench: trench }: Site): ReferenceLevel[] {
  if (trench === null) return [];
  const levels: ReferenceLevel[] = [
    ...groundLevels(trench),
    { words: "trench inlet", short: "inlet", level: trench.inlet.crest, tone: "trench", major: false, around: false },
  ];
  if (trench.fall > 0) {
    levels.push(
      { words: "trench floor, high end", short: "floor, high", level: trench.floor, tone: "trench", major: false, around: false },
      { words: "trench floor, low end", short: "trench floor", level: trench.lowFloor, tone: "trench", major: true, around: false },
    );
  } else levels.push({ words: "trench floor", short: "trench floor", level: trench.floor, tone: "trench", major: true, around: false });
  return levels;
}

/** One ground, or of one that slopes both ends; water comes up at the lower. */
function groundLevels({ ground, lowestGround }: OverflowTrench): ReferenceLevel[] {
  const lowest = { short: "trench ground", level: lowestGround, tone: "still", major: true, around: false } as const;
  if (isLevelGround(ground)) return [{ ...lowest, words: "ground over the trench" }];
  const [low, high] = ground.low < ground.high ? ["low", "high"] as const : ["high", "low"] as const;
  return [
    { ...lowest, words: `ground over the trench, ${low} end` },
    { ...lowest, words: `ground over the trench, ${high} end`, short: `ground, ${high}`, level: ground[high], major: false },
  ];
}

function emitterLevels({ emitter }: Site): ReferenceLevel[] {
  if (emitter === null) return [];
  const levels: ReferenceLevel[] = [{ words: "emitter opens", short: "opens", level: emitter.opensAt, tone: "emitter", major: true, around: false }];
  const weep = emitter.weepHole;
  if (weep !== null) levels.push({ words: "weep hole", short: "weep hole", level: weep.elevation, tone: "emitter", major: false, around: false });
  return levels;
}

function lowSpotLevels({ lowSpot }: Site): ReferenceLevel[] {
  if (lowSpot === null) return [];
  return [
    { words: "lip of the low spot", short: "low lip", level: lowSpot.lip, tone: "lowSpot", major: true, around: false },
    { words: "floor of the low spot", short: "low floor", level: lowSpot.floor, tone: "lowSpot", major: false, around: false },
  ];
}

function waterAndWatch(site: Site): ReferenceLevel[] {
  const water = site.chamberBank.groundwater;
  const levels: ReferenceLevel[] = site.watchLevels.map(({ name, level }) => ({
    words: plainText(name, 24), short: plainText(name, 14), level, tone: "still", major: true, around: true,
  }));
  if (water !== null && water.level.length === 1) {
    levels.push({ words: "groundwater", short: "groundwater", level: water.level[0]!, tone: "rain", major: true, around: true });
  }
  return levels;
}
