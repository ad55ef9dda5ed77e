import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { moundModes } from "../../lib/ground/moundModes.ts";
import { expectAllClose } from "../closeTo.ts";

interface ReferenceRun {
  readonly inflows: { readonly box: { readonly time_s: readonly number[]; readonly flow_m3s: readonly number[] } };
  readonly result: {
    readonly levels: { readonly time_s: readonly number[]; readonly bank_m: readonly number[] };
    readonly rise: { readonly centre_m: readonly number[]; readonly offset_m: readonly number[] };
  };
}

/**
 * Run `mound-sand` (tests/ground/fixtures), by an independent solver (implicit Radau, relative
 * tolerance 1e-9) with its own way of carrying the mound. Box, pipe and bank are written out here from the model's equations
 * and stepped by Runge-Kutta 4 with our modes, so that the mound is driven by the seepage that it holds back itself.
 */
test("the modes drive the reference run `mound-sand` to its levels and rises within 0.01 mm", () => {
  const fixture = new URL("fixtures/mound-sand.json", import.meta.url);
  const { inflows, result } = (JSON.parse(readFileSync(fixture, "utf8")) as { run: ReferenceRun }).run;
  const until = result.levels.time_s.at(-1)!;
  const modes = moundModes({
    halfLength: 4, halfWidth: 2, hydraulicConductivity: 2.2 / 86400, thickness: 6, specificYield: 0.14,
    points: [{ x: 0, y: 0 }, { x: 6.5, y: 0 }], until,
  });
  const count = modes.timeConstants.length;
  const rise = (state: Float64Array, point: number): number => {
    let sum = 0;
    for (let k = 0; k < count; k++) sum += modes.coefficients[point * count + k]! * state[2 + k]!;
    return sum;
  };

  // state: depth in the box over its outlet's crest, volume in the bank, the modes
  const slope = (state: Float64Array, inflow: number): Float64Array => {
    const outlet = pipeFlow(state[0]!);
    const seepage = bankSeepage(bankLevel(state[1]!), 39.7 + rise(state, 0));
    const change = new Float64Array(state.length);
    change[0] = (inflow - outlet) / 0.64;
    change[1] = outlet - seepage;
    for (let k = 0; k < count; k++) change[2 + k] = seepage / 32 - state[2 + k]! / modes.timeConstants[k]!;
    return change;
  };
  const inflowAt = piecewise(inflows.box.time_s, inflows.box.flow_m3s);
  const step = 5;
  let state = new Float64Array(2 + count);
  const found: { what: string; value: number; expected: number }[] = [];
  for (let time = 0; ; time += step) {
    const sample = result.levels.time_s.indexOf(time);
    if (sample >= 0) {
      found.push(
        { what: `bank at ${time} s`, value: bankLevel(state[1]!), expected: result.levels.bank_m[sample]! },
        { what: `centre at ${time} s`, value: rise(state, 0), expected: result.rise.centre_m[sample]! },
        { what: `offset at ${time} s`, value: rise(state, 1), expected: result.rise.offset_m[sample]! },
      );
    }
    if (time >= until) break;
    const [q1, q2, q3] = [inflowAt(time), inflowAt(time + step / 2), inflowAt(time + step)];
    const k1 = slope(state, q1);
    const k2 = slope(moved(state, k1, step / 2), q2);
    const k3 = slope(moved(state, k2, step / 2), q2);
    const k4 = slope(moved(state, k3, step), q3);
    state = state.map((value, i) => value + (step / 6) * (k1[i]! + 2 * k2[i]! + 2 * k3[i]! + k4[i]!));
  }
  expect(found).toHaveLength(3 * 97);
  expectAllClose(found, { absolute: 1e-5, because: "modes, and steps of 5 s over the corners of the geometry; 0.005 mm measured" });
});

function moved(state: Float64Array, slope: Float64Array, step: number): Float64Array {
  return state.map((value, i) => value + step * slope[i]!);
}

function piecewise(times: readonly number[], values: readonly number[]): (time: number) => number {
  let piece = 0;
  return (time) => {
    while (piece < times.length - 2 && times[piece + 1]! <= time) piece++;
    if (time > times.at(-1)!) return 0;
    return values[piece]! + ((values[piece + 1]! - values[piece]!) * (time - times[piece]!)) / (times[piece + 1]! - times[piece]!);
  };
}

/** Outlet of 160 mm, 4 m long, Manning 0.010, into a bank whose water stays below it; h over its crest. */
function pipeFlow(h: number): number {
  if (h <= 0) return 0;
  const [diameter, gravity] = [0.16, 9.80665];
  const loss = 1.5 + (2 * gravity * 1e-4 * 4) / (diameter / 4) ** (4 / 3);
  const depth = Math.min(h, diameter);
  const angle = 2 * Math.acos(1 - (2 * depth) / diameter);
  const area = (diameter * diameter / 8) * (angle - Math.sin(angle));
  const full = (area * Math.sqrt((2 * gravity) / loss) * h) / (h * h + 1e-6) ** 0.25;
  const r = h / diameter;
  const critical = r < 1.5 ? 0.5 * r * r * (1 - 0.277 * r) : 0.5 * 2.25 * (1 - 0.277 * 1.5) * Math.sqrt(r - 0.5);
  return Math.min(full, Math.sqrt(gravity) * diameter ** 2.5 * critical);
}

const STONE = 0.4 * 32;
const CHAMBERS = STONE + 6 * (Math.PI / 4) * (0.8 ** 2 - 0.4 * 0.84 ** 2);

/** Stone from 41.0 m, six chambers from 41.15 to 42.25 m. */
function bankLevel(volume: number): number {
  const [base, chambers] = [0.15 * STONE, 1.1 * CHAMBERS];
  if (volume < base) return 41 + volume / STONE;
  return volume < base + chambers ? 41.15 + (volume - base) / CHAMBERS : 42.25 + (volume - base - chambers) / STONE;
}

/** 55 mm/h over a factor of safety of 1.5, seepage path as long as the pit is wide, 4 m. */
function bankSeepage(level: number, groundwater: number): number {
  const conductivity = 0.055 / 3600 / 1.5;
  const depth = Math.min(level, 42.5) - 41;
  const gradient = Math.max(-1, Math.min(1, (level - groundwater) / 4));
  return gradient * conductivity * (32 * Math.min(1, depth / 1e-3) + 24 * depth);
}
