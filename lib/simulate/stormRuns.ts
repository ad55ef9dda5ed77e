import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { madeHydrograph } from "../runoff/hydrograph.ts";
import { inflowHydrographs } from "./inflowHydrographs.ts";
import type { Site } from "../site/site.ts";
import { networkOf } from "./assemble.ts";
import { hasMovingGroundwater, scaledDriveline, type Driveline } from "./driveline.ts";
import { driving, outsetOf, type Outset } from "./march.ts";
import type { Run } from "./run.ts";
import { runOptions, type SimulateOptions } from "./runOptions.ts";
import { settleTime } from "./settledRun.ts";
import { runOf } from "./simulate.ts";

/**
 * One storm, more or less deep, through works that vary a little from run to run: `settledRun` of each, with what is alike in all of
 * them made once. Runoff without losses but a runoff coefficient goes with the depth, so that its hydrographs are those of the storm as
 * given times the factor: what the deeper rain itself brings, apart from rounding and from corners that a coarse
 * tolerance passes over.
 *
 * @param site     the works as given: those that vary have the same bodies, passages and catchments
 * @param options  those of `simulate`, but `settle`
 * @returns        a run of varied works and the rain times a factor; throws as `simulate` does
 */
export function stormRuns(site: Site, rain: Hyetograph, options: Omit<SimulateOptions, "settle">): (works: Site, factor: number) => Run {
  const storms = stormLines(site, rain);
  return (works, factor) => {
    const inflows = storms.inflows(factor);
    const settled = { settle: settleTime(works), ...options };
    const outset = outsetOf(works, inflows, runOptions(settled, networkOf(works), inflows));
    return runOf(works, storms.fallen(factor), settled, outset, storms.line(outset, factor));
  };
}

/** What drives one storm, more or less deep, through works that vary a little from run to run. */
export interface StormLines {
  /** factor on the rain */
  fallen(factor: number): Hyetograph;
  /** what runs into each body then */
  inflows(factor: number): Outset["inflows"];
  /** the same in its names and corners, without its flows where these go with the depth */
  corners(factor: number): Outset["inflows"];
  /** the straight lines of a run of it; gone with the next call */
  line(outset: Pick<Outset, "network" | "inflows" | "until" | "tolerance">, factor: number): Driveline;
}

/** What `stormRuns` makes once for all runs of works like those of a site. */
export function stormLines(site: Site, rain: Hyetograph): StormLines {
  const network = networkOf(site);
  const asGiven = inflowHydrographs(site, rain);
  const goesWithDepth = site.catchments.every(({ initialLoss, loss }) => initialLoss === 0 && loss.kind === "runoffCoefficient");
  let known: { readonly until: number; readonly scaled: ReturnType<typeof scaledDriveline> } | null = null;
  const fallen = (factor: number): Hyetograph => ({ time: rain.time, depth: rain.depth.map((depth) => depth * factor) });
  const inflows = (factor: number): Outset["inflows"] => (goesWithDepth ? times(factor, asGiven) : inflowHydrographs(site, fallen(factor)));
  return {
    fallen,
    inflows,
    corners: (factor) => (goesWithDepth ? asGiven : inflows(factor)),
    line(outset, factor) {
      const { network: { bodies }, until } = outset;
      if (!goesWithDepth) return driving(outset);
      if (hasMovingGroundwater(outset.network)) return driving({ ...outset, inflows: inflows(factor) });
      const line = (): Driveline => driving({ ...outset, network, inflows: asGiven });
      if (known?.until !== until) known = { until, scaled: scaledDriveline(line(), bodies.length) };
      return known.scaled(factor, bodies.map(({ groundwater }) => seriesLevel(groundwater, 0)));
    },
  };
}

function times(factor: number, inflows: Outset["inflows"]): Outset["inflows"] {
  return Object.fromEntries(Object.entries(inflows).map(([body, { time, flow }]) => (
    [body, madeHydrograph(time, flow.map((each) => factor * each))])));
}
