import type { UnitSystem } from "../units/format.ts";
import { featureName } from "../site/featureName.ts";
import type { Siting, SitingRow } from "../site/siting.ts";
import type { Feature } from "../site/surroundings.ts";
import { distanceText } from "./distanceText.ts";
import { plainText } from "./plainText.ts";

/** The row whose distance is the least share of what is asked, of rules without a condition, the first of equals. Null without one. */
export function tightestRow({ rows }: Siting): SitingRow | null {
  const plain = rows.filter(({ rule }) => rule.only === undefined);
  return plain.reduce<SitingRow | null>((tight, row) => (tight === null || shareOf(row) < shareOf(tight) ? row : tight), null);
}

/** What is found over what is asked: 5 m of 60 m is a worse case than 4 m of 5 m, though 1 m of 10 m is as bad as 6 m of 60 m. */
function shareOf({ pit, asked }: SitingRow): number {
  return asked > 0 ? pit / asked : Infinity;
}

/** A site's distances in a sentence: the nearest critical one, and what is asked for it. */
export function sitingAnswer(siting: Siting, units: UnitSystem): string {
  const tight = tightestRow(siting);
  if (tight === null) return withoutRule(siting, units);
  const { feature, pit, rule, pitMargin } = tight;
  const asked = `${marginText(pitMargin, units)} ${plainText(rule.says, 40)} asks (${rule.distance})`;
  if (pit === 0 && pitMargin < 0) {
    const where = feature.kind === "boundary" ? "across or beyond" : "on";
    return `The pit lies ${where} ${shownName(feature)}; ${plainText(rule.says, 40)} asks to keep ${rule.distance} from it.`;
  }
  if (pitMargin < 0) return `The pit lies ${distanceText(pit, units)} from ${shownName(feature)}, ${asked}.`;
  return `The pit is nowhere nearer than asked: the tightest is ${distanceText(pit, units)} to ${shownName(feature)}, ${asked}.`;
}

function withoutRule({ distances }: Siting, units: UnitSystem): string {
  if (distances.length === 0) return "Nothing is given around the works to measure to.";
  const near = distances.reduce((least, each) => (each.pit < least.pit ? each : least));
  return `The pit lies ${distanceText(near.pit, units)} from ${shownName(near.feature)}, the nearest thing given; no rule asked speaks of it.`;
}

/** A feature in words for a line of a picture: a long name of its own is cut. */
export function shownName({ kind, name }: Feature): string {
  return featureName({ kind, name: name === null ? null : plainText(name, 40) });
}

/** A margin in words: `1.15 ft nearer than`, `12 ft farther than`, `just as far as`. */
export function marginText(margin: number, units: UnitSystem): string {
  if (distanceText(Math.abs(margin), units).startsWith("0 ")) return "just as far as";
  return `${distanceText(Math.abs(margin), units)} ${margin < 0 ? "nearer" : "farther"} than`;
}
