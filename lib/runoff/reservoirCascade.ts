import { exponential } from "../numerics/powers.ts";
import { optionReader } from "../text/optionReader.ts";
import type { UnitResponse } from "./unitResponse.ts";

/**
 * A row of equal linear reservoirs, outflow = storage / K each, as a response.
 *
 *   S(t) = 1 - e^(-t/K) sum over k < n of (t/K)^k / k!,   rate(k D) = (S(k D) - S((k - 1) D)) / D
 *
 * which is exact at the whole steps for rain that is steady within them. It ends where all but a millionth of the water has
 * passed, and is scaled by that.
 *
 * @param catchment.count            n, 1 to 100 whole reservoirs
 * @param catchment.storageConstant  K of each [s], more than 0; the water is under way for n K in the mean
 * @param catchment.step             D [s], default K / 10
 * @throws InputError  when a value is outside its bounds
 * @source  Nash 1957, the cascade's impulse response; from memory
 */
export function reservoirCascade(catchment: {
  readonly count: number;
  readonly storageConstant: number;
  readonly step?: number;
}): UnitResponse {
  const read = optionReader("reservoirCascade", catchment, "The cascade cannot be made:");
  const count = read.number("count", { least: 1, most: 100 });
  if (!Number.isNaN(count) && !Number.isInteger(count)) read.problem("count", "a whole number");
  const storageConstant = read.number("storageConstant", { above: 0 });
  const step = read.number("step", { above: 0, missing: storageConstant / 10 });
  read.done();
  const passed = [0];
  while (passed[passed.length - 1]! < 1 - 1e-6) passed.push(passedShare(count, (passed.length * step) / storageConstant));
  const all = passed[passed.length - 1]!;
  // A closing 0 one step after the last share, so that the straight lines end where the water does.
  const rate = Float64Array.from({ length: passed.length + 1 }, (_, k) =>
    k === 0 || k === passed.length ? 0 : (passed[k]! - passed[k - 1]!) / (all * step),
  );
  return { step, rate };
}

function passedShare(count: number, time: number): number {
  let term = exponential(-time);
  let stillIn = term;
  for (let k = 1; k < count; k++) {
    term *= time / k;
    stillIn += term;
  }
  return 1 - stillIn;
}
