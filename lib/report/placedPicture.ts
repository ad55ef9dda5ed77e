import { leastOf } from "../numerics/extremes.ts";
import type { Figure } from "../figures/figure.ts";
import { html, type Markup } from "./markup.ts";
import type { Picture } from "./packedFigures.ts";

// What phones, a sheet of paper, tablets and a page of full width leave for a picture [px].
const WIDTHS = [288, 328, 358, 420, 560, 670, 820, 1080];

/** A picture at every width that a page may leave for it, without its title, which the page says itself. */
export function pictureOf(id: string, figure: (options: { readonly width: number; readonly title: false }) => Figure): Picture<Figure> {
  return { id, widths: WIDTHS.map((width) => ({ width, figure: figure({ width, title: false }) })) };
}

/** Its answer and its words, which are the same at every width. */
export function firstOf({ widths }: Picture<Figure>): Figure {
  return widths[0]!.figure;
}

/**
 * The place of a picture on its page.
 *
 * @param onScreen  what can be done with it there, which is not printed
 */
export function placeOf(shown: Picture<Figure>, caption: string, onScreen: string | null = null): Markup {
  const { description } = firstOf(shown);
  const least = leastOf(shown.widths.map(({ figure }) => figure.layout.height));
  return html`<figure>
<div class="soakstep-plot" id="${shown.id}" role="img" aria-label="${description}" style="min-height:${least}px"></div>
<figcaption>${caption}${onScreen === null ? null : html` <span class="screen">${onScreen}</span>`}</figcaption>
</figure>`;
}
