import { networkOf } from "../simulate/assemble.ts";
import { changedSite } from "../site/changedSite.ts";
import type { Site } from "../site/site.ts";

/**
 * Standard deviation of stone's porosity over the drawn figure: 0.04 of 0.40; own estimate, from the 0.30 to 0.45 that stone is found
 * with.
 */
export const POROSITY_ERROR = 0.1;

/**
 * How well the room in a pit is known between two levels, as the standard deviation of its logarithm: the stone's share of it times the
 * doubt of its porosity. What chambers hold is known.
 *
 * A pit that falls, or fills, tells conductivity over room; so a conductivity from levels is known no better than the room is.
 */
export function roomDoubt(site: Site, low: number, high: number): number {
  const roomOf = (works: Site): number => {
    const { volume } = networkOf(works).bodies.find(({ kind }) => kind === "bank")!;
    return volume(Math.max(high, low + 0.01)) - volume(low);
  };
  const share = 0.01;
  return (POROSITY_ERROR * (roomOf(withPorosity(site, 1 + share)) / roomOf(site) - 1)) / share;
}

/** The same works with more or less room between the stones. */
export function withPorosity(site: Site, times: number): Site {
  const stoned = <Works extends { readonly stone: { readonly porosity: number } }>(works: Works): Works => (
    { ...works, stone: { ...works.stone, porosity: Math.min(0.95, works.stone.porosity * times) } });
  return changedSite(site, { chamberBank: stoned(site.chamberBank), overflowTrench: site.overflowTrench && stoned(site.overflowTrench) });
}
