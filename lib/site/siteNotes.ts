import { greatestOf } from "../numerics/extremes.ts";
import { separation } from "../ground/separation.ts";
import { depthText, levelText, type UnitSystem } from "../text/format.ts";
import { chamberNotes } from "./chamberNotes.ts";
import { isBelow } from "./judge.ts";
import { implausibleNotes, startsFull } from "./plausibleLevels.ts";
import type { LevelSeries, Pipe, SettlingBox, Site } from "./site.ts";
import { soilCaveat, soilNotes } from "./soilNotes.ts";

type Noted = Omit<Site, "notes">;

/** What is lawful in a site and still worth saying before it is built, in words of the trade and the file's own units. */
export function siteNotes(site: Noted): string[] {
  const caveat = soilCaveat(site);
  return [
    ...implausibleNotes(site), ...(caveat === null ? [] : [caveat]), ...pipeNotes(site), ...wayOutNotes(site), ...emitterNotes(site),
    ...chamberNotes(site), ...groundwaterNotes(site), ...soilNotes(site), ...site.assumptions,
  ];
}

function pipeNotes({ settlingBoxes, chamberBank, overflowTrench, units }: Noted): string[] {
  const notes: string[] = [];
  for (const box of settlingBoxes) {
    const name = boxName(box, settlingBoxes);
    if (isUphill(box.outlet)) notes.push(`The pipe from ${name} runs uphill, ${span(box.outlet, units)}: it stands full of water.`);
    if (!isBelow(box.floor, box.outlet.crest)) notes.push(`The outlet of ${name} lies on its floor: without a sump the grit goes on to the ${chamberBank.chambers.length > 0 ? "chambers" : "stone"}.`);
  }
  if (overflowTrench === null) return notes;
  const { inlet } = overflowTrench;
  if (isUphill(inlet)) notes.push(`The pipe into the overflow trench runs uphill, ${span(inlet, units)}.`);
  const { crest } = inlet;
  const { stoneTop } = chamberBank;
  if (isBelow(chamberBank.ground, crest)) {
    notes.push(`The trench takes over at ${levelText(crest, units)}, above the ground over the pit at ${levelText(chamberBank.ground, units)}.`);
  } else if (isBelow(stoneTop, crest)) {
    notes.push(`The trench takes over at ${levelText(crest, units)}, above the stone top of the pit at ${levelText(stoneTop, units)}: the soil over the stone is soaked before it does.`);
  }
  for (const box of settlingBoxes) {
    if (!isBelow(box.outlet.crest, crest)) continue;
    notes.push(`The trench takes over at ${levelText(crest, units)}, above the outlet of ${boxName(box, settlingBoxes)} at ${levelText(box.outlet.crest, units)}: water stands back into the box before it does.`);
  }
  return notes;
}

/** Where water comes up first: without an emitter, or before it opens. */
function wayOutNotes(site: Noted): string[] {
  const { emitter, settlingBoxes, units } = site;
  const ways = otherWaysOut(site);
  if (emitter === null) {
    const lowest = ways.reduce((low, way) => (way.level < low.level ? way : low));
    return [`There is no emitter: what does not soak away comes up at ${lowest.name}, ${levelText(lowest.level, units)}.`];
  }
  const opening = emitter.opensAt;
  const earlier = ways.filter(({ level }) => isBelow(level, opening)).sort((a, b) => a.level - b.level);
  if (earlier.length > 0) {
    const listed = earlier.map(({ name, level }) => `${name}, ${levelText(level, units)}`).join("; ");
    return [`Before the emitter opens at ${levelText(opening, units)}, water comes up at ${listed}.`];
  }
  return settlingBoxes.filter(({ outlet }) => isBelow(outlet.crest, opening)).map((box) =>
    `The emitter opens at ${levelText(opening, units)}, above the outlet of ${boxName(box, settlingBoxes)} at ${levelText(box.outlet.crest, units)}: water stands back into the box before it does.`);
}

interface WayOut {
  readonly name: string;
  readonly level: number;
}

function otherWaysOut({ settlingBoxes, chamberBank, overflowTrench, lowSpot }: Noted): WayOut[] {
  return [
    ...settlingBoxes.map((box) => ({ name: `the rim of ${boxName(box, settlingBoxes)}`, level: box.rim })),
    { name: "the ground over the pit", level: chamberBank.ground },
    ...(overflowTrench === null ? [] : [{ name: "the ground over the trench", level: overflowTrench.lowestGround }]),
    ...(lowSpot === null || lowSpot.grate === null ? [] : [{ name: "the grate", level: lowSpot.grate.level }]),
  ];
}

function emitterNotes({ emitter, overflowTrench, lowSpot, units }: Noted): string[] {
  if (emitter === null) return [];
  const isByTrench = emitter.dischargesTo === null && overflowTrench !== null;
  const notes: string[] = isByTrench ? lidNotes(emitter.crest, overflowTrench.ground.low, units) : [];
  if (emitter.tailwater !== null && isBelow(emitter.crest, emitter.tailwater)) {
    notes.push(`Water outside the emitter stands ${depthText(emitter.tailwater - emitter.crest, units)} over its crest: it has to open against that.`);
  }
  if (emitter.dischargesTo !== null && lowSpot !== null && isBelow(emitter.crest, lowSpot.lip)) {
    notes.push(`The low spot can fill ${depthText(lowSpot.lip - emitter.crest, units)} over the emitter's crest before it runs off: the emitter can drown in its own puddle.`);
  }
  return notes;
}

/** A lid further from the turf than this is not at the surface: a pop-up lid stands an inch or so proud, or as much below [m]. */
const FLUSH = 0.05;

/** Beside a low spot the emitter stands lower than the ground over the trench, and the file does not say how low. */
function lidNotes(crest: number, ground: number, units: UnitSystem): string[] {
  if (isBelow(crest, ground - FLUSH)) {
    return [`The emitter's crest lies ${depthText(ground - crest, units)} below the ground at the trench's low end, ${levelText(ground, units)}: a lid works at the surface, and a run takes it as free all the same. Where the ground falls towards it, "ground" takes { "high", "low" }.`];
  }
  if (isBelow(ground + FLUSH, crest)) {
    return [`The emitter's crest stands ${depthText(crest - ground, units)} above the ground at the trench's low end, ${levelText(ground, units)}.`];
  }
  return [];
}

function groundwaterNotes(site: Noted): string[] {
  const { chamberBank, overflowTrench, emitter, units } = site;
  const atBank = chamberBank.groundwater;
  if (atBank === null) return ["No groundwater level is given: it is taken to be far below."];
  const notes = [...standingNotes("pit", chamberBank.floor, startsFull(site), atBank, units), ...separationNotes(chamberBank.floor, atBank, units)];
  if (overflowTrench === null || overflowTrench.groundwater === null) return notes;
  const atTrench = overflowTrench.groundwater;
  for (const each of standingNotes("trench", overflowTrench.lowFloor, false, atTrench, units)) notes.push(each);
  if (emitter !== null && greatestOf(atTrench.level) >= emitter.opensAt) {
    notes.push(`Groundwater at the trench rises to where the emitter opens, ${levelText(emitter.opensAt, units)}.`);
  }
  return notes;
}

/** @param isTold  whether the groundwater that stands in it when a run begins is told elsewhere */
function standingNotes(name: string, floor: number, isTold: boolean, groundwater: LevelSeries, units: UnitSystem): string[] {
  const atStart = levelAtStart(groundwater);
  const highest = greatestOf(groundwater.level);
  const notes: string[] = [];
  if (!isTold && isBelow(floor, atStart)) notes.push(`Groundwater stands ${depthText(atStart - floor, units)} over the floor of the ${name}: that is no room for rain.`);
  if (isBelow(Math.max(floor, atStart), highest)) notes.push(`Groundwater comes to stand ${depthText(highest - floor, units)} over the floor of the ${name} later on.`);
  return notes;
}

/** Public manuals ask for about as much between a pit's floor and the seasonal high: see `separation` [m]. */
const ASKED_SEPARATION = 1;

function separationNotes(floor: number, groundwater: LevelSeries, units: UnitSystem): string[] {
  const apart = separation(floor, groundwater);
  if (apart < 0 || !isBelow(apart, ASKED_SEPARATION)) return [];
  const where = isBelow(0, apart) ? `${depthText(apart, units)} above` : "level with";
  return [`The floor of the pit lies ${where} the highest groundwater given; public manuals ask for about a metre (3 ft).`];
}

function boxName({ name }: SettlingBox, boxes: readonly SettlingBox[]): string {
  return boxes.length === 1 ? "the settling box" : `box "${name}"`;
}

function isUphill({ invert, outletInvert }: Pipe): boolean {
  return isBelow(invert, outletInvert);
}

function span({ invert, outletInvert }: Pipe, units: UnitSystem): string {
  return `from ${levelText(invert, units)} to ${levelText(outletInvert, units)}`;
}

/** A series is straight between its points and constant outside; its times are 0 or more, so that the first holds at 0. */
function levelAtStart({ level }: LevelSeries): number {
  return level[0]!;
}
