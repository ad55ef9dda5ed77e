/** What may part the cells of a line. */
export type Separator = "," | ";" | "\t";

/**
 * The cells of one line of CSV, trimmed. A cell may stand in double quotes, and a doubled quote inside is one.
 *
 * @example csvCells('2012-01-01, "10,9"', ","); // => ["2012-01-01", "10,9"]
 */
export function csvCells(line: string, separator: Separator): string[] {
  if (!line.includes('"')) return line.split(separator).map(trimmed);
  const cells: string[] = [];
  let cell = "";
  let quoted = false;
  for (let i = 0; i < line.length; i++) {
    const letter = line[i]!;
    if (letter === '"' && quoted && line[i + 1] === '"') cell += line[++i]!;
    else if (letter === '"') quoted = !quoted;
    else if (letter === separator && !quoted) {
      cells.push(cell.trim());
      cell = "";
    } else cell += letter;
  }
  cells.push(cell.trim());
  return cells;
}

/** `trim`, but most cells need none, and a record has a million. */
function trimmed(cell: string): string {
  return isInk(cell.charCodeAt(0)) && isInk(cell.charCodeAt(cell.length - 1)) ? cell : cell.trim();
}

function isInk(code: number): boolean {
  return code > 32 && code < 127;
}

/** The separator of a file, by its header: the one of tab, semicolon and comma that it has most of. */
export function separatorOf(header: string): Separator {
  const count = (separator: Separator): number => header.split(separator).length;
  return (["\t", ";", ","] as const).reduce((best, separator) => (count(separator) > count(best) ? separator : best));
}
