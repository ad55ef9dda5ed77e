import { figureSvg } from "../figures/svg/figureSvg.ts";
import type { Figure } from "../figures/figure.ts";
import { html, trusted, type Markup } from "./markup.ts";

/** A picture of a page: its place, and how it looks at each width [px], the narrowest first. */
export interface Picture {
  readonly id: string;
  readonly widths: readonly { readonly width: number; readonly figure: Figure }[];
}

/** A phone; a tablet and a sheet of paper; a page of full width [px]. A drawing in between is scaled. */
const WIDTHS = [330, 700, 1080];

/** A picture at every width that a page may leave for it, without its title, which the page says itself. */
export function pictureOf(id: string, figure: (options: { readonly width: number; readonly title: false }) => Figure): Picture {
  return { id, widths: WIDTHS.map((width) => ({ width, figure: figure({ width, title: false }) })) };
}

/** Its answer and its words, which are the same at every width. */
export function firstOf({ widths }: Picture): Figure {
  return widths[0]!.figure;
}

/** A picture on its page, drawn: the style sheet shows the drawing that fits, on a screen of any width and on paper. */
export function placeOf(shown: Picture, caption: string): Markup {
  return html`<figure>
<div class="picture" id="${shown.id}" role="img" aria-label="${firstOf(shown).description}">${drawingsOf(shown)}</div>
<figcaption>${caption}</figcaption>
</figure>`;
}

/** Its drawings, the narrowest first. */
export function drawingsOf({ id, widths }: Picture): Markup[] {
  return widths.map(({ width, figure }, i) => html`<div class="drawn at-${i}">${trusted(figureSvg(figure, { width, id: `${id}-${i}` }))}</div>`);
}
