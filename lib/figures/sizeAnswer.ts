import { lengthText, threeFigures, volumeText, type UnitSystem } from "../units/format.ts";
import { sizeText } from "../units/sizeText.ts";
import type { Criterion } from "../study/sizeCases.ts";
import type { Sizes } from "../study/resized.ts";
import type { Sizing } from "../study/size.ts";
import { heightText } from "./heightText.ts";
import { lastingText } from "./hours.ts";
import { plainText } from "./plainText.ts";

/** The size in a sentence: the least that does what is asked and what binds, or why none of those tried does. */
export function sizeAnswer(sizing: Sizing): string {
  const { best, binding, never, criteria, site: { units }, priced } = sizing;
  if (best !== null) {
    const least = `${capital(sizesWords(best.sizes, units))} ${manyThings(best.sizes) ? "are" : "is"} the ${priced ? "cheapest" : "least dug"} of ${sizing.designs.length} designs that do what is asked`;
    if (binding.length === 0) return `${least}; none of the smaller sizes tried would fail.`;
    return `${least}; with less, ${joined(binding.map((c) => missWords(criteria[c]!, sizing)))}.`;
  }
  if (never.length === 0) return `None of ${sizing.designs.length} designs does all that is asked at once, though each thing asked is done by some.`;
  return `It cannot be met with the sizes tried, because in none of ${sizing.designs.length} designs ${joined(never.map(({ criterion, nearest }) => neverWords(criteria[criterion]!, nearest, sizing)))}.`;
}

/** `4 chambers, 45 ft of trench` */
export function sizesWords(sizes: Sizes, units: UnitSystem): string {
  const { chambers, pitWidth, stoneBase, trenchLength } = sizes;
  return joined([
    ...(chambers === undefined ? [] : [`${chambers} chamber${chambers === 1 ? "" : "s"}`]),
    ...(pitWidth === undefined ? [] : [`a pit ${lengthText(pitWidth, units)} wide`]),
    ...(stoneBase === undefined ? [] : [`${sizeText(stoneBase, units)} of stone under them`]),
    ...(trenchLength === undefined ? [] : [`${lengthText(trenchLength, units)} of trench`]),
  ]);
}

/** What is asked: `the emitter stays shut in “10 year, 1 h”`. */
export function criterionWords({ storm, asks, limit }: Criterion, { storms, site: { units } }: Sizing): string {
  const name = `“${plainText(storms[storm]!, 40)}”`;
  switch (asks) {
    case "noFiring": return `the emitter stays shut in ${name}`;
    case "noSpill": return `nothing comes out elsewhere in ${name}`;
    case "emitterVolumeAtMost": return `the emitter lets out no more than ${volumeText(limit, units)} in ${name}`;
    case "halfEmptyWithin": return `the pit is half empty ${lastingText(limit)} after ${name}`;
    case "emptyWithin": return `the pit is empty ${lastingText(limit)} after ${name}`;
    case "boxHeadroom": return `the box's water stays ${sizeText(limit, units)} below its rim in ${name}`;
  }
}

/** What was reached, as a table shows it. */
export function reachedText({ asks }: Criterion, reached: number, units: UnitSystem): string {
  if (Number.isNaN(reached)) return "not within the run";
  if (asks === "boxHeadroom") return reached < 0 ? `${heightText(-reached, units)} over the rim` : heightText(reached, units);
  return asks === "halfEmptyWithin" || asks === "emptyWithin" ? lastingText(reached) : volumeText(reached, units);
}

/** Money as it was given, without a sign of any currency. */
export function costText(cost: number): string {
  return threeFigures(cost);
}

function missWords({ storm, asks, limit }: Criterion, { storms, site: { units } }: Sizing): string {
  const name = `“${plainText(storms[storm]!, 40)}”`;
  switch (asks) {
    case "noFiring": return `the emitter fires in ${name}`;
    case "noSpill": return `water comes out elsewhere in ${name}`;
    case "emitterVolumeAtMost": return `the emitter lets out more than ${volumeText(limit, units)} in ${name}`;
    case "halfEmptyWithin": return `the pit is not half empty ${lastingText(limit)} after ${name}`;
    case "emptyWithin": return `the pit is not empty ${lastingText(limit)} after ${name}`;
    case "boxHeadroom": return `the box's water comes nearer than ${sizeText(limit, units)} to its rim in ${name}`;
  }
}

function neverWords(criterion: Criterion, nearest: number, sizing: Sizing): string {
  return `${criterionWords(criterion, sizing)} (nearest: ${reachedText(criterion, nearest, sizing.site.units)})`;
}

function manyThings({ chambers, trenchLength, pitWidth, stoneBase }: Sizes): boolean {
  return (chambers ?? 0) > 1 || [chambers, trenchLength, pitWidth, stoneBase].filter((size) => size !== undefined).length > 1;
}

function joined(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)!}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
