import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { frostDepth } from "../ground/frostDepth.ts";
import { changedSite } from "../site/changedSite.ts";
import type { OverflowTrench, Site } from "../site/site.ts";
import { trenchDepths } from "../site/trenchGround.ts";
import type { UpkeepFigures } from "../site/upkeep.ts";
import type { YearAnswer } from "./yearAnswer.ts";

/** A part of the works, and how deep its top and its bottom lie under the ground over it [m]. */
export interface FrostPlace {
  readonly name: string;
  readonly top: number;
  readonly bottom: number;
  /** how far frost comes: not to it, into it, or below it */
  readonly reach: "above" | "into" | "below";
}

/** What the cold does to the works. */
export interface ColdDays {
  /** null where the file gives no freezing index; whether it reaches the trench's floor, so that the trench takes in nothing */
  readonly frost: { readonly depth: number; readonly places: readonly FrostPlace[]; readonly trenchFreezes: boolean } | null;
  /** of the water in the soil in the cold months [degC] */
  readonly coldWater: number;
  /** the same storms on new works */
  readonly storms: readonly ColdStorm[];
}

/** A storm as given, and as the cold makes it worse step by step. */
export interface ColdStorm {
  readonly asGiven: YearAnswer;
  readonly coldWater: YearAnswer;
  /** and the soil down to the frost's depth taking none; null where no frost is looked at */
  readonly frozenGround: YearAnswer | null;
  /** and the lid iced shut; null without an emitter */
  readonly lidIced: YearAnswer | null;
}

/**
 * Frost beside the depths of the works, and the storms again with cold, thicker water in the soil, with frozen soil that takes none
 * (on the safe side: dry frozen soil still takes some), and with the lid iced shut. A trench whose floor frost reaches where it lies
 * nearest to the ground takes no water at all; elsewhere soil is frozen down to the frost's depth under the lower of the grounds. Water
 * that freezes in pipes is not in the model; `frost` says which of them lie in frozen ground.
 *
 * @param answersOf  what the storms do on a site, with these passages shut
 */
export function coldDays(
  site: Site, figures: UpkeepFigures, answersOf: (site: Site, blocked: readonly string[]) => readonly YearAnswer[],
): ColdDays {
  const frost = frostOf(site, figures);
  const cold = changedSite(site, { soil: { ...site.soil, temperature: figures.coldWater } });
  const frozen = frost === null ? cold : withFrozenGround(cold, frost);
  const shut = frost?.trenchFreezes === true ? ["trenchSeepage", ...((site.emitter?.weepHole ?? null) === null ? [] : ["weep"])] : [];
  const [asGiven, coldWater] = [answersOf(site, []), answersOf(cold, [])];
  const frozenGround = frost === null ? null : answersOf(frozen, shut);
  const iced = site.emitter === null ? null : answersOf(frozen, [...shut, "emitter"]);
  return {
    frost,
    coldWater: figures.coldWater,
    storms: asGiven.map((each, i) => (
      { asGiven: each, coldWater: coldWater[i]!, frozenGround: frozenGround?.[i] ?? null, lidIced: iced?.[i] ?? null }
    )),
  };
}

/** The soil with nothing let in above the frost's depth, under a trench that takes none by itself as under the pit alone. */
function withFrozenGround(site: Site, { depth, trenchFreezes }: NonNullable<ColdDays["frost"]>): Site {
  const { chamberBank, overflowTrench } = site;
  const grounds = [chamberBank.ground, ...(trenchFreezes || overflowTrench === null ? [] : [overflowTrench.lowestGround])];
  const frostLine = leastOf(grounds) - depth;
  const { layers } = site.soil;
  const below = layers.filter((_, i) => i + 1 === layers.length || layers[i + 1]!.top < frostLine)
    .map((layer, i) => (i === 0 ? { ...layer, top: Math.min(layer.top, frostLine) } : layer));
  return changedSite(site, { soil: { ...site.soil, layers: [{ top: Infinity, conductivity: 0, origin: null }, ...below] } });
}

function frostOf(site: Site, figures: UpkeepFigures): ColdDays["frost"] {
  const freezingIndex = site.upkeep?.freezingIndex ?? null;
  if (freezingIndex === null) return null;
  const depth = frostDepth({
    freezingIndex, surfaceFactor: figures.surfaceFactor, conductivity: figures.frozenConductivity,
    dryDensity: figures.soilDryDensity, moisture: figures.soilMoisture,
  });
  const place = (name: string, top: number, bottom: number): FrostPlace =>
    ({ name, top, bottom, reach: depth <= top ? "above" : depth < bottom ? "into" : "below" });
  const { chamberBank: bank, overflowTrench: trench, emitter, settlingBoxes } = site;
  const outlets = settlingBoxes.map(({ name, rim, outlet }) => {
    const crown = outlet.crest + outlet.diameter;
    return place(settlingBoxes.length > 1 ? `outlet of ${name}` : "box outlet", Math.max(0, rim - crown), Math.max(0, rim - crown) + outlet.diameter);
  });
  const pipe = trench?.pipe ?? null;
  // from its top where it lies nearest to the ground to its bottom where it lies deepest
  const trenchPipe = (of: OverflowTrench, { bedding, outsideDiameter }: NonNullable<OverflowTrench["pipe"]>): FrostPlace => (
    place("trench pipe", leastOf(trenchDepths(of)) - bedding - outsideDiameter, greatestOf(trenchDepths(of)) - bedding)
  );
  return {
    depth,
    trenchFreezes: trench !== null && depth >= leastOf(trenchDepths(trench)),
    places: [
      // the lid lies in the open, its water stands at the crest and below
      ...(emitter === null || trench === null ? [] : [place("emitter", 0, Math.max(0, trenchDepths(trench)[1]))]),
      ...outlets,
      ...(trench === null || pipe === null ? [] : [trenchPipe(trench, pipe)]),
      place("stone of the pit", bank.ground - bank.stoneTop, bank.ground - bank.floor),
    ],
  };
}
