import { greatestOf } from "../numerics/extremes.ts";
import type { Site } from "../site/site.ts";

/** A stretch along the section [m]. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Where the works lie along the water's way, from the first box on [m]. */
export interface SectionPlan {
  readonly boxes: readonly Stretch[];
  readonly pit: Stretch;
  /** one upright chamber each, as far as they stand in one row, and its height above the foot [m] */
  readonly chambers: readonly (Stretch & { readonly height: number })[];
  readonly trench: Stretch | null;
  readonly emitter: Stretch | null;
  /** the low spot at its lip, beyond the emitter; drawn narrower than it is where it would dwarf the works */
  readonly lowSpot: Stretch | null;
  /** the shaft of a grate over the pit */
  readonly grate: Stretch | null;
  /** ground to the left and right of the works included */
  readonly whole: Stretch;
}

/**
 * Lays a site out along its pipes, each part at its true length: boxes, outlet pipe, pit, inlet pipe, trench, emitter, low
 * spot.
 * A site file does not say where its parts lie, so they stand in a row, pipes of no length a little apart.
 */
export function sectionPlan(site: Site): SectionPlan {
  const { settlingBoxes, chamberBank, overflowTrench, emitter } = site;
  const works = chamberBank.length + (overflowTrench?.length ?? 0);
  const least = 0.025 * works;
  let at = 0;
  const stretch = (length: number): Stretch => {
    const from = at;
    at += length;
    return { from, to: at };
  };
  const boxes = settlingBoxes.map(({ plan }, i) => {
    if (i > 0) stretch(least);
    return stretch("diameter" in plan ? plan.diameter : plan.length);
  });
  stretch(greatestOf([least, ...settlingBoxes.map(({ outlet }) => outlet.length)]));
  const pit = stretch(chamberBank.length);
  let trench: Stretch | null = null;
  if (overflowTrench !== null) {
    stretch(Math.max(least, overflowTrench.inlet.length));
    trench = stretch(overflowTrench.length);
  }
  const riser = emitter === null ? null : stretch(Math.max(emitter.diameter, 0.006 * works));
  const lowSpot = site.lowSpot === null ? null : stretch(Math.min(2 * hollowRadius(site.lowSpot, site.lowSpot.lip), MOST_HOLLOW * works));
  const opening = site.lowSpot?.grate ?? null;
  const shaft = opening === null ? 0 : Math.min(opening.perimeter / 4, 0.2 * chamberBank.length);
  const grate = opening === null ? null : { from: pit.from + 0.5 * shaft, to: pit.from + 1.5 * shaft };
  const beyond = 0.06 * at;
  const whole = { from: -beyond, to: at + 1.6 * beyond };
  return { boxes, pit, chambers: chambersIn(chamberBank, pit), trench, emitter: riser, lowSpot, grate, whole };
}

/** Half of the low spot's width at a level, as a circle [m]: pi r^2 = A1 (h/h1)^(2/p). */
export function hollowRadius({ floor, depth, area, shape }: NonNullable<Site["lowSpot"]>, level: number): number {
  return Math.sqrt(area / Math.PI) * (Math.max(0, level - floor) / depth) ** (1 / shape);
}

/** of the works' length, what a low spot may take of the section */
const MOST_HOLLOW = 0.45;

/** Chambers evenly along the pit, those that have no room in the first row hidden behind it. */
function chambersIn({ chambers }: Site["chamberBank"], pit: Stretch): (Stretch & { height: number })[] {
  const row: { width: number; height: number }[] = [];
  let room = pit.to - pit.from;
  for (const { count, outsideDiameter: width, height } of chambers) {
    for (let i = 0; i < count && width <= room; i++) {
      row.push({ width, height });
      room -= width;
    }
  }
  const gap = room / (row.length + 1);
  let at = pit.from;
  return row.map(({ width, height }) => {
    const from = at + gap;
    at = from + width;
    return { from, to: at, height };
  });
}
