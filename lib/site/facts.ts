import type { ChamberBank, Emitter, Groundwater, LevelSeries, LowSpot, OverflowTrench, Pipe, SettlingBox, Site } from "./site.ts";
import { lowerEnd } from "./trenchGround.ts";

/** The parts of a site as they are written, without the facts that follow from them. */
export type GivenPipe = Omit<Pipe, "crest">;
export type GivenBox = Omit<SettlingBox, "outlet"> & { readonly outlet: GivenPipe };
export type GivenBank = Omit<ChamberBank, "stoneTop" | "groundwater">;
export type GivenTrenchPipe = Omit<NonNullable<OverflowTrench["pipe"]>, "rise">;
export type GivenTrench = Omit<OverflowTrench, "pipe" | "inlet" | "lowFloor" | "lowestGround" | "stoneTop" | "inletFloor" | "emitterFloor" | "groundwater"> & {
  readonly pipe: GivenTrenchPipe | null;
  readonly inlet: GivenPipe;
};
export type GivenEmitter = Omit<Emitter, "sill" | "opensAt" | "closesAt">;
export type GivenLowSpot = Omit<LowSpot, "groundwater">;

/** The works as they are written. */
export interface GivenWorks {
  readonly settlingBoxes: readonly GivenBox[];
  readonly chamberBank: GivenBank;
  readonly overflowTrench: GivenTrench | null;
  readonly emitter: GivenEmitter | null;
  readonly lowSpot: GivenLowSpot | null;
  readonly groundwater: Groundwater;
}

type Works = Pick<Site, "settlingBoxes" | "chamberBank" | "overflowTrench" | "emitter" | "lowSpot">;

/**
 * A site with the facts that several parts of the library name, each computed here and nowhere else: crests of pipes, stone tops,
 * the levels at which the emitter opens and closes, the groundwater at each body. Facts that the parts hold already are made
 * again, so that a part may be changed by a spread. A level that could not be read is NaN, and so is what follows from it.
 */
export function withFacts<Given extends GivenWorks>(site: Given): Omit<Given, keyof Works> & Works {
  const { settlingBoxes, chamberBank, overflowTrench, emitter, lowSpot, groundwater } = site;
  const around = (own: LevelSeries | null): LevelSeries | null => own ?? groundwater.level;
  return {
    ...site,
    settlingBoxes: settlingBoxes.map((box): SettlingBox => ({ ...box, outlet: pipeFacts(box.outlet) })),
    chamberBank: {
      ...chamberBank, stoneTop: chamberBank.floor + chamberBank.stone.depth, groundwater: around(chamberBank.groundwaterLevel),
    },
    overflowTrench: overflowTrench && trenchFacts(overflowTrench, around(overflowTrench.groundwaterLevel)),
    emitter: emitter && emitterFacts(emitter, lowSpot),
    lowSpot: lowSpot && { ...lowSpot, groundwater: around(lowSpot.groundwaterLevel) },
  };
}

function pipeFacts(pipe: GivenPipe): Pipe {
  return { ...pipe, crest: Math.max(pipe.invert, pipe.outletInvert) };
}

function trenchFacts(trench: GivenTrench, groundwater: LevelSeries | null): OverflowTrench {
  const { floor, fall, stone, ground } = trench;
  const pipe = trench.pipe && trenchPipeFacts(trench.pipe);
  const lowFloor = floor - fall;
  const rise = pipe !== null && pipe.openArea !== null ? pipe.rise : 0;
  return {
    ...trench, pipe, inlet: pipeFacts(trench.inlet), lowFloor,
    lowestGround: lowerEnd(ground),
    stoneTop: { high: floor + stone.depth, low: lowFloor + stone.depth },
    inletFloor: floor + rise, emitterFloor: lowFloor + rise, groundwater,
  };
}

function trenchPipeFacts(pipe: GivenTrenchPipe): NonNullable<OverflowTrench["pipe"]> {
  return { ...pipe, rise: pipe.bedding + (pipe.outsideDiameter - pipe.insideDiameter) / 2 };
}

function emitterFacts(emitter: GivenEmitter, lowSpot: GivenLowSpot | null): Emitter {
  const { crest, tailwater, dischargesTo, opensAtHead, closesAtHead } = emitter;
  const sill = Math.max(crest, tailwater ?? crest, dischargesTo === null || lowSpot === null ? crest : lowSpot.floor);
  return { ...emitter, sill, opensAt: sill + opensAtHead, closesAt: sill + closesAtHead };
}
