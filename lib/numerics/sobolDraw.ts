import { philox } from "./draw.ts";

/** Numbers of a run that `sobolDraw` can give. */
export const MOST_SOBOL = 10;

/**
 * A number from 0 to 1 of a run, such that the numbers of many runs fill the range, and every pair of them the square, far more
 * evenly than chance would: Sobol's sequence, shifted by the seed. Like `uniformDraw` it depends on nothing but its three numbers.
 *
 *   x(run) = v_1 g_1 xor v_2 g_2 xor ... xor shift(seed, which),   g the bits of run xor (run >> 1)
 *
 * @param seed   whole, 0 to 2^32 - 1
 * @param run    whole, 0 to 2^32 - 1
 * @param which  whole, 0 to MOST_SOBOL - 1
 * @returns      above 0, below 1, 32 bits
 * @source  Sobol 1967 with the order of Antonov & Saleev 1979 and the direction numbers of Joe & Kuo, SIAM J. Sci. Comput. 30, 2008
 *          (new-joe-kuo-6.21201, from memory; the tests compare with scipy's); digital shift after Cranley & Patterson 1976
 */
export function sobolDraw(seed: number, run: number, which: number): number {
  return ((sobolBits(run, which) ^ philox([which, 0, 0, 1], [seed, 0])[0]) >>> 0) / TWO_32 + HALF;
}

/** A point of the sequence itself, 0 to below 1; `sobolDraw` shifts it. */
export function sobolPoint(run: number, which: number): number {
  return sobolBits(run, which) / TWO_32;
}

const TWO_32 = 4294967296;
/** the middle of the last bit, so that no number is 0 */
const HALF = 0.5 / TWO_32;

function sobolBits(run: number, which: number): number {
  const directions = DIRECTIONS[which];
  if (directions === undefined) throw new RangeError(`which: expected a whole number from 0 to ${MOST_SOBOL - 1}, got ${which}`);
  let bits = 0;
  for (let gray = (run ^ (run >>> 1)) >>> 0, n = 0; gray !== 0; gray >>>= 1, n++) {
    if ((gray & 1) === 1) bits ^= directions[n]!;
  }
  return bits >>> 0;
}

/** Degree s, the coefficients a of the primitive polynomial between its first and last, and m_1 ... m_s. */
const POLYNOMIALS: readonly (readonly [degree: number, between: number, first: readonly number[]])[] = [
  [1, 0, [1]], [2, 1, [1, 3]], [3, 1, [1, 3, 1]], [3, 2, [1, 1, 1]], [4, 1, [1, 1, 3, 3]], [4, 4, [1, 3, 5, 13]],
  [5, 2, [1, 1, 5, 5, 17]], [5, 4, [1, 1, 5, 5, 5]], [5, 7, [1, 1, 7, 11, 19]],
];

/** v_n = m_n / 2^n as 32 bits; the first dimension is the sequence of van der Corput, m = 1 throughout. */
const DIRECTIONS: readonly Uint32Array[] = [
  Uint32Array.from({ length: 32 }, (_, n) => 2 ** (31 - n)),
  ...POLYNOMIALS.map(directionsOf),
];

/** m_n = m_(n-s) xor 2^s m_(n-s) xor the 2^k a_k m_(n-k); in v the powers of two are shifts. */
function directionsOf([degree, between, first]: (typeof POLYNOMIALS)[number]): Uint32Array {
  const v = Uint32Array.from({ length: 32 }, (_, n) => (n < degree ? first[n]! * 2 ** (31 - n) : 0));
  for (let n = degree; n < 32; n++) {
    v[n] = v[n - degree]! ^ (v[n - degree]! >>> degree);
    for (let k = 1; k < degree; k++) if (((between >>> (degree - 1 - k)) & 1) === 1) v[n]! ^= v[n - k]!;
  }
  return v;
}
