/**
 * Width of a text as a picture will draw it, estimated: advance widths of Helvetica and of the fonts cut to its
 * measure (Arial, Liberation Sans), read from Liberation Sans in a browser. Letters it does not know count as wide.
 *
 * @param text  one line
 * @param size  of the letters [px]
 * @param bold  drawn bold
 * @returns     [px]
 */
export function textWidth(text: string, size: number, bold: boolean = false): number {
  let thousandths = 0;
  for (const letter of text) {
    const code = letter === NO_BREAK ? FIRST : letter.codePointAt(0)!;
    const known = code >= FIRST && code < FIRST + REGULAR.length;
    thousandths += known ? (bold ? BOLD : REGULAR)[code - FIRST]! : code < 0x2000 ? UNKNOWN : WIDE;
  }
  return (thousandths * size) / 1000;
}

/**
 * A text cut into lines at its spaces, none wider than `width` unless it is a single word that is.
 *
 * @param text   one paragraph
 * @param width  [px]
 * @param size   of the letters [px]
 * @param bold   drawn bold
 */
export function wrapText(text: string, width: number, size: number, bold: boolean = false): string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    const longer = line === "" ? word : `${line} ${word}`;
    if (line !== "" && textWidth(longer, size, bold) > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  lines.push(line);
  return lines;
}

/** A space that lines are not cut at. */
const NO_BREAK = "\u00a0";

// Space to tilde, in thousandths of the letter size.
const FIRST = 32;
const REGULAR = widths(`278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 556
  278 278 584 584 584 556 1015 667 667 722 722 667 611 778 722 278 500 667 556 833 722 778 667 778 722 667 611 722 667 944 667
  667 611 278 278 278 469 556 333 556 556 500 556 556 278 556 556 222 222 500 222 833 556 556 556 556 333 500 278 556 500 722
  500 500 500 334 260 334 584`);
const BOLD = widths(`278 333 474 556 556 889 722 238 333 333 389 584 278 333 278 278 556 556 556 556 556 556 556 556 556 556
  333 333 584 584 584 611 975 722 722 722 722 667 611 778 722 278 556 722 611 833 722 778 667 778 722 667 611 722 667 944 667
  667 611 333 278 333 584 556 333 556 611 556 611 556 333 611 611 278 278 556 278 889 611 611 611 611 389 556 333 611 556 778
  556 556 500 389 280 389 584`);
// Accented letters are as wide as the plain ones at most; beyond them (dashes, ellipsis, other scripts) an em.
const UNKNOWN = 667;
const WIDE = 1000;

function widths(table: string): readonly number[] {
  return Object.freeze(table.split(/\s+/).map(Number));
}
