import type { Annotation } from "./figure.ts";
import { font } from "./look.ts";

/** Pixels a metre along and up the section, and its lower left corner [m]. */
export interface Scale {
  readonly across: number;
  readonly up: number;
  readonly low: number;
  readonly from: number;
}

/** Behind a text, so that a line may run behind it and not through it. */
export const HALO: string = "rgba(255,255,255,0.75)";

/** A text at a place of the section [m]. */
export function sectionText(words: string, along: number, level: number, size: number, color: string): Annotation {
  return {
    text: words, x: along, y: level, xref: "x", yref: "y", xanchor: "left", yanchor: "middle", showarrow: false, align: "left",
    font: font(size, color),
  };
}
