import { prismStorage } from "./prismStorage.ts";
import type { StorageCurve } from "./storageTable.ts";

/** share of the plan area that is free above ground where a cover holds the water down: a slot in which pressure shows */
export const SLOT_SHARE = 0.01;

export interface BankShape {
  readonly floor: number;
  readonly length: number;
  readonly width: number;
  readonly ground: number;
  readonly stone: { readonly depth: number; readonly porosity: number; readonly base: number };
  readonly chambers: readonly {
    readonly count: number; readonly insideDiameter: number; readonly outsideDiameter: number; readonly height: number;
  }[];
  readonly coverPorosity: number;
  readonly cover: object | null;
}

/**
 * Storage of a pit with upright perforated chambers in stone, all at one level. Free area at a level within the stone:
 *
 *   n A_pit + sum of count pi/4 (Di^2 - n Do^2)        over the chambers that reach the level
 *
 * with n the stone's porosity; above the stone top the porosity of the cover, and above ground, where a cover is given,
 * a thin slot. Chamber walls take up room: the inside holds water, the outside displaces stone.
 */
export function bankStorage(bank: BankShape): StorageCurve {
  const { floor, stone, chambers } = bank;
  const pit = bank.length * bank.width;
  const stoneTop = floor + stone.depth;
  const foot = floor + stone.base;
  const levels = new Set([floor, stoneTop, ...chambers.flatMap((chamber) => [foot, foot + chamber.height])]);
  const steps = [...levels].filter((level) => level < stoneTop).sort((a, b) => a - b).map((level) => ({
    level,
    area: stone.porosity * pit + chambers
      .filter((chamber) => foot <= level && level < foot + chamber.height)
      .reduce((sum, { count, insideDiameter, outsideDiameter }) =>
        sum + count * (Math.PI / 4) * ((insideDiameter * insideDiameter) - stone.porosity * (outsideDiameter * outsideDiameter)), 0),
  }));
  steps.push({ level: stoneTop, area: bank.coverPorosity * pit });
  if (bank.cover !== null) steps.push({ level: bank.ground, area: SLOT_SHARE * pit });
  return prismStorage(steps);
}
