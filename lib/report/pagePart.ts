import type { Figure } from "../figures/figure.ts";
import type { Markup } from "./markup.ts";
import type { Picture } from "./packedFigures.ts";

/** A part of a page: what it says in a sentence, its markup, and the pictures that have to be drawn in it. */
export interface PagePart {
  readonly answer: string;
  readonly section: Markup;
  readonly pictures: readonly Picture<Figure>[];
}
