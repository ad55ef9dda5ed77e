/** What became of one line. */
export interface LineNote {
  /** from 1 */
  readonly line: number;
  readonly why: string;
  /** what stood there, where that helps */
  readonly got: string;
}

/** Notes on lines as they are read. */
export interface LineReport {
  read(): void;
  repair(line: number, why: string): void;
  refuse(line: number, why: string, got: string): void;
  /** all of it, once the last line is read */
  summary(): LineSummary;
}

export interface LineSummary {
  readonly linesRead: number;
  /** in the order of the file */
  readonly repaired: readonly LineNote[];
  readonly refused: readonly LineNote[];
  readonly counts: Readonly<Record<string, number>>;
  /** one for each kind of deed, in the order of the file */
  readonly sentences: readonly string[];
}

/** Lines listed of each sort; beyond that they are only counted, so that a spoilt file cannot fill the memory. */
const LISTED = 10_000;

interface Kind {
  readonly verb: "repaired" | "refused";
  count: number;
  first: number;
}

export function lineReport(): LineReport {
  let linesRead = 0;
  const lists = { repaired: [] as LineNote[], refused: [] as LineNote[] };
  const kinds = new Map<string, Kind>();
  const note = (verb: Kind["verb"], entry: LineNote): void => {
    const kind = kinds.get(entry.why);
    if (kind === undefined) kinds.set(entry.why, { verb, count: 1, first: entry.line });
    else {
      kind.count++;
      kind.first = Math.min(kind.first, entry.line);
    }
    if (lists[verb].length < LISTED) lists[verb].push(entry);
  };
  // A line held in doubt is judged after later ones.
  const inOrder = (notes: readonly LineNote[]): LineNote[] => [...notes].sort((a, b) => a.line - b.line);
  return {
    read: () => void linesRead++,
    repair: (line, why) => note("repaired", { line, why, got: "" }),
    refuse: (line, why, got) => note("refused", { line, why, got: got.slice(0, 60) }),
    summary: () => ({
      linesRead,
      repaired: inOrder(lists.repaired),
      refused: inOrder(lists.refused),
      counts: Object.fromEntries([...kinds].map(([why, { count }]) => [why, count])),
      sentences: [...kinds].sort(([, a], [, b]) => a.first - b.first).map(([why, kind]) => sentence(why, kind)),
    }),
  };
}

function sentence(why: string, { verb, count, first }: Kind): string {
  return count === 1 ? `Line ${first} is ${verb}: ${why}.` : `${count} lines are ${verb}, the first in line ${first}: ${why}.`;
}
