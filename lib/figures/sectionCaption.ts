import { intensityText } from "../text/format.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { groundwaterAt } from "./sectionDrawing.ts";
import { chamberRows } from "./sectionPlan.ts";
import { bodiesOf, type Run } from "../simulate/run.ts";

/** What stands under a section, as plain text: how it is drawn, its soil from the top down, and what pale blue means where it is seen. */
export function sectionCaption(run: Run, time: number): string {
  return `Cut open along the pipes, to the scale that is drawn. ${waterWords(run, time)}${rowWords(run)}${soilWords(run)}${isOverStone(run, time)
    ? " Pale blue: the level to which water would stand above the stone; in the ground it is pressure, over it water." : ""}`;
}

/** What the hatch is, where groundwater stands in the pit. */
function waterWords(run: Run, time: number): string {
  return groundwaterAt(run, time) > run.site.chamberBank.floor ? "Hatched: groundwater, in the pit too; plain blue: the rain's water. " : "";
}

/** Chambers that stand behind those that are drawn. */
function rowWords({ site: { chamberBank } }: Run): string {
  const rows = chamberRows(chamberBank);
  const count = chamberBank.chambers.reduce((sum, kind) => sum + kind.count, 0);
  return rows === 1 ? "" : `The ${count} chambers stand in ${rows} rows; the front one is drawn. `;
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
