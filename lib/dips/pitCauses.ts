import { greatestOf, leastOf } from "../numerics/extremes.ts";
import type { Site } from "../site/site.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { depthText, intensityText, twoFigures, waterText } from "../text/format.ts";
import { FAULTS, faultSize, type Fault } from "./faults.ts";

/**
 * What a diagnosis tells apart: the faults, with a leak of the pit at either place as one, levels off either way as one, and some
 * other cause.
 */
export type Cause = Exclude<Fault, "leakAtFloor" | "leakAtPipe" | "leakAtTrench" | "levelsHigh" | "levelsLow"> | "leak" | "trenchLeak" | "levelsOff" | "somethingElse";

export const CAUSES: readonly Cause[] = Object.freeze([...new Set(FAULTS.map(causeOf)), "somethingElse"]);

export function causeOf(fault: Fault): Cause {
  switch (fault) {
    case "leakAtFloor": case "leakAtPipe": return "leak";
    case "leakAtTrench": return "trenchLeak";
    case "levelsHigh": case "levelsLow": return "levelsOff";
    default: return fault;
  }
}

/** A cause as a person calls it, without an article's capital: `the soil is slower than designed`. */
export const CAUSE_WORDS: Readonly<Record<Cause, string>> = Object.freeze({
  asDesigned: "nothing is wrong with the works",
  soilSlower: "the soil is slower than designed",
  floorSealed: "silt has sealed the floor",
  waterTable: "the water table stands higher than designed",
  leak: "water is lost through a leak",
  lidShut: "the emitter's lid is stuck shut",
  outletBlocked: "the box outlet is blocked",
  holesClogged: "the holes of the chambers are clogged",
  inletBlocked: "the pipe from the pit to the trench is choked",
  levelsOff: "pipe and emitter were not laid at the levels drawn",
  stoneDirty: "the stone is full of fines",
  roofMore: "more roof runs in than was drawn",
  trenchLeak: "water is lost from the trench",
  somethingElse: "something else is wrong, or a reading",
});

/** How bad a fault is, in words: `it takes 0.21 of what was designed`; "" for a lid. */
export function severityText(site: Site, fault: Fault, severity: number): string {
  const size = faultSize(site, fault, severity);
  const { units, soil } = site;
  const slowest = greatestOf(soil.layers.map(({ conductivity }) => conductivity)) / soilDivisor(soil);
  return {
    asDesigned: `the soil takes ${twoFigures(size)} times what was designed`,
    soilSlower: `it takes ${twoFigures(size)} of what was designed, at best ${intensityText(size * slowest, units)}`,
    floorSealed: `${twoFigures(size)} of the floor is still open`,
    waterTable: `it stands at ${waterText(size, units)}`,
    leakAtFloor: `as through a hole ${depthText(size, units)} wide at the floor`,
    leakAtPipe: `as through a hole ${depthText(size, units)} wide in the bed of the pipes`,
    lidShut: "",
    outletBlocked: `what is left open is ${depthText(size * leastOf(site.settlingBoxes.map(({ outlet }) => outlet.diameter)), units)} wide`,
    holesClogged: `${twoFigures(100 * size)} % of the chambers' wall is still open`,
    leakAtTrench: `as through a hole ${depthText(size, units)} wide at the low end of the trench`,
    inletBlocked: `what is left open is ${depthText(size * (site.overflowTrench?.inlet.diameter ?? 0), units)} wide`,
    levelsHigh: `by ${depthText(size, units)} too high`,
    levelsLow: `by ${depthText(size, units)} too low`,
    stoneDirty: `${twoFigures(size)} of the room between the stone is left`,
    roofMore: `${twoFigures(size)} times the water that was drawn`,
  }[fault];
}

/** Two causes that dips may not tell apart however well they are read, and why. */
export interface Inseparable {
  readonly causes: readonly [Cause, Cause];
  readonly because: string;
}

/** The pairs that are known to look alike. They do not always: where the dips tell them apart, the shares say so. */
export const INSEPARABLE: readonly Inseparable[] = Object.freeze([
  { causes: ["soilSlower", "floorSealed"] as const, because: "both drain slowly from every level; only dips at great and at small depth tell them apart, for a sealed floor leaves the sides, and hardly that where the sides count little" },
  { causes: ["soilSlower", "waterTable"] as const, because: "a near water table slows the draining as slow soil does until the water comes down to it" },
  { causes: ["floorSealed", "waterTable"] as const, because: "both slow the last foot of water most" },
  { causes: ["inletBlocked", "levelsOff"] as const, because: "both keep water in the pit that should run to the trench" },
  { causes: ["stoneDirty", "roofMore"] as const, because: "less room fills as more water does" },
  { causes: ["asDesigned", "leak"] as const, because: "a small leak low down drains as soil somewhat faster than designed does" },
]);

/** Why two causes are known to look alike; null where they are not. */
export function inseparable(a: Cause, b: Cause): string | null {
  return INSEPARABLE.find(({ causes }) => causes.includes(a) && causes.includes(b) && a !== b)?.because ?? null;
}
