import { designStorm, type DesignStormOptions } from "../rain/designStorm.ts";
import type { Rainfall } from "../rain/depthDuration.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { COARSE_TOLERANCE } from "../simulate/runOptions.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../units/describe.ts";
import { optionReader, type OptionReader } from "../units/optionReader.ts";
import { InputError } from "../units/problem.ts";
import { ANSWERS, answerRow } from "./answerRow.ts";
import type { Cases } from "./cases.ts";
import { resized, type Sizes } from "./resized.ts";
import { withSealedFloors } from "./sidesOnly.ts";

/** What is asked of the works in one storm. */
export interface WrittenCriterion {
  /** a storm of the site by its name, or options of `designStorm`, in which the rainfall may be left out */
  readonly storm: string | Readonly<Record<string, unknown>>;
  readonly noFiring?: true;
  /** nothing over rims or through the ground */
  readonly noSpill?: true;
  readonly emitterVolumeAtMost?: string;
  readonly halfEmptyWithin?: string;
  readonly emptyWithin?: string;
  /** from the highest water of a box to its rim, at least */
  readonly boxHeadroom?: string;
}

/** Sizes to be tried, each a list; a missing one stays as the site file has it. */
export interface WrittenSteps {
  readonly chambers?: readonly number[];
  readonly pitWidth?: readonly string[];
  readonly stoneBase?: readonly string[];
  readonly trenchLength?: readonly string[];
}

/** What things cost, in one money throughout. */
export interface WrittenPrices {
  /** of digging and carting, of stone: `{ "per": "1 cu yd", "price": 40 }` */
  readonly dig?: { readonly per: string; readonly price: number };
  readonly stone?: { readonly per: string; readonly price: number };
  /** of a chamber */
  readonly chamber?: number;
  /** of trench, pipe and fabric: `{ "per": "1 ft", "price": 12 }` */
  readonly trench?: { readonly per: string; readonly price: number };
}

export interface SizeOptions {
  readonly rainfall?: Rainfall;
  readonly criteria: readonly WrittenCriterion[];
  readonly steps: WrittenSteps;
  readonly prices?: WrittenPrices;
  /** judges every design with silt over its floors: `openFloorShare` 0 */
  readonly sidesOnly?: boolean;
}

export interface SizeStudy {
  readonly kind: "size";
  readonly site: Site;
  readonly options: SizeOptions;
}

/** One thing that is asked in one storm. */
export interface Criterion {
  readonly storm: number;
  readonly asks: Ask;
  /** 0 for a storm in which something must not happen; [m3], [s] or [m] else */
  readonly limit: number;
}

export type Ask = "noFiring" | "noSpill" | "emitterVolumeAtMost" | "halfEmptyWithin" | "emptyWithin" | "boxHeadroom";

/** Unit prices: a cubic metre dug, a cubic metre of stone, a chamber, a metre of trench. */
export interface Prices {
  readonly dig: number;
  readonly stone: number;
  readonly chamber: number;
  readonly trench: number;
}

/** What is tried, and what it is held against. */
export interface SizePlan {
  readonly sizes: readonly Sizes[];
  readonly storms: readonly { readonly name: string; readonly rain: Hyetograph }[];
  readonly criteria: readonly Criterion[];
  /** null: the least dug is best */
  readonly prices: Prices | null;
  /** the works in one of the sizes, as they are run */
  readonly siteOf: (sizes: Sizes) => Site;
}

/** Designs that are tried at most; every one of them is run, so that the answer is sure. */
const MOST_DESIGNS = 5000;

/**
 * A case for every design and storm, the storm fastest; a row is `ANSWERS`.
 *
 * @throws InputError  with all problems
 */
export function sizeCases({ site, options }: SizeStudy): Cases {
  const { sizes, storms, siteOf } = sizePlan(site, options);
  return {
    columns: ANSWERS,
    count: sizes.length * storms.length,
    chunk: 20,
    row(index) {
      const { rain } = storms[index % storms.length]!;
      return answerRow(siteOf(sizes[Math.floor(index / storms.length)]!), rain, { tolerance: COARSE_TOLERANCE });
    },
  };
}

/** @throws InputError  with all problems */
export function sizePlan(site: Site, options: SizeOptions): SizePlan {
  const read = optionReader("size", options, "The works cannot be sized:");
  const rainfall = read.raw("rainfall");
  const storms: { name: string; rain: Hyetograph }[] = [];
  const asked = read.children("criteria").map((criterion) => {
    storms.push(stormOf(criterion, site, rainfall, storms.length));
    return asksOf(criterion, storms.length - 1);
  });
  const sizes = sizesOf(read.child("steps"));
  if (sizes.length > MOST_DESIGNS) read.problem("steps", `no more than ${MOST_DESIGNS} designs`, `${sizes.length}`);
  const prices = read.has("prices") ? pricesOf(read.child("prices")) : null;
  const sealed = read.flag("sidesOnly", false);
  read.done();
  checkSizes(site, sizes);
  return {
    sizes, storms, criteria: asked.flat(), prices,
    siteOf: (each) => (sealed ? withSealedFloors(resized(site, each)) : resized(site, each)),
  };
}

function stormOf(criterion: OptionReader, site: Site, rainfall: unknown, index: number): { name: string; rain: Hyetograph } {
  const given = criterion.raw("storm");
  const hole = { name: "", rain: { time: new Float64Array(1), depth: new Float64Array(0) } };
  const named = typeof given === "string" ? site.storms.find(({ name }) => name === given) : undefined;
  const written = named?.options ?? given;
  if (typeof written !== "object" || written === null || "file" in written) {
    const names = site.storms.filter(({ options }) => !("file" in options)).map(({ name }) => JSON.stringify(name));
    const got = typeof written === "object" && written !== null ? `${describe(given)}, a recorded one` : describe(given);
    criterion.problem("storm", [...names, "a storm as designStorm takes it"].join(", or "), got);
    return hole;
  }
  const needsRain = !("depth" in written || "rainfall" in written || "intensity" in written || "points" in written) && rainfall !== undefined;
  const storm = needsRain ? { ...written, rainfall } : written;
  try {
    const rain = designStorm(storm as unknown as DesignStormOptions);
    return { name: named?.name ?? wordsOf(written as Record<string, unknown>, index), rain };
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    for (const { where, expected, got } of error.problems) criterion.problem(`storm ${where}`, expected, got);
    return hole;
  }
}

/** `10 year, 1 h, block` */
function wordsOf(storm: Readonly<Record<string, unknown>>, index: number): string {
  const words = [storm["returnPeriod"], storm["depth"], storm["duration"], storm["pattern"]].filter((each) => typeof each === "string");
  return words.length === 0 ? `storm ${index + 1}` : words.join(", ");
}

function asksOf(criterion: OptionReader, storm: number): Criterion[] {
  const asks: Criterion[] = [];
  for (const key of ["noFiring", "noSpill"] as const) if (criterion.flag(key, false)) asks.push({ storm, asks: key, limit: 0 });
  const add = (key: Ask, dimension: "volume" | "time" | "length"): void => {
    if (criterion.has(key)) asks.push({ storm, asks: key, limit: criterion.quantity(key, dimension, { least: 0 }) });
  };
  add("emitterVolumeAtMost", "volume");
  add("halfEmptyWithin", "time");
  add("emptyWithin", "time");
  add("boxHeadroom", "length");
  if (asks.length === 0) {
    criterion.problem("noFiring", "something that is asked: noFiring, noSpill, emitterVolumeAtMost, halfEmptyWithin, emptyWithin or boxHeadroom");
  }
  return asks;
}

/** Every combination of the steps. */
function sizesOf(steps: OptionReader): Sizes[] {
  const lengths = (key: "pitWidth" | "stoneBase" | "trenchLength"): number[] => (
    steps.has(key) ? steps.list(key, (value, where) => steps.check(where, value, "length", { least: 0, most: 10_000 })) : []
  );
  const chambers = steps.has("chambers") ? steps.list("chambers", (value, where) => {
    if (typeof value === "number" && Number.isInteger(value) && value >= 1 && value <= 10_000) return value;
    steps.problem(where.slice(steps.where.length + 1), "a whole number from 1 to 10000", describe(value));
    return NaN;
  }) : [];
  const [pitWidth, stoneBase, trenchLength] = [lengths("pitWidth"), lengths("stoneBase"), lengths("trenchLength")];
  const tried = { chambers, pitWidth, stoneBase, trenchLength };
  if (Object.values(tried).every((each) => each.length === 0)) steps.problem("chambers", "sizes to try: chambers, pitWidth, stoneBase or trenchLength");
  return Object.entries(tried).reduce<Sizes[]>((all, [key, values]) => (
    values.length === 0 ? all : all.flatMap((sizes) => values.map((value) => ({ ...sizes, [key]: value })))
  ), [{}]);
}

function pricesOf(prices: OptionReader): Prices {
  const rate = (key: "dig" | "stone" | "trench", dimension: "volume" | "length"): number => {
    if (!prices.has(key)) return 0;
    const each = prices.child(key);
    return each.number("price", { least: 0 }) / each.quantity("per", dimension, { above: 0 });
  };
  return {
    dig: rate("dig", "volume"), stone: rate("stone", "volume"), trench: rate("trench", "length"),
    chamber: prices.number("chamber", { least: 0, missing: 0 }),
  };
}

/** Whatever sizes cannot be is said before any is run. */
function checkSizes(site: Site, sizes: readonly Sizes[]): void {
  for (const each of sizes) resized(site, each);
}
