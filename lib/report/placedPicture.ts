import { figureDrawing } from "../figures/svg/figureSvg.ts";
import { plotFrame } from "../figures/svg/plotFrame.ts";
import { svgMarkup } from "../figures/svg/svgTag.ts";
import type { Figure } from "../figures/figure.ts";
import { html, trusted, type Markup } from "./markup.ts";

/** A picture of a page: its place, and how it looks at each width [px], the narrowest first. */
export interface Picture {
  readonly id: string;
  readonly widths: readonly { readonly width: number; readonly figure: Figure }[];
}

/** A phone; a tablet and a sheet of paper; a page of full width [px]. A drawing in between is scaled. */
const WIDTHS = [330, 700, 1080];

type FigureAt = (options: { readonly width: number; readonly title: false }) => Figure;

/** A picture at every width that a page may leave for it, without its title, which the page says itself. */
export function pictureOf(id: string, figure: FigureAt): Picture {
  return pictureAt(WIDTHS, id, figure);
}

/** A picture that is never wider than a tablet: one that stands folded. */
export function smallPictureOf(id: string, figure: FigureAt): Picture {
  return pictureAt(WIDTHS.slice(0, 2), id, figure);
}

function pictureAt(widths: readonly number[], id: string, figure: FigureAt): Picture {
  return { id, widths: widths.map((width) => ({ width, figure: figure({ width, title: false }) })) };
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

/** Its drawings, the narrowest first; what a drawing that stands alone says of its language and letters, the page says for all. */
export function drawingsOf({ id, widths }: Picture): Markup[] {
  const isSmall = widths.length === 2;
  return widths.map(({ width, figure }, i) => {
    const drawing = figureDrawing(figure, { width, id: `${id}-${i}`, frame: plotFrame(figure.layout, width) });
    const { xmlns: _, "font-family": __, ...attributes } = drawing.attributes;
    return html`<div class="drawn at-${i}${i === 1 && isSmall ? " small" : ""}">${trusted(svgMarkup({ ...drawing, attributes }))}</div>`;
  });
}
