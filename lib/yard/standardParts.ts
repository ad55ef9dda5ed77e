import { quantity } from "../text/quantity.ts";
import type { UnitSystem } from "../text/format.ts";

/** Sizes that a first answer takes, as they are written into the file; every one of them can be changed there. */
export type StandardParts = Readonly<Record<PartName, string>>;

export type PartName = keyof typeof US;

/** Trade sizes of a yard that is dug by hand or by a small machine: common practice, no source. */
const US = {
  boxDiameter: "18 in", sump: "12 in", pipe: "4 in", pipeCover: "6 in",
  chamberInside: "24 in", chamberOutside: "25 1/2 in", chamberPitch: "3 ft", pitWidth: "4 ft", base: "6 in", overChamber: "2 in",
  leastStone: "20 in", mostStone: "48 in", pitCover: "12 in", gap: "3 ft",
  trenchWidth: "18 in", trenchStone: "12 in", trenchPipe: "4 in", trenchPipeOutside: "4 5/8 in", bedding: "2 in", trenchCover: "6 in",
  lid: "4 in", lidBelowTurf: "1 in", coverConductivity: "0.5 in/hr", overGroundwater: "3 ft", underSlab: "6 in",
};

const SI: Readonly<Record<keyof typeof US, string>> = {
  boxDiameter: "450 mm", sump: "300 mm", pipe: "110 mm", pipeCover: "150 mm",
  chamberInside: "600 mm", chamberOutside: "640 mm", chamberPitch: "0.9 m", pitWidth: "1.2 m", base: "150 mm", overChamber: "50 mm",
  leastStone: "500 mm", mostStone: "1200 mm", pitCover: "300 mm", gap: "1 m",
  trenchWidth: "450 mm", trenchStone: "300 mm", trenchPipe: "100 mm", trenchPipeOutside: "113 mm", bedding: "50 mm", trenchCover: "150 mm",
  lid: "100 mm", lidBelowTurf: "25 mm", coverConductivity: "12 mm/h", overGroundwater: "1 m", underSlab: "150 mm",
};

/** Parts of a country of feet, or of one of metres. */
export function standardParts(units: UnitSystem): StandardParts {
  return units === "us" ? US : SI;
}

/** The size of a part [m]. */
export function partSize(parts: StandardParts, name: PartName): number {
  return quantity(parts[name], "length", name);
}

/** Fall of a buried pipe that is to carry grit along, a hundredth; of a trench with stone, half of that (common practice). */
export const PIPE_FALL = 0.01;
export const TRENCH_FALL = 0.005;

/** Head at which the lid of an emitter opens where the file does not say, as the reader of site files has it [m]. */
export const LID_OPENS = 0.012;
