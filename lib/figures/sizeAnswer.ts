import { areaText, lengthText, sizeText, threeFigures, type UnitSystem, volumeText } from "../text/format.ts";
import type { Criterion } from "../study/criteria.ts";
import type { Sizes } from "../study/resized.ts";
import type { RuleOfThumb, Sizing } from "../study/size.ts";
import type { Site } from "../site/site.ts";
import { lastingText } from "../text/hours.ts";
import { plainText } from "../text/plainText.ts";
import { surfaceWords } from "../site/surfaceWords.ts";
import { capital, heightText } from "../text/words.ts";

/** The size in a sentence: the least that does what is asked and which of its sizes binds by what, or why none of those tried does. */
export function sizeAnswer(sizing: Sizing): string {
  const { best, never, apart, criteria, designs, site: { units }, priced, stopped } = sizing;
  const counted = stopped === 0 ? "" : ` (${several(stopped, "run")} could not go on to the end and ${stopped === 1 ? "counts" : "count"} as missed)`;
  const silt = sizing.sidesOnly ? " with silt over the floors" : "";
  if (best !== null) {
    const words = `${capital(sizesWords(best.sizes, units))} ${manyThings(best.sizes) ? "are" : "is"}`;
    const doing = designs.filter(({ met }) => met.every(Boolean)).length;
    const least = priced ? "cheapest" : "least dug";
    const which = designs.length === 1 ? `the one design tried, and it does what is asked${silt}`
      : doing === 1 ? `the only one of ${designs.length} designs that does what is asked${silt}`
        : doing === designs.length ? `the ${least} of ${doing} designs, which all do what is asked${silt}`
          : `the ${least} of the ${doing} that do what is asked${silt}, of ${designs.length} designs`;
    return `${words} ${which}; ${bindingWords(sizing)}${counted}.`;
  }
  if (never.length > 0) {
    return `It cannot be met with the sizes tried, because${silt} in none of ${several(designs.length, "design")} ${joined(never.map(({ criterion, nearest }) => neverWords(criteria[criterion]!, nearest, sizing)), "or")}${counted}.`;
  }
  const why = apart.length === 0 ? "each two of the things asked are done by some design, all of them by none"
    : apart.map(([a, b]) => `none of ${several(designs.length, "design")} does both: ${criterionWords(criteria[a]!, sizing)}, and ${criterionWords(criteria[b]!, sizing)}`).join("; and ");
  return `It cannot be met with the sizes tried${silt}, because ${why}${counted}.`;
}

/** `4 chambers, 45 ft of trench` */
export function sizesWords(sizes: Sizes, units: UnitSystem): string {
  return joined(sizeParts(sizes, units));
}

/** The sizes one by one, as `sizesWords` joins them. */
export function sizeParts({ chambers, pitWidth, stoneBase, trenchLength }: Sizes, units: UnitSystem): string[] {
  return [
    ...(chambers === undefined ? [] : [`${chambers} chamber${chambers === 1 ? "" : "s"}`]),
    ...(pitWidth === undefined ? [] : [`a pit ${lengthText(pitWidth, units)} wide`]),
    ...(stoneBase === undefined ? [] : [`${sizeText(stoneBase, units)} of stone under the chambers`]),
    ...(trenchLength === undefined ? [] : [`${lengthText(trenchLength, units)} of trench`]),
  ];
}

/** What is asked in a word or two, for the head of a column. */
export const ASK_NAMES: Readonly<Record<Criterion["asks"], string>> = Object.freeze({
  noFiring: "emitter", noSpill: "spilled", emitterVolumeAtMost: "emitter", halfEmptyWithin: "half empty", emptyWithin: "empty",
  boxHeadroom: "box to rim",
});

/** What is asked: `the emitter stays shut in “10 year, 1 h”`. */
export function criterionWords({ storm, asks, limit }: Criterion, { storms, site }: Sizing): string {
  const { units } = site;
  const name = `“${plainText(storms[storm]!, 40)}”`;
  switch (asks) {
    case "noFiring": return `the emitter stays shut in ${name}`;
    case "noSpill": return `nothing comes out ${surfaceWords(site)} in ${name}`;
    case "emitterVolumeAtMost": return `the emitter lets out no more than ${volumeText(limit, units)} in ${name}`;
    case "halfEmptyWithin": return `the pit is half empty within ${lastingText(limit)} of being last full in ${name}`;
    case "emptyWithin": return `the pit is empty within ${lastingText(limit)} of being last full in ${name}`;
    case "boxHeadroom": return `the ${boxes(site)} water stays ${sizeText(limit, units)} below ${site.settlingBoxes.length > 1 ? "their rims" : "its rim"} in ${name}`;
  }
}

/** What was reached, as a table shows it; a time may not be reached within a run, all else only where the run could not go on. */
export function reachedText({ asks }: Criterion, reached: number, units: UnitSystem): string {
  if (Number.isNaN(reached)) return isTime(asks) ? "not within the run" : "not run to the end";
  if (asks === "boxHeadroom") return reached < 0 ? `${heightText(-reached, units)} over the rim` : heightText(reached, units);
  return isTime(asks) ? lastingText(reached) : volumeText(reached, units);
}

function isTime(asks: Criterion["asks"]): boolean {
  return asks === "halfEmptyWithin" || asks === "emptyWithin";
}

/** Money as it was given, without a sign of any currency. */
export function costText(cost: number): string {
  return threeFigures(cost);
}

/** `room for 1 in of rain` */
export function thumbWords({ kind, amount }: RuleOfThumb, units: UnitSystem): string {
  return kind === "rainStored" ? `room for ${sizeText(amount, units)} of rain` : `a chamber for every ${areaText(amount, units)}`;
}

/** What binds in few words, beside the best: `binds: chambers, pit width`; null where nothing does. */
export function bindingNames({ binding }: Sizing): string | null {
  return binding.length === 0 ? null : `binds: ${binding.map(({ size }) => SIZE_NAMES[size]).join(", ")}`;
}

const SIZE_NAMES: Readonly<Record<keyof Sizes, string>> = Object.freeze({
  chambers: "chambers", pitWidth: "pit's width", stoneBase: "stone under them", trenchLength: "trench's length",
});
const LESS: Readonly<Record<keyof Sizes, string>> = Object.freeze({
  chambers: "fewer chambers", pitWidth: "a narrower pit", stoneBase: "less stone", trenchLength: "a shorter trench",
});

/**
 * Sizes that miss the same things go together: `one step down, all else equal: with fewer chambers or a shorter trench the emitter
 * does not stay shut in “10 year, 1 h”`. Designs that differ in more than one size are no part of it.
 */
function bindingWords(sizing: Sizing): string {
  const together = new Map<string, string[]>();
  for (const { size, misses, design } of sizing.binding) {
    const missed = joined(misses.map((c) => missWords(sizing.criteria[c]!, design.reached[c]!, sizing)));
    together.set(missed, [...together.get(missed) ?? [], LESS[size]]);
  }
  if (together.size === 0) return "none smaller was tried";
  return `one step down, all else equal: ${[...together].map(([missed, less]) => `with ${joined(less, "or")} ${missed}`).join("; ")}`;
}

/** What a design does that misses a criterion: `the emitter fires in “10 year, 1 h”`. */
export function missWords({ storm, asks, limit }: Criterion, reached: number, { storms, site }: Sizing): string {
  const { units } = site;
  const name = `“${plainText(storms[storm]!, 40)}”`;
  if (Number.isNaN(reached) && !isTime(asks)) return `the run of ${name} could not go on to its end`;
  switch (asks) {
    case "noFiring": return `the emitter does not stay shut in ${name}`;
    case "noSpill": return `water comes out ${surfaceWords(site)} in ${name}`;
    case "emitterVolumeAtMost": return `the emitter lets out more than ${volumeText(limit, units)} in ${name}`;
    case "halfEmptyWithin": return `the pit is not half empty within ${lastingText(limit)} of being last full in ${name}`;
    case "emptyWithin": return `the pit is not empty within ${lastingText(limit)} of being last full in ${name}`;
    case "boxHeadroom": return `the ${boxes(site)} water comes nearer than ${sizeText(limit, units)} to ${site.settlingBoxes.length > 1 ? "their rims" : "its rim"} in ${name}`;
  }
}

function boxes({ settlingBoxes }: Site): string {
  return settlingBoxes.length > 1 ? "boxes'" : "box's";
}

function neverWords(criterion: Criterion, nearest: number, sizing: Sizing): string {
  return `${criterionWords(criterion, sizing)} (nearest: ${reachedText(criterion, nearest, sizing.site.units)})`;
}

/** `1 design`, `36 designs` */
export function several(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? "" : "s"}`;
}

function manyThings(sizes: Sizes): boolean {
  return (sizes.chambers ?? 0) > 1 || Object.keys(sizes).length > 1;
}

function joined(parts: readonly string[], last: "and" | "or" = "and"): string {
  return parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} ${last} ${parts.at(-1)!}`;
}
