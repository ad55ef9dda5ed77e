import { newKernel } from "../../lib/simulate/kernel.ts";
import type { Law } from "../../lib/simulate/network.ts";

const kernel = newKernel();
let loaded: unknown = null;

/** One passage by itself: its flow and slopes for the levels at its two ends, the second the groundwater's for a law of the soil. */
export function onePassage(law: Law, row: readonly number[]): (Ha: number, Hb: number) => [number, number, number] {
  let at = kernel.law(law, row);
  loaded = at;
  return (Ha, Hb) => {
    if (loaded !== at) {
      at = kernel.law(law, row);
      loaded = at;
    }
    return at(Ha, Hb);
  };
}
