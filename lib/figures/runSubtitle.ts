import { isTested } from "../site/testHoles.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { intensityRangeText, intensityText, threeFigures } from "../text/format.ts";
import { temperatureText } from "../text/words.ts";
import type { Run } from "../simulate/run.ts";
import type { SoilLayer } from "../site/site.ts";
import { soilDivisor, STATED_AT } from "../site/soilDivisor.ts";
import { testedLayers } from "../site/siteNotes.ts";
import { plainText } from "../text/plainText.ts";
import { rainText } from "./rainPanel.ts";

/** What an answer is the answer to: site, storm and soil, as plain text on one line. */
export function runSubtitle(run: Run, storm?: string): string {
  const rain = rainText(run);
  const parts = [storm === undefined ? "" : plainText(storm, 60), rain === "" ? "inflow as given" : rain].filter((part) => part !== "");
  return `${plainText(run.site.name, 60)} · ${parts.join(", ")} · ${soilText(run.site)}`;
}

/**
 * The soil's conductivity as used, and where it is from: `soil 0.3 to 0.9 in/h, untested`; `soil 0.15 in/h (0.3 in/h tested,
 * factor 2, water at 41 °F)`. What carries a factor of safety is not tested by that.
 */
export function soilText({ soil, units }: Pick<Run["site"], "soil" | "units">): string {
  const given = soil.layers.map(({ conductivity }) => conductivity);
  const span = (values: readonly number[]): string => intensityRangeText(leastOf(values), greatestOf(values), units);
  const tested = { none: "untested", some: "partly tested", all: "tested" }[testedLayers(soil)];
  const divided = [
    ...(soil.factorOfSafety === 1 ? [] : [`factor ${threeFigures(soil.factorOfSafety)}`]),
    ...(soil.temperature === STATED_AT ? [] : [`water at ${temperatureText(soil.temperature, units)}`]),
  ];
  if (divided.length === 0) return `soil ${span(given)}, ${tested}`;
  return `soil ${span(given.map((each) => each / soilDivisor(soil)))} (${[`${span(given)} ${tested}`, ...divided].join(", ")})`;
}

/** A layer's conductivity as used, and as given where that is another: `0.125 in/h, tested 0.25 in/h` only where a test is. */
export function layerText({ soil, units }: Pick<Run["site"], "soil" | "units">, layer: SoilLayer): string {
  const { conductivity } = layer;
  const divisor = soilDivisor(soil);
  const used = intensityText(conductivity / divisor, units);
  if (divisor === 1) return used;
  return `${used}, ${isTested(layer) ? "tested" : "given"} ${intensityText(conductivity, units)}`;
}
