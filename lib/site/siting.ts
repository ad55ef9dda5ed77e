import { separation } from "../ground/separation.ts";
import { lengthText, levelText } from "../units/format.ts";
import { quantity } from "../units/quantity.ts";
import { featureDistances, isOnLot, type FeatureDistance } from "./featureDistances.ts";
import { featureName } from "./featureName.ts";
import { isBelow } from "./judge.ts";
import { setbackRules, type SetbackRule } from "./setbackRules.ts";
import type { Site } from "./site.ts";
import { worksShapes } from "./worksShapes.ts";

/** A rule and a feature of its kind: what is found beside what is asked. Margins are below 0 where it lies nearer than asked [m]. */
export interface SitingRow {
  readonly rule: SetbackRule;
  /** the rule's distance [m] */
  readonly asked: number;
  readonly feature: FeatureDistance["feature"];
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
  /** of the highest groundwater given, or of bedrock [m] */
  readonly level: number;
  /** from it up to the pit's floor; below 0 where it stands over the floor [m] */
  readonly found: number;
  readonly margin: number;
}

/** A site's distances beside what others ask for. It compares; it decides nothing. */
export interface Siting {
  readonly header: string;
  /** what was asked, in the order asked */
  readonly rules: readonly SetbackRule[];
  /** in the order of the features, the rules of each from the largest distance down */
  readonly rows: readonly SitingRow[];
  readonly depths: readonly DepthRow[];
  readonly distances: readonly FeatureDistance[];
  /** rules for which the file has no feature to measure to: what was not looked at */
  readonly unmeasured: readonly SetbackRule[];
  readonly notes: readonly string[];
}

/**
 * For each rule and each feature of its kind: the nearest distance from the pit's and the trench's edge, the distance asked for,
 * and the margin between. For rules on groundwater and bedrock the same downward from the pit's floor.
 *
 * @param options.rules  in place of those of the site: its own, and the published ones unless it sets them aside
 * @throws InputError    for a rule whose distance cannot be read
 */
export function siting(site: Site, options: { readonly rules?: readonly SetbackRule[] } = {}): Siting {
  const rules = options.rules ?? siteRules(site);
  const asked = rules.map(({ distance }, i) => quantity(distance, "length", `rules[${i}].distance`));
  const distances = featureDistances(site);
  const rows = distances.flatMap(({ feature, pit, trench }) => rules
    .flatMap((rule, i): SitingRow[] => {
      if (!speaksOf(rule, feature)) return [];
      return [{
        rule, asked: asked[i]!, feature, pit, pitMargin: pit - asked[i]!, trench, trenchMargin: trench === null ? null : trench - asked[i]!,
      }];
    })
    .sort((a, b) => b.asked - a.asked));
  const depths = depthRows(site, rules, asked);
  const used = new Set([...rows, ...depths].map(({ rule }) => rule));
  return { header: HEADER, rules, rows, depths, distances, unmeasured: rules.filter((rule) => !used.has(rule)), notes: sitingNotes(site) };
}

/** The rules that a site is asked by: its own first, then the published ones unless it sets them aside. */
export function siteRules({ surroundings }: Site): readonly SetbackRule[] {
  if (surroundings === null) return setbackRules;
  return [...surroundings.rules, ...(surroundings.publishedRules ? setbackRules : [])];
}

/** A slope whose steepness is not given is taken for one that the rule speaks of. */
export function speaksOf({ from, steeperThan = 0 }: SetbackRule, { kind, gradient }: FeatureDistance["feature"]): boolean {
  return from === kind && !isBelow(gradient ?? Infinity, steeperThan);
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
    return apart === null ? [] : [{ rule, asked: asked[i]!, level: chamberBank.floor - apart, found: apart, margin: apart - asked[i]! }];
  });
}

/** What the plan itself says that is worth a look before it is built. */
function sitingNotes(site: Site): string[] {
  const { surroundings, units } = site;
  if (surroundings === null) return ["The file says nothing of what stands around the works: no distance was looked at."];
  return [
    ...worksNotes(site),
    ...surroundings.features.filter(({ kind, gradient }) => kind === "slope" && gradient === null)
      .map((slope) => `The steepness of ${featureName(slope)} is not given: it is taken for one that every rule on slopes speaks of.`),
    ...slabNotes(site),
    ...site.chamberBank.groundwater === null ? ["No groundwater level is given: nothing is said of the rules that ask for one."] : [],
    ...(surroundings.bedrock !== null && isBelow(site.chamberBank.floor, surroundings.bedrock)
      ? [`The floor of the pit lies ${lengthText(surroundings.bedrock - site.chamberBank.floor, units)} below the top of bedrock.`] : []),
  ];
}

function worksNotes(site: Site): string[] {
  const works = worksShapes(site);
  if (works === null) return [];
  const notes: string[] = [];
  if (!isOnLot(site, works.pit)) notes.push("The pit lies outside the lot or across its boundary: its distance to the boundary is written as 0.");
  if (works.trench === null) return notes;
  if (!isOnLot(site, works.trench.line)) notes.push("The trench lies outside the lot or across its boundary.");
  const drawn = lineLength(works.trench.line.points);
  const { length } = site.overflowTrench!;
  if (Math.abs(drawn - length) > LENGTH_SLACK * length) {
    notes.push(`The trench is drawn ${lengthText(drawn, site.units)} long on the plan and given as ${lengthText(length, site.units)}.`);
  }
  return notes;
}

/** of a trench's length: a plan is rarely drawn more closely */
const LENGTH_SLACK = 0.05;

function lineLength(points: readonly (readonly [number, number])[]): number {
  return points.slice(1).reduce((sum, [x, y], i) => sum + Math.hypot(x - points[i]![0], y - points[i]![1]), 0);
}

/** A floor slab that lies lower than the water can stand in the pit before it has a way out. */
function slabNotes({ surroundings, emitter, chamberBank, units }: Site): string[] {
  const highest = emitter === null ? chamberBank.ground : Math.min(chamberBank.ground, emitter.opensAt);
  return surroundings!.features.filter(({ slab }) => slab !== null && isBelow(slab, highest)).map((building) =>
    `The slab of ${featureName(building)} at ${levelText(building.slab!, units)} lies ${lengthText(highest - building.slab!, units)} lower than water stands in the pit before it comes out at ${levelText(highest, units)}.`);
}
