import { withinSiteBand, type Band } from "../ground/test/withinSiteBand.ts";
import type { SoilLayer } from "./site.ts";

/**
 * Where the conductivity of a layer is taken to lie, with 95 percent confidence: the band of its test or texture, and that of
 * soils within a site where the file gives a bare figure. Before the factor of safety, which is a choice and no measurement.
 *
 * @source  see `withinSiteBand`
 */
export function layerBand({ conductivity, origin }: SoilLayer): Band {
  if (origin === null) return withinSiteBand(conductivity);
  return origin.kind === "test" ? origin.band : origin.texture.band;
}
