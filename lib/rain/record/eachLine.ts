/** Longer than any line of a rain record [characters]; a file without line ends must not fill the memory. */
export const LONGEST_LINE = 10_000;

/**
 * Hands on the lines of a text that comes in pieces, without their line ends; a byte order mark is dropped.
 *
 * @param source  pieces of any size, a line may run over several
 * @param take    is called with every line and its number from 1; a line past `LONGEST_LINE` comes cut one past it
 */
export async function eachLine(
  source: AsyncIterable<string> | Iterable<string>,
  take: (line: string, number: number) => void,
): Promise<void> {
  let rest = "";
  let number = 0;
  const hand = (line: string): void => {
    number++;
    const text = (line.endsWith("\r") ? line.slice(0, -1) : line).slice(0, LONGEST_LINE + 1);
    take(number === 1 && text.startsWith("\ufeff") ? text.slice(1) : text, number);
  };
  for await (const piece of source) {
    let from = 0;
    for (let end = piece.indexOf("\n"); end >= 0; end = piece.indexOf("\n", from)) {
      hand(rest === "" ? piece.slice(from, end) : rest + piece.slice(from, end));
      rest = "";
      from = end + 1;
    }
    if (rest.length <= LONGEST_LINE) rest += piece.slice(from, from + LONGEST_LINE + 1);
  }
  if (rest !== "") hand(rest);
}
