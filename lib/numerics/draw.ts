/**
 * A random number from 0 to 1 that depends on nothing but its three numbers: run i of a study draws from (seed, i), in any
 * order and on any thread, and adding runs changes no earlier one.
 *
 * @param seed   whole, 0 to 2^32 - 1
 * @param run    whole, 0 to 2^32 - 1
 * @param which  the first, second, ... number of a run, whole from 0
 * @returns      above 0, below 1, 53 bits
 * @source  Philox 4x32-10: Salmon, Moraes, Dror & Shaw, Parallel random numbers: as easy as 1, 2, 3, SC11, 2011
 */
export function uniformDraw(seed: number, run: number, which: number): number {
  const [a, b] = philox([run, which, 0, 0], [seed, 0]);
  return ((a >>> 5) * 67108864 + (b >>> 6) + 0.5) / 9007199254740992;
}

/**
 * A normal deviate, from the numbers 2 which and 2 which + 1 of the run.
 *
 * @source  Box & Muller, Annals of Mathematical Statistics 29, 1958
 */
export function normalDraw(seed: number, run: number, which: number): number {
  const radius = Math.sqrt(-2 * Math.log(uniformDraw(seed, run, 2 * which)));
  return radius * Math.cos(2 * Math.PI * uniformDraw(seed, run, 2 * which + 1));
}

type Words = [number, number, number, number];

/** Ten rounds of Philox on a counter of four 32-bit words, with a key of two. */
export function philox(counter: Readonly<Words>, key: readonly [number, number]): Words {
  let [x0, x1, x2, x3] = counter;
  let [k0, k1] = key;
  for (let round = 0; round < 10; round++) {
    const high0 = high(0xd2511f53, x0);
    const high1 = high(0xcd9e8d57, x2);
    [x0, x1, x2, x3] = [
      (high1 ^ x1 ^ k0) >>> 0, Math.imul(0xcd9e8d57, x2) >>> 0, (high0 ^ x3 ^ k1) >>> 0, Math.imul(0xd2511f53, x0) >>> 0,
    ];
    k0 = (k0 + 0x9e3779b9) >>> 0;
    k1 = (k1 + 0xbb67ae85) >>> 0;
  }
  return [x0, x1, x2, x3];
}

/** The upper 32 bits of the product of two 32-bit numbers, by halves. */
function high(a: number, b: number): number {
  const [aHigh, aLow, bHigh, bLow] = [a >>> 16, a & 0xffff, b >>> 16, b & 0xffff];
  const middle = aHigh * bLow + ((aLow * bLow) >>> 16);
  const cross = aLow * bHigh + (middle & 0xffff);
  return (aHigh * bHigh + Math.floor(middle / 65536) + Math.floor(cross / 65536)) >>> 0;
}

/**
 * A number of (0, 1) whose chance falls, or rises, exponentially from 0 to 1 and whose mean is given.
 *
 *   p(x) ~ exp(-k x) on 0 to 1,   mean = 1/k - 1/(exp(k) - 1)
 *
 * @param mean  above 0 and below 1
 * @returns     the number by its share 0 to 1
 * @source  the exponential distribution cut at 1
 */
export function truncatedExponential(mean: number): (share: number) => number {
  let [low, high] = [-700, 700];
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (meanOf(middle) > mean) low = middle;
    else high = middle;
  }
  const k = (low + high) / 2;
  return (share) => (Math.abs(k) < 1e-6 ? share : -Math.log1p(share * Math.expm1(-k)) / k);
}

function meanOf(k: number): number {
  return Math.abs(k) < 1e-4 ? 0.5 - k / 12 : 1 / k - 1 / Math.expm1(k);
}

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
