import { levelText } from "../text/format.ts";
import { isBelow } from "../site/judge.ts";
import type { SettlingBox, Site } from "../site/site.ts";

/** Two levels of which the first is to lie higher. */
export interface Descent {
  readonly from: string;
  readonly to: string;
  /** from the first down to the second [m], less than 0 where it climbs */
  readonly fall: number;
  readonly runs: "down" | "level" | "up";
  /** what comes of it where it does not descend; null where it does, or where level does no harm */
  readonly words: string | null;
}

/**
 * What is to descend on the water's way: each pipe and the trench along themselves; the box's outlet down to where the trench
 * takes over and to where the emitter opens, or water stands back into the box; and every place where water could come
 * up sooner, rims, grounds, grate and the levels to watch, down to where the emitter opens. What does not is lawful, and said.
 */
export function descents(site: Site): Descent[] {
  return [...site.settlingBoxes.flatMap((box) => boxDescents(box, site)), ...trenchDescents(site), ...waysUp(site)];
}

type Words = Partial<Record<"level" | "up", string>>;

function descent(from: string, high: number, to: string, low: number, words: Words): Descent {
  const runs = isBelow(low, high) ? "down" : isBelow(high, low) ? "up" : "level";
  return { from, to, fall: high - low, runs, words: runs === "down" ? null : words[runs] ?? null };
}

function boxDescents(box: SettlingBox, site: Site): Descent[] {
  const { overflowTrench: trench, emitter, units } = site;
  const name = site.settlingBoxes.length === 1 ? "the settling box" : `box “${box.name}”`;
  const { outlet } = box;
  const { crest } = outlet;
  return [
    descent(`outlet of ${name}`, outlet.invert, "its end in the pit", outlet.outletInvert, {
      up: `The pipe from ${name} runs uphill: it stands full of water.`,
      level: `The pipe from ${name} has no fall: what settles in it stays there.`,
    }),
    ...(trench === null ? [] : [descent(`outlet of ${name}`, crest, "where the trench takes over", trench.inlet.crest, {
      up: `The trench takes over at ${levelText(trench.inlet.crest, units)}, above the outlet of ${name} at ${levelText(crest, units)}: water stands back into the box before it does.`,
    })]),
    ...(emitter === null ? [] : [
      descent(`outlet of ${name}`, crest, "where the emitter opens", emitter.opensAt, {
        up: `The emitter opens at ${levelText(emitter.opensAt, units)}, above the outlet of ${name} at ${levelText(crest, units)}: water stands back into the box before it does.`,
      }),
      descent(`rim of ${name}`, box.rim, "where the emitter opens", emitter.opensAt, { up: sooner(`the rim of ${name}`, box.rim, emitter.opensAt, site) }),
    ]),
  ];
}

function trenchDescents({ overflowTrench: trench, chamberBank: pit, units }: Site): Descent[] {
  if (trench === null) return [];
  const { inlet, floor, lowFloor } = trench;
  const { stoneTop } = pit;
  const { crest } = inlet;
  return [
    descent("stone top of the pit", stoneTop, "where the trench takes over", crest, {
      up: `The trench takes over at ${levelText(crest, units)}, above the stone top of the pit at ${levelText(stoneTop, units)}: the soil over the stone is soaked before it does.`,
    }),
    descent("pipe to the trench", inlet.invert, "its end in the trench", inlet.outletInvert, {
      up: "The pipe into the overflow trench runs uphill.",
      level: "The pipe into the overflow trench has no fall.",
    }),
    descent("trench floor, high end", floor, "its low end", lowFloor, {
      level: "The floor of the overflow trench has no fall: no water runs along it to the emitter by itself.",
    }),
  ];
}

/** Where water comes up, or stands over what is watched, if that lies lower than the emitter opens. */
function waysUp(site: Site): Descent[] {
  const { overflowTrench: trench, chamberBank: pit, lowSpot, watchLevels, emitter } = site;
  if (emitter === null) return [];
  const opens = emitter.opensAt;
  const way = (from: string, level: number): Descent =>
    descent(from, level, "where the emitter opens", opens, { up: sooner(`the ${from}`, level, opens, site) });
  return [
    way("ground over the pit", pit.ground),
    ...(trench === null ? [] : [way("ground over the trench", trench.lowestGround)]),
    ...(lowSpot === null || lowSpot.grate === null ? [] : [way("grate", lowSpot.grate.level)]),
    ...watchLevels.map(({ name, level }) => descent(`“${name}”`, level, "where the emitter opens", opens, {
      up: `“${name}” at ${levelText(level, site.units)} lies lower than the emitter opens, ${levelText(opens, site.units)}: where water can get there, it stands over it first.`,
    })),
  ];
}

function sooner(place: string, level: number, opens: number, { units }: Site): string {
  return `Water comes up at ${place}, ${levelText(level, units)}, before the emitter opens at ${levelText(opens, units)}.`;
}
