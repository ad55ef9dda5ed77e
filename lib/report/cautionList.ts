import { lengthText } from "../units/format.ts";
import { distanceText } from "../figures/distanceText.ts";
import { plainText } from "../figures/plainText.ts";
import type { FeatureDistance } from "../site/featureDistances.ts";
import { featureName } from "../site/featureName.ts";
import type { Site } from "../site/site.ts";
import type { Siting } from "../site/siting.ts";
import type { FeatureKind } from "../site/surroundings.ts";
import { trenchDepths } from "../site/trenchGround.ts";
import { cautions, type Caution } from "./cautions.ts";

/** A caution and what in the site file calls for it; null where nothing in the file does, which is no proof that it is idle. */
export interface SiteCaution extends Caution {
  readonly because: string | null;
}

/** Every caution, in the order of the day, with what in this site calls for it. */
export function cautionList(site: Site, siting: Siting): SiteCaution[] {
  return cautions.map((caution) => ({ ...caution, because: REASONS[caution.about]?.(site, siting) ?? null }));
}

type Reason = (site: Site, siting: Siting) => string | null;

const REASONS: Readonly<Record<string, Reason>> = Object.freeze({
  "Buried lines": buriedLines,
  "Pits": pits,
  "Spoil": spoil,
  "Slopes": slopes,
  "Contaminated or made ground": badGround,
  "Wells, septic fields and foundations": neighbours,
  "The soil": soil,
  "Who decides": () => "It holds wherever one digs.",
});

function buriedLines({ units }: Site, siting: Siting): string {
  const known = listed(siting, ["service"], units);
  return known === null ? "No buried line is given, which is no sign that there is none." : `Known: ${known}. There may be others.`;
}

function pits(site: Site): string {
  const { chamberBank, overflowTrench, units } = site;
  const trench = overflowTrench === null ? "" : `, the trench ${lengthText(Math.max(...trenchDepths(overflowTrench)), units)}`;
  const water = chamberBank.groundwater;
  const isWet = water !== null && Math.max(...water.level) > chamberBank.floor;
  return `The pit is dug ${lengthText(chamberBank.ground - chamberBank.floor, units)} deep${trench}${isWet ? ", and groundwater can stand in it" : ""}.`;
}

function spoil({ chamberBank: { length, width }, units }: Site): string {
  return `What comes out of a pit of ${lengthText(length, units)} by ${lengthText(width, units)} lies beside it until it is carted off.`;
}

function slopes({ surroundings, units }: Site, siting: Siting): string | null {
  const near = listed(siting, ["slope", "wall"], units);
  const fall = surroundings?.groundSlope ?? 0;
  const said = [
    ...(fall >= STEEP ? [`The ground falls ${Math.round(100 * fall)} % at the works.`] : []),
    ...(near === null ? [] : [`Given: ${near}. Water behind a wall or in a slope pushes.`]),
  ];
  return said.length === 0 ? null : said.join(" ");
}

/** A fall of the ground from which on water put into it is worth a question; common practice. */
const STEEP = 0.1;

function badGround({ units }: Site, siting: Siting): string | null {
  const near = listed(siting, ["contaminated", "madeGround"], units);
  return near === null ? null : `Given: ${near}.`;
}

function neighbours({ units }: Site, siting: Siting): string | null {
  const near = listed(siting, ["well", "septic", "building"], units);
  const slabs = siting.notes.filter((note) => note.startsWith("The slab of"));
  return near === null ? null : [`Given: ${near}.`, ...slabs].join(" ");
}

function soil({ soil: { layers } }: Site): string {
  const untested = layers.filter(({ origin }) => origin?.kind !== "test").length;
  if (untested === 0) return "Every layer of the file has a test behind it; the open pit may tell otherwise.";
  return `No test is given for ${untested === layers.length ? "any layer" : `${untested} of the ${layers.length} layers`}.`;
}

/** The features of some kinds with their distance from the pit, the nearest first; null where there are none. */
function listed({ distances }: Siting, kinds: readonly FeatureKind[], units: Site["units"]): string | null {
  const found = distances.filter(({ feature }) => kinds.includes(feature.kind)).sort((a, b) => a.pit - b.pit);
  return found.length === 0 ? null : found.map((each) => placed(each, units)).join(", ");
}

function placed({ feature, pit }: FeatureDistance, units: Site["units"]): string {
  const name = plainText(featureName(feature));
  return pit === 0 ? `${name} at the pit itself` : `${name} ${distanceText(pit, units)} from the pit`;
}
