import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { areaText, intensityText, lengthText, levelText, sizeText, type UnitSystem } from "../text/format.ts";
import type { LevelSeries, Pipe, Site } from "../site/site.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { isLevelGround } from "../site/trenchGround.ts";
import { plainText } from "../text/plainText.ts";

/** A station on the water's way: what it is, how large, and its levels. */
export interface SiteStation {
  readonly station: string;
  /** sizes in words */
  readonly sizes: string;
  /** names and figures, from the highest down */
  readonly levels: readonly (readonly [name: string, figure: string])[];
}

/** A site's stations and levels as the water meets them, roofs first, emitter last; then the soil, and what is watched. */
export function siteLevels(site: Site): SiteStation[] {
  return [
    ...site.catchments.map((catchment) => catchmentStation(catchment, site.units)),
    ...site.settlingBoxes.map((box) => boxStation(site, box)),
    pitStation(site), ...trenchStations(site), ...emitterStations(site), ...lowSpotStations(site), ...groundStations(site),
    ...watchStations(site),
  ];
}

function catchmentStation({ name, area, loss }: Site["catchments"][number], units: UnitSystem): SiteStation {
  const runs = {
    runoffCoefficient: () => ("runoffCoefficient" in loss ? `${loss.runoffCoefficient} of the rain runs off` : ""),
    curveNumber: () => ("curveNumber" in loss ? `curve number ${loss.curveNumber}` : ""),
    greenAmpt: () => "soil that takes in rain first",
  }[loss.kind]();
  return { station: plainText(name, 80), sizes: `${areaText(area, units)}, ${runs}`, levels: [] };
}

function boxStation({ settlingBoxes, units }: Site, box: Site["settlingBoxes"][number]): SiteStation {
  const plan = "diameter" in box.plan ? `${sizeText(box.plan.diameter, units)} across` : `${lengthText(box.plan.length, units)} by ${lengthText(box.plan.width, units)}`;
  return {
    station: settlingBoxes.length === 1 ? "settling box" : plainText(box.name, 80), sizes: plan,
    levels: [["rim", levelText(box.rim, units)], ...pipeLevels("outlet", box.outlet, units), ["floor", levelText(box.floor, units)]],
  };
}

function pipeLevels(name: string, { invert, outletInvert, diameter, length }: Pipe, units: UnitSystem): [string, string][] {
  const size = `${sizeText(diameter, units)} pipe${length > 0 ? `, ${lengthText(length, units)} long` : ""}`;
  if (invert === outletInvert) return [[`${name}, ${size}`, levelText(invert, units)]];
  return [[`${name}, ${size}, start`, levelText(invert, units)], [`${name}, end`, levelText(outletInvert, units)]];
}

function pitStation({ chamberBank: pit, units }: Site): SiteStation {
  const chambers = pit.chambers.map(({ count, insideDiameter, height }) =>
    `${count} chamber${count === 1 ? "" : "s"} ${sizeText(insideDiameter, units)} across and ${sizeText(height, units)} high`);
  return {
    station: "pit",
    sizes: [`${lengthText(pit.length, units)} by ${lengthText(pit.width, units)}`, ...chambers].join(", "),
    levels: [
      ["ground", levelText(pit.ground, units)], ["stone top", levelText(pit.stoneTop, units)],
      ...(pit.chambers.length === 0 ? [] : [["foot of the chambers", levelText(pit.floor + pit.stone.base, units)] as const]),
      ["floor", levelText(pit.floor, units)],
    ],
  };
}

function trenchStations({ overflowTrench: trench, units }: Site): SiteStation[] {
  if (trench === null) return [];
  const pipe = trench.pipe === null ? "no pipe" : `${sizeText(trench.pipe.insideDiameter, units)} pipe in it`;
  const floors: [string, string][] = trench.fall === 0 ? [["floor", levelText(trench.floor, units)]]
    : [["floor at the high end", levelText(trench.floor, units)], ["floor at the low end", levelText(trench.lowFloor, units)]];
  const grounds: [string, string][] = isLevelGround(trench.ground) ? [["ground", levelText(trench.lowestGround, units)]]
    : [["ground at the high end", levelText(trench.ground.high, units)], ["ground at the low end", levelText(trench.ground.low, units)]];
  return [{
    station: "overflow trench", sizes: `${lengthText(trench.length, units)} long, ${lengthText(trench.width, units)} wide, ${pipe}`,
    levels: [
      ...grounds, ["stone top at the high end", levelText(trench.stoneTop.high, units)],
      ...pipeLevels("inlet", trench.inlet, units), ...floors,
    ],
  }];
}

function emitterStations(site: Site): SiteStation[] {
  const { emitter, units } = site;
  if (emitter === null) return [];
  return [{
    station: "emitter", sizes: `${sizeText(emitter.diameter, units)} across`,
    levels: descending([
      ["opens", emitter.opensAt], ["closes", emitter.closesAt], ["water outside", emitter.tailwater], ["crest", emitter.crest],
      [`weep hole, ${sizeText(emitter.weepHole?.diameter ?? 0, units)}`, emitter.weepHole?.elevation ?? null],
    ], units),
  }];
}

/** Levels from the highest down, in words; null if there are none. */
function descending(levels: readonly (readonly [name: string, level: number | null])[], units: UnitSystem): [string, string][] {
  return levels.flatMap(([name, level]) => (level === null ? [] : [{ name, level }]))
    .sort((a, b) => b.level - a.level).map(({ name, level }) => [name, levelText(level, units)]);
}

function lowSpotStations({ lowSpot, units }: Site): SiteStation[] {
  if (lowSpot === null) return [];
  return [{
    station: "low spot", sizes: `${areaText(lowSpot.area, units)} at ${sizeText(lowSpot.depth, units)} of water`,
    levels: descending([["lip", lowSpot.lip], ["grate", lowSpot.grate?.level ?? null], ["floor", lowSpot.floor]], units),
  }];
}

function groundStations(site: Site): SiteStation[] {
  const { soil, units } = site;
  const divisor = soilDivisor(soil);
  const used = (conductivity: number): string => (divisor === 1 ? intensityText(conductivity, units)
    : `${intensityText(conductivity / divisor, units)} used, ${intensityText(conductivity, units)} as given`);
  const layers = soil.layers.map(({ top, conductivity }, i): SiteStation => ({
    station: soil.layers.length === 1 ? "soil" : `soil, layer ${i + 1}`, sizes: used(conductivity),
    levels: Number.isFinite(top) ? [["top", levelText(top, units)]] : [],
  }));
  return [...layers, ...waterStations(site)];
}

/** The water table of the site, and that of a pit, trench or low spot which has one of its own. */
function waterStations({ groundwater, chamberBank, overflowTrench, lowSpot, units }: Site): SiteStation[] {
  const own = [
    ["pit", chamberBank.groundwaterLevel], ["trench", overflowTrench?.groundwaterLevel ?? null], ["low spot", lowSpot?.groundwaterLevel ?? null],
  ] as const;
  const given = own.flatMap(([body, series]) => (series === null ? [] : [waterStation(`groundwater at the ${body}`, series, units)]));
  return [...given, waterStation(given.length === 0 ? "groundwater" : "groundwater elsewhere", groundwater.level, units)];
}

function waterStation(station: string, series: LevelSeries | null, units: UnitSystem): SiteStation {
  if (series === null) return { station, sizes: "taken to be far below", levels: [] };
  const [low, high] = [leastOf(series.level), greatestOf(series.level)];
  if (low === high) return { station, sizes: "", levels: [["level", levelText(high, units)]] };
  return { station, sizes: "moves", levels: [["highest", levelText(high, units)], ["lowest", levelText(low, units)]] };
}

function watchStations({ watchLevels, units }: Site): SiteStation[] {
  if (watchLevels.length === 0) return [];
  const levels = [...watchLevels]
    .sort((a, b) => b.level - a.level)
    .map(({ name, level }) => [plainText(name, 80), levelText(level, units)] as const);
  return [{ station: "levels to watch", sizes: "", levels }];
}
