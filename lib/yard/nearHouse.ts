import { capillaryRise } from "../ground/capillaryRise.ts";
import { moundRise } from "../ground/mound/moundRise.ts";
import type { TextureName } from "../ground/soilTexture.ts";
import { ink, lines } from "../figures/look.ts";
import { greatestOf } from "../numerics/extremes.ts";
import { html, type Markup } from "../report/markup.ts";
import type { Site } from "../site/site.ts";
import { setbackRules } from "../plan/setbackRules.ts";
import type { SetbackRule } from "../site/surroundings.ts";
import { lengthText, type UnitSystem } from "../text/format.ts";
import { quantity } from "../text/quantity.ts";
import { runOf } from "./firstAnswers.ts";
import { clampX, picture, px } from "./pictureFrame.ts";
import { nearText, ruleText } from "./words.ts";
import { BAD } from "./yardFile.ts";
import type { Yard } from "./yard.ts";

/** Water under a house wall beside the pit, by the distance between them. All [m]. */
export interface NearHouse {
  readonly distances: readonly number[];
  /** rise of the water table at the wall in a bad storm, at each distance */
  readonly rises: readonly number[];
  /** by how much ground over the water is kept damp, at most as published; null where nothing is published for the soil */
  readonly damp: { readonly height: number; readonly isDoubted: boolean } | null;
  /** distances that rules of the country ask for */
  readonly rules: readonly { readonly rule: SetbackRule; readonly distance: number }[];
  /** rise at any distance */
  readonly riseAt: (distance: number) => number;
  /** what was taken for the aquifer, in words */
  readonly taken: string;
}

/**
 * An aquifer under a lawn, where nobody drilled: ten feet of it, a tenth of its volume filled as it rises (common practice; both hang on
 * the place).
 */
const THICKNESS = 3.048;
const SPECIFIC_YIELD = 0.1;

/** How far one looks: to where a mound of a yard's pit is gone. */
const FARTHEST = 12;

/**
 * The mound under the pit at the wall of the house in the worst of a bad storm, the damp ground over it and the distances that rules ask
 * for, all by
 * the distance from the wall to the pit's edge. The pit's seepage of the day after the storm is taken as steady over that day.
 *
 * @source  `moundRise` (Hantush 1967), `capillaryRise`, `setbackRules`
 */
export function nearHouse(yard: Yard, site: Site): NearHouse {
  const { chamberBank: pit } = site;
  const until = 86_400;
  const seeped = Math.max(0, runOf(site, BAD, { until }).ledger.bankSeepage);
  const rechargeRate = seeped / (pit.length * pit.width * until);
  const conductivity = Math.max(yard.soil.middle, 1e-8);
  // the pit lies along the wall or across it: along is the worse, and is taken
  const riseAt = (distance: number): number => (rechargeRate === 0 ? 0 : moundRise({
    rechargeRate, halfLength: pit.length / 2, halfWidth: pit.width / 2, hydraulicConductivity: conductivity, thickness: THICKNESS,
    specificYield: SPECIFIC_YIELD, time: until, x: 0, y: distance + pit.width / 2,
  }));
  const distances = Array.from({ length: 25 }, (_, i) => (FARTHEST * i) / 24);
  const sediment = SEDIMENT[yard.survey.soil?.texture ?? "clay"];
  const published = sediment === undefined ? null : capillaryRise(sediment);
  return {
    distances, rises: distances.map(riseAt), riseAt,
    damp: published === null ? null : { height: published.high, isDoubted: published.doubted },
    rules: setbackRules.filter(({ from, region }) => from === "building" && region === yard.told.region).map((rule) => ({ rule, distance: quantity(rule.distance, "length", "rule") })),
    taken: `Taken for the ground under the pit: ${lengthText(THICKNESS, yard.units)} of it carry water sideways as fast as the soil takes it down, and a tenth of its volume fills. Nobody has measured that here.`,
  };
}

/** What the picture says at one distance. */
export function nearHouseWords({ riseAt, damp, rules, taken }: NearHouse, distance: number, units: Yard["units"]): string {
  const rise = riseAt(distance);
  const mound = rise < 0.01 ? "the pit's mound does not reach the wall" : `the pit lifts the water table at the wall by some ${nearText(rise, units, "up")}`;
  const wet = damp === null ? "" : damp.isDoubted
    ? ` Published heights say that damp rises another ${nearText(damp.height, units, "up")} in such silt, and their own source doubts them.` : ` Damp rises another ${nearText(damp.height, units, "up")} at most in such sand.`;
  const asked = rules.filter((each) => each.distance > distance + 1e-6).map(({ rule }) => ruleText(rule));
  return `At ${lengthText(distance, units)} ${mound} in a bad storm.${wet}${asked.length === 0 ? "" : ` ${[...new Set(asked)].join("; ")}.`} ${taken}`;
}

/** Sediments with a published rise that come nearest to a soil's name; ours. Clays crack, and have none. */
const SEDIMENT: Readonly<Partial<Record<TextureName, string>>> = { "sand": "medium sand", "loamy sand": "fine sand", "sandy loam": "very fine sand", "loam": "silt", "silt loam": "silt" };

/**
 * Rise of the water at the wall by its distance from the pit, the damp over it and the distances that are asked for; one distance is
 * held.
 */
export function nearHousePicture(
  { distances, rises, damp, rules, riseAt }: NearHouse,
  distance: number,
  units: UnitSystem,
  width: number,
): Markup {
  const [left, right, top, foot, height] = [8, 8, 34, 34, 210];
  const farthest = distances.at(-1)!;
  const published = damp === null ? 0 : damp.height;
  const most = greatestOf([0.3, ...rises]) + Math.min(published, 1);
  const X = (at: number): number => left + (at / farthest) * (width - left - right);
  const Y = (rise: number): number => height - foot - (Math.min(rise, most) / most) * (height - foot - top);
  const line = (over: number): string =>
    distances.map((at, i) => `${i === 0 ? "M" : "L"}${px(X(at))} ${px(Y(rises[i]! + over))}`).join("");
  const asked = [...new Map(rules.map((each) => [each.distance, each])).values()].filter((each) => each.distance <= farthest);
  const here = riseAt(distance);
  return picture("Water at the house wall by its distance from the pit", width, height, [
    ...(damp === null
      ? []
      : [
          html`<path
              d="${line(published)}L${px(X(farthest))} ${px(Y(0))}H${px(X(0))}z"
              fill="#e7dcc4"
              opacity="${damp.isDoubted ? "0.5" : "1"}"
            /><text
              x="${px(width - right)}"
              y="${px(Math.max(top + 12, Y(published) - 4))}"
              text-anchor="end"
              font-size="10.5"
              fill="${ink.soft}"
              >damp${damp.isDoubted ? ", doubted" : ""}</text
            >`,
        ]),
    html`<path d="${line(0)}L${px(X(farthest))} ${px(Y(0))}H${px(X(0))}z" fill="${lines.pit.color}" opacity="0.3" /><path
        d="${line(0)}"
        fill="none"
        stroke="${lines.pit.color}"
        stroke-width="2.4"
      />`,
    ...asked.map(
      ({ rule, distance: at }, i) =>
        html`<path d="M${px(X(at))} ${top}V${height - foot}" stroke="${ink.soft}" stroke-dasharray="2 3" /><text
            x="${px(clampX(X(at), width, 52))}"
            y="${12 + (i % 2) * 13}"
            text-anchor="middle"
            font-size="10.5"
            fill="${ink.soft}"
            >${rule.says} asks ${rule.distance}</text
          >`,
    ),
    html`<path d="M${px(left)} ${height - foot}H${px(width - right)}" stroke="${ink.rule}" /><text
        x="${left}"
        y="${height - 6}"
        font-size="10.5"
        fill="${ink.soft}"
        >wall at the pit</text
      ><text x="${px(width - right)}" y="${height - 6}" text-anchor="end" font-size="10.5" fill="${ink.soft}"
        >${lengthText(farthest, units)} apart</text
      >`,
    html`<path d="M${px(X(distance))} ${px(Y(here))}V${height - foot}" stroke="${ink.text}" stroke-width="2" /><circle
        cx="${px(X(distance))}"
        cy="${height - foot}"
        r="11"
        fill="#fff"
        stroke="${ink.text}"
        stroke-width="1.8"
      /><path
        d="M${px(X(distance) - 3)} ${height - foot - 3}l-3 3l3 3M${px(X(distance) + 3)} ${height - foot - 3}l3 3l-3 3"
        fill="none"
        stroke="${ink.text}"
        stroke-width="1.6"
      />`,
  ]);
}

/** The distance that a place on that picture stands for [m]. */
export function distanceAt(x: number, width: number, { distances }: NearHouse): number {
  const farthest = distances.at(-1)!;
  return Math.min(farthest, Math.max(0.3, ((x - 8) / (width - 16)) * farthest));
}
