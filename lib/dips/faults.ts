import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { keepNetwork, networkOf } from "../simulate/assemble.ts";
import { type Body, LAW, type Network, type Passage } from "../simulate/network.ts";
import { variedSite } from "../simulate/variedSite.ts";
import { changedSite } from "../site/changedSite.ts";
import { overflowCrest } from "../site/overflowCrest.ts";
import { seepagePath } from "../site/seepagePath.ts";
import type { ChamberBank, Site } from "../site/site.ts";
import { SLOT_SHARE } from "../works/bankStorage.ts";
import { GRAVITY } from "../works/gravity.ts";
import { prismStorage } from "../works/prismStorage.ts";
import { slitsRow, smoothRoot } from "../works/passageRows.ts";
import { levelAt, type StorageCurve, storageTable, volumeOf } from "../works/storageTable.ts";
import { asBuiltWorks } from "./asBuiltWorks.ts";
import { withPorosity } from "./roomDoubt.ts";

/** What may be wrong with a pit, one thing at a time, and nothing wrong beside them; a leak at either of two places. */
export type Fault =
  | "asDesigned" | "soilSlower" | "floorSealed" | "waterTable" | "leakAtFloor" | "leakAtPipe" | "leakAtTrench" | "lidShut" | "outletBlocked"
  | "holesClogged" | "inletBlocked" | "levelsHigh" | "levelsLow" | "stoneDirty" | "roofMore";

export const FAULTS: readonly Fault[] = Object.freeze([
  "asDesigned", "soilSlower", "floorSealed", "waterTable", "leakAtFloor", "leakAtPipe", "leakAtTrench", "lidShut", "outletBlocked", "holesClogged",
  "inletBlocked", "levelsHigh", "levelsLow", "stoneDirty", "roofMore",
]);

/** Soil over the design's that has nothing wrong: tests on one site lie so far apart, and factors of safety are 2 to 3. */
export const SOUND_SOIL: readonly [low: number, high: number] = [0.7, 3];

/**
 * A site with one thing wrong in it, as a variation that runs like any other. Severity goes from 0, hardly to be seen, to 1, as
 * bad as it gets; in between sizes follow their logarithm, but for the water table's level. From own judgement of what a pit
 * meets with:
 *
 *   asDesigned     nothing; its severity is the soil, from 0.7 of what the design counts on to three times that
 *   soilSlower     all conductivities times 0.7 down to 0.01
 *   floorSealed    open share of both floors times 0.7 down to 0.01; the sides as designed
 *   waterTable     one level under everything, from half a seepage path below the pit's floor (or the design's, if higher) up to
 *                  the crest at which the pit runs over
 *   leakAtFloor    a round hole at the pit's floor, 5 to 100 mm wide, that loses water for good
 *   leakAtPipe     the same in the bed of the pipes, 0.1 m below the lowest pipe at the pit
 *   lidShut        the emitter's lid stays shut; no severity
 *   outletBlocked  the boxes' outlets narrowed to a hole of 0.5 down to 0.02 of their diameter
 *   leakAtTrench   the same at the low end of the trench's floor
 *   holesClogged   what is left open of the chambers' walls, 1e-3 to 1e-6 of them; see `cloggedHoles`
 *   inletBlocked   the pipe from pit to trench narrowed to 0.5 down to 0.02 of its diameter
 *   levelsHigh     that pipe and the emitter laid 30 to 300 mm too high; levelsLow: too low, as far as their floors let them
 *   stoneDirty     fines between the stone: its porosity times 0.85 down to 0.3
 *   roofMore       1.25 to 3 times the water that the drawn roofs bring; see `faultLoad`
 *
 * @param severity  0 to 1
 * @param soil      the soil over the design's beside the fault; of asDesigned and soilSlower the severity is the soil
 * @throws RangeError  for another severity, or a fault that the site cannot have (`noSuchFault` says which and why)
 */
export function faultySite(site: Site, fault: Fault, severity: number, soil = 1): Site {
  if (!(severity >= 0 && severity <= 1)) throw new RangeError(`severity: expected a number from 0 to 1, got ${severity}`);
  const why = noSuchFault(site, fault);
  if (why !== null) throw new RangeError(`fault: expected one that the site can have, got "${fault}": ${why}`);
  const made = MADE[fault](site, faultSize(site, fault, severity));
  return soil === 1 || isSoil(fault) ? made : variedSite(made, { conductivityFactor: soil });
}

/** Whether a fault's severity is the soil itself. */
export function isSoil(fault: Fault): boolean {
  return fault === "asDesigned" || fault === "soilSlower";
}

/** The soil over the design's of a fault whose severity is the soil. */
export function faultSoil(fault: Fault, severity: number): number {
  const [mild, bad] = ENDS[fault === "asDesigned" ? "asDesigned" : "soilSlower"];
  return mild * (bad / mild) ** severity;
}

/** What runs in over what was given. */
export function faultLoad(fault: Fault, severity: number): number {
  return fault === "roofMore" ? 1.25 * (3 / 1.25) ** severity : 1;
}

/** Why a site cannot have a fault, in words; null where it can. */
export function noSuchFault(site: Site, fault: Fault): string | null {
  const { soil, chamberBank, overflowTrench, emitter } = site;
  if (fault === "floorSealed" && !(soil.floor && chamberBank.openFloorShare > 0)) return "the design counts on no floor";
  if (fault === "lidShut" && (emitter === null || overflowTrench === null)) return "there is no emitter";
  if (fault === "lidShut" && emitter!.heldShut.length > 0) return "the site file holds the lid shut already";
  if (fault === "holesClogged" && chamberBank.chambers.every(({ count }) => count === 0)) return "there are no chambers";
  if (fault === "leakAtPipe" && pipeBed(site) <= chamberBank.floor) return "the pipes lie at the pit's floor";
  if ((fault === "inletBlocked" || fault === "levelsHigh" || fault === "levelsLow" || fault === "leakAtTrench") && overflowTrench === null) return "there is no trench";
  if (fault === "levelsHigh" && shifted(site, LEAST_SHIFT) === null) return "there is no room to lay the pipes higher";
  if (fault === "levelsLow" && shifted(site, -LEAST_SHIFT) === null) return "the pipes lie at their floors";
  if (fault === "waterTable" && lowestTable(site) >= overflowCrest(site) - LEAST_RISE) return "the water table stands at the overflow already";
  return null;
}

/** Whether a fault has a severity at all: a lid that is stuck is stuck. */
export function hasSeverity(fault: Fault): boolean {
  return fault !== "lidShut";
}

/** What a severity stands for: a factor, a share left, a level [m] or a width [m], as `faultySite` lists them; 0 for a lid. */
export function faultSize(site: Site, fault: Fault, severity: number): number {
  if (fault === "lidShut") return 0;
  if (fault === "waterTable") return lowestTable(site) + severity * (overflowCrest(site) - lowestTable(site));
  const [mild, bad] = ENDS[fault];
  return mild * (bad / mild) ** severity;
}

const ENDS: Readonly<Record<Exclude<Fault, "waterTable" | "lidShut">, readonly [mild: number, bad: number]>> = {
  asDesigned: SOUND_SOIL, soilSlower: [0.7, 0.01], floorSealed: [0.7, 0.01], leakAtFloor: [0.005, 0.1], leakAtPipe: [0.005, 0.1],
    outletBlocked: [0.5, 0.02],
  holesClogged: [1e-3, 1e-6], leakAtTrench: [0.005, 0.1], inletBlocked: [0.5, 0.02], levelsHigh: [0.03, 0.3], levelsLow: [0.03, 0.3],
  stoneDirty: [0.85, 0.3], roofMore: [1.25, 3],
};

const MADE: Readonly<Record<Fault, (site: Site, size: number) => Site>> = {
  asDesigned: (site, factor) => (factor === 1 ? site : variedSite(site, { conductivityFactor: factor })),
  soilSlower: (site, factor) => variedSite(site, { conductivityFactor: factor }),
  floorSealed: (site, share) => changedSite(site, {
    chamberBank: { ...site.chamberBank, openFloorShare: share * site.chamberBank.openFloorShare },
    overflowTrench: site.overflowTrench && { ...site.overflowTrench, openFloorShare: share * site.overflowTrench.openFloorShare },
  }),
  waterTable: (site, level) => variedSite(site, { groundwaterLevel: level }),
  leakAtFloor: (site, width) => leaking(site, site.chamberBank.floor, width),
  leakAtPipe: (site, width) => leaking(site, pipeBed(site), width),
  lidShut: (site) => changedSite(site, { emitter: { ...site.emitter!, heldShut: [{ from: 0, to: FOR_GOOD }] } }),
  outletBlocked: (site, share) => changedSite(site, {
    settlingBoxes: site.settlingBoxes.map((box) => ({ ...box, outlet: { ...box.outlet, diameter: share * box.outlet.diameter } })),
  }),
  holesClogged: (site, share) => cloggedHoles(site, share),
  leakAtTrench: (site, width) => leaking(site, site.overflowTrench!.lowFloor, width, "trench"),
  inletBlocked: (site, share) => changedSite(site, {
    overflowTrench: { ...site.overflowTrench!, inlet: { ...site.overflowTrench!.inlet,
      diameter: share * site.overflowTrench!.inlet.diameter } },
  }),
  levelsHigh: (site, by) => shifted(site, by)!,
  levelsLow: (site, by) => shifted(site, -by)!,
  stoneDirty: (site, share) => withPorosity(site, share),
  roofMore: (site) => site,
};

const LEAST_SHIFT = 0.03;

/** Pipe to the trench and emitter moved up or down, as far as grounds and floors let them; null where that is not by 30 mm [m]. */
function shifted(site: Site, by: number): Site | null {
  const { overflowTrench: trench, emitter, chamberBank } = site;
  if (trench === null) return null;
  const { inlet } = trench;
  const room = by > 0
    ? leastOf([trench.lowestGround - 0.02 - inlet.crest, chamberBank.ground - 0.02 - inlet.crest, emitter === null ? Infinity
      : trench.lowestGround - 0.02 - emitter.crest - emitter.opensAtHead])
    : leastOf([leastOf([inlet.invert, inlet.outletInvert]) - trench.inletFloor, inlet.crest - chamberBank.floor - 0.05,
      emitter === null ? Infinity : emitter.crest - trench.emitterFloor - 0.01]);
  if (room < LEAST_SHIFT) return null;
  const shift = by > 0 ? Math.min(by, room) : -Math.min(-by, room);
  const moved = { ...inlet, invert: inlet.invert + shift, outletInvert: inlet.outletInvert + shift };
  return changedSite(site, {
    overflowTrench: { ...trench, inlet: moved }, emitter: emitter && { ...emitter, crest: emitter.crest + shift },
  });
}

/** Longer than any run [s]. */
const FOR_GOOD = 1e11;

/** A water table is a cause only where it has this far to rise [m]. */
const LEAST_RISE = 0.1;

/** Thickness of the bed that pipes are laid on [m]: four inches, common practice. */
const PIPE_BED = 0.1;

/** Level of the lowest pipe bed at the pit [m]. */
function pipeBed({ settlingBoxes, overflowTrench }: Site): number {
  return leastOf([overflowTrench?.inlet.invert ?? Infinity, ...settlingBoxes.map(({ outlet }) => outlet.outletInvert)]) - PIPE_BED;
}

function lowestTable(site: Site): number {
  const { chamberBank, groundwater } = site;
  const designed = networkOf(site).bodies.find(({ kind }) => kind === "bank")!.groundwater;
  return greatestOf([chamberBank.floor - seepagePath(groundwater, chamberBank.width) / 2, ...(designed?.level ?? [])]);
}

/** An orifice of a width, Q = 0.6 pi/4 d^2 sqrt(2g) x / (x^2 + e^2)^(1/4): the weep hole's law, in the pit. */
function leaking(site: Site, level: number, width: number, from: "bank" | "trench" = "bank"): Site {
  const perRoot = 0.6 * (Math.PI / 4) * width ** 2 * Math.sqrt(2 * GRAVITY);
  let built = BUILT.get(site);
  if (built === undefined) {
    built = asBuiltWorks(site);
    BUILT.set(site, built);
  }
  return built({ soil: 1, floor: 1, waterTable: null, leak: { from, level, flow: perRoot * smoothRoot(1), full: level + 1 } });
}

/** A site never changes, so what was made of it once is kept as long as the site itself. */
const BUILT = new WeakMap<Site, ReturnType<typeof asBuiltWorks>>();

/**
 * The works with the chambers' holes clogged, so that the chambers fill and the stone does not follow: the pit is two bodies, the
 * chambers (still called `chamberBank`, for that is where one dips) and the stone round them (`pitStone`), with what is left of
 * the holes between them.
 *
 *   chambers   inside of the chambers, the stone right under them, and over their tops a thin shaft; pipes come in and go out here
 *   pitStone   the rest of the stone and the cover; all seepage leaves from here
 *   holes      Q = 0.6 A f sqrt(2g) x/(x^2 + e^2)^(1/4), f the wetted share of the chambers' height by the law of slits (for
 *              upright walls it is within 0.1 of the true share)
 *
 * With holes left open the two levels meet and it is the pit as designed. A mound under the pit is left out.
 *
 * @param openShare  of the chambers' wall that is still open
 */
export function cloggedHoles(site: Site, openShare: number): Site {
  const clogged = changedSite(site, { groundwater: { ...site.groundwater, mounding: null } });
  keepNetwork(clogged, inTwo(networkOf(site), site.chamberBank, openShare));
  return clogged;
}

function inTwo({ bodies, passages, table, emitter }: Network, bank: ChamberBank, openShare: number): Network {
  const b = bodies.findIndex(({ kind }) => kind === "bank");
  const whole = bodies[b]!;
  const stone = bodies.length;
  const foot = bank.floor + bank.stone.base;
  const levels = [foot, ...Array.from(whole.corners, (volume) => levelAt(whole.storage, volume))];
  const part = (curve: StorageCurve): Pick<Body, "storage" | "corners" | "volume"> => ({
    storage: storageTable(curve),
    volume: (level) => volumeOf(curve, level),
    corners: Float64Array.from(new Set([...levels, ...curve.corners].filter((level) => level > bank.floor).map(curve.volume))).sort(),
  });
  const holes: Passage = { name: "holes", law: LAW.slits, from: b, to: stone, ledger: null, row: table.length };
  const at = passages.filter(({ law }) => law <= LAW.slits).length;
  const moved = passages.map((passage) => (passage.law === LAW.seepage && passage.from === b ? { ...passage, from: stone } : passage));
  return {
    bodies: [
      ...bodies.map((body, i) => (i === b ? { ...body, ...part(chamberStorage(bank)) } : body)),
      { ...whole, ...part(stoneStorage(bank)), name: "pitStone", kind: "pipe", stoneTop: null },
    ],
    passages: moved.toSpliced(at, 0, holes),
    table: Float64Array.of(...table, ...slitsRow(foot, openShare * wallPerHeight(bank), tallest(bank), tallest(bank))),
    emitter: emitter && { ...emitter, passage: emitter.passage + 1 },
  };
}

/** Wall of all chambers per metre of height [m]. */
function wallPerHeight({ chambers }: ChamberBank): number {
  return chambers.reduce((sum, { count, insideDiameter }) => sum + count * Math.PI * insideDiameter, 0);
}

function tallest({ chambers }: ChamberBank): number {
  return greatestOf(chambers.map(({ height }) => height));
}

function chamberStorage(bank: ChamberBank): StorageCurve {
  const { length, width, stone } = bank;
  const under = stone.porosity * footprint(bank);
  const shaft = SLOT_SHARE * length * width;
  const chambers = standing(bank).map(({ level, inside }) => ({ level, area: inside + shaft }));
  return prismStorage([...(stone.base > 0 ? [{ level: bank.floor, area: under }] : []), ...chambers]);
}

function stoneStorage(bank: ChamberBank): StorageCurve {
  const { floor, length, width, stone, stoneTop } = bank;
  const pit = length * width;
  const free = (outside: number): number => stone.porosity * (pit - outside);
  const steps = standing(bank).map(({ level, outside }) => ({ level, area: free(outside) }))
    .filter(({ level }) => level < stoneTop);
  return prismStorage([
    ...(stone.base > 0 ? [{ level: floor, area: free(footprint(bank)) }] : []), ...steps,
    { level: stoneTop, area: bank.coverPorosity * pit },
  ]);
}

function footprint({ chambers }: ChamberBank): number {
  return chambers.reduce((sum, { count, outsideDiameter }) => sum + count * (Math.PI / 4) * outsideDiameter ** 2, 0);
}

/** Areas inside and outside of the chambers that stand at a level, from each level at which one begins or ends [m2]. */
function standing({ floor, stone, chambers }: ChamberBank): { level: number; inside: number; outside: number }[] {
  const foot = floor + stone.base;
  const levels = [...new Set([foot, ...chambers.map(({ height }) => foot + height)])].sort((a, b) => a - b);
  return levels.map((level) => {
    const there = chambers.filter(({ height }) => level < foot + height);
    const area = (diameter: "insideDiameter" | "outsideDiameter"): number =>
      there.reduce((sum, chamber) => sum + chamber.count * (Math.PI / 4) * chamber[diameter] ** 2, 0);
    return { level, inside: area("insideDiameter"), outside: area("outsideDiameter") };
  });
}
