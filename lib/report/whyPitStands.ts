import { levelText } from "../text/format.ts";
import { groundwaterAt } from "../figures/sectionDrawing.ts";
import type { Run } from "../simulate/run.ts";
import { floorsTake, sidesTake } from "../site/takesIn.ts";
import { heightText } from "../text/words.ts";

/**
 * Why the pit empties or does not, in a sentence or two: water soaks away only as long as it stands above the groundwater around
 * the pit, so a pit that reaches into it stays full to there.
 *
 * @param time  of the run [s]
 */
export function whyPitStands(run: Run, time: number): string {
  const { units, chamberBank: { floor, stone, stoneTop } } = run.site;
  const water = groundwaterAt(run, time);
  if (!floorsTake(run.site) && !sidesTake(run.site)) return "Neither floor nor sides of the pit take in water: nothing soaks away.";
  if (water <= floor) {
    const below = floor - water;
    const where = !Number.isFinite(water) ? "far below" : below < 1e-3 ? "level with the pit's floor" : `${heightText(below, units)} below the pit's floor`;
    return `The groundwater lies ${where}: it does not keep the pit from running empty into the soil.`;
  }
  const top = stoneTop;
  const left = top - water;
  const room = left <= 0 ? "None of its stone is left for a storm."
    : `Only the ${heightText(left, units)} of stone above that line, of ${heightText(stone.depth, units)}, can take a storm's water.`;
  return `Groundwater stands at ${levelText(water, units)}, ${heightText(water - floor, units)} over the pit's floor. Water soaks away only while it stands higher than the `
    + `groundwater around it, so the pit stays full to that line as long as the groundwater stands there. ${room} Pull the line down past the floor to see the pit run empty.`;
}
