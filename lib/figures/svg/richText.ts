/** A run of letters in one style. */
export interface TextRun {
  readonly text: string;
  readonly bold: boolean;
  /** null: as the whole has it */
  readonly color: string | null;
  readonly size: number | null;
}

/**
 * What a figure's text says, line by line: figures are written in plotly's marks, of which ours use `<b>`, `<br>` and
 * `<span style="font-size:...;color:...">`, with `&lt;`, `&gt;` and `&amp;` for the signs themselves. Whatever else stands between
 * brackets is text.
 */
export function richText(text: string): TextRun[][] {
  const lines: TextRun[][] = [[]];
  let bold = false;
  const styles: { readonly color: string | null; readonly size: number | null }[] = [];
  for (const piece of text.split(/(<\/?b>|<br>|<span style="[^"]*">|<\/span>)/)) {
    if (piece === "") continue;
    const span = /^<span style="([^"]*)">$/.exec(piece);
    const { color = null, size = null } = styles.at(-1) ?? {};
    if (span !== null) {
      const own = span[1]!;
      const ownSize = /font-size:\s*([\d.]+)px/.exec(own);
      styles.push({ color: /(?:^|;)\s*color:\s*([^;]+)/.exec(own)?.[1] ?? color, size: ownSize === null ? size : Number(ownSize[1]) });
    } else if (piece === "</span>") styles.pop();
    else if (piece === "<b>") bold = true;
    else if (piece === "</b>") bold = false;
    else if (piece === "<br>") lines.push([]);
    else lines.at(-1)!.push({ text: plain(piece), bold, color, size });
  }
  return lines;
}

function plain(text: string): string {
  return text.replace(/&lt;/g, "<").replace(/&gt;/g, ">").replace(/&amp;/g, "&")
    // as wide as they were written
    .replace(/ {2,}/g, (spaces) => "\u00a0".repeat(spaces.length));
}
