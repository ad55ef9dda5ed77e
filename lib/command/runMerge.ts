import { mergeRows } from "../node/mergeRows.ts";
import { UserFault } from "../node/userFault.ts";
import { describe } from "../text/describe.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";

const SHARE = /\.share-\d+-of-\d+\.csv$/;

/**
 * Joins the shares of studies: those of one study become the file that one machine would have made, beside them. Several studies
 * are told apart by their names.
 *
 * @param words  paths of shares, `<name>.share-2-of-8.csv`
 * @returns      the exit status: 1 where a study could not be joined; the others still are
 */
export function runMerge(words: readonly string[], _folder: string, console: Console): Promise<number> {
  const strange = words.find((word) => !SHARE.test(word));
  if (words.length === 0 || strange !== undefined) {
    console.err(
      `merge: expected shares of a study, such as out/street-runs.share-1-of-4.csv, got ${strange === undefined ? "nothing" : describe(strange)}\n`,
    );
    return Promise.resolve(1);
  }
  const studies = new Map<string, string[]>();
  for (const word of new Set(words)) {
    const whole = word.replace(SHARE, ".csv");
    studies.set(whole, [...(studies.get(whole) ?? []), word]);
  }
  let status = 0;
  for (const [into, paths] of studies) {
    try {
      const sizes = new Set(paths.map((path) => /-of-(\d+)\.csv$/.exec(path)![1]));
      if (sizes.size > 1)
        throw new UserFault(`merge: expected shares of one division, got some of ${[...sizes].join(" and some of ")}`, "rows");
      const rows = mergeRows(paths, into);
      console.out(`${rows} rows of ${paths.length} ${paths.length === 1 ? "share" : "shares"}\n${into}\n`);
    } catch (error) {
      status = 1;
      console.err(`${faultText(into, error)}\n`);
    }
  }
  return Promise.resolve(status);
}
