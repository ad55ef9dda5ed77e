import { intensityText } from "../text/format.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { bodiesOf, type Run } from "../simulate/run.ts";

/** What stands under a section, as plain text: how it is drawn, its soil from the top down, and what pale blue means where it is seen. */
export function sectionCaption(run: Run, time: number): string {
  return `Cut open along the pipes; lengths and heights to scale, heights stretched. ${soilWords(run)}${isOverStone(run, time)
    ? " Pale blue: the level to which water would stand above the stone; in the ground it is pressure, over it water." : ""}`;
}

/** The figures stand here too, for a narrow picture has no room for them in every layer. */
function soilWords({ site: { soil, units } }: Run): string {
  if (!soil.floor && !soil.sides) return "Floors and sides are taken to let nothing into the soil.";
  const used = soil.layers.map(({ conductivity }) => intensityText(conductivity / soilDivisor(soil), units));
  return `${used.length === 1 ? "Soil as used:" : "Soil as used, from the top down:"} ${used.join(", ")}.`;
}

function isOverStone(run: Run, time: number): boolean {
  const { chamberBank, overflowTrench } = run.site;
  if (run.level("chamberBank", time) > chamberBank.stoneTop) return true;
  if (overflowTrench === null) return false;
  const { floor, fall, stone } = overflowTrench;
  const segments = bodiesOf(run, "trench");
  return segments.some((body, i) => run.level(body, time) > floor - (fall * (i + 1)) / segments.length + stone.depth);
}
