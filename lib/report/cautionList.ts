import { isTested } from "../site/testHoles.ts";
import { greatestOf } from "../numerics/extremes.ts";
import { lengthText } from "../text/format.ts";
import { distanceText } from "../text/distanceText.ts";
import { plainText } from "../text/plainText.ts";
import { featureName } from "../site/featureName.ts";
import { shownCrossing } from "../figures/sitingAnswer.ts";
import type { Site } from "../site/site.ts";
import type { Siting, SitingRow } from "../plan/siting.ts";
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
  if (known === null) return "No buried line is given, which is no sign that there is none.";
  const unplaced = siting.unplaced.length === 0 ? "" : ` Not on the plan and not measured from: ${plainText(siting.unplaced.join(", "))}.`;
  return `Known: ${known}. There may be others.${unplaced}`;
}

function pits(site: Site): string {
  const { chamberBank, overflowTrench, units } = site;
  const trench = overflowTrench === null ? "" : `, the trench ${lengthText(greatestOf(trenchDepths(overflowTrench)), units)}`;
  const water = chamberBank.groundwater;
  const isWet = water !== null && greatestOf(water.level) > chamberBank.floor;
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
  const untested = layers.filter((layer) => !isTested(layer)).length;
  if (untested === 0) return "Every layer of the file has a test behind it; the open pit may tell otherwise.";
  return `No test is given for ${untested === layers.length ? "any layer" : `${untested} of the ${layers.length} layers`}.`;
}

/**
 * The features of some kinds, the nearest first: each hole that meets one, else its distance from the nearest hole. Null where there
 * are none.
 */
function listed({ rows }: Siting, kinds: readonly FeatureKind[], units: Site["units"]): string | null {
  const of = rows.filter(({ feature }) => kinds.includes(feature.kind));
  const found = of.filter((row, i) => row.distance === 0 || of.findIndex(({ feature }) => feature === row.feature) === i);
  return found.length === 0 ? null : found.map((row) => placed(row, units)).join(", ");
}

function placed(row: SitingRow, units: Site["units"]): string {
  const { feature, phrase, distance } = row;
  return distance === 0 ? shownCrossing(row, units) : plainText(`${featureName(feature)} ${distanceText(distance, units)} from ${phrase}`);
}
