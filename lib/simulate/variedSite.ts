import type { TimedLevel } from "../ground/seriesLevel.ts";
import { withFacts } from "../site/facts.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { scaleHollowSeepage, scaleWeepHole } from "../works/passageRows.ts";
import { scaleSeepage } from "../works/seepage.ts";
import { keepNetwork, networkOf } from "./assemble.ts";
import { LAW, type Network } from "./network.ts";

/** What differs from a site as it was read. */
export interface Variation {
  /** all conductivities of the soil, the low spot's included, times this; more than 0, 1 where missing */
  readonly conductivityFactor?: number;
  /** of the soil at the trench and at its weep hole times this instead; as `conductivityFactor` where missing */
  readonly trenchFactor?: number;
  /** one level of the groundwater under everything, in place of the site's: text with a unit, or [m] */
  readonly groundwaterLevel?: string | number;
  /** or every level of the site's groundwater moved up by this: text with a unit, or [m]; negative is down */
  readonly groundwaterShift?: string | number;
}

/**
 * The same works in other ground. What was tabulated of their geometry is shared, so that a study of thousands of runs
 * pays for it once.
 *
 * @throws InputError  with all problems
 */
export function variedSite(site: Site, variation: Variation): Site {
  const { factor, trenchFactor, moved } = read(variation);
  const bank = site.chamberBank;
  const trench = site.overflowTrench;
  const varied = Object.freeze(withFacts({
    ...site,
    soil: { ...site.soil, layers: site.soil.layers.map((layer) => ({ ...layer, conductivity: layer.conductivity * factor })) },
    lowSpot: site.lowSpot && {
      ...site.lowSpot, conductivity: site.lowSpot.conductivity * factor, groundwaterLevel: moved.own(site.lowSpot.groundwaterLevel),
    },
    groundwater: { ...site.groundwater, level: moved.all(site.groundwater.level) },
    chamberBank: { ...bank, groundwaterLevel: moved.own(bank.groundwaterLevel) },
    overflowTrench: trench && { ...trench, groundwaterLevel: moved.own(trench.groundwaterLevel) },
  }));
  keepNetwork(varied, variedNetwork(networkOf(site), factor, trenchFactor, moved));
  return varied;
}

/** The numbers of a network's laws with all conductivities of its soil times a factor, those at the trench times another. */
export function scaledSoil({ bodies, passages, table: given }: Network, factor: number, trenchFactor: number): Float64Array {
  const table = given.slice();
  for (const { law, row, from } of passages) {
    const { kind } = bodies[from]!;
    if (law === LAW.seepage) scaleSeepage(table, row, kind === "trench" || kind === "pipe" ? trenchFactor : factor);
    else if (law === LAW.hollowSeepage) scaleHollowSeepage(table, row, factor);
    else if (law === LAW.weepHole) scaleWeepHole(table, row, trenchFactor);
  }
  return table;
}

function variedNetwork(network: Network, factor: number, trenchFactor: number, moved: MovedGroundwater): Network {
  const table = scaledSoil(network, factor, trenchFactor);
  // a box has no groundwater of its own
  const bodies = moved === UNMOVED
    ? network.bodies
    : network.bodies.map((body) => (body.kind === "box" ? body : { ...body, groundwater: moved.all(body.groundwater) }));
  return { ...network, table, bodies };
}

/** What becomes of the groundwater under everything, and of a body's own where it has one. */
interface MovedGroundwater {
  all(level: TimedLevel | null): TimedLevel | null;
  own(level: TimedLevel | null): TimedLevel | null;
}

const UNMOVED: MovedGroundwater = { all: (level) => level, own: (level) => level };

function replacedBy(level: number): MovedGroundwater {
  return { all: () => ({ time: [0], level: [level] }), own: () => null };
}

function shiftedBy(shift: number): MovedGroundwater {
  return { all: shiftedLevels(shift), own: shiftedLevels(shift) };
}

/** Levels of groundwater moved up [m]. */
export function shiftedLevels(shift: number): (series: TimedLevel | null) => TimedLevel | null {
  return (series) => series && { time: series.time, level: series.level.map((level) => level + shift) };
}

function read(variation: Variation): { factor: number; trenchFactor: number; moved: MovedGroundwater } {
  const problems: Problem[] = [];
  const known = ["conductivityFactor", "trenchFactor", "groundwaterLevel", "groundwaterShift"];
  for (const key of Object.keys(variation)) {
    if (!known.includes(key)) problems.push({ where: "variation", expected: `one of ${known.join(", ")}`, got: describe(key), code: "unknown" });
  }
  const { conductivityFactor: factor = 1, groundwaterLevel, groundwaterShift } = variation;
  const { trenchFactor = factor } = variation;
  for (const [where, value] of [["conductivityFactor", factor], ["trenchFactor", trenchFactor]] as const) {
    if (value !== factor || where === "conductivityFactor") {
      if (!(value > 0 && Number.isFinite(value))) problems.push({ where, expected: "a number more than 0", got: describe(value) });
    }
  }
  const level = lengthOf(groundwaterLevel, "groundwaterLevel", "a level such as \"94.6 ft\"", problems);
  const shift = lengthOf(groundwaterShift, "groundwaterShift", "a length such as \"1 ft\"", problems);
  if (level !== null && shift !== null) {
    problems.push({ where: "variation", expected: "a groundwaterLevel or a groundwaterShift", got: "both" });
  }
  if (problems.length > 0) throw new InputError("The site cannot be varied:", problems);
  return { factor, trenchFactor, moved: level !== null ? replacedBy(level) : shift !== null ? shiftedBy(shift) : UNMOVED };
}

function lengthOf(given: string | number | undefined, where: string, expected: string, problems: Problem[]): number | null {
  if (given === undefined) return null;
  const reading = typeof given === "string" ? readQuantity(given, "length") : { value: given };
  if ("value" in reading && Number.isFinite(reading.value)) return reading.value;
  problems.push("value" in reading ? { where, expected: `${expected}, or a number of metres`, got: describe(given) } : { where, ...reading });
  return NaN;
}
