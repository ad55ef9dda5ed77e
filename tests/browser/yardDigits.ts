import { readSite } from "../../lib/site/readSite.ts";
import { runOf } from "../../lib/yard/firstAnswers.ts";

// What runs in Node and, bundled, in a page.

/** Numbers of a site file's run in one of its storms: the pit's level every ten minutes of two days, and the ledger. */
export function runDigits(text: string, storm: string): number[] {
  const run = runOf(readSite(text), storm);
  const times = Array.from({ length: 288 }, (_, i) => 600 * i);
  return [...run.levels("chamberBank", times), ...Object.values(run.ledger).filter((value): value is number => typeof value === "number")];
}
