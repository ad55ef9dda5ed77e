import type { Hyetograph } from "../rain/hyetograph.ts";
import { fromGrid, gridRain } from "../rain/gridRain.ts";
import { optionReader } from "../text/optionReader.ts";
import { splitEvery } from "../rain/splitEvery.ts";
import type { Catchment, Site } from "../site/site.ts";
import { curveNumberLoss } from "../runoff/curveNumber.ts";
import { eachStorm, inTurn } from "../runoff/eachStorm.ts";
import { greenAmptLoss } from "../runoff/greenAmpt.ts";
import type { Hydrograph } from "../runoff/hydrograph.ts";
import { initialLoss } from "../runoff/initialLoss.ts";
import { straightened } from "../runoff/straightened.ts";
import { sumHydrographs } from "../runoff/sumHydrographs.ts";
import { timeAreaHydrograph } from "../runoff/timeArea.ts";
import { unitHydrograph, UNIT_STEP_SHARE } from "../runoff/unitHydrograph.ts";
import { respond } from "../runoff/unitResponse.ts";

/** Settings of `inflowHydrographs`. */
export interface InflowOptions {
  /**
   * Dry spell after which every loss starts again [s]: hollows empty, soil drained. Default 72 h, as field capacity is
   * commonly taken as reached two to three days after rain; a long spell is on the safe side, for less is lost.
   */
  readonly dryTime?: number;
}

/**
 * What the rain sends into each body of the site: one hydrograph for every body that a catchment drains to, the sum over
 * its catchments. `initialLoss` comes off first, then
 *
 * - `runoffCoefficient` C: the rational time-area hydrograph q(t) = C A / tc (P(t) - P(t - tc)), exactly; its volume is
 *   C A (P - initial loss) to round-off;
 * - `curveNumber`: runoff by the curve number, on steps of 0.133 tc, through the NRCS unit hydrograph;
 * - `greenAmpt`: what does not infiltrate, summed up on steps of 0.133 tc, through the time-area hydrograph.
 *
 * The steps count from the start of the first rain, so dry time before it changes nothing, and rain split otherwise gives the same
 * flows.
 *
 * @param site        the site, or only its catchments
 * @param hyetograph  rain on all of them
 * @returns           [s], [m3/s] by body; corners only where the flow really turns
 * @throws InputError  when `dryTime` is not above 0, or tc is 0 where a curve number needs one
 */
export function inflowHydrographs(
  site: Pick<Site, "catchments">,
  hyetograph: Hyetograph,
  options: InflowOptions = {},
): Record<string, Hydrograph> {
  const read = optionReader("inflowHydrographs", options, "The inflow cannot be computed:");
  const dryTime = read.number("dryTime", { above: 0, missing: 72 * 3600 });
  read.done();
  const rain = fromFirstRain(hyetograph);
  const parts = new Map<string, Hydrograph[]>();
  for (const catchment of site.catchments) {
    const flow = catchmentHydrograph(catchment, rain, dryTime);
    const others = parts.get(catchment.drainsTo);
    if (others === undefined) parts.set(catchment.drainsTo, [flow]);
    else others.push(flow);
  }
  return Object.fromEntries([...parts].map(([body, list]) => [body, straightened(sumHydrographs(list))]));
}

/** Without the dry intervals before the first rain; rain that never falls as it is. */
function fromFirstRain(rain: Hyetograph): Hyetograph {
  const first = rain.depth.findIndex((fallen) => fallen > 0);
  return first <= 0 ? rain : { time: rain.time.subarray(first), depth: rain.depth.subarray(first) };
}

function catchmentHydrograph(catchment: Catchment, rain: Hyetograph, dryTime: number): Hydrograph {
  const { area, timeOfConcentration, loss } = catchment;
  const first = initialLoss(catchment.initialLoss);
  const step = UNIT_STEP_SHARE * timeOfConcentration;
  switch (loss.kind) {
    case "runoffCoefficient": {
      const effective = eachStorm(first, dryTime)(rain);
      return timeAreaHydrograph(effective, { area: loss.runoffCoefficient * area, timeOfConcentration });
    }
    case "curveNumber": {
      const { curveNumber, initialAbstractionRatio, peakRateFactor } = loss;
      const response = unitHydrograph({ timeOfConcentration, peakRateFactor });
      const losses = inTurn(first, curveNumberLoss({ curveNumber, initialAbstractionRatio }));
      return respond(eachStorm(losses, dryTime)(splitEvery(rain, step)), area, response);
    }
    case "greenAmpt": {
      const { hydraulicConductivity, wettingFrontSuction, moistureChange } = loss;
      const soil = { hydraulicConductivity, wettingFrontSuction, moistureChange };
      const effective = eachStorm(inTurn(first, greenAmptLoss(soil)), dryTime);
      if (!(step > 0)) return timeAreaHydrograph(effective(rain), { area, timeOfConcentration });
      const split = splitEvery(rain, step, (intensity) => intensity > hydraulicConductivity);
      const gridded = fromGrid(gridRain(effective(split), step), rain.time[rain.depth.length]!);
      return timeAreaHydrograph(gridded, { area, timeOfConcentration });
    }
  }
}
