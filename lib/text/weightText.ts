import { threeFigures, type UnitSystem } from "./format.ts";

/**
 * A mass that a person can lift [kg], to two figures, for it is a guess: `24 lb` or `11 kg`. Loads of a lorry are `massText`'s.
 *
 * @example weightText(11, "us"); // => "24 lb"
 */
export function weightText(mass: number, system: UnitSystem): string {
  const shown = system === "us" ? (mass * 100_000_000) / 45_359_237 : mass;
  return `${threeFigures(Number(shown.toPrecision(2)))} ${system === "us" ? "lb" : "kg"}`;
}
