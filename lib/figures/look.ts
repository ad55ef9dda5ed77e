import type { Axis, Config, Font, Layout, Line, Title } from "./figure.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { wrapText } from "./textWidth.ts";

/** What a colour stands for in every picture; the dash and the weight say the same in black and white. */
export type Tone = "box" | "pit" | "trench" | "pipe" | "lowSpot" | "emitter" | "rain" | "still";

/**
 * One look for all pictures: ochre dots for boxes, heavy deep blue for the pit, teal dashes for the trench, plum for
 * the emitter, greys for what does not move. Every colour that text is set in stands 4.5 : 1 or better on white, and
 * the lightnesses differ, so that a black-and-white print still tells them apart.
 */
export const lines: Readonly<Record<Tone, Line>> = Object.freeze({
  box: Object.freeze({ color: "#8f5d00", width: 2.2, dash: "dot" }),
  pit: Object.freeze({ color: "#0b4a78", width: 3.4, dash: "solid" }),
  trench: Object.freeze({ color: "#14786f", width: 2.2, dash: "dash" }),
  pipe: Object.freeze({ color: "#14786f", width: 1.6, dash: "solid" }),
  lowSpot: Object.freeze({ color: "#5a5f2e", width: 2, dash: "dashdot" }),
  emitter: Object.freeze({ color: "#862a68", width: 2, dash: "solid" }),
  rain: Object.freeze({ color: "#54697e", width: 1.2, dash: "solid" }),
  still: Object.freeze({ color: "#5d6872", width: 1, dash: "dot" }),
});

/** Ink, softer ink and the hairlines of every picture and page. */
export const ink: Readonly<Record<"text" | "soft" | "rule" | "grid" | "paper", string>> = Object.freeze({
  text: "#22303a", soft: "#5d6872", rule: "#aeb8bf", grid: "#e6eaec", paper: "#ffffff",
});

/** Fonts that are on every machine; widths are estimated for these. */
export const FONT = '"Helvetica Neue", Helvetica, Arial, "Liberation Sans", sans-serif';

/** Letter sizes [px] for a picture shown this wide [px]. */
export function letterSizes(width: number): { readonly title: number; readonly body: number; readonly small: number } {
  return width < 560 ? { title: 16, body: 12.5, small: 11 } : { title: 20, body: 13.5, small: 12 };
}

/** Letters of a size and colour; their family is the picture's. */
export function font(size: number, color: string = ink.text): Font {
  return { size, color };
}

/** The parts of a layout that are the same in all pictures. */
export function baseLayout(width: number): Pick<Layout, "font" | "paper_bgcolor" | "plot_bgcolor" | "showlegend" | "hoverlabel"> {
  const { small } = letterSizes(width);
  return {
    font: { family: FONT, ...font(small) },
    paper_bgcolor: "rgba(0,0,0,0)",
    plot_bgcolor: "rgba(0,0,0,0)",
    showlegend: false,
    hoverlabel: { bgcolor: ink.paper, bordercolor: ink.rule, font: font(small) },
  };
}

/** A quiet axis: hairline grid, small soft figures. */
export function quietAxis(width: number): Axis {
  return {
    tickfont: font(letterSizes(width).small, ink.soft),
    gridcolor: ink.grid,
    zeroline: false,
    ticks: "",
    // numbers in full
    tickformat: "~f",
    ticklabelstandoff: 4,
  };
}

/** How every picture behaves: no tool bar, a double click brings the whole back, `$` and the like stay text. */
export function quietConfig(): Config {
  return { responsive: true, displayModeBar: false, doubleClick: "reset", scrollZoom: false, typesetMath: false };
}

/**
 * The title of a picture and the room it takes: the answer in bold, what it is the answer to beneath.
 *
 * @param answer    a sentence, plotly text
 * @param subtitle  one line, plotly text
 * @param width     the picture is drawn for [px]
 * @returns         the title and the height it takes from the top [px]
 */
export function answerTitle(answer: string, subtitle: string, width: number): { readonly title: Title; readonly height: number } {
  const { title: size, body } = letterSizes(width);
  const answerLines = balanced(keptTogether(answer), width - 2 * TITLE_INSET, size);
  const subtitleLines = wrapText(keptTogether(subtitle), width - 2 * TITLE_INSET, body);
  const text = `<b>${answerLines.join("<br>")}</b><br><span style="font-size:${body}px;color:${ink.soft}">${subtitleLines.join("<br>")}</span>`;
  return {
    title: {
      text, x: 0, xref: "container", xanchor: "left", y: 1, yref: "container", yanchor: "top",
      // Plotly hangs a title of several lines by the middle of the first.
      pad: { l: TITLE_INSET, t: 10 + size * 0.6 }, font: font(size),
    },
    height: Math.ceil(10 + answerLines.length * size * LINE_HEIGHT + subtitleLines.length * body * LINE_HEIGHT + 10),
  };
}

const TITLE_INSET = 6;
// Plotly sets lines of a text this many letter sizes apart.
const LINE_HEIGHT = 1.3;

/** As few lines as the width allows, and these of nearly one length, so that no word is left alone. */
function balanced(text: string, width: number, size: number): string[] {
  const fewest = wrapText(text, width, size, true);
  let best = fewest;
  for (let share = 0.95; share > 0.5; share -= 0.05) {
    const narrower = wrapText(text, width * share, size, true);
    if (narrower.length > fewest.length) break;
    best = narrower;
  }
  return best;
}
