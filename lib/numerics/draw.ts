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
