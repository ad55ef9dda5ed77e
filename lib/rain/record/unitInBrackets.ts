import { leastOf } from "../../numerics/extremes.ts";
/** A heading and the unit in brackets at its end. */
export interface BracketedHeading {
  readonly word: string;
  readonly unit: string;
}

/**
 * `Rain [mm]` and `rain (mm)` as the heading `Rain` or `rain` and the unit `mm`; null where nothing stands in brackets at the end. Goes
 * over the text once: a regular expression would try every blank of it against every other.
 *
 * @example unitInBrackets("Total_Rain ( in )"); // => { word: "Total_Rain", unit: "in" }
 */
export function unitInBrackets(cell: string): BracketedHeading | null {
  const last = cell.at(-1);
  if (last !== "]" && last !== ")") return null;
  const inside = cell.slice(0, -1);
  // a closing bracket further in cannot be part of the unit
  const from = Math.max(inside.lastIndexOf("]"), inside.lastIndexOf(")")) + 1;
  const openers = [inside.indexOf("[", from), inside.indexOf("(", from)].filter((at) => at >= 0);
  if (openers.length === 0) return null;
  const at = leastOf(openers);
  return { word: inside.slice(0, at).trimEnd(), unit: inside.slice(at + 1).trim() };
}
