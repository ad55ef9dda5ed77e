import { waterViscosityRatio } from "../ground/waterViscosity.ts";
import type { Soil } from "./site.ts";

/** The temperature at which conductivities are stated [degC]; common practice */
export const STATED_AT = 20;

/** What a soil's conductivities are divided by before they are used: its factor of safety, times how thick the cold makes its water. */
export function soilDivisor({ factorOfSafety, temperature }: Pick<Soil, "factorOfSafety" | "temperature">): number {
  return factorOfSafety * waterViscosityRatio(temperature);
}
