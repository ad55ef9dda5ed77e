import type { UnitSystem } from "./format.ts";
import { quantity } from "./quantity.ts";

/** What can be set out with a tape: half an inch, or a centimetre [m]. */
export function buildableStep(units: UnitSystem): number {
  return units === "us" ? 0.0127 : 0.01;
}

/** The next length up that can be set out; one that can be already stays. */
export function buildableUp(length: number, units: UnitSystem): number {
  const step = buildableStep(units);
  return stepLength(Math.ceil(length / step - 1e-6), units);
}

/** A number of steps [m], the very number that a file's text of it reads as. */
export function stepLength(steps: number, units: UnitSystem): number {
  return units === "us" ? quantity(halfInches(steps), "length", "steps") : steps / 100;
}

function halfInches(steps: number): string {
  const [feet, rest] = [Math.floor(steps / 24), steps % 24];
  const inches = rest % 2 === 0 ? `${rest / 2}` : rest === 1 ? "1/2" : `${(rest - 1) / 2} 1/2`;
  return feet === 0 ? `${inches} in` : rest === 0 ? `${feet} ft` : `${feet} ft ${inches} in`;
}

/**
 * A length as a site file has it, which reads as the same number again: `23 ft 7 1/2 in`, `4.74 m`; what no tape shows in as many
 * decimals as it needs.
 *
 * @example writtenLength(7.2009, "us"); // => "23 ft 7 1/2 in"
 */
export function writtenLength(length: number, units: UnitSystem): string {
  const halves = length / 0.0127;
  if (units === "us" && length >= 0 && Math.abs(halves - Math.round(halves)) < 1e-6) {
    return halfInches(Math.round(halves));
  }
  return units === "us" ? `${shortest(length / 0.3048)} ft` : `${shortest(length)} m`;
}

/** A level in decimals of a foot or a metre, as levels are written. */
export function writtenLevel(level: number, units: UnitSystem): string {
  return units === "us" ? `${shortest(level / 0.3048)} ft` : `${shortest(level)} m`;
}

/** A diameter: `4 in`, `110 mm`. */
export function writtenDiameter(diameter: number, units: UnitSystem): string {
  return units === "us" ? `${shortest(diameter / 0.0254)} in` : `${shortest(diameter * 1000)} mm`;
}

/** With as few decimals as tell it to a billionth. */
function shortest(number: number): string {
  for (let decimals = 0; decimals < 12; decimals++) {
    const text = number.toFixed(decimals);
    if (Math.abs(Number(text) - number) < 1e-9) return text;
  }
  return String(number);
}
