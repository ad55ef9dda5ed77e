import { areaText, lengthText, sizeText, threeFigures, type UnitSystem, volumeText } from "../text/format.ts";
import type { Criterion } from "../study/criteria.ts";
import type { Sizes } from "../study/resized.ts";
import type { RuleOfThumb, SizedDesign, Sizing } from "../study/size.ts";
import { writtenLength } from "../text/buildable.ts";
import type { Prices } from "../site/prices.ts";
import type { Site } from "../site/site.ts";
import { lastingText } from "../text/hours.ts";
import { plainText } from "../text/plainText.ts";
import { surfaceWords } from "../site/surfaceWords.ts";
import { capital, heightText } from "../text/words.ts";

/** The size in a sentence: the chosen design with its dimensions, or why none of those tried does what is asked and fits. */
export function sizeAnswer(sizing: Sizing): string {
  const { best, never, apart, criteria, designs, site: { units }, prices, stopped } = sizing;
  const counted = stopped === 0 ? "" : ` (${several(stopped, "run")} could not go on to the end and ${stopped === 1 ? "counts" : "count"} as missed)`;
  const silt = sizing.sidesOnly ? " with silt over the floors" : "";
  if (best !== null) {
    const room = best.fit.fits === true ? " and fits the lot" : "";
    const least = prices !== null ? "cheapest" : "least dug";
    const which = designs.length === 1 ? `the one design tried does what is asked${silt}${room}`
      : `the ${least} that does what is asked${silt}${room}, of ${designs.length} designs${sizing.sought.length === 0 ? "" : " and what lies between their steps"}`;
    return `${capital(designWords(best))}: ${which}${counted}.`;
  }
  const none = `It cannot be met with the sizes tried${never.length > 0 ? `, because${silt}` : silt}`;
  const room = roomWords(sizing);
  if (never.length > 0) {
    const missed = joined(never.map(({ criterion, nearest }) => neverWords(criteria[criterion]!, nearest, sizing)), "or");
    return `${none} in none of ${several(designs.length, "design")} ${missed}${limitWords(sizing)}${room === "" ? "" : `; and ${room}`}${counted}.`;
  }
  if (sizing.roomless !== null) {
    return `No design tried does what is asked${silt} and fits the lot where it is drawn: ${designWords(sizing.roomless)} would do what is asked, but ${firstFault(sizing.roomless.fit.faults)}${room === "" ? "" : `; ${room}`}${counted}.`;
  }
  const why = apart.length === 0 ? "each two of the things asked are done by some design, all of them by none"
    : apart.map(([a, b]) => `none of ${several(designs.length, "design")} does both: ${criterionWords(criteria[a]!, sizing)}, and ${criterionWords(criteria[b]!, sizing)}`).join("; and ");
  return `${none}, because ${why}${room === "" ? "" : `; and ${room}`}${counted}.`;

  /** what has room, where there is no best */
  function roomWords({ largest }: Sizing): string {
    const unfit = designs.filter(({ fit }) => fit.fits === false);
    if (unfit.length === 0) return "";
    if (largest === null) return "none of those tried fits there";
    return `the largest of them that fits the lot is ${sizesWords(largest.sizes, units)}`;
  }
}

function firstFault([first, ...more]: readonly string[]): string {
  return `${first!}${more.length === 0 ? "" : `, and ${more.length} more ${more.length === 1 ? "thing is" : "things are"} in the way`}`;
}

/** Why the chosen design is no smaller, and what silt over its floors would ask for; null where none was chosen. */
export function sizeReason(sizing: Sizing): string | null {
  return sizing.best === null ? null : `${capital(bindingWords(sizing))}${sealedWords(sizing)}.`;
}

/** A design with its dimensions: `7 chambers in a pit 23 ft 7 1/2 in by 8 ft, 6 ft 1 in deep, and 30 ft of trench`. */
export function designWords({ site }: Pick<SizedDesign, "site">): string {
  const { chamberBank: { chambers, length, width, ground, floor }, overflowTrench: trench, units } = site;
  const count = chambers.reduce((sum, each) => sum + each.count, 0);
  const pit = `a pit ${tapeText(length, units)} by ${tapeText(width, units)}, ${tapeText(ground - floor, units)} deep`;
  return `${count === 0 ? pit : `${several(count, "chamber")} in ${pit}`}${trench === null ? "" : `, and ${tapeText(trench.length, units)} of trench`}`;
}

/** A length as a tape shows it: `23 ft 7 1/2 in`, `7.2 m`. */
export function tapeText(length: number, units: UnitSystem): string {
  return units === "us" ? writtenLength(Math.round(length / 0.0127) * 0.0127, units) : `${Number(length.toFixed(2))} m`;
}

/** What silt over the floors would ask for. */
function sealedWords({ best, sealed, sealedToo }: Sizing): string {
  if (!sealedToo || best === null) return "";
  if (sealed === null) return "; once silt has sealed the floors none of the sizes tried does all that is asked";
  const same = (Object.keys(best.sizes) as (keyof Sizes)[]).every((key) => best.sizes[key] === sealed.sizes[key]);
  return same ? "; it does so too once silt has sealed the floors" : `; for floors sealed by silt it would have to be ${designWords(sealed)}`;
}

/** Where no size tried matters, what does. */
function limitWords({ limits, site }: Sizing): string {
  return limits.map(({ by }) => {
    if (by.length === 0) return "; no size tried matters for that";
    return `; no size tried matters for that: ${joined(by.map(({ part }) => partWords(part, site)))} ${by.length === 1 ? "binds" : "bind"}`;
  }).join("");
}

function partWords(part: Sizing["limits"][number]["by"][number]["part"], { settlingBoxes, overflowTrench, emitter, units }: Site): string {
  switch (part) {
    case "boxOutlet": return `the ${sizeText(settlingBoxes[0]!.outlet.diameter, units)} pipe from the ${settlingBoxes.length > 1 ? "boxes" : "box"}`;
    case "trenchInlet": return `the ${sizeText(overflowTrench!.inlet.diameter, units)} pipe to the trench`;
    case "emitter": return `the ${sizeText(emitter!.diameter, units)} emitter`;
  }
}

/** `4 chambers, 45 ft of trench` */
export function sizesWords(sizes: Sizes, units: UnitSystem): string {
  return joined(sizeParts(sizes, units));
}

/** The sizes one by one, as `sizesWords` joins them. */
export function sizeParts(sizes: Sizes, units: UnitSystem): string[] {
  const { chambers, pitLength, pitWidth, stoneBase, pitDepth, trenchLength, trenchWidth, boxOutlet, trenchInlet } = sizes;
  const sides = [...(pitLength === undefined ? [] : [`${lengthText(pitLength, units)} long`]), ...(pitWidth === undefined ? [] : [`${lengthText(pitWidth, units)} wide`]),
    ...(pitDepth === undefined ? [] : [`${lengthText(pitDepth, units)} deep`])];
  return [
    ...(chambers === undefined ? [] : [`${chambers} chamber${chambers === 1 ? "" : "s"}`]),
    ...(sides.length === 0 ? [] : [`a pit ${sides.join(", ")}`]),
    ...(stoneBase === undefined ? [] : [`${sizeText(stoneBase, units)} of stone under the chambers`]),
    ...(trenchLength === undefined ? [] : [`${lengthText(trenchLength, units)} of trench`]),
    ...(trenchWidth === undefined ? [] : [`a trench ${lengthText(trenchWidth, units)} wide`]),
    ...(boxOutlet === undefined ? [] : [`a ${sizeText(boxOutlet, units)} pipe from the box`]),
    ...(trenchInlet === undefined ? [] : [`a ${sizeText(trenchInlet, units)} pipe to the trench`]),
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

/** Money to three figures, with its currency as the file writes it. */
export function costText(cost: number, { currency }: Pick<Prices, "currency">): string {
  return `${threeFigures(cost)} ${plainText(currency, 12)}`;
}

/** A range of it: `7950 to 13200 USD`; one figure where both read the same. */
export function costRangeText(low: number, high: number, prices: Pick<Prices, "currency">): string {
  return threeFigures(low) === threeFigures(high) ? costText(high, prices) : `${threeFigures(low)} to ${costText(high, prices)}`;
}

/** `room for 1 in of rain` */
export function thumbWords({ kind, amount }: RuleOfThumb, units: UnitSystem): string {
  return kind === "rainStored" ? `room for ${sizeText(amount, units)} of rain` : `a chamber for every ${areaText(amount, units)}`;
}

/** What binds in few words, beside the best: `binds: chambers, pit width`; null where nothing does. */
export function bindingNames({ binding }: Sizing): string | null {
  return binding.length === 0 ? null : `binds: ${binding.map(({ size }) => SIZE_NAMES[size]).join(", ")}`;
}

/** Each size as a person calls it. */
export const SIZE_NAMES: Readonly<Record<keyof Sizes, string>> = Object.freeze({
  chambers: "chambers", pitLength: "pit's length", pitWidth: "pit's width", stoneBase: "stone under them", pitDepth: "pit's depth",
  trenchLength: "trench's length", trenchWidth: "trench's width", boxOutlet: "pipe from the box", trenchInlet: "pipe to the trench",
});
const LESS: Readonly<Record<keyof Sizes, string>> = Object.freeze({
  chambers: "fewer chambers", pitLength: "a shorter pit", pitWidth: "a narrower pit", stoneBase: "less stone", pitDepth: "a shallower pit",
  trenchLength: "a shorter trench", trenchWidth: "a narrower trench", boxOutlet: "a smaller pipe from the box", trenchInlet: "a smaller pipe to the trench",
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
  if (together.size === 0) return sizing.sought.length === 0 && sizing.designs.length > 1 ? "one step down of any size does it too" : "none smaller was tried";
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


function joined(parts: readonly string[], last: "and" | "or" = "and"): string {
  return parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} ${last} ${parts.at(-1)!}`;
}
