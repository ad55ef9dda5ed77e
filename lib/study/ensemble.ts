import type { Site } from "../site/site.ts";
import type { EnsembleOptions } from "./ensembleCases.ts";
import { runStudy, type StudyOptions, type StudyTable } from "./runStudy.ts";

/**
 * Runs one storm on a site many times over, with its soil, water table, stone, levels and the storm's depth drawn again each
 * time within what is known of them. The draws fill their ranges evenly (Sobol's sequence), so that quantiles settle far
 * sooner than by chance.
 *
 *   const table = await ensemble(site, { runs: 1000, seed: 1, storm, conductivityWithin: 3, levelsWithin: "6 mm" });
 *   quantiles(table, "pitPeak", [0.05, 0.5, 0.95]);
 *
 * Run i draws from (seed, i) alone, so the result is the same, to the last bit, on one thread or many, and adding runs changes
 * no earlier one.
 *
 * @throws InputError  with all problems
 */
export function ensemble(site: Site, options: EnsembleOptions, how: StudyOptions = {}): Promise<StudyTable> {
  return runStudy({ kind: "ensemble", site, options }, how);
}
