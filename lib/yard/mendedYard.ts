import { type Missed, OVER_WATER, type Remedy } from "./feasibleLevels.ts";
import type { Yard } from "./yard.ts";
import { groundOf } from "./yardFile.ts";

/** The rule that the room for the pit is judged by. */
export const ROOM = "room for the pit";

/**
 * The yard with room found for its pit, or after the first of the remedies that moves something on the lot, a hand further than it has to
 * be so that rounding takes nothing from it; null where there is none.
 */
export function mendedYard(yard: Yard, { rules, remedies, by: missedBy }: Missed): Yard | null {
  if (rules.includes(ROOM)) return { ...yard, survey: { ...yard.survey, room: null } };
  const remedy = remedies.find(({ what }) => what !== "cover");
  // far enough down for any pit of these parts
  if (remedy === undefined) return rules.includes(OVER_WATER) ? { ...yard, groundwaterDepth: yard.groundwaterDepth! + missedBy } : null;
  const by = remedy.by + SPARE;
  const levels = new Map(yard.levels);
  const raised = (point: string, height: number): Yard => ({ ...yard, levels: levels.set(point, levels.get(point)! + height) });
  const moves: Readonly<Record<Exclude<Remedy["what"], "cover">, () => Yard>> = {
    box: () => raised("box", by),
    ground: () => raised("pit", by),
    pit: () => ({ ...yard, boxToPit: yard.boxToPit - by }),
    lid: () => ({ ...raised("lid", -by * groundOf(yard).slopeAtLid!), pitToLid: yard.pitToLid! + by }),
  };
  return moves[remedy.what as keyof typeof moves]();
}

const SPARE = 0.02;
