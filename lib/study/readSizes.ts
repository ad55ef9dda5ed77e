import type { OptionReader, Rule } from "../text/optionReader.ts";
import { describe } from "../text/describe.ts";
import type { Sizes } from "./resized.ts";

/** `Sizes` as a person writes them. */
export interface WrittenSizes {
  readonly chambers?: number;
  readonly pitLength?: string;
  readonly pitWidth?: string;
  readonly stoneBase?: string;
  readonly pitDepth?: string;
  readonly trenchLength?: string;
  readonly trenchWidth?: string;
  readonly boxOutlet?: string;
  readonly trenchInlet?: string;
}

/** Sizes to be tried, each a list; a missing one stays as the site file has it. */
export type WrittenSteps = { readonly [key in keyof WrittenSizes]?: readonly NonNullable<WrittenSizes[key]>[] };

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
  if (tried.every(([, values]) => values.length === 0)) read.problem("chambers", `sizes to try: chambers, ${LENGTHS.slice(0, -1).join(", ")} or ${LENGTHS.at(-1)!}`);
  return tried.reduce<Sizes[]>((all, [key, values]) => (
    values.length === 0 ? all : all.flatMap((sizes) => values.map((value) => ({ ...sizes, [key]: value })))
  ), [{}]);
}

const LENGTHS = ["pitLength", "pitWidth", "stoneBase", "pitDepth", "trenchLength", "trenchWidth", "boxOutlet", "trenchInlet"] as const;

const SIZE: Rule = { least: 0.001, most: 10_000 };

/** As the site's reader has them. */
const BOUNDS: Readonly<Record<(typeof LENGTHS)[number], Rule>> = {
  pitLength: SIZE, pitWidth: SIZE, stoneBase: { least: 0, most: 10_000 }, pitDepth: SIZE, trenchLength: SIZE, trenchWidth: SIZE,
  boxOutlet: { least: 0.001, most: 10 }, trenchInlet: { least: 0.001, most: 10 },
};

function countOf(read: OptionReader, key: string, value: unknown): number {
  if (typeof value === "number" && Number.isInteger(value) && value >= 1 && value <= 10_000) return value;
  read.problem(key, "a whole number from 1 to 10000", describe(value));
  return NaN;
}
