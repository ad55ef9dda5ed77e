import type { FillPattern, Line, LineTrace } from "./figure.ts";
import { ink } from "./look.ts";
import type { Stretch } from "./sectionPlan.ts";

/** A point of the section: distance along it and level [m]. */
export type Point = readonly [along: number, level: number];

/** An area of the section with its outline, or a line where it has no fill. */
export interface DrawnArea {
  readonly points: readonly Point[];
  readonly fill?: string;
  readonly pattern?: FillPattern;
  readonly line?: LineTrace["line"];
}

/** water in stone */
export const WATER: string = "rgba(46,120,170,0.42)";
/** water in soil */
export const SOAKED: string = "rgba(46,120,170,0.15)";
/** ground below the water table */
export const SATURATED: string = "rgba(64,100,134,0.27)";
/** water alone */
export const DEEP_WATER: string = "rgba(20,92,145,0.62)";
export const OUTLINE: Line = { color: ink.text, width: 1.2, dash: "solid" };
export const THIN: Line = { color: ink.text, width: 0.8, dash: "solid" };

/** An upright rectangle between two levels. */
export function rectangle({ from, to }: Stretch, low: number, high: number): Point[] {
  return [[from, low], [from, high], [to, high], [to, low], [from, low]];
}
