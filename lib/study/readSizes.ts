import type { OptionReader, Rule } from "../text/optionReader.ts";
import { describe } from "../text/describe.ts";
import type { Sizes } from "./resized.ts";

/** `Sizes` as a person writes them. */
export interface WrittenSizes {
  readonly chambers?: number;
  readonly pitWidth?: string;
  readonly stoneBase?: string;
  readonly trenchLength?: string;
}

/** Sizes to be tried, each a list; a missing one stays as the site file has it. */
export interface WrittenSteps {
  readonly chambers?: readonly number[];
  readonly pitWidth?: readonly string[];
  readonly stoneBase?: readonly string[];
  readonly trenchLength?: readonly string[];
}

/** The keys of `WrittenSizes` among the options of a design. */
export function readSizes(read: OptionReader): Sizes {
  const sizes: Record<string, number> = {};
  if (read.has("chambers")) sizes["chambers"] = countOf(read, "chambers", read.raw("chambers"));
  for (const key of LENGTHS) if (read.has(key)) sizes[key] = read.quantity(key, "length", BOUNDS[key]);
  return sizes;
}

/** Every combination of the steps, the last named size fastest. */
export function readSteps(read: OptionReader): Sizes[] {
  const chambers = read.has("chambers") ? read.list("chambers", (value, where) => countOf(read, where.slice(read.where.length + 1), value)) : [];
  const lengths = LENGTHS.map((key) => [key, read.has(key) ? read.list(key, (value, where) => read.check(where, value, "length", BOUNDS[key])) : []] as const);
  const tried = [["chambers", chambers] as const, ...lengths];
  if (tried.every(([, values]) => values.length === 0)) read.problem("chambers", "sizes to try: chambers, pitWidth, stoneBase or trenchLength");
  return tried.reduce<Sizes[]>((all, [key, values]) => (
    values.length === 0 ? all : all.flatMap((sizes) => values.map((value) => ({ ...sizes, [key]: value })))
  ), [{}]);
}

const LENGTHS = ["pitWidth", "stoneBase", "trenchLength"] as const;

/** As the site's reader has them. */
const BOUNDS: Readonly<Record<(typeof LENGTHS)[number], Rule>> = {
  pitWidth: { least: 0.001, most: 10_000 }, stoneBase: { least: 0, most: 10_000 }, trenchLength: { least: 0.001, most: 10_000 },
};

function countOf(read: OptionReader, key: string, value: unknown): number {
  if (typeof value === "number" && Number.isInteger(value) && value >= 1 && value <= 10_000) return value;
  read.problem(key, "a whole number from 1 to 10000", describe(value));
  return NaN;
}
