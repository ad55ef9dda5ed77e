import { YEAR } from "../text/unitTable.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { hydrographVolume } from "../runoff/hydrographVolume.ts";
import { inflowHydrographs } from "../simulate/inflowHydrographs.ts";
import type { Catchment, SettlingBox, Site } from "../site/site.ts";
import type { GrainClass, UpkeepFigures } from "../site/upkeep.ts";
import { basinCapture } from "../works/basinCapture.ts";
import { settlingVelocity } from "../works/settlingVelocity.ts";
import type { FillingSump } from "../works/sumpFilling.ts";

/** Solids as they behave: what a cake is made of, what lets water through, and what a guard can keep off. */
export type SolidKind = "fines" | "grit" | "leaves";

/** A figure for each kind. */
export type BySolid = { readonly [Kind in SolidKind]: number };

/** Where solids come in: a settling box, or the pit itself for a catchment that drains to it. */
export interface SolidsPlace {
  /** the box's name, or "chamberBank" */
  readonly name: string;
  /** what comes in, the mean over a year [kg/s] */
  readonly inflow: BySolid;
  /** share of it that settles while the sump is not above its limit; all 0 at the pit */
  readonly capture: BySolid;
  /** dry mass of each kind in a volume of what lies in the sump [kg/m3] */
  readonly held: BySolid;
  /** null at the pit */
  readonly sump: FillingSump | null;
}


/**
 * What solids come to each box, and to the pit past them, and how much of each kind a box holds back: settling by `basinCapture`
 * with the speeds of `settlingVelocity`, over the flows of a record, each weighed by the water that runs at it. Without a record
 * the flows are those of `yearlyShowers` on what the roof sends down at once.
 *
 * Fine solids are a concentration in all water, grit and leaves a load on all plan area. A catchment without a runoff coefficient
 * counts as 1 without a record. Catchments that drain to the low spot are left out: their solids stay there.
 *
 * @param rain  a record of rain, the longer the better; with a depth above 0
 */
export function solidsIn(site: Site, figures: UpkeepFigures, rain?: Hyetograph): SolidsPlace[] {
  const recorded = rain === undefined ? null
    : { flows: inflowHydrographs(site, rain), depth: rain.depth.reduce((sum, each) => sum + each, 0) };
  const runoffOf = (name: string): { readonly perYear: number; readonly flows: readonly FlowClass[] } => {
    const flow = recorded?.flows[name];
    if (recorded !== null && flow !== undefined) {
      return { perYear: (hydrographVolume(flow) / recorded.depth) * figures.rainPerYear, flows: flowClasses(flow) };
    }
    const area = runoffArea(catchmentsTo(site, name));
    return { perYear: area * figures.rainPerYear, flows: yearlyShowers.map(({ intensity, share }) => ({ flow: intensity * area, share })) };
  };
  const inflowOf = (name: string, runoffPerYear: number): BySolid => {
    const area = catchmentsTo(site, name).reduce((sum, each) => sum + each.area, 0);
    return {
      fines: (figures.fines * runoffPerYear) / YEAR,
      grit: (figures.gritPerYear * area) / YEAR,
      leaves: (figures.leavesPerYear * (1 - figures.gutterGuard) * area) / YEAR,
    };
  };
  const boxes = site.settlingBoxes.map((box): SolidsPlace => {
    const { perYear, flows } = runoffOf(box.name);
    const inflow = inflowOf(box.name, perYear);
    const capture = captureOf(box, flows, figures);
    return { name: box.name, inflow, capture, ...sumpOf(box, inflow, capture, figures) };
  });
  if (catchmentsTo(site, "chamberBank").length === 0) return boxes;
  const past = inflowOf("chamberBank", runoffOf("chamberBank").perYear);
  return [...boxes, { name: "chamberBank", inflow: past, capture: NONE, held: NONE, sump: null }];
}

/**
 * Rain of a year by its intensity [m/s] and share of the depth, where there is no record: most of it falls gently. An assumption
 * of ours for a temperate, humid place; a record of the place is better.
 */
export const yearlyShowers: readonly { readonly intensity: number; readonly share: number }[] = Object.freeze([
  [1, 0.25], [3, 0.3], [8, 0.2], [20, 0.15], [60, 0.1],
].map(([intensity_mm_h, share]) => Object.freeze({ intensity: intensity_mm_h! / 3.6e6, share: share! })));

/** Water that runs at one flow [m3/s], as a share of all. */
interface FlowClass {
  readonly flow: number;
  readonly share: number;
}

const NONE: BySolid = Object.freeze({ fines: 0, grit: 0, leaves: 0 });

function catchmentsTo({ catchments }: Site, name: string): readonly Catchment[] {
  return catchments.filter(({ drainsTo }) => drainsTo === name);
}

function runoffArea(catchments: readonly Catchment[]): number {
  return catchments.reduce((sum, { area, loss }) => sum + area * (loss.kind === "runoffCoefficient" ? loss.runoffCoefficient : 1), 0);
}

/** Each stretch between two corners of a hydrograph at its mean flow. */
function flowClasses({ time, flow }: Hydrograph): FlowClass[] {
  const all = hydrographVolume({ time, flow });
  return Array.from(time.subarray(1), (end, i) => {
    const mean = (flow[i]! + flow[i + 1]!) / 2;
    return { flow: mean, share: (mean * (end - time[i]!)) / all };
  }).filter(({ share }) => share > 0);
}

function captureOf({ planArea }: SettlingBox, flows: readonly FlowClass[], figures: UpkeepFigures): BySolid {
  const { basins, waterTemperature: temperature } = figures;
  const overFlows = (settling: number): number =>
    flows.reduce((sum, { flow, share }) => sum + share * basinCapture({ settling, planArea, flow, basins }), 0);
  const overGrains = (grains: readonly GrainClass[]): number =>
    grains.reduce((sum, { diameter, share }) => sum + share * overFlows(settlingVelocity({ diameter, temperature })), 0);
  return { fines: overGrains(figures.fineGrains), grit: overGrains(figures.gritGrains), leaves: overFlows(figures.leafSettling) };
}

/** What settles lies mixed, each kind at its own density, so that the sludge keeps one make-up. */
function sumpOf(box: SettlingBox, inflow: BySolid, capture: BySolid, figures: UpkeepFigures): Pick<SolidsPlace, "held" | "sump"> {
  const masses = { fines: inflow.fines * capture.fines, grit: inflow.grit * capture.grit, leaves: inflow.leaves * capture.leaves };
  const settled = masses.fines / figures.fineDensity + masses.grit / figures.gritDensity + masses.leaves / figures.leafDensity;
  const volume = box.planArea * Math.max(0, box.outlet.crest - box.floor);
  const per = (mass: number): number => (settled === 0 ? 0 : mass / settled);
  return {
    held: { fines: per(masses.fines), grit: per(masses.grit), leaves: per(masses.leaves) },
    sump: { volume, limit: figures.fillingLimit, settled, washed: figures.washedOn / YEAR },
  };
}
