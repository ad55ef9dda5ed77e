import { separation } from "../ground/separation.ts";
import type { SoilTest } from "../ground/test/soilTest.ts";
import { type Band, withinSiteBand } from "../ground/test/withinSiteBand.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { depthText, displayUnits, intensityBandText, intensityRangeText, intensityText, lengthText, levelText, threeFigures, type UnitSystem } from "../text/format.ts";
import { isBelow } from "./judge.ts";
import { implausibleNotes, startsFull } from "./plausibleLevels.ts";
import type { ChamberBank, LevelSeries, Pipe, SettlingBox, Site, SoilLayer, SoilOrigin } from "./site.ts";
import { soilDivisor, STATED_AT } from "./soilDivisor.ts";
import { type HolesOrigin, isTested, nearestOf } from "./testHoles.ts";
import { pitFloorTakes } from "./takesIn.ts";
import { lidOffGround } from "./trenchGround.ts";

/** Whether the conductivity of every layer comes of a test in the ground, of some, or of none. */
export function testedLayers({ layers }: Pick<Site["soil"], "layers">): "none" | "some" | "all" {
  const tested = layers.filter(isTested).length;
  return tested === 0 ? "none" : tested === layers.length ? "all" : "some";
}

/**
 * What a design leans on that it should not: a soil that nobody tested, and a factor of safety below 2, which is less than is asked
 * for even of a tested one. The first line of a site's notes; null where neither holds, and where no water goes into that soil.
 *
 * @source  a factor of 2 or more on a tested conductivity: common practice, no source
 */
export function soilCaveat({ soil, emitter, units }: Pick<Site, "soil" | "emitter" | "units">): string | null {
  if (!soil.floor && !soil.sides && (emitter?.weepHole ?? null) === null) return null;
  const tested = testedLayers(soil);
  const { factorOfSafety } = soil;
  const untested = { none: "No test of the soil is given", some: "Not every layer of the soil is tested", all: null }[tested];
  const undivided = soil.temperature === STATED_AT ? "used as given" : "divided by no factor of safety";
  const thin = factorOfSafety < 2 ? `its conductivity is ${factorOfSafety === 1 ? undivided : `divided by ${threeFigures(factorOfSafety)} only`}, where common practice divides a tested one by 2 or more` : null;
  if (untested === null && thin === null) return null;
  const used = soil.layers.map(({ conductivity }) => conductivity / soilDivisor(soil));
  const spread = intensityRangeText(leastOf(used), greatestOf(used), units);
  const words = untested === null ? `The soil is tested, but ${thin!}` : `${untested}${thin === null ? "" : `, and ${thin}`}`;
  return `${words}: every time to drain and all that comes out hangs on the ${spread} used.`;
}

/** What is worth saying of the soil: where its conductivity is from, how far that can be believed, and what it is used for. */
function soilNotes(site: Pick<Site, "soil" | "chamberBank" | "overflowTrench" | "emitter" | "units">): string[] {
  const { soil, chamberBank, emitter, units } = site;
  const { layers, floor, sides, factorOfSafety } = soil;
  const notes = layers.flatMap((layer, i) => originNotes(layer, layers.length === 1 ? "the soil" : `soil layer ${i + 1}`, units));
  if (!floor && !sides) {
    notes.push(`Neither floors nor sides take in water: ${(emitter?.weepHole ?? null) === null ? "nothing soaks away" : "only the weep hole lets some into the soil"}.`);
  } else if (layers.every(({ conductivity }) => conductivity === 0)) notes.push("The soil takes in nothing: no water soaks away.");
  if (pitFloorTakes(site) && chamberBank.openFloorShare === 1) notes.push(cloggingNote(1)!);
  if (factorOfSafety < 1) notes.push(`A factorOfSafety of ${factorOfSafety} makes the soil better than it was given.`);
  return notes;
}

function originNotes(layer: SoilLayer, name: string, units: UnitSystem): string[] {
  if (layer.origin === null) return [];
  switch (layer.origin.kind) {
    case "test": return testNotes(layer, layer.origin, name, units);
    case "tests": return holesNotes(layer, layer.origin, name, units);
    case "texture": return [textureNote(layer, layer.origin, name, units)];
  }
}

function testNotes(layer: SoilLayer, { test, result }: SoilOrigin & { readonly kind: "test" }, name: string, units: UnitSystem): string[] {
  const { low, high } = layerBand(layer);
  const byGravity = "fieldSaturated" in result && result.fieldSaturated < layer.conductivity
    ? ` by gravity alone, which the file asks for (conductivityFrom "hole"), and ${intensityText(result.fieldSaturated, units)} by the steady law` : "";
  const says = `${TESTS[test]} says ${intensityText(layer.conductivity, units)} for ${name}${byGravity}`;
  const summary = layer.conductivity === 0
    ? `${says}, and ${intensityText(high, units)} at most.`
    : `${says}, where ${NAIVE[test]} alone would have said ${intensityText(result.naive, units)}. Soil scatters within a site: reckon with `
      + `${intensityBandText(low, high, units)}, and run the low end too.`;
  return [summary, ...result.notes];
}

/** How several holes of a layer combine, with what each says and where it lies. */
function holesNotes(layer: SoilLayer, { holes, mean, taken }: HolesOrigin, name: string, units: UnitSystem): string[] {
  const { low, high } = layerBand(layer);
  const each = holes.map((hole) => `${intensityText(hole.conductivity, units)} in “${hole.name}”${hole.fromPit === null ? "" : hole.fromPit === 0 ? " at the pit" : `, ${lengthText(hole.fromPit, units)} from the pit`}`).join("; ");
  const nearest = nearestOf(holes);
  const used = {
    mean: `their geometric mean, ${intensityText(mean, units)}, is used${nearest === null ? "; which of them is nearest to the pit is not known" : ", and the hole nearest to the pit is no slower"}`,
    nearest: `their geometric mean is ${intensityText(mean, units)}, and the ${intensityText(layer.conductivity, units)} of the hole nearest to the pit, which is slower, is used`,
    undrained: "one of them does not drain, and nothing is taken for the layer until it is known why: they are not one soil",
  }[taken];
  const band = taken === "undrained" ? `It is ${intensityText(high, units)} at most`
    : holes.length > 2 ? `By their own scatter reckon with ${intensityBandText(low, high, units)}, and run the low end too`
      : `Two holes do not tell how soil scatters here: with the scatter of soils within a site reckon with ${intensityBandText(low, high, units)}, and run the low end too`;
  return [
    `${holes.length} test holes say for ${name}: ${each}. Of these ${used}. ${band}.`,
    ...holes.flatMap(({ name: hole, result }) => result.notes.map((note) => `“${hole}”: ${note}`)),
  ];
}

const TESTS: Readonly<Record<SoilTest["kind"], string>> = {
  percolationHole: "The percolation hole", trialPit: "The trial pit", borehole: "The borehole test", constantHead: "The constant-head test",
};

/** What each test measures, and what is no conductivity. */
const NAIVE: Readonly<Record<SoilTest["kind"], string>> = {
  percolationHole: "the fall of its water", trialPit: "the fall of its water", borehole: "the fall of its water", constantHead: "the flow over its floor",
};

function textureNote({ conductivity }: SoilLayer, { texture }: SoilOrigin & { readonly kind: "texture" }, name: string, units: UnitSystem): string {
  const { published, band } = texture;
  return `The conductivity of ${name}, ${intensityText(conductivity, units)}, is that of any ${texture.name}: ${intensityBandText(published.low, published.high, units)} `
    + `is published, and ${intensityBandText(band.low, band.high, units)} can be met within one site. A name is no test.`;
}

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
  const notes: string[] = [];
  const off = lidOffGround({ emitter, overflowTrench });
  const ground = (): string => `the ground at the trench's low end, ${levelText(overflowTrench!.ground.low, units)}`;
  if (off < 0) {
    notes.push(`The emitter's crest lies ${depthText(-off, units)} below ${ground()}: a lid works at the surface, and a run takes it as free all the same. Where the ground falls towards it, "ground" takes { "high", "low" }.`);
  } else if (off > 0) notes.push(`The emitter's crest stands ${depthText(off, units)} above ${ground()}.`);
  if (emitter.tailwater !== null && isBelow(emitter.crest, emitter.tailwater)) {
    notes.push(`Water outside the emitter stands ${depthText(emitter.tailwater - emitter.crest, units)} over its crest: it has to open against that.`);
  }
  if (emitter.dischargesTo !== null && lowSpot !== null && isBelow(emitter.crest, lowSpot.lip)) {
    notes.push(`The low spot can fill ${depthText(lowSpot.lip - emitter.crest, units)} over the emitter's crest before it runs off: the emitter can drown in its own puddle.`);
  }
  return notes;
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

/** @param isTold  whether the groundwater that stands in it when a run begins is mentioned elsewhere */
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
  return boxes.length === 1 ? "the settling box" : `box “${name}”`;
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

/**
 * Chambers of one size that a pit has no room for side by side in rows: m along the length and n along the width, each with its
 * gap to the next and none to the pit's wall. Other patterns may hold more, so that it is worth a note and no more.
 */
function chamberNotes({ chamberBank, units }: Pick<Site, "chamberBank" | "units">): string[] {
  const { length, width, chambers } = chamberBank;
  return chambers.flatMap((chamber) => {
    const { count, outsideDiameter, gap } = chamber;
    const most = inRow(length, chamber) * inRow(width, chamber);
    if (count <= most) return [];
    const { size, label } = displayUnits(units).depth;
    const apart = gap === null || gap === 0 ? "" : `, ${depthText(gap, units)} apart,`;
    return [`${count} chambers of ${threeFigures(outsideDiameter / size)} ${label}${apart} do not stand side by side in `
      + `${lengthText(length, units)} x ${lengthText(width, units)}: a grid holds at most ${most}.`];
  });
}

/** Chambers that exactly fill a row do so but for round-off. */
function inRow(room: number, { outsideDiameter, gap }: ChamberBank["chambers"][number]): number {
  const apart = gap ?? 0;
  return Math.floor((room + apart) / (outsideDiameter + apart) + 1e-9);
}

/**
 * Where the conductivity of a layer is taken to lie, with 95 percent confidence: the band of its test or texture, and that of
 * soils within a site where the file gives a bare figure. Before the factor of safety, which is a choice and no measurement.
 *
 * @source  see `withinSiteBand`
 */
export function layerBand({ conductivity, origin }: SoilLayer): Band {
  if (origin === null) return withinSiteBand(conductivity);
  return origin.kind === "texture" ? origin.texture.band : origin.band;
}

/**
 * What should be said of a floor that is taken to stay open: silt settles on it for as long as it is used, so that a clean floor
 * for life is optimistic.
 *
 * @param openFloorShare  of the floor that still drains, 0 to 1
 * @returns  a sentence, or null for a sealed floor
 * @throws RangeError  when the share is not from 0 to 1
 * @source  common practice; British sizing by the block-storm rule counts the sides alone for this reason
 * @example cloggingNote(0); // => null
 */
export function cloggingNote(openFloorShare: number): string | null {
  if (!(openFloorShare >= 0 && openFloorShare <= 1)) throw new RangeError(`openFloorShare: expected 0 to 1, got ${openFloorShare}`);
  if (openFloorShare === 0) return null;
  const counted = openFloorShare === 1 ? "The floor of the pit is taken to stay clean"
    : `${Math.round(100 * openFloorShare)} percent of the pit's floor is taken to stay open`;
  return `${counted} for life, which is optimistic (common practice): look at "openFloorShare": 0 as well.`;
}
