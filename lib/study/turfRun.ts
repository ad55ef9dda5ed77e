import { soilTexture, type SoilTexture, textureNames } from "../ground/soilTexture.ts";
import { edgeOf, insideRing, type PlanPoint, shapeDistance } from "../plane/planShape.ts";
import { worksShapes } from "../plan/worksShapes.ts";
import { hydrograph, type Hydrograph } from "../runoff/hydrograph.ts";
import { fanHalfWidth, sheetFlow } from "../runoff/sheetFlow.ts";
import type { Run } from "../simulate/run.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import type { Site } from "../site/site.ts";
import { lotOf } from "../site/surroundings.ts";

/** The turf below the emitter: what the file says of it, and what is assumed. */
export interface Turf {
  /** fall of the ground over its length, and where that is from */
  readonly slope: number;
  readonly slopeFrom: "surroundings" | "ground over the trench" | "assumed";
  /** [m/s], and where that is from: the cover over the trench, as given, or the topmost soil, as used */
  readonly conductivity: number;
  readonly conductivityFrom: "cover" | "soil";
  /** by the texture of the top layer, or by that whose published conductivity is nearest to this one: assumed then [m] */
  readonly suction: number;
  readonly suctionFrom: "texture" | "assumed";
  /** half of what that texture has room for: assumed */
  readonly moistureChange: number;
  /** of dense grass */
  readonly manningN: number;
  /** from the emitter to the nearest edge of the lot [m]; null where the plan does not tell, 0 where it stands on it or beyond */
  readonly toBoundary: number | null;
}

/** How far what the emitter lets out runs over the turf. */
export interface TurfRun {
  readonly turf: Turf;
  /** let out [m3] */
  readonly volume: number;
  /** [m]; at most `LOOKED` */
  readonly reach: number;
  /** whether it goes farther than was looked */
  readonly isBeyond: boolean;
  /** how wide the sheet is there [m] */
  readonly width: number;
  /** what comes as far as the nearest boundary lies, whichever way the water runs [m3]; null where that is not known */
  readonly overBoundary: number | null;
}

/** Water is followed so far [m]. */
export const LOOKED = 60;

/** TR-55 (2nd ed. 1986) Table 3-1: dense grass, as in its Example 3-1. */
const DENSE_GRASS = 0.24;

/** Where the file says nothing of the ground: common practice for a lawn that sheds water, no source. */
const ASSUMED_SLOPE = 0.02;

/**
 * What the emitter lets out in a run, followed over the turf until the soil has taken it: a sheet that its own depth drives apart
 * (`fanHalfWidth`, for the mean flow of the emitter's open time), kinematic, with Green and Ampt's infiltration, which the storm's own rain
 * takes up first (`sheetFlow`).
 *
 * @returns  null where there is no emitter, where it lets nothing out, and where that runs into the low spot
 */
export function turfRun(run: Run): TurfRun | null {
  const { site, emitted, openTime } = run;
  if (site.emitter === null || site.emitter.dischargesTo !== null || !(emitted > 0) || !(openTime > 0)) return null;
  const turf = turfOf(site);
  const { slope, manningN, conductivity, suction, moistureChange, toBoundary } = turf;
  const stretches = 120;
  const flow = emitted / openTime;
  const { reach, passed, width } = sheetFlow({
    inflow: letOut(run), slope, manningN, halfWidth: (distance) => fanHalfWidth({ flow, slope, manningN, distance }),
    soil: { hydraulicConductivity: conductivity, wettingFrontSuction: suction, moistureChange },
    ...(run.rain === null ? {} : { rain: run.rain }), length: LOOKED, stretches,
  });
  const at = toBoundary === null ? null : (toBoundary / LOOKED) * stretches;
  const overBoundary = at === null ? null : at >= stretches ? passed[stretches]!
    : passed[Math.floor(at)]! + (at - Math.floor(at)) * (passed[Math.floor(at) + 1]! - passed[Math.floor(at)]!);
  return { turf, volume: emitted, reach, isBeyond: passed[stretches]! > 0, width, overBoundary };
}

/** The turf below the emitter of a site that has one. */
export function turfOf(site: Site): Turf {
  const { soil, surroundings } = site;
  const trench = site.overflowTrench!;
  const ground = (trench.ground.high - trench.ground.low) / trench.length;
  const slope = surroundings?.groundSlope ?? 0;
  const layer = soil.layers.findLast(({ top }) => top >= site.emitter!.crest) ?? soil.layers[0]!;
  const conductivity = trench.cover?.conductivity ?? layer.conductivity / soilDivisor(soil);
  const textured = layer.origin?.kind === "texture" ? layer.origin.texture : null;
  const texture = textured ?? nearestTexture(conductivity);
  return {
    ...(slope > 0 ? { slope, slopeFrom: "surroundings" } : ground > 0 ? { slope: ground, slopeFrom: "ground over the trench" }
      : { slope: ASSUMED_SLOPE, slopeFrom: "assumed" }),
    conductivity, conductivityFrom: trench.cover === null ? "soil" : "cover",
    suction: texture.wettingFrontSuction, suctionFrom: textured === null ? "assumed" : "texture", moistureChange: texture.effectivePorosity / 2,
    manningN: DENSE_GRASS, toBoundary: boundaryFrom(site),
  };
}

function nearestTexture(conductivity: number): SoilTexture {
  const away = (each: SoilTexture): number => Math.abs(Math.log(each.hydraulicConductivity / Math.max(conductivity, 1e-12)));
  return textureNames().map((name) => soilTexture(name)).reduce((nearest, each) => (away(each) < away(nearest) ? each : nearest));
}

function boundaryFrom(site: Site): number | null {
  const lot = site.surroundings === null ? null : lotOf(site.surroundings);
  const at: PlanPoint | null = worksShapes(site)?.emitter ?? null;
  if (lot === null || at === null) return null;
  return insideRing(at, lot.points) ? shapeDistance({ points: [at], closed: false }, edgeOf(lot)).distance : 0;
}

/** The emitter's flow along the run's own steps, scaled to what the run's ledger has, which is integrated more finely. */
function letOut(run: Run): Hydrograph {
  const pieces: { readonly time: readonly number[]; readonly flow: readonly number[] }[] = [];
  const steps = [...run.times];
  for (const { start, end, volume } of run.firings) {
    const last = end ?? run.until;
    const within = [start, ...steps.filter((each) => each > start && each < last), last];
    const flows = within.map((each) => run.flow("emitter", inside(each, start, last)));
    const sum = within.slice(1).reduce((total, each, i) => total + ((flows[i]! + flows[i + 1]!) / 2) * (each - within[i]!), 0);
    const scaled = flows.map((each) => (sum > 0 ? (each * volume) / sum : volume / (last - start)));
    pieces.push({ time: [start, ...within, last], flow: [0, ...scaled, 0] });
  }
  return hydrograph({ time: pieces.flatMap(({ time }) => time), flow: pieces.flatMap(({ flow }) => flow) });
}

/** A hair inside the firing, where the lid stands open. */
function inside(time: number, start: number, end: number): number {
  const hair = Math.min(0.01, (end - start) / 10);
  return Math.min(end - hair, Math.max(start + hair, time));
}
