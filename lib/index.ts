// Text and numbers
export { InputError, type Problem } from "./units/problem.ts";
export { quantity, type Dimension } from "./units/quantity.ts";
export {
  areaText, depthText, displayUnits, durationText, flowText, intensityText, lengthText, levelText, volumeText, type UnitSystem,
} from "./units/format.ts";

// Rain
export { hyetograph, type Hyetograph } from "./rain/hyetograph.ts";
export { designStorm, type DesignStormOptions, type PatternName } from "./rain/designStorm.ts";

// Runoff
export { hydrograph, type Hydrograph } from "./runoff/hydrograph.ts";
export { inflowHydrographs } from "./runoff/inflowHydrographs.ts";

// Works
export { segmentArea, segmentAreaIntegral, segmentWidth } from "./works/circle.ts";

// Site
export { readSite } from "./site/readSite.ts";
export type { Site } from "./site/site.ts";
export { SiteError } from "./site/siteError.ts";

// Simulation
export type { Firing, Ledger, Run, RunEvent } from "./simulate/run.ts";
export { simulate, StoppedRun } from "./simulate/simulate.ts";
