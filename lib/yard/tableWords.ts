import { emptyFindings } from "../schema/field.ts";
import { hoursOfRain, surveyRain } from "../site/surveyField.ts";
import { depthText, type UnitSystem } from "../text/format.ts";

/** What the town's table of a survey says of an hour, for the question of rain. */
export function tableWords(rainfall: unknown, units: UnitSystem): string {
  const { normal, bad, badYears } = hoursOfRain(surveyRain.read(rainfall, "the table", emptyFindings()));
  return `In an hour ${depthText(normal, units)} every second year, ${depthText(bad, units)} once in ${badYears} years.`;
}
