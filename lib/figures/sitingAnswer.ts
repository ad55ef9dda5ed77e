import type { UnitSystem } from "../text/format.ts";
import { featureName } from "../site/featureName.ts";
import { crossingWords } from "../plan/holeDistances.ts";
import type { SetbackRow, Siting, SitingRow } from "../plan/siting.ts";
import type { Feature } from "../site/surroundings.ts";
import { distanceText } from "../text/distanceText.ts";
import { plainText } from "../text/plainText.ts";
import { capital } from "../text/words.ts";

/** A rule and the hole that soaks nearest to what it speaks of. */
interface Tight {
  readonly row: SetbackRow;
  readonly hole: "pit" | "overflow trench";
  readonly distance: number;
}

/** A site's distances in sentences: what the holes cross, then the nearest critical distance, and what is asked for it. */
export function sitingAnswer(siting: Siting, units: UnitSystem): string {
  const tight = tightest(siting);
  const crossed = crossingsOf(siting).filter((each) => tight === null || !isSaid(each, tight));
  const sentences = [
    ...crossed.length === 0 ? [] : [crossedSentence(crossed, units)],
    tightSentence(siting, tight, crossed.length > 0, units), depthSentence(siting, units),
  ];
  return sentences.filter((sentence) => sentence !== "").join(" ");
}

/** What lies under the pit's floor nearer than is asked, the worst of it; "" where nothing does. */
function depthSentence({ depths }: Siting, units: UnitSystem): string {
  const near = depths.filter(({ rule, margin }) => rule.only === undefined && margin < 0);
  if (near.length === 0) return "";
  const { rule, found, isHighest } = near.reduce((worst, row) => (row.margin < worst.margin ? row : worst));
  const what = rule.from === "groundwater" ? `Groundwater${isHighest ? " at its highest" : ""}` : "Bedrock";
  const where = found < 0 ? `${distanceText(-found, units)} above` : `${distanceText(found, units)} below`;
  return `${what} ${found < 0 ? "stands" : "lies"} ${where} the pit's floor; ${plainText(rule.says, 40)} asks for ${rule.distance} below it.`;
}

/** What lies in or across a hole, services first; where the low point lies is no crossing. */
export function crossingsOf({ rows }: Siting): SitingRow[] {
  return rows.filter(({ distance, feature }) => distance === 0 && feature.kind !== "lowPoint");
}

/** A crossing in words for a line of a picture or a page: long names are cut. */
export function shownCrossing(row: SitingRow, units: UnitSystem): string {
  const { feature } = row;
  const name = feature.name === null ? null : plainText(feature.name, 40);
  return plainText(crossingWords({ ...row, feature: { ...feature, name } }, units));
}

function crossedSentence(crossed: readonly SitingRow[], units: UnitSystem): string {
  const shown = crossed.slice(0, MOST_CROSSINGS).map((row) => shownCrossing(row, units));
  const more = crossed.length - shown.length;
  return `${capital(shown.join("; "))}${more > 0 ? `; and ${more} more ${more === 1 ? "crossing" : "crossings"}` : ""}.`;
}

const MOST_CROSSINGS = 2;

function isSaid({ feature, kind }: SitingRow, { row, hole, distance }: Tight): boolean {
  return distance === 0 && feature === row.feature && kind === (hole === "pit" ? "pit" : "trench");
}

/** The distance that is the least share of what is asked, of rules without a condition, the first of equals. Null without one. */
function tightest({ setbacks }: Siting): Tight | null {
  const found = setbacks.filter(({ rule }) => rule.only === undefined).flatMap((row): Tight[] => [
    { row, hole: "pit", distance: row.pit },
    ...(row.trench === null ? [] : [{ row, hole: "overflow trench" as const, distance: row.trench }]),
  ]);
  return found.reduce<Tight | null>((tight, each) => (tight === null || shareOf(each) < shareOf(tight) ? each : tight), null);
}

/** What is found over what is asked: 5 m of 60 m is a worse case than 4 m of 5 m, though 1 m of 10 m is as bad as 6 m of 60 m. */
function shareOf({ row: { asked }, distance }: Tight): number {
  return asked > 0 ? distance / asked : Infinity;
}

function tightSentence(siting: Siting, tight: Tight | null, isCrossed: boolean, units: UnitSystem): string {
  if (tight === null) return withoutRule(siting, isCrossed, units);
  const { row: { feature, rule, asked }, hole, distance } = tight;
  const margin = distance - asked;
  const asks = `${marginText(margin, units)} ${plainText(rule.says, 40)} asks (${rule.distance})`;
  if (distance === 0 && margin < 0) {
    const where = feature.kind === "boundary" ? "across or beyond" : "on";
    return `The ${hole} lies ${where} ${shownName(feature)}; ${plainText(rule.says, 40)} asks to keep ${rule.distance} from it.`;
  }
  if (margin < 0) return `The ${hole} lies ${distanceText(distance, units)} from ${shownName(feature)}, ${asks}.`;
  return `${soaking(siting)} nearer than asked: the tightest is ${distanceText(distance, units)} from the ${hole} to ${shownName(feature)}, ${asks}.`;
}

/** What was measured of what soaks. */
function soaking({ rows }: Siting): string {
  return rows.some(({ kind }) => kind === "trench") ? "Pit and trench are nowhere" : "The pit is nowhere";
}

function withoutRule({ rows }: Siting, isCrossed: boolean, units: UnitSystem): string {
  if (rows.length === 0) return "Nothing is given around the works to measure to.";
  if (isCrossed) return "No rule asked speaks of what is given.";
  const near = rows[0]!;
  const where = near.distance === 0 ? `In ${near.phrase} lies ${shownName(near.feature)}`
    : `The nearest thing given is ${shownName(near.feature)}, ${distanceText(near.distance, units)} from ${plainText(near.phrase)}`;
  return `${where}; no rule asked speaks of it.`;
}

/** A feature in words for a line of a picture: a long name of its own is cut. */
export function shownName({ kind, name }: Feature): string {
  return featureName({ kind, name: name === null ? null : plainText(name, 40) });
}

/** A margin in words: `1.15 ft nearer than`, `12 ft farther than`, `just as far as`. */
function marginText(margin: number, units: UnitSystem): string {
  if (distanceText(Math.abs(margin), units).startsWith("0 ")) return "just as far as";
  return `${distanceText(Math.abs(margin), units)} ${margin < 0 ? "nearer" : "farther"} than`;
}
