export { InputError, type Problem } from "./units/problem.ts";
export { type Hyetograph } from "./rain/hyetograph.ts";
export { hydrograph, type Hydrograph } from "./runoff/hydrograph.ts";
export type { Site } from "./site/site.ts";
export type { Firing, Ledger, Run, RunEvent } from "./simulate/run.ts";
