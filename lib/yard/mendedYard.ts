import { feasibleLevels, type FeasibleLevels, heightWords, type Missed, missedWords, OVER_WATER, type Remedy, remedyWords } from "./feasibleLevels.ts";
import { setbackRules } from "../plan/setbackRules.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { quantity } from "../text/quantity.ts";
import { listed } from "../text/words.ts";
import { partSize, standardParts, type StandardParts } from "./standardParts.ts";
import type { Yard } from "./yard.ts";
import { groundOf } from "./yardFile.ts";

/** The rule that the room for the pit is judged by. */
export const ROOM = "room for the pit";

/** The yard with room found for its pit, or after the first of the remedies that moves something on the lot; null if no remedy does. */
export function mendedYard(yard: Yard, { rules, remedies, by }: Missed): Yard | null {
  if (rules.includes(ROOM)) return { ...yard, survey: { ...yard.survey, room: null } };
  const remedy = remedies.find(({ what }) => what !== "cover");
  if (remedy !== undefined) return moved(yard, remedy.what, remedy.by);
  // far enough down for any pit of these parts
  return rules.includes(OVER_WATER) ? { ...yard, groundwaterDepth: yard.groundwaterDepth! + by } : null;
}

/** The yard once something is moved so far [m]; less cover is no change of it. */
function moved(yard: Yard, what: Remedy["what"], by: number): Yard {
  const raised = (point: string, height: number): Yard =>
    ({ ...yard, levels: new Map(yard.levels).set(point, yard.levels.get(point)! + height) });
  const moves: Readonly<Record<Remedy["what"], () => Yard>> = {
    box: () => raised("box", by),
    // the groundwater stays where it is
    ground: () => ({ ...raised("pit", by), groundwaterDepth: yard.groundwaterDepth === null ? null : yard.groundwaterDepth + by }),
    pit: () => ({ ...yard, boxToPit: yard.boxToPit - by, houseToPit: yard.houseToPit === null ? null : yard.houseToPit - by }),
    lid: () => {
      const { distances } = yard.survey;
      const toLow = distances.lidToLowPoint;
      return {
        ...raised("lid", -by * groundOf(yard).slopeAtLid!),
        pitToLid: yard.pitToLid! + by,
        survey: { ...yard.survey, distances: { ...distances, lidToLowPoint: toLow === null ? null : toLow - by } },
      };
    },
    cover: () => yard,
  };
  return moves[what]();
}

/** The levels of a yard, of whose remedies each was followed as it is said, and the levels of the yard after it found. */
export function levelsOf(yard: Yard, parts: StandardParts = standardParts(yard.units)): FeasibleLevels {
  const found = feasibleLevels(groundOf(yard), parts, yard.units);
  if (found.kind === "impossible") return { ...found, missed: settling(yard, parts, found.missed, Infinity) };
  return { ...found, missed: found.missed.map((each) => settling(yard, parts, each, found.missed.length)) };
}

/**
 * What is missed with those of its remedies that hold: each is made larger by whole inches or feet until as little as can be is missed
 * after it, and is let go where it would take the box or the pit's ground over the floor of the house, the ground over the box, the lid
 * past the low point or the pit nearer to the house than rules ask for.
 *
 * @param before  how many wishes are missed without it
 */
function settling(yard: Yard, parts: StandardParts, missed: Missed, before: number): Missed {
  const { units } = yard;
  const tried = missed.remedies.map(({ what, by: least }) => {
    const isAlong = what === "lid" || what === "pit";
    const step = units === "us" ? (isAlong ? 0.3048 : 0.0254) : isAlong ? 0.5 : 0.01;
    const most = reach(yard, what);
    let best: { readonly remedy: Remedy; readonly left: number } | null = null;
    for (let n = Math.ceil(least / step - 1e-6); n * step <= most + 1e-9 && best?.left !== 0; n++) {
      const by = n * step;
      const thinner = what === "cover" ? thinned(parts, by) : parts;
      const found = feasibleLevels(groundOf(moved(yard, what, by)), thinner, units);
      const left = found.kind === "impossible" ? before : found.missed.length;
      if (left < (best?.left ?? before)) best = { remedy: { what, by, words: remedyWords(what, by, units) }, left };
    }
    return best;
  }).filter((each) => each !== null);
  const fewest = leastOf(tried.map(({ left }) => left));
  const remedies = tried.filter(({ left }) => left === fewest).map(({ remedy }) => remedy);
  const cure = listed(remedies.map(({ words }) => words), "or");
  // what is lacking is what the remedy gives
  const [first] = remedies;
  const height = first === undefined || first.what === "pit" || first.what === "cover" ? missed.by
    : first.what === "lid" ? first.by * groundOf(yard).slopeAtLid! : first.by;
  const by = before === Infinity ? height : missed.by;
  const lacks = missed.lacks === heightWords(missed.by, units) ? heightWords(by, units) : missed.lacks;
  return { ...missed, remedies, by, lacks, cure, words: missedWords(missed.wants, by, cure, units) };
}

/** Parts with less cover over the stone; over the trench half of it stays. */
function thinned(parts: StandardParts, by: number): StandardParts {
  const trench = partSize(parts, "trenchCover");
  return { ...parts, pitCover: `${partSize(parts, "pitCover") - by} m`, trenchCover: `${trench - Math.min(by, trench / 2)} m` };
}

/** How far each can be moved before it breaks a rule of its own [m]. */
function reach({ levels, boxToPit, houseToPit, survey, told: { region }, units }: Yard, what: Remedy["what"]): number {
  const [box, pit, house] = [levels.get("box")!, levels.get("pit")!, levels.get("house")];
  const under = house === undefined ? Infinity : house - partSize(standardParts(units), "underSlab");
  if (what === "box") return Math.min(0.6, under - box);
  if (what === "ground") return Math.min(0.6, under - pit, box - pit);
  if (what === "lid") return survey.distances.lidToLowPoint ?? 60;
  if (what === "cover") return 0.15;
  const asked = greatestOf(setbackRules.filter((rule) => rule.from === "building" && rule.region === region).map(({ distance }) => quantity(distance, "length", "rule")));
  return Math.min(boxToPit - 1, houseToPit === null ? Infinity : houseToPit - Math.max(0, asked));
}
