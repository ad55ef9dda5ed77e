import { greatestOf } from "../numerics/extremes.ts";
import type { StorageTable } from "../works/storageTable.ts";
import { LAW, type Network } from "./network.ts";

/** The bodies of a network as the kernel wants them, made once. */
export interface CompiledBodies {
  /** storage tables of all bodies, then their corners */
  readonly numbers: Float64Array;
  readonly bodies: readonly {
    /** where its table and its corners begin in `numbers`, and how many pieces and corners there are */
    readonly table: number;
    readonly pieces: number;
    readonly corners: number;
    readonly cornerCount: number;
    /** what an error of its volume is weighed against [m3], and how far below nothing its volume may fall */
    readonly scale: number;
    readonly lowest: number;
    /** of a box the volume a little below its outlet's crest, which it cannot fall below by itself; of others -Infinity [m3] */
    readonly keeps: number;
    /** volume 1 mm above its lowest point [m3]: a pump fades out below it */
    readonly film: number;
    /** level below which its edges, the passages from `weir` on, have nothing to do with it [m] */
    readonly wakes: number;
  }[];
}

/** Networks with the same passages, which differ in the conductivities of their laws or in their groundwater, share what is made. */
export function compiledBodies(network: Network): CompiledBodies {
  const known = COMPILED.get(network.passages);
  if (known !== undefined) return known;
  const made = compile(network);
  COMPILED.set(network.passages, made);
  return made;
}

const COMPILED = new WeakMap<Network["passages"], CompiledBodies>();

function compile(network: Network): CompiledBodies {
  const sizes = network.bodies.map(({ storage, corners }) => TABLE + storage.pieces.length + corners.length);
  const numbers = new Float64Array(sizes.reduce((sum, size) => sum + size, 0));
  let end = 0;
  const put = (values: Float64Array): number => {
    numbers.set(values, end);
    end += values.length;
    return end - values.length;
  };
  const wakes = wakeLevels(network);
  const scale = largestVolumePerMetre(network.bodies);
  const bodies = network.bodies.map((body, b) => {
    const { storage, corners } = body;
    return {
      table: put(tableNumbers(storage)),
      pieces: storage.pieces.length / PIECE,
      corners: put(corners),
      cornerCount: corners.length,
      scale,
      lowest: lowestVolume(storage),
      keeps: body.kind === "box" ? body.volume(body.start(-Infinity) - BELOW_CREST) : -Infinity,
      film: body.volume(storage.floor + 1e-3),
      wakes: wakes[b]!,
    };
  });
  return { numbers, bodies };
}

/** numbers of a piece of a storage table, and those before its pieces */
export const PIECE = 5;
const TABLE = 8;

/** how far a box may stand below its outlet's crest by the error of a step [m] */
const BELOW_CREST = 5e-5;

/**
 * The numbers of `Storage` in the kernel, then its pieces. A trial of a step may end below an empty body: for upright walls the straight
 * line goes on there; a body that narrows to nothing is then empty, for its level would leap from below its floor to far above it.
 */
export function tableNumbers(table: StorageTable): Float64Array {
  const { exponent, linearBelow, topVolume, floor, emptySlope, bottomSlope, topLevel, topSlope, pieces } = table;
  const empty = exponent === 1 ? emptySlope : 0;
  const bottom = exponent === 1 ? emptySlope : bottomSlope;
  const numbers = new Float64Array(TABLE + pieces.length);
  numbers.set([exponent, linearBelow, topVolume, floor, empty, bottom, topLevel, topSlope]);
  numbers.set(pieces, TABLE);
  return numbers;
}

function wakeLevels({ bodies, passages, table }: Network): number[] {
  const wakes = bodies.map(() => Infinity);
  for (const { law, from, to, row } of passages) {
    if (law < LAW.weir) continue;
    for (const body of to < 0 ? [from] : [from, to]) wakes[body] = Math.min(wakes[body]!, table[row]!);
  }
  return wakes;
}

/**
 * The water a metre of level holds [m3] in the largest body of the works. The ledger asks for volumes, and a small box passes
 * on what it holds, so its error is no worse than the pit's.
 */
function largestVolumePerMetre(bodies: Network["bodies"]): number {
  const perMetre = bodies.map(({ storage: { floor, topVolume, topLevel, topSlope } }) =>
    (topVolume > 0 ? topVolume / (topLevel - floor) : 1 / topSlope));
  return greatestOf(perMetre.filter(Number.isFinite));
}

/**
 * A nanometre of a body's depth; where it narrows to nothing at its floor a tenth of a millilitre, for there a trickle fills
 * and empties it within microseconds.
 */
function lowestVolume({ exponent, emptySlope }: StorageTable): number {
  return exponent === 1 ? -1e-9 / emptySlope : -1e-7;
}
