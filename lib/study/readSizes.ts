import type { OptionReader } from "../units/optionReader.ts";
import type { Sizes } from "./resized.ts";

/** `Sizes` as a person writes them. */
export interface WrittenSizes {
  readonly chambers?: number;
  readonly pitWidth?: string;
  readonly stoneBase?: string;
  readonly trenchLength?: string;
}

/** The keys of `WrittenSizes` among the options of a design. */
export function readSizes(read: OptionReader): Sizes {
  const chambers = read.has("chambers") ? read.number("chambers", { least: 1, most: 10_000 }) : undefined;
  if (chambers !== undefined && Number.isFinite(chambers) && !Number.isInteger(chambers)) read.problem("chambers", "a whole number");
  const length = (key: "pitWidth" | "stoneBase" | "trenchLength", least: number): number | undefined => (
    read.has(key) ? read.quantity(key, "length", { least, most: 10_000 }) : undefined
  );
  return withoutGaps({
    chambers, pitWidth: length("pitWidth", 0.001), stoneBase: length("stoneBase", 0), trenchLength: length("trenchLength", 0.001),
  });
}

function withoutGaps(sizes: { readonly [K in keyof Sizes]: Sizes[K] | undefined }): Sizes {
  return Object.fromEntries(Object.entries(sizes).filter(([, size]) => size !== undefined));
}
