import type { SetbackRule } from "../site/surroundings.ts";
import type { UnitSystem } from "../text/format.ts";

/**
 * A length as it is said on a lawn, never less than it is: up and down in whole inches or centimetres, along the ground in whole feet or
 * half metres.
 *
 * @example nearText(0.07, "us", "up"); // => "3 in"
 */
export function nearText(length: number, units: UnitSystem, way: "up" | "along"): string {
  const over = (step: number): number => Math.ceil(length / step - 1e-6);
  if (way === "along") return units === "us" ? `${over(0.3048)} ft` : `${over(0.5) / 2} m`;
  if (units === "us") {
    const inches = over(0.0254);
    return inches < 24 ? `${inches} in` : `${Math.floor(inches / 12)} ft${inches % 12 === 0 ? "" : ` ${inches % 12} in`}`;
  }
  return `${over(0.01)} cm`;
}

/** Whose a rule is and what it asks for. Nobody was asked for the state or town: theirs is an example, that of a whole country is not. */
export function ruleText({ says, distance, status }: SetbackRule): string {
  return `${says}${says === "England" ? "" : ", as an example,"} asks for ${distance}${status === "from memory" ? " (from memory)" : ""}`;
}
