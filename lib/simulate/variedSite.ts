import type { TimedLevel } from "../ground/seriesLevel.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../units/describe.ts";
import { InputError, type Problem } from "../units/problem.ts";
import { readQuantity } from "../units/quantity.ts";
import { scaleHollowSeepage } from "../works/hollowSeepage.ts";
import { scaleSeepage } from "../works/seepage.ts";
import { keepNetwork, networkOf } from "./assemble.ts";
import { LAW, type Network } from "./network.ts";

/** What differs from a site as it was read. */
export interface Variation {
  /** all conductivities of the soil, the low spot's included, times this; more than 0, 1 where missing */
  readonly conductivityFactor?: number;
  /** one level of the groundwater under everything, in place of the site's: text with a unit, or [m] */
  readonly groundwaterLevel?: string | number;
}

/**
 * The same works in other ground. What was tabulated of their geometry is shared, so that a study of thousands of runs
 * pays for it once.
 *
 * @throws InputError  with all problems
 */
export function variedSite(site: Site, variation: Variation): Site {
  const { factor, groundwater } = read(variation);
  const varied = Object.freeze({
    ...site,
    soil: { ...site.soil, layers: site.soil.layers.map((layer) => ({ ...layer, conductivity: layer.conductivity * factor })) },
    lowSpot: site.lowSpot && {
      ...site.lowSpot,
      conductivity: site.lowSpot.conductivity * factor,
      groundwaterLevel: groundwater === null ? site.lowSpot.groundwaterLevel : null,
    },
    ...(groundwater === null ? {} : {
      groundwater: { ...site.groundwater, level: groundwater },
      chamberBank: { ...site.chamberBank, groundwaterLevel: null },
      overflowTrench: site.overflowTrench && { ...site.overflowTrench, groundwaterLevel: null },
    }),
  });
  keepNetwork(varied, variedNetwork(networkOf(site), factor, groundwater));
  return varied;
}

function variedNetwork(network: Network, factor: number, groundwater: TimedLevel | null): Network {
  const table = network.table.slice();
  for (const { law, row } of network.passages) {
    if (law === LAW.seepage) scaleSeepage(table, row, factor);
    else if (law === LAW.hollowSeepage) scaleHollowSeepage(table, row, factor);
  }
  // a box has no groundwater of its own
  const bodies = groundwater === null
    ? network.bodies
    : network.bodies.map((body) => (body.kind === "box" ? body : { ...body, groundwater }));
  return { ...network, table, bodies };
}

function read(variation: Variation): { factor: number; groundwater: TimedLevel | null } {
  const problems: Problem[] = [];
  const known = ["conductivityFactor", "groundwaterLevel"];
  for (const key of Object.keys(variation)) {
    if (!known.includes(key)) problems.push({ where: "variation", expected: `one of ${known.join(", ")}`, got: `"${key}"` });
  }
  const { conductivityFactor: factor = 1, groundwaterLevel: level } = variation;
  if (!(factor > 0 && Number.isFinite(factor))) {
    problems.push({ where: "conductivityFactor", expected: "a number more than 0", got: describe(factor) });
  }
  const reading = typeof level === "string" ? readQuantity(level, "length") : { value: level };
  if (!("value" in reading)) problems.push({ where: "groundwaterLevel", ...reading });
  else if (reading.value !== undefined && !Number.isFinite(reading.value)) {
    problems.push({ where: "groundwaterLevel", expected: "a level such as \"94.6 ft\", or a number of metres", got: describe(level) });
  }
  if (problems.length > 0) throw new InputError("The site cannot be varied:", problems);
  const given = "value" in reading ? reading.value : undefined;
  return { factor, groundwater: given === undefined ? null : { time: [0], level: [given] } };
}
