import { lastingText } from "../text/hours.ts";
import type { Console } from "./console.ts";

/** How far a study has come. */
export interface ProgressBar {
  /** @param made  cases so far, those of an earlier session included */
  tell(made: number, count: number): void;
  /** leaves the terminal as it was found */
  clear(): void;
}

/**
 * A bar with the rate and the time that is left, redrawn in its line on a terminal; elsewhere a line every ten seconds.
 *
 * @param label  what is made; a function where that changes
 * @param now    a clock [ms]
 */
export function progressBar(console: Console, label: string | (() => string), now: () => number = Date.now): ProgressBar {
  const start = now();
  let told = start;
  let first: number | null = null;
  return {
    tell(made, count) {
      first ??= made;
      const since = now() - told;
      if (since < (console.isTerminal ? REDRAW_MS : LINE_MS)) return;
      told = now();
      const rate = (made - first) / ((now() - start) / 1000);
      const words = `${typeof label === "string" ? label : label()} ${barOf(made / count)} ${made} of ${count}${rate > 0 ? `, ${rateWords(rate)}, ${lastingText((count - made) / rate)} left` : ""}`;
      console.err(console.isTerminal ? `\r${words}${CLEAR_REST}` : `… ${words}\n`);
    },
    clear() {
      if (console.isTerminal) console.err(`\r${CLEAR_REST}`);
    },
  };
}

const REDRAW_MS = 200;
const LINE_MS = 10_000;
/** clears what a longer line before it left to its right */
const CLEAR_REST = "\u001b[K";
const CELLS = 24;

function barOf(share: number): string {
  const full = Math.round(share * CELLS);
  return `[${"#".repeat(full)}${"-".repeat(CELLS - full)}]`;
}

function rateWords(rate: number): string {
  return rate >= 2 ? `${Math.round(rate)} a second` : `${Math.round(60 * rate)} a minute`;
}
