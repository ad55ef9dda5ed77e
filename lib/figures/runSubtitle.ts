import { displayUnits, threeFigures } from "../units/format.ts";
import type { Run } from "../simulate/run.ts";
import { plainText } from "./plainText.ts";
import { rainText } from "./rainPanel.ts";

/** What an answer is the answer to: site, storm and soil, as plain text on one line. */
export function runSubtitle(run: Run, storm?: string): string {
  const rain = rainText(run);
  const parts = [storm === undefined ? "" : plainText(storm, 60), rain === "" ? "inflow as given" : rain].filter((part) => part !== "");
  return `${plainText(run.site.name, 60)} · ${parts.join(", ")} · ${soilText(run.site)}`;
}

/** The soil's conductivity as tested and as used: `soil 0.3 to 0.9 in/h, halved for safety`. */
export function soilText({ soil, units }: Pick<Run["site"], "soil" | "units">): string {
  const { label, size } = displayUnits(units).intensity;
  const tested = soil.layers.map(({ conductivity }) => conductivity);
  const span = (values: readonly number[]): string => {
    const [low, high] = [threeFigures(Math.min(...values) / size), threeFigures(Math.max(...values) / size)];
    return low === high ? `${low} ${label}` : `${low} to ${high} ${label}`;
  };
  if (soil.factorOfSafety === 1) return `soil ${span(tested)}`;
  return `soil ${span(tested.map((each) => each / soil.factorOfSafety))} (tested ${span(tested)}, factor ${threeFigures(soil.factorOfSafety)})`;
}
