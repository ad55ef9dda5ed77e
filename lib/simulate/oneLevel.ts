import { greatestOf } from "../numerics/extremes.ts";
import type { Chamber, Site } from "../site/site.ts";
import { GRAVITY } from "../works/gravity.ts";
import { passagesOf, type Run } from "./run.ts";
import { worstMoment } from "./worstMoment.ts";

/** How far the chambers of a pit may stand from one level, at the worst moment of a run. */
export interface OneLevel {
  /** [s] */
  readonly time: number;
  /** flow from the boxes, and flow that has to pass through the chambers [m3/s] */
  readonly flow: { readonly in: number; readonly through: number };
  readonly clean: LevelDifference;
  /** with a share of the openings closed by silt and roots */
  readonly clogged: LevelDifference & { readonly share: number };
}

export interface LevelDifference {
  /** how much higher the first chamber may stand than the last [m] */
  readonly difference: number;
  /** more than 25 mm: one level is no longer a fair picture */
  readonly matters: boolean;
  /** it would lift a box to its rim */
  readonly liftsBox: boolean;
}

/**
 * Whether the chambers share one level, as the model takes it: the head that openings and stone between them cost,
 *
 *   dh = [Q_in/(0.6 A_h)]^2/2g + [Q_through/(0.6 A_h)]^2/2g + Q_through s/(k_s A_s)
 *
 * A_h the open area under water in one chamber, Q_in the flow from the boxes, Q_through the flow to the trench and (N - 1)/N
 * of Q_in, s the clear gap between chambers (taken as 0 where the file gives none), A_s = diameter x wetted height, k_s the
 * trench stone's conductivity, 0.15 m/s without a trench (common practice). Of several kinds of chamber the worst counts.
 *
 * @param options.clogged  share of the openings that is closed, 0 or more and below 1, default 0.5 (a choice of ours)
 * @returns  null where no chamber says its wallOpenings, or none of those stands in water at that moment
 * @throws RangeError  for a share outside 0 to 1
 */
export function oneLevel(
  run: Pick<Run, "site" | "peaks" | "passages" | "level" | "flow">, options: { readonly clogged?: number } = {},
): OneLevel | null {
  const { clogged = 0.5 } = options;
  if (!(clogged >= 0 && clogged < 1)) throw new RangeError(`clogged: expected a share of 0 or more and below 1, got ${clogged}`);
  const { site } = run;
  const { floor, stone, chambers } = site.chamberBank;
  const { time, box } = worstMoment(run);
  const height = run.level("chamberBank", time) - floor - stone.base;
  const wet = chambers.filter((chamber) => chamber.wallOpenings !== null && openArea(chamber, height) > 0);
  if (wet.length === 0) return null;

  const sum = (kind: string): number => passagesOf(run, kind).reduce((all, passage) => all + Math.max(0, run.flow(passage, time)), 0);
  const count = chambers.reduce((all, chamber) => all + chamber.count, 0);
  const into = sum("boxOutlet");
  const through = sum("trenchInlet") + ((count - 1) / count) * into;
  const spare = site.settlingBoxes.find(({ name }) => name === box)!.rim - run.level(box, time);
  const withOpen = (share: number): LevelDifference => {
    const difference = greatestOf(wet.map((chamber) => lossAt(site, chamber, height, into, through, share)));
    return { difference, matters: difference > 0.025, liftsBox: difference >= spare };
  };
  return { time, flow: { in: into, through }, clean: withOpen(1), clogged: { ...withOpen(1 - clogged), share: clogged } };
}

function lossAt(site: Site, chamber: Chamber, height: number, into: number, through: number, open: number): number {
  const area = 0.6 * open * openArea(chamber, height);
  const stone = (site.overflowTrench?.stone.hydraulicConductivity ?? STONE_CONDUCTIVITY) * chamber.insideDiameter * wetted(chamber, height);
  return ((into * into + through * through) / (area * area)) / (2 * GRAVITY) + (through * (chamber.gap ?? 0)) / stone;
}

/** of coarse clean stone [m/s]; common practice, as the site file's default */
const STONE_CONDUCTIVITY = 0.15;

/** Openings under water in one chamber [m2], spread evenly over the height of its wall. */
function openArea({ wallOpenings, insideDiameter, height }: Chamber, water: number): number {
  const wet = wetted({ height }, water);
  if (wallOpenings === null) return 0;
  if ("share" in wallOpenings) return wallOpenings.share * Math.PI * insideDiameter * wet;
  return (wallOpenings.count * (Math.PI / 4) * (wallOpenings.diameter * wallOpenings.diameter) * wet) / height;
}

function wetted({ height }: Pick<Chamber, "height">, water: number): number {
  return Math.max(0, Math.min(height, water));
}
