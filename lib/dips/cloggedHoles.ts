import { greatestOf } from "../numerics/extremes.ts";
import { keepNetwork, networkOf } from "../simulate/assemble.ts";
import { LAW, type Body, type Network, type Passage } from "../simulate/network.ts";
import { changedSite } from "../site/changedSite.ts";
import type { ChamberBank, Site } from "../site/site.ts";
import { SLOT_SHARE } from "../works/bankStorage.ts";
import { prismStorage } from "../works/prismStorage.ts";
import { slitsRow } from "../works/slits.ts";
import { levelAt, storageTable, volumeOf, type StorageCurve } from "../works/storageTable.ts";

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
