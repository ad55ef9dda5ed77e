import { changedSite } from "../site/changedSite.ts";
import { readSite } from "../site/readSite.ts";
import type { Site } from "../site/site.ts";
import { size } from "../study/size.ts";
import type { WrittenCriterion } from "../study/criteria.ts";
import { type FeasibleLevels, type Missed, OVER_WATER, type WorksLevels } from "./feasibleLevels.ts";
import { partSize, standardParts, type StandardParts } from "./standardParts.ts";
import { lengthText } from "../text/format.ts";
import { levelsOf, ROOM } from "./mendedYard.ts";
import { quantity } from "../text/quantity.ts";
import { nearText } from "./words.ts";
import type { Yard } from "./yard.ts";
import { BAD, NORMAL, yardFile, type SiteJson } from "./yardFile.ts";

/** Works that fit a yard, or why none do. */
export type Proposal = WorksProposed | { readonly kind: "impossible"; readonly yard: Yard; readonly missed: Missed };

export interface WorksProposed {
  readonly kind: "works";
  readonly yard: Yard;
  readonly levels: FeasibleLevels & { readonly kind: "levels" };
  readonly parts: StandardParts;
  /** the site file, as plain data, and the site of it */
  readonly file: SiteJson;
  readonly site: Site;
  readonly chambers: number;
  /** how many are tried at most: what the room for the pit holds */
  readonly mostChambers: number;
  /** chambers that do what is wished in soil of this conductivity; null: more than are tried */
  readonly needed: { readonly low: number | null; readonly middle: number | null; readonly high: number | null };
  /** what is wished and the works that are proposed do not do, such as `keep the lawn dry in a bad storm`; none where they do all */
  readonly notReached: readonly string[];
}

/** More chambers than these are no work for a first answer. */
const MOST = 12;

/**
 * The smallest works of the study `size` that do what is wished between the levels of the yard, in the soil as taken, and beside it in
 * the least and
 * the most that the soil may be.
 */
export async function proposeWorks(yard: Yard): Promise<Proposal> {
  const levels = levelsOf(yard);
  if (levels.kind === "impossible") return { kind: "impossible", yard, missed: levels.missed };
  const drowned = inWater(yard, levels);
  if (drowned !== null) return { kind: "impossible", yard, missed: drowned };
  const mostChambers = roomFor(yard);
  if (mostChambers === 0) return { kind: "impossible", yard, missed: await noRoom(yard) };
  const parts = standardParts(yard.units);
  const middle = await neededIn(yard, levels, parts, mostChambers, yard.soil.middle);
  if (middle.chambers === null) {
    // a wide roof asks for a wider pipe before it asks for more chambers
    const wide = { ...parts, pipe: yard.units === "us" ? "6 in" : "160 mm" };
    const again = levelsOf(yard, wide);
    const wider = again.kind === "levels" ? await neededIn(yard, again, wide, mostChambers, yard.soil.middle) : null;
    if (again.kind === "levels" && wider !== null && wider.missed.length < middle.missed.length)
      return proposed(yard, again, wide, mostChambers, wider);
  }
  return proposed(yard, levels, parts, mostChambers, middle);
}

async function proposed(
  yard: Yard,
  levels: FeasibleLevels & { readonly kind: "levels" },
  parts: StandardParts,
  mostChambers: number,
  middle: Needed,
): Promise<WorksProposed> {
  const chambers = middle.chambers ?? mostChambers;
  const file = yardFile(yard, levels.levels, chambers, parts);
  const [low, high] = await Promise.all([
    neededIn(yard, levels, parts, mostChambers, yard.soil.low, yard.isGroundwaterKnown ? undefined : overWater),
    neededIn(yard, levels, parts, mostChambers, yard.soil.high),
  ]);
  return {
    kind: "works",
    yard,
    levels,
    parts,
    file,
    site: readSite(file),
    chambers,
    mostChambers,
    needed: { low: low.chambers, middle: middle.chambers, high: high.chambers },
    notReached: middle.missed,
  };
}

interface Needed {
  readonly chambers: number | null;
  readonly missed: readonly string[];
}

/** The least number of chambers for what is wished in soil of one conductivity. */
export async function neededIn(
  yard: Yard,
  { levels }: { readonly levels: Parameters<typeof yardFile>[1] },
  parts: StandardParts,
  most: number,
  conductivity: number,
  change: (site: Site) => Site = (site) => site,
): Promise<Needed> {
  // room and setbacks are judged apart from it: a pit too near to the house is still sized, and the answer says that it is too near
  const site = changedSite(change(inSoil(readSite(yardFile(yard, levels, 1, parts)), conductivity)), { surroundings: null });
  const criteria = criteriaOf(yard);
  const found = await size(site, {
    criteria: criteria.map(({ written }) => written),
    steps: { chambers: Array.from({ length: most }, (_, i) => i + 1) },
  });
  if (found.best !== null) return { chambers: found.best.sizes.chambers!, missed: [] };
  const last = found.designs.find(({ sizes }) => sizes.chambers === most)!;
  return {
    chambers: null,
    missed: criteria.filter((_, c) => found.criteria.some(({ storm }, i) => storm === c && !last.met[i])).map(({ words }) => words),
  };
}

/** The site with its soil of one conductivity [m/s]. */
export function inSoil(site: Site, conductivity: number): Site {
  return changedSite(site, { soil: { ...site.soil, layers: site.soil.layers.map((layer) => ({ ...layer, conductivity })) } });
}

/** The site with groundwater a foot under the pit, as it may be where nobody has looked for it. */
export function overWater(site: Site): Site {
  return changedSite(site, { groundwater: { ...site.groundwater, level: { time: [0], level: [site.chamberBank.floor - 0.3] } } });
}

/** The pit would stand in its groundwater, or deeper than anybody looked for it. */
function inWater(yard: Yard, { levels, missed }: FeasibleLevels & { readonly kind: "levels" }): Missed | null {
  const { units, survey, groundwaterDepth } = yard;
  const wet = missed.find(({ rules }) => rules.includes(OVER_WATER));
  const depth = yard.levels.get("pit")! - levels.pitFloor;
  if (wet === undefined || groundwaterDepth === null || depth <= groundwaterDepth + 1e-6) return null;
  const clear = standardParts(units).overGroundwater;
  const deep = nearText(depth + quantity(clear, "length", "clearance"), units, "up");
  const isSeen = (survey.groundwater?.seen ?? null) !== null;
  const [over, at] = [nearText(depth - groundwaterDepth, units, "up"), lengthText(groundwaterDepth, units)];
  const lacks = isSeen ? wet.lacks : `the pit would reach ${over} deeper than anybody has looked for groundwater`;
  const place = isSeen ? `find a place higher up, where groundwater lies ${deep} down or more` : `look for groundwater down to ${deep} first`;
  const cure = [...wet.remedies.map(({ words }) => words), place, ...(isSeen ? ["ask for shallower works"] : [])].join(", or ");
  const found = isSeen ? `Groundwater was seen ${at} down` : `No groundwater was seen down to ${at}, and it is taken to stand there`;
  return {
    ...wet,
    lacks,
    cure,
    words:
      `${found}; the shallowest pit of these parts is ${nearText(depth, units, "up")} deep, and ${clear} of soil are wanted under it. ` +
      `Stone in groundwater holds no rain. ${wetTrench(yard, levels)}`.trimEnd(),
  };
}

/** Where the groundwater, taken level from the pit, lies over the trench's low end or the lid; "" where it does not or was not seen. */
export function wetTrench({ survey, units, ...yard }: Yard, { trenchLow, crest }: WorksLevels): string {
  const seen = survey.groundwater?.seen ?? null;
  if (seen === null || trenchLow === null || crest === null) return "";
  const water = yard.levels.get("pit")! - seen;
  if (water <= trenchLow + 1e-6) return "";
  const ends = water > crest + 1e-6 ? "The lid and the trench’s low end lie" : "The trench’s low end lies";
  return `${ends} under the groundwater, if it is as high there as at the pit (by ${nearText(water - (water > crest + 1e-6 ? crest : trenchLow), units, "up")}): look for it there too.`;
}

function roomFor({ survey: { room }, units }: Yard): number {
  if (room === null) return MOST;
  const parts = standardParts(units);
  // a short pit is wider than long: it is tried both ways round
  const held = (along: number, across: number): number =>
    across < partSize(parts, "pitWidth") - 1e-6 ? 0 : Math.floor(along / partSize(parts, "chamberPitch") + 1e-6);
  return Math.min(MOST, Math.max(held(room.length, room.width), held(room.width, room.length)));
}

/** The room does not hold the pit of a single chamber: what would holds as many as are needed. */
async function noRoom(yard: Yard): Promise<Missed> {
  const { survey: { room }, units } = yard;
  const roomy = await proposeWorks({ ...yard, survey: { ...yard.survey, room: null } });
  const parts = standardParts(units);
  const [wide, long] = [partSize(parts, "pitWidth"), partSize(parts, "chamberPitch")];
  const lacking = (along: number, across: number): number => Math.max(wide - across, long - along);
  const by = Math.min(lacking(room!.length, room!.width), lacking(room!.width, room!.length));
  const told = `${lengthText(room!.length, units)} × ${lengthText(room!.width, units)}`;
  const lacks = `${nearText(by, units, "up")} of room for a pit`;
  return {
    rules: [ROOM],
    by,
    remedies: [],
    lacks,
    cure: `find a place of ${roomy.kind === "works" ? lengthText(roomy.site.chamberBank.length, units) : parts.chamberPitch} × ${parts.pitWidth} or more for the pit`,
    wants: `${parts.chamberPitch} × ${parts.pitWidth} of room`,
    words: `The room of ${told} does not hold the pit of one chamber, ${parts.pitWidth} wide and ${parts.chamberPitch} long: ${nearText(by, units, "up")} is lacking.`,
  };
}

/** What is wished, as the study asks it. Water at the lid must not back up to the rim of the box at the house, whatever else is wished. */
function criteriaOf({
  survey: { wanted },
  pitToLid,
  units,
}: Yard): readonly { readonly written: WrittenCriterion; readonly words: string }[] {
  const dry = pitToLid === null ? ({ noSpill: true } as const) : ({ noFiring: true } as const);
  const headroom = units === "us" ? "2 in" : "50 mm";
  const atBox = {
    written: { storm: BAD, boxHeadroom: headroom },
    words: `keep water ${headroom} under the rim of the box in a bad storm`,
  };
  if (wanted === "out at the lid only" && pitToLid !== null) return [atBox];
  const bad = wanted === "dry lawn in a bad storm";
  return [
    { written: { storm: bad ? BAD : NORMAL, ...dry }, words: `keep the lawn dry in a ${bad ? BAD : NORMAL}` },
    ...(pitToLid === null ? [] : [atBox]),
  ];
}
