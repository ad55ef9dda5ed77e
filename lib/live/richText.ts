/** A run of letters in one style. */
export interface TextRun {
  readonly text: string;
  readonly bold: boolean;
  /** null: the colour of the whole */
  readonly color: string | null;
}

/**
 * What a figure's text says, line by line: figures are written in plotly's marks, of which ours use `<b>`, `<br>` and
 * `<span style="color:...">`, with `&lt;`, `&gt;` and `&amp;` for the signs themselves. Whatever else stands between
 * brackets is text.
 */
export function richText(text: string): TextRun[][] {
  const lines: TextRun[][] = [[]];
  let bold = false;
  const colors: string[] = [];
  for (const piece of text.split(/(<\/?b>|<br>|<span style="color:[^"]*">|<\/span>)/)) {
    if (piece === "") continue;
    const span = /^<span style="color:([^"]*)">$/.exec(piece);
    if (span !== null) colors.push(span[1]!);
    else if (piece === "</span>") colors.pop();
    else if (piece === "<b>") bold = true;
    else if (piece === "</b>") bold = false;
    else if (piece === "<br>") lines.push([]);
    else lines.at(-1)!.push({ text: plain(piece), bold, color: colors.at(-1) ?? null });
  }
  return lines;
}

function plain(text: string): string {
  return text.replace(/&lt;/g, "<").replace(/&gt;/g, ">").replace(/&amp;/g, "&");
}
