import type { Markup } from "./markup.ts";
import type { Picture } from "./placedPicture.ts";

/** A part of a page: what it says in a sentence, its markup with its pictures drawn in it, and these by themselves. */
export interface PagePart {
  readonly answer: string;
  readonly section: Markup;
  readonly pictures: readonly Picture[];
}
