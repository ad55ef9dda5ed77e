import { describe } from "../../text/describe.ts";
import { InputError } from "../../text/problem.ts";
import { RAIN_WORDS, TIME_WORDS, type Heading } from "./heading.ts";
import type { ColumnChoice } from "./recordColumns.ts";

/** Whether a header has columns of others' words alone, of which the caller says nothing. */
export function isForeign(names: readonly Heading[], { time, rain, kind }: ColumnChoice): boolean {
  const isKnown = names.some(({ word }) => TIME_WORDS.has(word) || RAIN_WORDS.has(word));
  return names.length > 1 && !isKnown && time === null && rain === null && kind !== "tip";
}

/** The error of such a header: all that it needs, with what its columns are likely to be. */
export function foreignHeader(names: readonly Heading[], choice: ColumnChoice): InputError {
  const hasNumber = names.some(({ whole }) => /^[-+]?[\d.,]+$/.test(whole));
  const expected = hasNumber
    ? 'a header such as "interval end,rain [mm]" above the first line of rain'
    : `columns such as "interval end" and "rain [mm]", or options that say what they are, such as ${likelyOptions(names, choice)} (in a site file beside "file")`;
  const got = describe(names.map(({ whole }) => whole).join(", "));
  return new InputError("The rain record cannot be read:", [{ where: "header", expected, got }]);
}

function likelyOptions(names: readonly Heading[], { unit, stamp }: ColumnChoice): string {
  const rain = names[likelyColumn("rain", names)]!;
  const options: Readonly<Record<string, string>> = {
    time: names[likelyColumn("time", names)]!.whole,
    rain: rain.whole,
    ...(unit === null && rain.unit === null && { unit: "mm" }),
    ...(stamp === null && { stamp: "end" }),
  };
  return Object.entries(options).map(([key, value]) => `"${key}": ${describe(value)}`).join(", ");
}

/** The column that a person most likely means, only ever to be proposed: time mostly comes first, and rain says its name. */
export function likelyColumn(what: "time" | "clock" | "rain", names: readonly Heading[]): number {
  if (what !== "rain") return Math.max(0, names.findIndex(({ word }) => !RAIN_WORDS.has(word)));
  const speaking = names.findIndex(({ word, unit }) => unit !== null || /rain|prec|prcp/.test(word));
  const time = likelyColumn("time", names);
  return speaking >= 0 ? speaking : Math.max(0, names.findIndex(({ word }, i) => i !== time && !TIME_WORDS.has(word)));
}
