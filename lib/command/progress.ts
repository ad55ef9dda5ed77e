import type { Console } from "./console.ts";

/** Tells what is under way; says nothing as long as all is quick. */
export type Progress = (what: string) => void;

/**
 * Progress on stderr: a line when more than a second has gone by since the start or since the last line.
 *
 * @param now  a clock [ms]
 */
export function progress(console: Console, now: () => number = Date.now): Progress {
  let told = now();
  return (what) => {
    if (now() - told < QUICK_MS) return;
    told = now();
    console.err(`… ${what}\n`);
  };
}

const QUICK_MS = 1000;
