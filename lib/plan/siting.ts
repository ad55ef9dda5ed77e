import { leastOf } from "../numerics/extremes.ts";
import { separation } from "../ground/separation.ts";
import { depthText, lengthText, levelText } from "../text/format.ts";
import { quantity } from "../text/quantity.ts";
import { featureName } from "../site/featureName.ts";
import { holeDistances, isOnLot, type HoleDistance } from "./holeDistances.ts";
import { isBelow } from "../site/judge.ts";
import { materialFigures } from "../site/materials.ts";
import { askedWords, regionsNamed, regionTaken, type RegionCode, type RegionTaken } from "../site/region.ts";
import { setbackRules } from "./setbackRules.ts";
import type { Site } from "../site/site.ts";
import type { Feature, SetbackRule } from "../site/surroundings.ts";
import { worksShapes, type PlacedHole, type WorksShapes } from "./worksShapes.ts";

/** One feature and one hole. */
export type SitingRow = HoleDistance;

/** A rule and a feature of its kind: what is found beside what is asked. Margins are below 0 where it lies nearer than asked [m]. */
export interface SetbackRow {
  readonly rule: SetbackRule;
  /** the rule's distance [m] */
  readonly asked: number;
  readonly feature: Feature;
  readonly pit: number;
  readonly pitMargin: number;
  /** null where the plan does not tell where the trench lies */
  readonly trench: number | null;
  readonly trenchMargin: number | null;
}

/** A rule about what lies under the pit's floor. */
export interface DepthRow {
  readonly rule: SetbackRule;
  readonly asked: number;
  /** whether that is the highest of several levels of groundwater; false where the file gives one */
  readonly isHighest: boolean;
  /** of the highest groundwater given, or of bedrock [m] */
  readonly level: number;
  /** from it up to the pit's floor; below 0 where it stands over the floor [m] */
  readonly found: number;
  readonly margin: number;
}

/** A site's distances beside what others ask for. It compares; it decides nothing. */
export interface Siting {
  readonly header: string;
  /** every feature from every hole that the plan places: what crosses first, services before all else, then the nearest */
  readonly rows: readonly SitingRow[];
  /** the holes that the plan does not place, from which nothing is measured, in words: `the hole for the settling box` */
  readonly unplaced: readonly string[];
  /** how the holes were taken for the measuring, in words; none without a plan */
  readonly measured: readonly string[];
  /** whose published rules are asked, and why */
  readonly region: RegionTaken;
  /** the same in words, with what is asked besides or instead */
  readonly asking: string;
  /** what was asked, in the order asked */
  readonly rules: readonly SetbackRule[];
  /** in the order of the features, the rules of each from the largest distance down; rules speak of what soaks, pit and trench */
  readonly setbacks: readonly SetbackRow[];
  readonly depths: readonly DepthRow[];
  /** rules for which the file has no feature to measure to: what was not looked at */
  readonly unmeasured: readonly SetbackRule[];
  readonly notes: readonly string[];
}

/** Which rules are asked, in place of those of the site. */
export interface SitingOptions {
  readonly rules?: readonly SetbackRule[];
  /** countries whose published rules are asked in place of those that the site's are, as `["US", "CA"]` */
  readonly regions?: readonly RegionCode[];
}

/**
 * Every feature's distance from every hole, crossings first; and for each rule and each feature of its kind the distance from the
 * pit's and the trench's edge, the distance asked for, and the margin between. For rules on groundwater and bedrock the same
 * downward from the pit's floor.
 *
 * @param options.rules    in place of those of the site: its own, and the published ones unless it sets them aside
 * @param options.regions  whose published rules are asked; those of the site's own country where not given
 * @throws InputError      for a rule whose distance cannot be read
 */
export function siting(site: Site, options: SitingOptions = {}): Siting {
  const rules = options.rules ?? siteRules(site, options.regions);
  const asked = rules.map(({ distance }, i) => quantity(distance, "length", `rules[${i}].distance`));
  const works = worksShapes(site);
  const rows = holeDistances(site);
  const setbacks = (site.surroundings?.features ?? []).flatMap((feature) => {
    const at = (kind: SitingRow["kind"]): number | null => rows.find((row) => row.feature === feature && row.kind === kind)?.distance ?? null;
    const [pit, trench] = [at("pit")!, at("trench")];
    return rules
      .flatMap((rule, i): SetbackRow[] => {
        if (!speaksOf(rule, feature)) return [];
        const far = asked[i]!;
        return [{ rule, asked: far, feature, pit, pitMargin: pit - far, trench, trenchMargin: trench === null ? null : trench - far }];
      })
      .sort((a, b) => b.asked - a.asked);
  });
  const depths = depthRows(site, rules, asked);
  const used = new Set([...setbacks, ...depths].map(({ rule }) => rule));
  const region = regionTaken(site);
  return {
    header: HEADER, rows, unplaced: works?.unplaced ?? [], measured: works === null ? [] : measuredWords(works, site),
    region, asking: options.rules === undefined ? askingWords(site, options.regions) : "Rules of the call's own are asked.",
    rules, setbacks, depths, unmeasured: rules.filter((rule) => !used.has(rule)), notes: sitingNotes(site, works),
  };
}

/** The rules that a site is asked by: its own first, then the published ones of its country unless it sets them aside or names others. */
export function siteRules(site: Site, regions: readonly RegionCode[] = regionsAsked(site)): readonly SetbackRule[] {
  return [...site.surroundings?.rules ?? [], ...setbackRules.filter(({ region }) => regions.includes(region!))];
}

function regionsAsked(site: Site): readonly RegionCode[] {
  return site.surroundings?.publishedRules === false ? [] : regionsNamed(site);
}

/** A slope whose steepness is not given is taken for one that the rule speaks of. */
export function speaksOf({ from, steeperThan = 0 }: SetbackRule, { kind, gradient }: Feature): boolean {
  return from === kind && !isBelow(gradient ?? Infinity, steeperThan);
}

/** Whose rules are asked, and why; what is held of none is said. */
function askingWords(site: Site, called: readonly RegionCode[] | undefined): string {
  const asked = askedWords(site, called ?? regionsAsked(site), setbackRules, "", called !== undefined);
  return (site.surroundings?.rules.length ?? 0) === 0 ? asked : `${asked} The file's own rules are asked first.`;
}

const HEADER = "What others ask for; your local code and a licensed practitioner decide.";

function depthRows({ chamberBank, surroundings }: Site, rules: readonly SetbackRule[], asked: readonly number[]): DepthRow[] {
  const water = chamberBank.groundwater;
  const rock = surroundings?.bedrock ?? null;
  const found = {
    groundwater: water === null ? null : separation(chamberBank.floor, water),
    bedrock: rock === null ? null : chamberBank.floor - rock,
  };
  return rules.flatMap((rule, i): DepthRow[] => {
    const apart = rule.from === "groundwater" || rule.from === "bedrock" ? found[rule.from] : null;
    return apart === null ? [] : [{ rule, asked: asked[i]!, isHighest: rule.from === "groundwater" && new Set(water!.level).size > 1, level: chamberBank.floor - apart, found: apart, margin: apart - asked[i]! }];
  });
}

/** How the holes were taken, with what the file does not give. */
function measuredWords({ holes, unplaced }: WorksShapes, site: Site): string[] {
  const { units, surroundings } = site;
  const { figures, assumed } = materialFigures(site);
  const words = (key: "workingSpace" | "boxWall" | "pipeTrenchWidth"): string =>
    `${depthText(figures[key], units)}${assumed.some((each) => each.key === key) ? " (common practice, not in the file)" : ""}`;
  const has = (kind: SitingRow["kind"]): boolean => holes.some((hole) => hole.kind === kind);
  return [
    "Measured from the edge of each hole to be dug.",
    ...(has("box") ? [`The hole for a box is taken as wide as the box with its wall, ${words("boxWall")}, and room to work on each side, ${words("workingSpace")}, lying along its pipe.`] : []),
    ...(has("pipe") ? [`The file gives no way of a pipe: each is taken straight, from the wall of a box towards the nearest chamber as far as the edge of the pit${site.overflowTrench === null ? "" : ", or from there to the trench"}, in a trench ${words("pipeTrenchWidth")} wide.`] : []),
    ...(has("pipe") || has("trench") ? ["Along a trench or a pipe it is counted from the upper end."] : []),
    ...(unplaced.length === 0 ? [] : [`Not on the plan, so that nothing is measured from ${unplaced.length === 1 ? "it" : "them"}: ${listed(unplaced)}.`]),
    ...(surroundings!.features.some(({ distance }) => distance !== null) && holes.length > 1
      ? ["What is given by its distance from the pit is measured from no other hole."] : []),
  ];
}

function listed(names: readonly string[]): string {
  return names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)!}`;
}

/** What the plan itself says that is worth a look before it is built. */
function sitingNotes(site: Site, works: WorksShapes | null): string[] {
  const { surroundings, units } = site;
  if (surroundings === null) return ["The file says nothing of what stands around the works: no distance was looked at."];
  return [
    ...(works === null ? [] : worksNotes(works, site)),
    ...surroundings.features.filter(({ kind, gradient }) => kind === "slope" && gradient === null)
      .map((slope) => `The steepness of ${featureName(slope)} is not given: it is taken for one that every rule on slopes speaks of.`),
    ...slabNotes(site),
    ...site.chamberBank.groundwater === null ? ["No groundwater level is given: nothing is said of the rules that ask for one."] : [],
    ...(surroundings.bedrock !== null && isBelow(site.chamberBank.floor, surroundings.bedrock)
      ? [`The floor of the pit lies ${lengthText(surroundings.bedrock - site.chamberBank.floor, units)} below the top of bedrock.`] : []),
  ];
}

function worksNotes({ holes }: WorksShapes, site: Site): string[] {
  const off = holes.filter((hole) => !isOnLot(site, hole)).map(({ phrase }) => phrase);
  return [
    ...(off.length === 0 ? [] : [`Outside the lot or across its boundary, the distance to which is written as 0: ${listed(off)}.`]),
    ...holes.flatMap((hole) => lengthNotes(hole, site)),
  ];
}

/**
 * What a run is on the plan beside what the file gives. A pipe given longer than the straight way bends somewhere. All of it lies
 * within the ellipse about its two ends, which goes beyond the straight line by
 *
 *   sqrt(L^2 - d^2) / 2        for a length L and ends d apart
 */
function lengthNotes({ kind, phrase, shape, length }: PlacedHole, { units }: Site): string[] {
  if (shape.closed) return [];
  const name = `${phrase.charAt(0).toUpperCase()}${phrase.slice(1)}`;
  const drawn = lineLength(shape.points);
  if (length === null) return [`${name} is ${lengthText(drawn, units)} long on the plan and has no length in the file: it is in no run and no list.`];
  if (Math.abs(drawn - length) <= LENGTH_SLACK * Math.max(drawn, length)) return [];
  if (kind === "trench") return [`${name} is drawn ${lengthText(drawn, units)} long on the plan and given as ${lengthText(length, units)}.`];
  const given = `${name} is given as ${lengthText(length, units)} long; straight on the plan it is ${lengthText(drawn, units)}.`;
  if (length < drawn) return [given];
  return [`${given} Where it does not run straight it can come up to ${lengthText(Math.sqrt(length ** 2 - drawn ** 2) / 2, units)} nearer to things than measured.`];
}

/** of a length: a plan is rarely drawn more closely */
const LENGTH_SLACK = 0.05;

function lineLength(points: readonly (readonly [number, number])[]): number {
  return points.slice(1).reduce((sum, [x, y], i) => sum + Math.hypot(x - points[i]![0], y - points[i]![1]), 0);
}

/**
 * How high water comes to stand in the pit before it has a way out [m]: ground, rims and grate, and what lies behind the pipe to the
 * trench, for which the pit has to stand over that pipe's crest.
 */
function highestInPit({ settlingBoxes, chamberBank, overflowTrench, emitter, lowSpot }: Site): number {
  const behind = Math.min(overflowTrench?.lowestGround ?? Infinity, emitter?.opensAt ?? Infinity);
  return leastOf(
    [chamberBank.ground, lowSpot?.grate?.level ?? Infinity, ...settlingBoxes.map(({ rim }) => rim),
    Math.max(overflowTrench?.inlet.crest ?? Infinity, behind)],
  );
}

/** A floor slab that lies lower than the water can stand in the pit before it has a way out. */
function slabNotes(site: Site): string[] {
  const { surroundings, units } = site;
  const highest = highestInPit(site);
  return surroundings!.features.filter(({ slab }) => slab !== null && isBelow(slab, highest)).map((building) =>
    `The slab of ${featureName(building)} at ${levelText(building.slab!, units)} lies ${lengthText(highest - building.slab!, units)} lower than water stands in the pit before it comes out at ${levelText(highest, units)}.`);
}
