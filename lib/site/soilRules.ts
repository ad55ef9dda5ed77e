import type { Judge } from "./judge.ts";
import type { LevelSeries } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";

/** Layers one below the other. */
export function checkLayers({ soil }: SiteFile, judge: Judge): void {
  soil.layers.forEach(({ top }, index) => {
    if (index === 0) return;
    const where = `soil.layers[${index}].top`;
    const above = soil.layers[index - 1]!.top;
    if (top === Infinity) judge.refuse(where, "a level: only the first layer may do without its top", "nothing");
    else if (top >= above) judge.refuse(where, `a level below the top of the layer above it (${judge.level(above)})`);
  });
}

/** Groundwater whose times go forward, and a mound that stands on something. */
export function checkGroundwater({ groundwater, chamberBank, overflowTrench, lowSpot }: SiteFile, judge: Judge): void {
  checkTimes("groundwater.level", groundwater.level, judge);
  checkTimes("chamberBank.groundwaterLevel", chamberBank.groundwaterLevel, judge);
  checkTimes("overflowTrench.groundwaterLevel", overflowTrench?.groundwaterLevel ?? null, judge);
  checkTimes("lowSpot.groundwaterLevel", lowSpot?.groundwaterLevel ?? null, judge);
  if (groundwater.mounding !== null && groundwater.level === null && chamberBank.groundwaterLevel === null) {
    judge.refuse("groundwater.level", "a level for the mound to stand on", "nothing");
  }
}

function checkTimes(where: string, series: LevelSeries | null, judge: Judge): void {
  if (series === null) return;
  series.time.forEach((time, index) => {
    if (index > 0 && time <= series.time[index - 1]!) {
      judge.refuse(`${where}[${index}].time`, `a time after the one before it (${judge.given(`${where}[${index - 1}].time`)})`);
    }
  });
}
