import { expect, test } from "vitest";
import { normalDraw, philox, uniformDraw } from "../../lib/numerics/draw.ts";
import { expectClose } from "../closeTo.ts";

// Known answers of Philox 4x32-10 that its authors publish with their reference code (Random123, kat_vectors; from memory).
test.each([
  [[0, 0, 0, 0], [0, 0], [0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8]],
  [[0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff], [0xffffffff, 0xffffffff], [0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd]],
  [[0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344], [0xa4093822, 0x299f31d0], [0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1]],
] as const)("Philox turns the counter %j with the key %j into %j", (counter, key, expected) => {
  expect(philox([...counter], key)).toEqual([...expected]);
});

test("a uniform draw is 27 upper bits of one word of Philox, 26 of the next, and half of the last", () => {
  for (let run = 0; run < 100; run++) {
    const [a, b] = philox([run, 5, 0, 0], [9, 0]).map(BigInt) as [bigint, bigint];
    // twice the 53 bits and one, over 2^54
    expect(uniformDraw(9, run, 5)).toBe(Number(((a >> 5n) << 27n) | ((b >> 6n) << 1n) | 1n) / 2 ** 54);
  }
});

test("uniform draws fill 0 to 1 evenly, whatever the run and the seed", () => {
  const tenths = new Float64Array(10);
  for (let run = 0; run < 20_000; run++) tenths[Math.floor(10 * uniformDraw(run % 7, run, 3))]!++;
  // 2000 each, standard deviation 42
  for (const count of tenths) expect(Math.abs(count - 2000)).toBeLessThan(200);
});

test("normal draws have mean 0, variance 1 and 95 percent within 1.96", () => {
  const values = Array.from({ length: 20_000 }, (_, run) => normalDraw(11, run, 0));
  const mean = values.reduce((sum, z) => sum + z, 0) / values.length;
  expectClose(mean, 0, { absolute: 0.03, because: "four standard errors of the mean" });
  expectClose(values.reduce((sum, z) => sum + (z - mean) ** 2, 0) / values.length, 1, { absolute: 0.04, because: "four standard errors" });
  expectClose(values.filter((z) => Math.abs(z) < 1.959964).length / values.length, 0.95, { absolute: 0.0062, because: "four standard errors" });
});

test("a draw depends on its three numbers alone", () => {
  const late = uniformDraw(5, 900, 1);
  uniformDraw(5, 1, 1);
  expect(uniformDraw(5, 900, 1)).toBe(late);
  expect(new Set([[5, 900, 2], [5, 901, 1], [6, 900, 1], [5, 900, 1]].map(([a, b, c]) => uniformDraw(a!, b!, c!))).size).toBe(4);
});
