import { describe } from "../../text/describe.ts";

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
  /** `said` is what the sentence says of it, where that is not `got` in quotes */
  refuse(line: number, why: string, got: string, said?: string): void;
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
  /** line of the first, and what is said of it */
  first: number;
  said: string;
}

export function lineReport(): LineReport {
  let linesRead = 0;
  const lists = { repaired: [] as LineNote[], refused: [] as LineNote[] };
  const kinds = new Map<string, Kind>();
  const note = (verb: Kind["verb"], entry: LineNote, said: string): void => {
    const kind = kinds.get(entry.why);
    if (kind === undefined) kinds.set(entry.why, { verb, count: 1, first: entry.line, said });
    else {
      kind.count++;
      if (entry.line < kind.first) [kind.first, kind.said] = [entry.line, said];
    }
    if (lists[verb].length < LISTED) lists[verb].push(entry);
  };
  // A line held in doubt is judged after later ones.
  const inOrder = (notes: readonly LineNote[]): LineNote[] => [...notes].sort((a, b) => a.line - b.line);
  return {
    read: () => void linesRead++,
    repair: (line, why) => note("repaired", { line, why, got: "" }, ""),
    refuse: (line, why, got, said = got === "" ? "" : describe(got)) => note("refused", { line, why, got: got.slice(0, 60) }, said),
    summary: () => ({
      linesRead,
      repaired: inOrder(lists.repaired),
      refused: inOrder(lists.refused),
      counts: Object.fromEntries([...kinds].map(([why, { count }]) => [why, count])),
      sentences: [...kinds].sort(([, a], [, b]) => a.first - b.first).map(([why, kind]) => sentence(why, kind)),
    }),
  };
}

function sentence(why: string, { verb, count, first, said }: Kind): string {
  const lines = count === 1 ? `Line ${first} is ${verb}` : `${count} lines are ${verb}, the first in line ${first}`;
  return `${lines}: ${why}${said === "" ? "" : ` (got ${said})`}.`;
}
