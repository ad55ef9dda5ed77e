import { depthText, displayUnits, lengthText, threeFigures } from "../text/format.ts";
import type { ChamberBank, Site } from "./site.ts";

/**
 * Chambers of one size that a pit has no room for side by side in rows: m along the length and n along the width, each with its
 * gap to the next and none to the pit's wall. Other patterns may hold more, so that it is worth a note and no more.
 */
export function chamberNotes({ chamberBank, units }: Pick<Site, "chamberBank" | "units">): string[] {
  const { length, width, chambers } = chamberBank;
  return chambers.flatMap((chamber) => {
    const { count, outsideDiameter, gap } = chamber;
    const most = inRow(length, chamber) * inRow(width, chamber);
    if (count <= most) return [];
    const { size, label } = displayUnits(units).depth;
    const apart = gap === null || gap === 0 ? "" : `, ${depthText(gap, units)} apart,`;
    return [`${count} chambers of ${threeFigures(outsideDiameter / size)} ${label}${apart} do not stand side by side in `
      + `${lengthText(length, units)} x ${lengthText(width, units)}: a grid holds at most ${most}.`];
  });
}

/** Chambers that exactly fill a row do so but for round-off. */
function inRow(room: number, { outsideDiameter, gap }: ChamberBank["chambers"][number]): number {
  const apart = gap ?? 0;
  return Math.floor((room + apart) / (outsideDiameter + apart) + 1e-9);
}
