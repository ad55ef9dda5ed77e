import type { UnitSystem } from "./format.ts";

/**
 * A level or a reading as it stands on a levelling staff: feet, inches and a fraction of an inch in lowest terms, or metres
 * to the millimetre. An eighth of an inch is 0.0104 ft, so that eighths tell what `levelText` tells in hundredths of a foot.
 *
 * @param level    [m], of either sign
 * @param options  `fractions`: into how many parts the staff divides its inch, 8 where not given; nothing in SI
 * @throws RangeError  for what is no finite number
 * @source   graduation of a builder's rod in eighths of an inch: common practice
 * @example  staffText(0.714756, "us"); // => `2' 4 1/8"`
 */
export function staffText(level: number, units: UnitSystem, options: { readonly fractions?: 2 | 4 | 8 | 16 } = {}): string {
  if (!Number.isFinite(level)) throw new RangeError(`level: expected a finite number of metres, got ${level}`);
  const { fractions = 8 } = options;
  // an inch is 254/10000 m: with whole numbers 2 ft 4 1/8 in comes out as itself
  const steps = units === "us" ? Math.round((Math.abs(level) * 10_000 * fractions) / 254) : Math.round(Math.abs(level) * 1000);
  const sign = level < 0 && steps > 0 ? "-" : "";
  return units === "us" ? sign + feetText(steps, fractions) : `${sign}${(steps / 1000).toFixed(3)} m`;
}

/**
 * A level as such a staff shows it [m]: falls, drops and depths are taken between levels so rounded, or they would not be the differences
 * of what is printed.
 *
 * @throws RangeError  for what is no finite number
 * @example (onStaff(62.5004, "si") - onStaff(62.1996, "si")).toFixed(3); // => "0.300"
 */
export function onStaff(level: number, units: UnitSystem): number {
  if (!Number.isFinite(level)) throw new RangeError(`level: expected a finite number of metres, got ${level}`);
  return units === "us" ? Math.sign(level) * (Math.round((Math.abs(level) * 80_000) / 254) * 254) / 80_000 : Math.sign(level) * Math.round(Math.abs(level) * 1000) / 1000;
}

function feetText(steps: number, fractions: number): string {
  const inches = Math.floor(steps / fractions);
  const fraction = fractionText(steps % fractions, fractions);
  return `${Math.floor(inches / 12)}' ${inches % 12}${fraction === "" ? "" : ` ${fraction}`}"`;
}

/** `6/8` as `3/4`, and nothing of nothing; the parts of an inch are powers of two. */
function fractionText(over: number, under: number): string {
  if (over === 0) return "";
  return over % 2 === 0 ? fractionText(over / 2, under / 2) : `${over}/${under}`;
}
