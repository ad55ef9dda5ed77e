import type { SoilTest, SoilTestResults } from "../ground/test/soilTest.ts";
import type { ConductivityFrom } from "../ground/test/usedConductivity.ts";
import type { Band } from "../ground/test/withinSiteBand.ts";
import type { SoilTexture } from "../ground/soilTexture.ts";
import type { DatedEntry } from "./diaryField.ts";
import type { Materials } from "./materials.ts";
import type { Papers } from "./papers.ts";
import type { Prices, PricesFile } from "./prices.ts";
import type { Survey } from "./surveyField.ts";
import type { HolesOrigin } from "./testHoles.ts";
import type { Surroundings } from "./surroundings.ts";
import type { Variant } from "./variants.ts";
import type { Upkeep } from "./upkeep.ts";

/**
 * The site as the library works with it: checked, SI, every default filled in, deeply frozen. It comes from `readSite`, or from
 * a site by `changedSite`. Levels are elevations above the site's own datum [m]. What is marked as a fact follows from the rest
 * and is made in one place, `withFacts`.
 */
export interface Site {
  readonly name: string;
  /** free text of the file, "" where it has none */
  readonly about: string;
  /** the system answers are shown in: that of the file, unless it is shown in another (`shownIn`) */
  readonly units: "us" | "si";
  /** the system most of the file's lengths are written in, by which its country and its nominal sizes go */
  readonly writtenIn: "us" | "si";
  /** the country it lies in, a code of two letters (ISO 3166-1); null where the file does not say */
  readonly region: string | null;
  readonly catchments: readonly Catchment[];
  /** one or more; a single box is called "settlingBox" */
  readonly settlingBoxes: readonly SettlingBox[];
  readonly chamberBank: ChamberBank;
  readonly overflowTrench: OverflowTrench | null;
  readonly emitter: Emitter | null;
  readonly lowSpot: LowSpot | null;
  readonly soil: Soil;
  readonly groundwater: Groundwater;
  readonly storms: readonly StormChoice[];
  readonly watchLevels: readonly { readonly name: string; readonly level: number }[];
  /** what one surveyed level may be off [m] */
  readonly surveyError: number;
  /** what was measured on the lot; null where the file does not say */
  readonly survey: Survey | null;
  /** for siting, the order list and the years; null where the file does not say */
  readonly surroundings: Surroundings | null;
  readonly materials: Materials | null;
  readonly upkeep: Upkeep | null;
  /** options of studies, as they are written; null where the file asks for none */
  readonly studies: Studies | null;
  /** what stands on its papers; null where the file does not say */
  readonly papers: Papers | null;
  /** what things cost, or the name of the file that says so; null where the file does not */
  readonly prices: Prices | PricesFile | null;
  /** other designs of the same lot; empty where the file has none */
  readonly variants: readonly Variant[];
  /** the works as they were built, where they differ, in the file's own keys; empty where nobody wrote it down */
  readonly asBuilt: readonly DatedEntry[];
  /** what was seen and done over the years */
  readonly diary: readonly DatedEntry[];
  /** what was taken for keys that the file does not have, where that matters, in plain words; the notes say it too */
  readonly assumptions: readonly string[];
  /** what is legal but worth saying, in plain words: levels that do not descend, ... */
  readonly notes: readonly string[];
}

export interface Catchment {
  readonly name: string;
  /** plan area [m2] */
  readonly area: number;
  readonly timeOfConcentration: number;
  /** a box's name, "chamberBank" or "lowSpot" */
  readonly drainsTo: string;
  /** depth lost before any runs off [m] */
  readonly initialLoss: number;
  readonly loss: Loss;
}

export type Loss =
  | { readonly kind: "runoffCoefficient"; readonly runoffCoefficient: number }
  | { readonly kind: "curveNumber"; readonly curveNumber: number; readonly initialAbstractionRatio: number; readonly peakRateFactor: number }
  | { readonly kind: "greenAmpt"; readonly hydraulicConductivity: number; readonly wettingFrontSuction: number; readonly moistureChange: number };

export interface Pipe {
  /** inside diameter [m] */
  readonly diameter: number;
  readonly invert: number;
  readonly outletInvert: number;
  readonly length: number;
  readonly manningN: number;
  readonly entranceLoss: number;
  readonly exitLoss: number;
  readonly bendLoss: number;
  /** fact: the higher of its ends, which the water has to pass [m] */
  readonly crest: number;
}

export interface SettlingBox {
  readonly name: string;
  /** plan area [m2] and perimeter [m] of the round or rectangular box */
  readonly planArea: number;
  readonly perimeter: number;
  /** as given: a diameter, or length and width [m] */
  readonly plan: { readonly diameter: number } | { readonly length: number; readonly width: number };
  readonly floor: number;
  readonly rim: number;
  readonly outlet: Pipe;
  readonly spillsTo: "lowSpot" | null;
}

export interface Stone {
  readonly depth: number;
  readonly porosity: number;
}

export interface Chamber {
  readonly count: number;
  readonly insideDiameter: number;
  readonly outsideDiameter: number;
  readonly height: number;
  /** clear share of the wall, or count and diameter of holes; null where not given */
  readonly wallOpenings: { readonly share: number } | { readonly count: number; readonly diameter: number } | null;
  /** clear gap to the next chamber [m]; null where not given */
  readonly gap: number | null;
}

export interface ChamberBank {
  readonly floor: number;
  readonly length: number;
  readonly width: number;
  readonly ground: number;
  /** `base`: stone under the chambers [m] */
  readonly stone: Stone & { readonly base: number };
  readonly chambers: readonly Chamber[];
  readonly coverPorosity: number;
  readonly openFloorShare: number;
  /** its own groundwater; null: the site's */
  readonly groundwaterLevel: LevelSeries | null;
  readonly cover: Cover | null;
  readonly spillsTo: "lowSpot" | null;
  /** fact: top of the stone [m] */
  readonly stoneTop: number;
  /** fact: the groundwater that it stands in, its own or the site's; null: far below */
  readonly groundwater: LevelSeries | null;
}

export interface OverflowTrench {
  /** level of the floor at its high end; falls by `fall` over `length` towards the emitter */
  readonly floor: number;
  readonly fall: number;
  readonly length: number;
  readonly width: number;
  /** over its two ends, straight between them; alike where the file gives one level */
  readonly ground: TrenchGround;
  readonly stone: Stone & { readonly hydraulicConductivity: number };
  readonly pipe: {
    readonly insideDiameter: number;
    readonly outsideDiameter: number;
    readonly bedding: number;
    readonly manningN: number;
    /** clear wall openings per length of trench [m2/m]; null: pipe and stone share one level */
    readonly openArea: number | null;
    /** fact: its inside bottom over the trench floor [m] */
    readonly rise: number;
  } | null;
  readonly inlet: Pipe;
  readonly coverPorosity: number;
  readonly openFloorShare: number;
  readonly groundwaterLevel: LevelSeries | null;
  readonly cover: Cover | null;
  readonly spillsTo: "lowSpot" | null;
  readonly segments: number;
  /** fact: level of the floor at its low end [m] */
  readonly lowFloor: number;
  /** fact: the lower end of the ground, where water comes up first [m] */
  readonly lowestGround: number;
  /** fact: top of the stone at its two ends [m]; it follows the floor */
  readonly stoneTop: { readonly high: number; readonly low: number };
  /** fact: lowest level of what the inlet runs into [m]: inside bottom of a pipe that is a body of its own, else the floor */
  readonly inletFloor: number;
  /** fact: lowest level of what emitter and weep hole take from, by the same rule [m] */
  readonly emitterFloor: number;
  /** fact: the groundwater that it stands in, its own or the site's; null: far below */
  readonly groundwater: LevelSeries | null;
}

/** Level of the ground at the trench's high end and at its low one, the ends named by the floor [m]. */
export interface TrenchGround {
  readonly high: number;
  readonly low: number;
}

export interface Cover {
  readonly conductivity: number;
  /** [kg/m3] */
  readonly submergedDensity: number;
}

export interface Emitter {
  readonly crest: number;
  readonly diameter: number;
  readonly opensAtHead: number;
  readonly closesAtHead: number;
  readonly tailwater: number | null;
  /** `soakArea`: area of soil that its pocket wets [m2] */
  readonly weepHole: { readonly diameter: number; readonly elevation: number; readonly soakArea: number } | null;
  readonly dischargesTo: "lowSpot" | null;
  /** [from, to) [s] in which the lid is held shut, as given */
  readonly heldShut: readonly { readonly from: number; readonly to: number }[];
  /** fact: what its heads count from [m]: crest, tailwater or the floor of the dry low spot it discharges into, the highest */
  readonly sill: number;
  /** fact: levels of the water in the trench at which its lid opens and falls shut, the low spot dry [m] */
  readonly opensAt: number;
  readonly closesAt: number;
}

export interface LowSpot {
  readonly floor: number;
  readonly depth: number;
  readonly area: number;
  readonly shape: number;
  readonly lip: number;
  readonly lipLength: number;
  readonly conductivity: number;
  readonly grate: { readonly level: number; readonly perimeter: number; readonly area: number } | null;
  readonly groundwaterLevel: LevelSeries | null;
  /** fact: the groundwater that it stands in, its own or the site's; null: far below */
  readonly groundwater: LevelSeries | null;
}

export interface Soil {
  /** from the top down */
  readonly layers: readonly SoilLayer[];
  readonly floor: boolean;
  readonly sides: boolean;
  readonly factorOfSafety: number;
  /** which figure of a percolation hole its layer takes; "lower" where not given */
  readonly conductivityFrom: ConductivityFrom;
  /** of the water in the soil [degC]; 20 where not given */
  readonly temperature: number;
}

export interface SoilLayer {
  /** tops descend; the first is Infinity where not given */
  readonly top: number;
  /** at 20 degC, 0 or more; as given, or made of what was given [m/s] */
  readonly conductivity: number;
  /** what the conductivity was made of; null where the file gives it itself */
  readonly origin: SoilOrigin | null;
}

/**
 * A test in the ground, or several, with all that came of it and the band of what its layer takes of it; or a texture with what is
 * published of it.
 */
export type SoilOrigin =
  | {
      readonly kind: "test"; readonly test: SoilTest["kind"];
      readonly result: SoilTestResults[SoilTest["kind"]]; readonly band: Band;
    }
  | HolesOrigin
  | { readonly kind: "texture"; readonly texture: SoilTexture };

/** Straight lines between the points, constant outside; one point is a fixed level. */
export interface LevelSeries {
  readonly time: readonly number[];
  readonly level: readonly number[];
}

export interface Groundwater {
  /** null: far below */
  readonly level: LevelSeries | null;
  /** seepage path length [m]; null: each body's own width */
  readonly pathLength: number | null;
  /** where it is null: how many of each body's own lengths it is; 1 in a site that was read, others by `pathBand` */
  readonly ownLengths: number;
  readonly mounding: {
    readonly conductivity: number;
    readonly thickness: number;
    readonly specificYield: number;
    readonly at: { readonly x: number; readonly y: number };
  } | null;
}

/** A named storm of the file: the options of `designStorm`, kept as text, or a file of rain. */
export interface StormChoice {
  readonly name: string;
  readonly options: Readonly<Record<string, unknown>>;
}

/** Options of each study, kept as text; null where the file asks for none. The rainfall serves all of them. */
export interface Studies {
  readonly rainfall: Readonly<Record<string, unknown>> | null;
  readonly sweep: Readonly<Record<string, unknown>> | null;
  readonly size: Readonly<Record<string, unknown>> | null;
  readonly sure: Readonly<Record<string, unknown>> | null;
  readonly often: Readonly<Record<string, unknown>> | null;
}
