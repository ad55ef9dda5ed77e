import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { inflowHydrographs } from "./inflowHydrographs.ts";
import { straightened } from "../runoff/straightened.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { nearest } from "../text/nearest.ts";
import { InputError, type Problem } from "../text/problem.ts";

/** Rain on the site's catchments, a flow into its one box, or a flow into each named body. */
export type Load = Hyetograph | Hydrograph | Readonly<Record<string, Hydrograph>>;

/**
 * The flow into each body a load stands for.
 *
 * @throws InputError  for a body the site has not got, a bare hydrograph where there are several boxes, or no load at all
 */
export function bodyInflows(site: Site, load: Load, bodies: readonly string[]): Readonly<Record<string, Hydrograph>> {
  if (typeof load !== "object" || load === null) {
    throw loadError([{ where: "load", expected: "a hyetograph, a hydrograph or one for each body", got: describe(load) }]);
  }
  if (isHyetograph(load)) return inflowHydrographs(site, load);
  if (isHydrograph(load)) {
    const boxes = site.settlingBoxes;
    if (boxes.length > 1) {
      const names = boxes.map((box) => `"${box.name}"`).join(", ");
      throw loadError([{ where: "load", expected: `a hydrograph for each box by name (${names})`, got: "one hydrograph" }]);
    }
    return { [boxes[0]!.name]: straightened(load) };
  }
  const problems: Problem[] = [];
  for (const [name, flow] of Object.entries(load)) {
    if (!bodies.includes(name)) {
      const meant = nearest(name, bodies);
      const known = meant === null ? `one of ${bodies.join(", ")}` : `a body of the site, such as "${meant}"`;
      problems.push({ where: "load", expected: known, got: describe(name), code: "unknown" });
    } else if (!isHydrograph(flow)) {
      problems.push({ where: `load of ${name}`, expected: "a hydrograph", got: describe(flow) });
    }
  }
  if (problems.length > 0) throw loadError(problems);
  return Object.fromEntries(Object.entries(load).map(([name, flow]) => [name, straightened(flow)]));
}

export function isHyetograph(load: Load): load is Hyetograph {
  return "depth" in load && load.depth instanceof Float64Array;
}

function isHydrograph(load: unknown): load is Hydrograph {
  return typeof load === "object" && load !== null && "flow" in load && load.flow instanceof Float64Array;
}

function loadError(problems: readonly Problem[]): InputError {
  return new InputError("The load cannot be run:", problems);
}
