import { BOTTOM, flatTables, loadTables, MOST_TABLE_NUMBERS, type FlatTables, type StorageTable } from "../works/storageTable.ts";
import { MOST_NODES, MOST_PASSAGES, MOST_LAW_NUMBERS, passages as columns } from "../works/flowLaw.ts";
import { LAW, OUT, SOIL, type Law, type Network, type Passage } from "./network.ts";

/** level that has no say: beyond a passage that leaves the works */
export const NOWHERE: number = -Infinity;

/**
 * A network as columns of numbers, made once. Passages run between nodes that have a level: first the bodies, then what lies
 * outside, whose level has no say, then the groundwater at each body, whose level is given. Seepage is a passage to
 * groundwater like any other, and so is a weep hole.
 */
export interface CompiledWorks {
  readonly bodies: number;
  readonly passages: number;
  /** of each passage where its numbers begin in the network's table, and the nodes it takes from and runs into */
  readonly row: Int32Array;
  readonly from: Int32Array;
  readonly to: Int32Array;
  readonly tables: FlatTables;
  /** passages stand in the order of their laws: where each law's begin, by law, and after the last their end */
  readonly firstOf: readonly number[];
  /** of each body the level below which its edges, the passages from `weir` on, have nothing to do with it [m] */
  readonly wakes: Float64Array;
  /** volume 1 mm above a body's lowest point [m3]: a pump fades out below it */
  readonly film: Float64Array;
  /** how far below nothing a body's volume may fall [m3] */
  readonly lowest: Float64Array;
  /** of a box the volume a little below its outlet's crest, which it cannot fall below by itself; of others -Infinity [m3] */
  readonly keeps: Float64Array;
  /** whether a body narrows to nothing at its floor, and if so the volume and the level of its lowest tenth of a millimetre */
  readonly narrows: Uint8Array;
  readonly bottomVolume: Float64Array;
  readonly bottomLevel: Float64Array;
  /** passages that water goes through one way only */
  readonly oneWay: Int32Array;
  /** what an error of each body's volume is weighed against [m3] */
  readonly scale: Float64Array;
  /** whether a water table ever stands above a floor */
  readonly hasGroundwater: boolean;
}

/** Compiles a network. Networks that differ in the numbers of their seepage alone share what is made. */
export function compiledWorks(network: Network): CompiledWorks {
  const known = COMPILED.get(network.bodies);
  if (known !== undefined) return known;
  const made = compile(network);
  COMPILED.set(network.bodies, made);
  return made;
}

const COMPILED = new WeakMap<Network["bodies"], CompiledWorks>();

function compile({ bodies, passages, table }: Network): CompiledWorks {
  const n = bodies.length;
  if (2 * n + 1 > MOST_NODES || passages.length > MOST_PASSAGES) {
    const most = `${(MOST_NODES - 1) / 2} bodies and ${MOST_PASSAGES} passages`;
    throw new RangeError(`a run: expected works of at most ${most}, got ${n} and ${passages.length}`);
  }
  const tables = flatTables(bodies.map(({ storage }) => storage));
  if (table.length > MOST_LAW_NUMBERS || tables.numbers.length > MOST_TABLE_NUMBERS) {
    const most = `${MOST_LAW_NUMBERS} numbers of laws and ${MOST_TABLE_NUMBERS} of storage (fewer layers, segments or chambers)`;
    throw new RangeError(`a run: expected works of at most ${most}, got ${table.length} and ${tables.numbers.length}`);
  }
  const end = ({ from, to }: Passage): number => (to === SOIL ? n + 1 + from : to === OUT ? n : to);
  return {
    bodies: n,
    passages: passages.length,
    row: Int32Array.from(passages, ({ row }) => row),
    from: Int32Array.from(passages, ({ from }) => from),
    to: Int32Array.from(passages, end),
    tables,
    firstOf: Array.from({ length: LAW.emitter + 2 }, (_, law) => passages.filter((passage) => passage.law < law).length),
    wakes: wakeLevels({ bodies, passages, table }),
    film: Float64Array.from(bodies, (body) => body.volume(body.storage.floor + 1e-3)),
    lowest: Float64Array.from(bodies, ({ storage }) => lowestVolume(storage)),
    keeps: Float64Array.from(bodies, (body) => (body.kind === "box" ? body.volume(body.start(-Infinity) - BELOW_CREST) : -Infinity)),
    narrows: Uint8Array.from(bodies, ({ storage }) => (storage.exponent === 1 ? 0 : 1)),
    bottomVolume: Float64Array.from(bodies, ({ storage }) => (storage.exponent === 1 ? -Infinity : storage.linearBelow)),
    bottomLevel: Float64Array.from(bodies, ({ storage }) => storage.floor + BOTTOM),
    oneWay: Int32Array.from(passages.flatMap(({ law }, p) => (ONE_WAY_LAWS.includes(law) ? [p] : []))),
    scale: errorScales(bodies),
    hasGroundwater: bodies.some(({ groundwater, storage }) => groundwater !== null && Math.max(...groundwater.level) > storage.floor),
  };
}

/** Puts works and the numbers of their laws into the columns that the laws read; whatever was loaded before is gone. */
export function loadColumns({ bodies, passages, row, from, to, tables }: CompiledWorks, table: Float64Array): void {
  columns.table.set(table);
  columns.row.set(row);
  columns.from.set(from);
  columns.to.set(to);
  columns.level.fill(NOWHERE, 0, 2 * bodies + 1);
  columns.levelSlope.fill(0, 0, 2 * bodies + 1);
  columns.flow.fill(0, 0, passages);
  columns.byFrom.fill(0, 0, passages);
  columns.byTo.fill(0, 0, passages);
  loadTables(tables);
}

function wakeLevels({ bodies, passages, table }: Pick<Network, "bodies" | "passages" | "table">): Float64Array {
  const wakes = new Float64Array(bodies.length).fill(Infinity);
  for (const { law, from, to, row } of passages) {
    if (law < LAW.weir) continue;
    for (const body of to === OUT || to === SOIL ? [from] : [from, to]) wakes[body] = Math.min(wakes[body]!, table[row]!);
  }
  return wakes;
}

/** Laws of passages that water goes through one way only. */
const ONE_WAY_LAWS: readonly Law[] = [LAW.weir, LAW.slopedWeir, LAW.cover, LAW.weepHole, LAW.emitter];

/** how far a box may stand below its outlet's crest by the error of a step [m] */
const BELOW_CREST = 5e-5;

/**
 * The water a metre of level holds [m3] in each body, of a small one a share of what it holds in the largest: the ledger asks for
 * volumes, and a small body passes on what it holds; yet its level is asked for too.
 */
function errorScales(bodies: Network["bodies"]): Float64Array {
  const perMetre = bodies.map(({ storage: { floor, topVolume, topLevel, topSlope } }) => (
    Number.isFinite(topVolume) ? topVolume > 0 ? topVolume / (topLevel - floor) : 1 / topSlope : 0));
  const most = Math.max(...perMetre);
  return Float64Array.from(perMetre, (own) => (own === 0 ? most : Math.max(own, SMALL * most)));
}

/** share of the largest body's water a metre below which a body's own does not count */
const SMALL = 0.1;

/**
 * A nanometre of a body's depth; where it narrows to nothing at its floor a tenth of a millilitre, for there a trickle fills
 * and empties it within microseconds.
 */
function lowestVolume({ exponent, emptySlope }: StorageTable): number {
  return exponent === 1 ? -1e-9 / emptySlope : -1e-7;
}
