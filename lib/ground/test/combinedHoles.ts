import { exponential, logarithm, power } from "../../numerics/powers.ts";
import { normalQuantile } from "../../numerics/normalQuantile.ts";
import { studentQuantile } from "../../numerics/studentQuantile.ts";
import { type Band, WITHIN_SITE_FACTOR } from "./withinSiteBand.ts";

/** What one of several holes says, by itself. */
export interface HoleSays {
  /** 0 where it did not drain [m/s] */
  readonly conductivity: number;
  /** of the ground around it, as a single test has it */
  readonly band: Band;
}

/** What several holes say together. */
export interface CombinedHoles {
  /** what a layer takes [m/s] */
  readonly conductivity: number;
  /** geometric mean of all; 0 where one did not drain [m/s] */
  readonly mean: number;
  /** 95 percent, around `conductivity` */
  readonly band: Band;
  /** why it is that: all of them, the slower one nearest to the pit, or one that does not drain */
  readonly taken: "mean" | "nearest" | "undrained";
}

/**
 * One conductivity of several test holes in a layer. Conductivities are log-normal, and the geometric mean is what ground that is a
 * patchwork of them passes as a whole; so a layer takes that, but never more than the hole nearest to the pit says, for the pit stands
 * there, and 0 where a hole does not drain, until it is known why.
 *
 *   K = exp(m),  m = sum ln K_i / n;   K / f to K f,   ln f = sqrt((q s)^2/n + e^2)
 *
 * From three holes on s is their own standard deviation of ln K and q is Student's t with n - 1 degrees of freedom. Two cannot tell
 * their scatter: s is then that of soils within a site, or their own where that is larger, and q = 1.96. e is what the bands of the
 * single tests have beyond that scatter (readings, suction): the mean of its squares, for what is wrong with a kind of test is wrong with
 * all of its holes.
 *
 * @param holes    two or more
 * @param nearest  which of them is nearest to the pit; null where that is not known
 * @source  geometric mean of a log-normal field: Matheron, Elements pour une theorie des milieux poreux, 1967, from memory; Student's t:
 *          textbook; scatter within a site: `WITHIN_SITE_FACTOR`. Never more than the nearest hole: our choice, on the safe side
 * @example combinedHoles([1e-6, 4e-6].map((conductivity) => ({ conductivity, band: withinSiteBand(conductivity) })), null).mean; // => 2e-6
 */
export function combinedHoles(holes: readonly HoleSays[], nearest: number | null): CombinedHoles {
  const count = holes.length;
  if (holes.some(({ conductivity }) => conductivity === 0)) {
    const high = holes.reduce((most, { band }) => Math.max(most, band.high), 0);
    return { conductivity: 0, mean: 0, band: { low: 0, high, from: "readings and within-site scatter" }, taken: "undrained" };
  }
  const logs = holes.map(({ conductivity }) => logarithm(conductivity));
  const middle = logs.reduce((sum, log) => sum + log, 0) / count;
  const own = Math.sqrt(logs.reduce((sum, log) => sum + power(log - middle, 2), 0) / (count - 1));
  const half = count > 2 ? studentQuantile(0.975, count - 1) * own : Math.max(logarithm(WITHIN_SITE_FACTOR), normalQuantile(0.975) * own);
  const beyond = (share: (hole: HoleSays) => number): number => (
    holes.reduce((sum, hole) => sum + Math.max(0, power(logarithm(share(hole)), 2) - power(logarithm(WITHIN_SITE_FACTOR), 2)), 0) / count);
  const factor = (e2: number): number => exponential(Math.sqrt((half * half) / count + e2));
  const mean = exponential(middle);
  const isNearer = nearest !== null && holes[nearest]!.conductivity < mean;
  const conductivity = isNearer ? holes[nearest]!.conductivity : mean;
  return {
    conductivity, mean, taken: isNearer ? "nearest" : "mean",
    band: {
      low: conductivity / factor(beyond(({ conductivity: k, band }) => k / band.low)),
      high: conductivity * factor(beyond(({ conductivity: k, band }) => band.high / k)),
      from: count > 2 ? "readings" : "readings and within-site scatter",
    },
  };
}
