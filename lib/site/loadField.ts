import { describe } from "../text/describe.ts";
import { massPattern, readMass } from "../text/format.ts";
import { readQuantity } from "../text/quantity.ts";
import { quantityPattern } from "../text/quantityPattern.ts";
import type { Field } from "../schema/field.ts";
import type { Load } from "./materials.ts";

/** A load as it is sold: text with a mass, `"14 ton"`, or with a loose volume, `"10 cu yd"`. */
export function loadField(about: string): Field<Load> {
  return {
    about,
    hole: { mass: NaN },
    schema: { description: `${about}; ${WANTED}`, type: "string", anyOf: [{ pattern: massPattern }, { pattern: quantityPattern("volume") }] },
    read: (value, where, findings) => {
      const load = loadOf(value);
      if (load !== null) return load;
      findings.problems.push({ where, expected: WANTED, got: describe(value) });
      return { mass: NaN };
    },
  };
}

/** A load of a text; null where it is none, or none that a lorry brings. */
export function loadOf(text: unknown): Load | null {
  const mass = readMass(text);
  if ("value" in mass) return isWithin(mass.value, 10, 1e5) ? { mass: mass.value } : null;
  const volume = readQuantity(text, "volume");
  return "value" in volume && isWithin(volume.value, 0.01, 100) ? { volume: volume.value } : null;
}

const WANTED = 'a mass from 10 kg to 100 t or a volume from 10 L to 100 m^3, such as "14 ton", "12 t" or "10 cu yd"';

function isWithin(value: number, least: number, most: number): boolean {
  return value >= least && value <= most;
}
