import { power } from "../../numerics/powers.ts";
import { readQuantity } from "../../text/quantity.ts";
import type { DepthDuration } from "./depthDuration.ts";
import type { OptionReader } from "../../text/optionReader.ts";

/**
 * Intensity i by duration t for one return period, with the constants as published and the units they were made for:
 *
 *   "a/(t+b)^c"  i = a / (t + b)^c      Sherman; with c 1 Talbot's, with b 0 Bernard's
 *   "c/(t^e+f)"  i = c / (t^e + f)
 */
export type RainfallEquation =
  | {
      readonly form: "a/(t+b)^c";
      readonly intensityUnit: string;
      readonly timeUnit: string;
      readonly a: number;
      /** default 0 */
      readonly b?: number;
      /** default 1 */
      readonly c?: number;
    }
  | {
      readonly form: "c/(t^e+f)";
      readonly intensityUnit: string;
      readonly timeUnit: string;
      readonly c: number;
      readonly e: number;
      readonly f: number;
    };

/**
 * Depth by duration of an equation: i(t) t.
 *
 * @source  forms as in Chow, Maidment & Mays, Applied Hydrology, 1988, section 14.2 (from memory)
 */
export function equationDepth(equation: OptionReader): DepthDuration {
  const form = equation.word("form", ["a/(t+b)^c", "c/(t^e+f)"]);
  const intensityUnit = unitOf(equation, "intensityUnit", "speed", 'a unit of intensity such as "in/hr"');
  const timeUnit = unitOf(equation, "timeUnit", "time", 'a unit of time such as "min"');
  const depth = (intensity: (t: number) => number): DepthDuration => (duration) =>
    duration === 0 ? 0 : intensity(duration / timeUnit) * intensityUnit * duration;
  if (form === "c/(t^e+f)") {
    const c = equation.number("c", { above: 0 });
    // With e above 1 or a negative f a longer storm would bring less rain.
    const e = equation.number("e", { above: 0, most: 1 });
    const f = equation.number("f", { least: 0 });
    return depth((t) => c / (power(t, e) + f));
  }
  const a = equation.number("a", { above: 0 });
  const b = equation.number("b", { least: 0, missing: 0 });
  const c = equation.number("c", { above: 0, most: 1, missing: 1 });
  return depth((t) => a / power(t + b, c));
}

function unitOf(equation: OptionReader, key: string, dimension: "speed" | "time", expected: string): number {
  const unit = equation.raw(key);
  const one = readQuantity(`1 ${String(unit)}`, dimension);
  if ("value" in one) return one.value;
  equation.problem(key, expected);
  return NaN;
}
