import { capillaryRise } from "../ground/capillaryRise.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { waterAtWall, type WaterAtWall } from "../ground/waterAtWall.ts";
import type { Run } from "../simulate/run.ts";
import { type UnitSystem, waterText } from "../text/format.ts";
import { optionReader } from "../text/optionReader.ts";
import { heightText } from "../text/words.ts";

/** A foundation that a site's `mounding.at` names. */
export interface WallOptions {
  /** level of its slab */
  readonly slab: string;
  /** what the ground beside it is made of, by a name of `capillaryRise`; without it the ground above the water counts as dry */
  readonly sediment?: string;
}

/** Water at a foundation at the worst moment of a run. */
export interface WallWater extends WaterAtWall {
  /** when the water table stands highest there [s] */
  readonly time: number;
  /** of the mound there and then [m] */
  readonly rise: number;
  /** the same in a sentence */
  readonly note: string;
}

/**
 * How near the mound under the pit brings the water table to a foundation: the site's groundwater and the rise at the place that
 * `groundwater.mounding.at` names, over the whole run, against the slab; and how far above it the ground is kept wet by
 * capillary rise, which is small beside the mound except in fine ground.
 *
 * @returns  levels and heights [m] at the worst of the ends of the steps
 * @throws InputError  with all problems
 * @throws RangeError  when the site has no mounding
 * @source  see `waterAtWall`
 */
export function wallWater(run: Run, options: WallOptions): WallWater {
  const read = optionReader("wallWater", options, "The water at the wall cannot be computed:");
  const slabLevel = read.quantity("slab", "length");
  const sediment = read.has("sediment") ? (read.raw("sediment") as string) : null;
  read.done();
  const rises = sediment === null ? null : capillaryRise(sediment);
  const capillary = rises?.high ?? 0;
  const { units, groundwater } = run.site;
  if (run.rise(0) === null) throw new RangeError("wallWater: expected a site with groundwater.mounding, got none");
  const table = (time: number): number => seriesLevel(groundwater.level ?? run.site.chamberBank.groundwaterLevel, time);
  let [worst, rise] = [0, 0];
  for (const time of run.times) {
    const here = run.rise(time)!.offset;
    if (table(time) + here > table(worst) + rise) [worst, rise] = [time, here];
  }
  const water = waterAtWall({ groundwaterLevel: table(worst), rise, slabLevel, capillaryRise: capillary });
  const against = water.belowSlab >= 0 ? `${heightText(water.belowSlab, units)} below the slab` : `${heightText(-water.belowSlab, units)} above the slab`;
  const damp = rises === null || water.belowSlab < 0 ? "" : ` ${dampWords(sediment!, rises, water.dampBelowSlab, units)}`;
  const note = `At the wall the mound adds ${heightText(rise, units)}: the water table comes to ${waterText(water.level, units)}, ${against}, at hour `
    + `${(worst / 3600).toFixed(1)}.${damp}`;
  return { ...water, time: worst, rise, note };
}

/** The ground over the water table, kept wet by its pores: a published height is the most, and some are doubted by their own source. */
function dampWords(
  sediment: string, { high, doubted }: ReturnType<typeof capillaryRise>, dampBelowSlab: number, units: UnitSystem,
): string {
  const where = dampBelowSlab >= 0 ? `keep the ground wet to ${heightText(dampBelowSlab, units)} below the slab` : "reach the slab";
  if (!doubted) return `Capillary rise in ${sediment}, up to ${heightText(high, units)} as published, can ${where}.`;
  return `By the ${heightText(high, units)} that are published for ${sediment} capillary rise would ${where}; the source itself calls its heights for silt too large, `
    + "and cracks and roots break the rise.";
}
