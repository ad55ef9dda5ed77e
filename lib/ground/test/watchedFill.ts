import type { OptionReader } from "../../text/optionReader.ts";
import type { Fill } from "./fallingHead.ts";
import { TEST_TIME } from "./testBounds.ts";

/** A hole whose water was seen to stand where it was for as long as `watched` says. */
export function neverFell(read: OptionReader, waterDepth: number): Fill {
  const watched = read.quantity("watched", "time", TEST_TIME);
  return { time: Float64Array.of(0, watched), depth: Float64Array.of(waterDepth, waterDepth) };
}

/** Keys that say in short what readings say at length, and may differ from them. */
export function refuseBeside(read: OptionReader, keys: readonly string[]): void {
  for (const key of keys) if (read.has(key)) read.problem(key, 'nothing beside "fills"');
}
