import type { Problem } from "../../text/problem.ts";
import { lastingText } from "../../text/hours.ts";

/**
 * The greatest rain that fell anywhere in a duration [m], by the envelope of the world's records, 421.6 mm (D / 1 h)^0.475.
 *
 * @param duration  [s]
 * @source  WMO Guide to Hydrological Practices, from memory
 * @example worldsGreatest(3600); // => 0.4216
 */
export function worldsGreatest(duration: number): number {
  return 0.4216 * (duration / 3600) ** 0.475;
}

/**
 * What is wrong with a rain that is more than twice the world's greatest: a slip of its unit. Null where it is not.
 *
 * @param depth     [m]
 * @param duration  [s]
 */
export function unheardOf(depth: number, duration: number): Pick<Problem, "expected" | "got" | "code"> | null {
  const most = 2 * worldsGreatest(duration);
  if (!(depth > most)) return null;
  const words = (metres: number): string => `${Number((1000 * metres).toPrecision(3))} mm`;
  return {
    expected: `${words(most)} of rain at most in ${lastingText(duration)}, twice the greatest that fell anywhere`, got: words(depth), code: "range",
  };
}
