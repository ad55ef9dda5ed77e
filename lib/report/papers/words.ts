import { plainText } from "../../text/plainText.ts";
import { capital } from "../../text/words.ts";
import { greatestOf } from "../../numerics/extremes.ts";
import { soilTexture, textureNames, type TextureName } from "../../ground/soilTexture.ts";
import { conductivityAt, soilProfile } from "../../ground/soilProfile.ts";
import type { DigRule } from "../../plan/takeOff.ts";
import type { Feature } from "../../site/surroundings.ts";
import type { Site } from "../../site/site.ts";
import { deepEnd, type Hole } from "../../plan/hole.ts";
import type { Clash } from "../../plan/clashes.ts";
import { inReach, ROOTS, type NearFooting } from "../../plan/hazards.ts";
import { holeDistances, type HoleDistance } from "../../plan/holeDistances.ts";
import type { PhraseKey } from "./phrases.ts";
import type { Reader } from "./reader.ts";

/** How deep a hole is where it is deepest, by the levels that are printed. */
export function holeDepth(hole: Hole, { between }: Pick<Reader, "between">): string {
  const { ground, floor } = deepEnd(hole);
  return between(Math.max(ground, floor), floor);
}

/** A thing on the lot by its kind and its own name: `buried line “gas”`. */
export function featureWords({ kind, name }: Feature, { say }: Reader): string {
  const what = say(`feature.${kind}`);
  return name === null ? what : say("feature.named", { kind: what, name: plainText(name, 40) });
}

/** A hole by the name that the order list has for it. */
export function holeWords(site: Site, name: string, kind: HoleDistance["kind"], { say }: Reader): string {
  const { settlingBoxes } = site;
  if (kind === "pit") return say("hole.pit");
  if (kind === "trench") return say("hole.trench");
  if (kind === "box") return settlingBoxes.length === 1 ? say("hole.box") : say("hole.boxNamed", { name: plainText(name, 30) });
  if (name === "pipe to the trench") return say("hole.pipeTrench");
  if (name === "pipe to the emitter") return say("hole.pipeEmitter");
  return boxPipeWords(site, settlingBoxes.length === 1 ? null : name.replace(/^pipe from /, ""), say);
}

export function boxPipeWords({ settlingBoxes }: Site, from: string | null, say: Reader["say"]): string {
  return from === null || settlingBoxes.length === 1 ? say("hole.pipeBox") : say("hole.pipeBoxNamed", { name: plainText(from, 30) });
}

export function boxWords({ settlingBoxes }: Site, i: number, { say }: Reader): string {
  return settlingBoxes.length === 1 ? say("hole.box") : say("hole.boxNamed", { name: plainText(settlingBoxes[i]!.name, 30) });
}

/** What cannot be built as drawn, and what would mend it, in the reader's words. */
export function clashWords(site: Site, clash: Clash, reader: Reader): string {
  const { say } = reader;
  const { kind, pipe, by } = clash;
  const name = pipe === null ? "" : pipe === "toTrench" ? say("hole.pipeTrench") : boxPipeWords(site, pipe.from, say);
  const shown = kind === "shoringAcrossPipe" ? reader.levelStaff(by) : reader.depth(by);
  return [capital(say(`clash.${kind}`, { pipe: name, by: shown })), remedyWords(clash, reader)].filter((text) => text !== "").join(" ");
}

function remedyWords({ kind, by, to, fall, pit }: Clash, { say, depth, level, slope, tape }: Reader): string {
  if (pit !== null) return say("clash.pit", { length: tape(pit.length), width: tape(pit.width) });
  if (to === null) return "";
  const values = { by: depth(by), to: level(to) };
  if (kind === "lidUnderGround") return say("clash.dish", values);
  return fall === null || fall < 0 ? say("clash.lowerBoth", values) : say("clash.lower", { ...values, fall: slope(fall) });
}

/** What stands between a hole and the footing next to it, and what that was taken for. */
export function footingWords(site: Site, { row, hole, needed, taken, at, under }: NearFooting, reader: Reader): string {
  const { say, length, distance, tape, tapeStep } = reader;
  return capital(say(under ? "footing.row" : "footing.clear", {
    hole: holeWords(site, row.from, row.kind, reader), feature: featureWords(row.feature, reader), distance: distance(row.distance),
    deep: holeDepth(hole, reader), needed: tape(tapeStep * Math.ceil(needed / tapeStep - 1e-6)), // never less than it has to be
    at: at === "slab" ? say("footing.assumedSlab", { taken: length(taken) }) : say("footing.assumed"),
  }));
}

/** The works in a line: pit, chambers, trench, so that papers of two sizes are told apart. */
export function designWords({ chamberBank: pit, overflowTrench: trench }: Site, { say, tape }: Reader): string {
  return say("design.words", {
    pit: `${tape(pit.length)} × ${tape(pit.width)}`, n: pit.chambers.reduce((sum, { count }) => sum + count, 0), trench: trench === null ? say("word.none") : tape(trench.length),
  });
}

/** The layers of the soil and its water as somebody who digs can look for them. */
export function soilWords({ soil: { layers }, chamberBank: { groundwater } }: Site, { say, levelStaff, intensity }: Reader): string {
  const told = layers.map(({ top, conductivity }, i) => {
    const values = { soil: say(`soil.${asFastAs(conductivity)}`), rate: intensity(conductivity) };
    return i === 0 ? say("soil.layerTop", values) : say("soil.layer", { ...values, top: levelStaff(top) });
  });
  const water = groundwater === null ? say("soil.noWater") : say("soil.water", { level: levelStaff(greatestOf(groundwater.level)) });
  return [...told, water].join("; ");
}

/** The soil just under the pit's floor, in the same words. */
export function floorSoilWords({ soil: { layers }, chamberBank: { floor } }: Site, { say, intensity }: Reader): string {
  const conductivity = conductivityAt(soilProfile(layers, 1), floor);
  return say("soil.as", { soil: say(`soil.${asFastAs(conductivity)}`), rate: intensity(conductivity) });
}

/** The texture whose published conductivity is nearest, as a ratio; what is four times faster than sand is gravel. */
function asFastAs(conductivity: number): TextureName | "gravel" {
  const of = (name: TextureName): number => soilTexture(name).hydraulicConductivity;
  if (conductivity > 4 * of("sand")) return "gravel";
  const apart = (name: TextureName): number => Math.abs(Math.log(Math.max(conductivity, 1e-12) / of(name)));
  return textureNames().reduce((best, name) => (apart(name) < apart(best) ? name : best));
}

/** How near a line comes to a hole, and where along it. */
export function nearWords({ distance, chainage }: HoleDistance, reader: Reader): string {
  const { say, length } = reader;
  if (distance > 0) return say("lines.apart", { distance: reader.distance(distance) });
  const at = chainage.map(({ start, end }) => (length(start) === length(end) ? length(start) : say("lines.span", { from: length(start), to: length(end) })));
  return at.length === 0 ? say("lines.crosses") : say("lines.crossesAt", { at: at.join(", ") });
}

/** What the slope of a laid-back hole would reach: at 1 : 1, and what it would reach besides at 1½ : 1; no sentence where nothing. */
export function reachWords(site: Site, reader: Reader, only: (row: HoleDistance) => boolean = () => true): string[] {
  const { say } = reader;
  const steep = inReach(site, 1).filter(only);
  const flat = inReach(site, 1.5).filter(only)
    .filter((row) => !steep.some(({ feature, from }) => feature === row.feature && from === row.from));
  return ([[say("slope.one"), steep], [say("slope.oneHalf"), flat]] as const).filter(([, reached]) => reached.length > 0).map(([slope, reached]) => say("dig.reach", {
    slope, what: reached.map(({ feature, distance, from, kind }) => say("dig.reachItem", {
      feature: featureWords(feature, reader), distance: reader.distance(distance), hole: holeWords(site, from, kind, reader),
    })).join(", "),
  }));
}

/** Who says a rule, with the number that it is published under; the order list of the library has its source in full. */
export function ruleSource({ says, source }: Pick<DigRule, "says" | "source">, reader: Reader): string {
  const number = /^\d+ CFR [^ ,]+/.exec(source)?.[0];
  return number === undefined ? saysWords(says, reader) : `${saysWords(says, reader)}, ${number}`;
}

/** Who asks for something, in the reader's language where its name has another one there. */
export function saysWords(says: string, { say }: Pick<Reader, "say">): string {
  const key = SAID_BY[says];
  return key === undefined ? says : say(key);
}

const SAID_BY: Readonly<Record<string, PhraseKey>> = Object.freeze({
  "US OSHA": "says.US OSHA", "British contractors": "says.British contractors", "Austrian ordinances": "says.Austrian ordinances",
  "Ontario guidance": "says.Ontario guidance", "England": "says.England",
});

/** Trees whose roots a hole meets. */
export function nearTrees(site: Site): HoleDistance[] {
  const rows = holeDistances(site).filter(({ feature: { kind }, distance }) => kind === "tree" && distance < ROOTS);
  return rows.filter((row, i) => rows.findIndex(({ feature }) => feature === row.feature) === i);
}
