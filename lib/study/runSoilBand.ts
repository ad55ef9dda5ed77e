import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Load } from "../simulate/bodyInflows.ts";
import type { Run } from "../simulate/run.ts";
import type { SimulateOptions } from "../simulate/runOptions.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { changedSite } from "../site/changedSite.ts";
import { layerBand } from "../site/siteNotes.ts";
import type { Site, SoilLayer } from "../site/site.ts";
import { displayUnits, intensityText, threeFigures } from "../text/format.ts";
import { runWords } from "./runWords.ts";

/** One load on one site, with the soil at both ends of what it may be and as it was measured. */
export interface SoilBandRuns {
  readonly low: Run;
  readonly best: Run;
  readonly high: Run;
  /** the three in a sentence */
  readonly note: string;
}

/**
 * Runs a site with every layer of its soil at the low end of its band, as given, and at the high end: a design stands on the
 * low one. The band of a layer is that of its test or texture (`layerBand`), of a bare figure that of soils within a site; it
 * holds 95 of 100 sites, so the three runs say how far the answer goes and not how likely it is. The factor of safety divides
 * all three. The low spot's own conductivity, the cover's and the aquifer's stay as they are.
 *
 * A hole that never drained is 0 at the low end and as measured, and at the high end what could have gone unseen.
 *
 * @param load     as `simulate`
 * @param options  as `simulate`
 * @throws InputError  as `simulate`
 * @throws StoppedRun  as `simulate`
 */
export function runSoilBand(site: Site, load: Load, options: SimulateOptions = {}): SoilBandRuns {
  const at = (end: "low" | "high"): Run => settledRun(withConductivity(site, (layer) => layerBand(layer)[end]), load, options);
  const [low, best, high] = [at("low"), settledRun(site, load, options), at("high")];
  const note = `The soil's band: at ${soilWords(low)} ${runWords(low)}; at ${soilWords(best)}, as given, ${runWords(best)}; at ${soilWords(high)} `
    + `${runWords(high)}.`;
  return { low, best, high, note };
}

function withConductivity(site: Site, conductivityOf: (layer: SoilLayer) => number): Site {
  const layers = site.soil.layers.map((layer) => ({ ...layer, conductivity: conductivityOf(layer) }));
  return changedSite(site, { soil: { ...site.soil, layers } });
}

/** The conductivities of a run's layers, before the factor of safety. */
function soilWords({ site }: Run): string {
  const figures = site.soil.layers.map(({ conductivity }) => conductivity);
  const [least, most] = [leastOf(figures), greatestOf(figures)];
  const from = least === most ? "" : `${threeFigures(least / displayUnits(site.units).intensity.size)} to `;
  return `${from}${intensityText(most, site.units)}`;
}
