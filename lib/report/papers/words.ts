import { plainText } from "../../text/plainText.ts";
import type { DigRule } from "../../plan/takeOff.ts";
import type { Feature } from "../../site/surroundings.ts";
import type { Site } from "../../site/site.ts";
import type { Clash } from "../../plan/clashes.ts";
import { inReach } from "../../plan/hazards.ts";
import { holeDistances, type HoleDistance } from "../../plan/holeDistances.ts";
import type { Reader } from "./reader.ts";

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

/** What cannot be built as drawn, in the reader's words. */
export function clashWords(site: Site, { kind, pipe, by }: Clash, reader: Reader): string {
  const { say } = reader;
  const name = pipe === null ? "" : pipe === "toTrench" ? say("hole.pipeTrench") : boxPipeWords(site, pipe.from, say);
  const shown = kind === "shoringAcrossPipe" ? reader.level(by) : reader.depth(by);
  const text = say(`clash.${kind}`, { pipe: name, by: shown });
  return text.charAt(0).toUpperCase() + text.slice(1);
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
  return ([["1 : 1", steep], ["1½ : 1", flat]] as const).filter(([, reached]) => reached.length > 0).map(([slope, reached]) => say("dig.reach", {
    slope, what: reached.map(({ feature, distance, from, kind }) => say("dig.reachItem", {
      feature: featureWords(feature, reader), distance: reader.distance(distance), hole: holeWords(site, from, kind, reader),
    })).join(", "),
  }));
}

/** Who says a rule, with the number that it is published under; the order list of the library has its source in full. */
export function ruleSource({ says, source }: Pick<DigRule, "says" | "source">): string {
  const number = /^\d+ CFR [^ ,]+/.exec(source)?.[0];
  return number === undefined ? says : `${says}, ${number}`;
}

/** Trees whose roots a hole meets: nearer than a crown is wide, 4 m by common practice. */
export function nearTrees(site: Site): HoleDistance[] {
  const rows = holeDistances(site).filter(({ feature: { kind }, distance }) => kind === "tree" && distance < 4);
  return rows.filter((row, i) => rows.findIndex(({ feature }) => feature === row.feature) === i);
}
