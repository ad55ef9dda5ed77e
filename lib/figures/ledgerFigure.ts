import { displayUnits, volumeText } from "../text/format.ts";
import type { Run } from "../simulate/run.ts";
import type { Annotation, Figure, Shape, Trace } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig } from "./look.ts";
import { plotText } from "../text/plainText.ts";
import { runSubtitle } from "./runSubtitle.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { textWidth } from "./textWidth.ts";
import { closingWords, ledgerSentence, waterBook, type BookEntry } from "./waterBook.ts";
import { percentText } from "../text/words.ts";

/**
 * Where the water went: what came in as bars end to end along the top, what became of it as bars end to end beneath,
 * each on a row of its own under its name, volume and share. Both come to the same line at the right; how closely, the
 * description says.
 */
export function ledgerFigure(run: Run, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const { body, small } = letterSizes(width);
  const book = waterBook(run);
  const { label, size } = displayUnits(run.site.units).volume;
  const rows = [...endToEnd(book.cameIn), ...endToEnd(book.wentTo)];
  const rowHeight = body * 1.3 + BAR + GAP;
  const height = rows.length * rowHeight + GROUP;
  const answer = ledgerSentence(run, book);
  const title = options.title === false ? null
    : answerTitle(plotText(answer, Infinity), plotText(runSubtitle(run, options.storm), Infinity), width);
  const top = title?.height ?? 4;
  // Down from the top [px], so that one number a row places its bar and its name.
  const barTop = (i: number): number => i * rowHeight + (i < book.cameIn.length ? 0 : GROUP) + body * 1.3 + 4;
  const plotWidth = width - LEFT - RIGHT;
  const annotations: Annotation[] = rows.map(({ entry, from }, i) => {
    const amount = `  ${volumeText(entry.volume, run.site.units)} · ${percentText(entry.share, entry.percent)}`;
    // Over the start of its bar, or as far to the left as it needs to end within the picture.
    const room = plotWidth - textWidth(entry.words, body, true) - textWidth(amount, body) - 4;
    const left = Math.max(0, Math.min((from / book.total) * plotWidth, room));
    return {
      text: `<b>${plotText(entry.words)}</b>${amount}`, x: shortNumber((left / plotWidth) * (book.total / size)), y: barTop(i) - 1, xref: "x", yref: "y",
      xanchor: "left", yanchor: "bottom", xshift: -2, showarrow: false, align: "left", font: font(body, lines[entry.tone].color),
    };
  });
  const bar = ({ entry, from }: LedgerRow, i: number): Trace => {
    const { color } = lines[entry.tone];
    return {
      type: "bar", orientation: "h", name: plotText(entry.words), x: [shortNumber(entry.volume / size)], y: [barTop(i) + BAR / 2],
      base: [shortNumber(from / size)], width: [BAR], marker: { color, line: { color, width: 1 } }, hoverinfo: "skip",
      xaxis: "x", yaxis: "y", showlegend: false,
    };
  };
  return {
    data: rows.map(bar),
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(top + height + BOTTOM),
      margin: { l: LEFT, r: RIGHT, t: top, b: BOTTOM },
      hovermode: false,
      dragmode: false,
      barmode: "overlay",
      xaxis: {
        ...quietAxis(width), range: [0, shortNumber(Math.max(book.total, 1e-6) / size)], anchor: "y", nticks: width < 560 ? 4 : 8, fixedrange: true,
        ticks: "outside", ticklen: 4, tickcolor: ink.rule, showline: true, linecolor: ink.rule,
        title: { text: label, font: font(small, ink.text), standoff: 8 },
      },
      yaxis: { range: [height, 0], showticklabels: false, showgrid: false, zeroline: false, fixedrange: true },
      annotations,
      shapes: [groupLine(barTop(book.cameIn.length) - body * 1.3 - 4 - GROUP / 2 - GAP / 2), endLine(book.total / size, height)],
    },
    config: quietConfig(),
    answer,
    description: `Where the water went. ${answer} ${closingWords(book.error)}.`,
  };
}

interface LedgerRow {
  readonly entry: BookEntry;
  /** where its bar begins [m3] */
  readonly from: number;
}

// A bar, the air under it, and the air between what came in and what became of it [px].
const BAR = 13;
const GAP = 9;
const GROUP = 14;
const BOTTOM = 46;
const LEFT = 6;
const RIGHT = 16;

function endToEnd(entries: readonly BookEntry[]): LedgerRow[] {
  let from = 0;
  return entries.map((entry) => {
    const row = { entry, from };
    from += entry.volume;
    return row;
  });
}

function groupLine(y: number): Shape {
  return { type: "line", xref: "paper", yref: "y", x0: 0, x1: 1, y0: y, y1: y, line: { color: ink.rule, width: 1, dash: "solid" }, layer: "below" };
}

function endLine(x: number, height: number): Shape {
  return { type: "line", xref: "x", yref: "y", x0: x, x1: x, y0: 0, y1: height, line: { color: ink.text, width: 1, dash: "dot" }, layer: "below" };
}
