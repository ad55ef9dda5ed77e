import type { Annotation } from "./figure.ts";
import { font, ink, letterSizes } from "./look.ts";

/** A panel of a picture: what stands over it (plotly text), and how high it is drawn [px]. */
export interface Panel {
  readonly heading: string;
  readonly height: number;
}

/** Panels one above the other: where each lies, and their headings. */
export interface StackedPanels {
  /** bottom and top of each panel, 0 to 1 over the plotting area */
  readonly domains: readonly [number, number][];
  /** of the plotting area, headings included [px] */
  readonly height: number;
  readonly headings: Annotation[];
}

/**
 * Panels stacked from the top down, each under a heading of its own, so that a heading never meets a line.
 *
 * @param panels  from the top down
 * @param width   the picture is drawn for [px]
 */
export function stackPanels(panels: readonly Panel[], width: number): StackedPanels {
  const { small } = letterSizes(width);
  const headingHeight = Math.ceil(small * 1.3) + HEADING_GAP;
  const height = panels.reduce((sum, panel) => sum + panel.height + headingHeight, 0) + (panels.length - 1) * BETWEEN;
  const domains: [number, number][] = [];
  const headings: Annotation[] = [];
  let top = height;
  for (const panel of panels) {
    const ceiling = top - headingHeight;
    domains.push([(ceiling - panel.height) / height, ceiling / height]);
    headings.push({
      text: panel.heading, x: 0, y: ceiling / height, xref: "paper", yref: "paper", xanchor: "left", yanchor: "bottom", xshift: -2,
      yshift: HEADING_GAP - 4, showarrow: false, align: "left", font: font(small, ink.text),
    });
    top = ceiling - panel.height - BETWEEN;
  }
  return { domains, height, headings };
}

// Air between a heading and its panel, and between a panel and the next heading [px].
const HEADING_GAP = 5;
const BETWEEN = 10;
