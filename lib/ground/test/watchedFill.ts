import { describe } from "../../text/describe.ts";
import type { OptionReader } from "../../text/optionReader.ts";
import type { Fill } from "./fallingHead.ts";
import { TEST_TIME } from "./testBounds.ts";

/** A hole whose water was seen to stand where it was for as long as `watched` says. */
export function neverFell(read: OptionReader, waterDepth: number): Fill {
  const watched = read.quantity("watched", "time", TEST_TIME);
  return { time: Float64Array.of(0, watched), depth: Float64Array.of(waterDepth, waterDepth) };
}

/**
 * Whether a list stands where one fill of one hole has its figure. It is refused: nobody can tell several fills of this hole from several
 * holes, and of fills the slowest counts, of holes their mean.
 */
export function refuseList(read: OptionReader, key: "minutesPerInch" | "time75to25"): boolean {
  const given = read.raw(key);
  if (!Array.isArray(given)) return false;
  const two = (given.length < 2 ? [18, 35] : given.slice(0, 2)).map((each) => `{ "${key}": ${JSON.stringify(each) ?? "…"} }`).join(", ");
  read.problem(key, `one figure; several fills of this hole are "fills": [${two}], several holes are "tests" of the layer, each with its place`, describe(given));
  return true;
}

/** Keys that say in short what readings say at length, and may differ from them. */
export function refuseBeside(read: OptionReader, keys: readonly string[]): void {
  for (const key of keys) if (read.has(key)) read.problem(key, 'nothing beside "fills"');
}
