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
  readonly linesRead: number;
  readonly repaired: readonly LineNote[];
  readonly refused: readonly LineNote[];
  readonly counts: Readonly<Record<string, number>>;
  read(): void;
  repair(line: number, why: string): void;
  refuse(line: number, why: string, got: string): void;
}

/** Lines listed of each kind; beyond that they are only counted, so that a spoilt file cannot fill the memory. */
const LISTED = 10_000;

export function lineReport(): LineReport {
  let linesRead = 0;
  const repaired: LineNote[] = [];
  const refused: LineNote[] = [];
  const counts: Record<string, number> = {};
  const note = (list: LineNote[], entry: LineNote): void => {
    counts[entry.why] = (counts[entry.why] ?? 0) + 1;
    if (list.length < LISTED) list.push(entry);
  };
  return {
    get linesRead() {
      return linesRead;
    },
    repaired,
    refused,
    counts,
    read() {
      linesRead++;
    },
    repair: (line, why) => note(repaired, { line, why, got: "" }),
    refuse: (line, why, got) => note(refused, { line, why, got: got.slice(0, 60) }),
  };
}
