import { REST } from "./flowLaw.ts";

/**
 * Square root of a head difference with its sign, made smooth at rest:
 *
 *   r(x) = x / (x^2 + e^2)^(1/4),      r' = (x^2/2 + e^2) / (x^2 + e^2)^(5/4),      e = 1 mm
 */
export function smoothRoot(x: number): number {
  return x / Math.sqrt(Math.sqrt(x * x + REST * REST));
}

export function smoothRootSlope(x: number): number {
  const square = x * x + REST * REST;
  return (0.5 * x * x + REST * REST) / (square * Math.sqrt(Math.sqrt(square)));
}
