import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { cloggingNote } from "../ground/clogging.ts";
import type { SoilTest } from "../ground/test/soilTest.ts";
import { intensityRangeText, intensityText, threeFigures, type UnitSystem } from "../text/format.ts";
import { layerBand } from "./layerBand.ts";
import { soilDivisor, STATED_AT } from "./soilDivisor.ts";
import { pitFloorTakes } from "./takesIn.ts";
import type { Site, SoilLayer, SoilOrigin } from "./site.ts";

/** Whether the conductivity of every layer comes of a test in the ground, of some, or of none. */
export function testedLayers({ layers }: Pick<Site["soil"], "layers">): "none" | "some" | "all" {
  const tested = layers.filter(({ origin }) => origin?.kind === "test").length;
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
export function soilNotes(site: Pick<Site, "soil" | "chamberBank" | "overflowTrench" | "emitter" | "units">): string[] {
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
  return layer.origin.kind === "test" ? testNotes(layer, layer.origin, name, units) : [textureNote(layer, layer.origin, name, units)];
}

function testNotes(layer: SoilLayer, { test, result }: SoilOrigin & { readonly kind: "test" }, name: string, units: UnitSystem): string[] {
  const { low, high } = layerBand(layer);
  const byGravity = "fieldSaturated" in result && result.fieldSaturated < layer.conductivity
    ? ` by gravity alone, which the file asks for (conductivityFrom "hole"), and ${intensityText(result.fieldSaturated, units)} by the steady law` : "";
  const says = `${TESTS[test]} says ${intensityText(layer.conductivity, units)} for ${name}${byGravity}`;
  const summary = layer.conductivity === 0
    ? `${says}, and ${intensityText(high, units)} at most.`
    : `${says}, where ${NAIVE[test]} alone would have said ${intensityText(result.naive, units)}. Soil scatters within a site: reckon with `
      + `${intensityRangeText(low, high, units)}, and run the low end too.`;
  return [summary, ...result.notes];
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
  return `The conductivity of ${name}, ${intensityText(conductivity, units)}, is that of any ${texture.name}: ${intensityRangeText(published.low, published.high, units)} `
    + `is published, and ${intensityRangeText(band.low, band.high, units)} can be met within one site. A name is no test.`;
}
