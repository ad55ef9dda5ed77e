import { quantity } from "../text/quantity.ts";
import { writtenQuantity } from "../text/writtenQuantity.ts";
import { intensityText } from "../text/format.ts";
import type { WorksLevels, GroundTold } from "./feasibleLevels.ts";
import { partSize, standardParts, type StandardParts } from "./standardParts.ts";
import type { Yard } from "./yard.ts";

/** A site file as plain data. */
export type SiteJson = Readonly<Record<string, unknown>>;

/** Names of the two storms of a first file. */
export const NORMAL = "normal summer storm";
export const BAD = "bad storm";

/** The ground and the distances that levels have to fit. */
export function groundOf(yard: Yard): GroundTold {
  const { levels, boxToPit, pitToLid, groundwaterDepth, survey } = yard;
  const parts = standardParts(yard.units);
  const [box, pit, lid] = [levels.get("box")!, levels.get("pit")!, levels.get("lid") ?? null];
  const trenchLength = trenchLengthOf(yard, parts);
  const gap = partSize(parts, "gap");
  const low = levels.get("low point");
  const toLow = survey.distances.lidToLowPoint;
  const fallOn =
    lid !== null && low !== undefined && toLow !== null
      ? (lid - low) / toLow
      : lid !== null && pitToLid !== null
        ? (pit - lid) / pitToLid
        : 0;
  return {
    box,
    pit,
    lid,
    boxToPit,
    trenchLength,
    trench: lid === null || pitToLid === null ? null : (levels.get("trench") ?? pit + ((lid - pit) * Math.min(gap, pitToLid)) / pitToLid),
    house: levels.get("house") ?? null,
    groundwater: groundwaterDepth === null ? null : pit - groundwaterDepth,
    slopeAtLid: fallOn > 1e-4 ? fallOn : null,
  };
}

/** From where the pipe ends that leads to it, up to the lid [m]. */
function trenchLengthOf({ pitToLid }: Yard, parts: StandardParts): number {
  return pitToLid === null ? 0 : Math.max(2, pitToLid - partSize(parts, "gap"));
}

/**
 * The site file of a yard with works between its levels: an ordinary one of twelve keys at most, of which every further key of the schema
 * has
 * its default. The figures are written as trades write them, levels to a hundredth of a foot or 5 mm.
 *
 * @param chambers  how many chambers stand in the pit, in one row
 * @param parts     sizes of pipes and stone
 */
export function yardFile(yard: Yard, levels: WorksLevels, chambers: number, parts: StandardParts = standardParts(yard.units)): SiteJson {
  const { told, units, rain, groundwaterDepth, houseToPit } = yard;
  const ground = groundOf(yard);
  // what a staff and a level tell on a lawn: a hundredth of a foot, or 5 mm
  const level = (at: number): string => writtenQuantity(units === "us" ? at : Math.round(at * 200) / 200, "level", units);
  const length = (of: number): string => writtenQuantity(of, "taped", units);
  const stone = levels.stoneTop - levels.pitFloor;
  const chamber = stone - partSize(parts, "base") - partSize(parts, "overChamber");
  const { survey } = told;
  return {
    name: told.name,
    region: told.region,
    survey,
    catchments: [{ name: "roof", area: survey["roofArea"] ?? writtenQuantity(yard.roofArea, "area", units), runoffCoefficient: 0.95, timeOfConcentration: "5 min" }],
    settlingBox: {
      diameter: parts.boxDiameter,
      floor: level(levels.boxOutlet - partSize(parts, "sump")),
      rim: level(ground.box),
      outlet: {
        diameter: parts.pipe,
        invert: level(levels.boxOutlet),
        outletInvert: level(levels.pitInlet),
        length: length(yard.boxToPit),
      },
    },
    chamberBank: {
      floor: level(levels.pitFloor),
      length: length(chambers * partSize(parts, "chamberPitch")),
      width: parts.pitWidth,
      ground: level(ground.pit),
      stone: { depth: length(stone), base: parts.base },
      chambers: [
        { count: chambers, insideDiameter: parts.chamberInside, outsideDiameter: parts.chamberOutside, height: writtenQuantity(chamber, "length", units) },
      ],
      cover: { conductivity: parts.coverConductivity },
    },
    ...trenchKeys(levels, ground, parts, level, length),
    soil: { layers: [soilLayer(yard)] },
    ...(groundwaterDepth === null ? {} : { groundwater: { level: level(ground.groundwater!) } }),
    ...(houseToPit === null
      ? {}
      : {
          surroundings: {
            features: [
              {
                kind: "building",
                name: "house",
                distance: length(houseToPit),
                ...(ground.house === null ? {} : { slab: level(ground.house) }),
              },
            ],
          },
        }),
    storms: [
      { name: NORMAL, pattern: "block", depth: depthOf(survey["rain"], rain.normal, units), duration: "1 h" },
      { name: BAD, pattern: "block", depth: depthOf(null, rain.bad, units), duration: "1 h" },
    ],
  };

  function soilLayer(of: Yard): SiteJson {
    const written = survey["soil"] as SiteJson | undefined;
    return written ?? { conductivity: intensityText(of.soil.middle, of.units) };
  }
}

function trenchKeys(
  levels: WorksLevels,
  ground: GroundTold,
  parts: StandardParts,
  level: (at: number) => string,
  length: (of: number) => string,
): SiteJson {
  const { trenchHigh, trenchLow, trenchInlet, trenchInletEnd, crest } = levels;
  if (trenchHigh === null || trenchLow === null || trenchInlet === null || trenchInletEnd === null || crest === null) return {};
  return {
    overflowTrench: {
      floor: level(trenchHigh),
      fall: level(trenchHigh - trenchLow),
      length: length(ground.trenchLength),
      width: parts.trenchWidth,
      ground: { high: level(ground.trench!), low: level(ground.lid!) },
      stone: { depth: parts.trenchStone },
      cover: { conductivity: parts.coverConductivity },
      pipe: { insideDiameter: parts.trenchPipe, outsideDiameter: parts.trenchPipeOutside, bedding: parts.bedding },
      inlet: { diameter: parts.pipe, invert: level(trenchInlet), outletInvert: level(trenchInletEnd), length: parts.gap },
    },
    emitter: { crest: level(crest), diameter: parts.lid },
  };
}

function depthOf(written: unknown, depth: number, units: Yard["units"]): string {
  if (typeof written === "string" && Math.abs(quantity(written, "length", "rain") - depth) < 1e-12) return written;
  return writtenQuantity(depth, "rain", units);
}
