import { closeSync, existsSync, openSync, readSync } from "node:fs";
import { csvCells } from "../rain/record/csvCells.ts";
import { readNote, rowFile } from "./rowFile.ts";
import { UserFault } from "./userFault.ts";

/**
 * Joins files of rows that shares of one study were made into: the file that one machine would have made, byte for byte. Nothing is
 * written unless every row is there.
 *
 * @param paths  of the shares, in any order
 * @param into   the file of the whole; it is made again
 * @returns      the number of rows
 * @throws UserFault  where files are of different studies or builds, a row is damaged or missing, or nothing can be written
 */
export function mergeRows(paths: readonly string[], into: string): number {
  const notes = paths.map((path) => {
    const note = existsSync(path) ? readNote(path) : null;
    if (note === null || !(note.count > 0))
      throw new UserFault(
        `${path}: expected the rows of a share and their note ${path}.study beside them, got ${existsSync(path) ? "rows without a note" : "nothing of that name"}`,
        "rows",
      );
    return note;
  });
  const { fingerprint, count } = notes[0]!;
  const other = notes.findIndex((note) => note.fingerprint !== fingerprint);
  if (other >= 0)
    throw new UserFault(
      `${paths[other]!}: expected rows of the same study, build of soakstep and Node as ${paths[0]!}, got those of another`,
      "rows",
    );
  const heads = headsOf(paths[0]!);
  const options = { heads, count, fingerprint };
  const isMade = new Uint8Array(count);
  for (const path of paths) {
    const share = rowFile(path, options);
    try {
      for (const { from, values } of share.made) isMade.fill(1, from, from + values.length / heads.length);
    } finally {
      share.close();
    }
  }
  const gaps = gapsOf(isMade);
  if (gaps.length > 0) {
    const told = gaps
      .slice(0, 8)
      .map(([from, to]) => (from === to ? `${from}` : `${from} to ${to}`))
      .join(", ");
    throw new UserFault(
      `merge: expected all ${count} rows in ${paths.length} ${paths.length === 1 ? "file" : "files"}, got none of rows ${told}${gaps.length > 8 ? ` and ${gaps.length - 8} more gaps` : ""}; make the missing shares, or go on with those that were stopped`,
      "rows",
    );
  }
  // whatever stood there, of this study or of another, makes place
  const whole = rowFile(into, { ...options, onOther: () => undefined });
  try {
    const isThere = new Uint8Array(count);
    for (const { from, values } of whole.made) isThere.fill(1, from, from + values.length / heads.length);
    for (const path of paths) {
      const share = rowFile(path, options);
      try {
        for (const { from, values } of share.made) {
          for (let row = 0; row < values.length / heads.length; row++) {
            if (isThere[from + row] === 1) continue;
            let end = row + 1;
            while (end < values.length / heads.length && isThere[from + end] === 0) end++;
            whole.add({ from: from + row, values: values.subarray(row * heads.length, end * heads.length) });
            isThere.fill(1, from + row, from + end);
            row = end - 1;
          }
        }
      } finally {
        share.close();
      }
    }
    whole.finish();
  } finally {
    whole.close();
  }
  return count;
}

/** The columns of a file of rows, without the case's number and the check. */
function headsOf(path: string): string[] {
  const file = openSync(path, "r");
  try {
    const bytes = Buffer.alloc(1 << 20);
    const text = bytes.toString("utf8", 0, readSync(file, bytes, 0, bytes.length, 0));
    return csvCells(text.slice(0, Math.max(0, text.indexOf("\n"))), ",").slice(1, -1);
  } finally {
    closeSync(file);
  }
}

function gapsOf(isMade: Uint8Array): (readonly [number, number])[] {
  const gaps: [number, number][] = [];
  for (let row = 0; row < isMade.length; row++) {
    if (isMade[row] === 1) continue;
    const last = gaps.at(-1);
    if (last !== undefined && last[1] === row - 1) last[1] = row;
    else gaps.push([row, row]);
  }
  return gaps;
}
