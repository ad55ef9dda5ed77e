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
  /** the trench is drawn shorter than it is, with a break in its middle */
  readonly isBroken: boolean;
}

/**
 * Lays a site out along its pipes, each part at its true length: boxes, outlet pipe, pit, inlet pipe, trench, emitter, low
 * spot.
 * A site file does not say where its parts lie, so they stand in a row, pipes of no length a little apart.
 *
 * @param most  the whole takes at most [m]: a trench that is too long for it is broken, and a low spot drawn narrower; what is left
 *              over stays
 */
export function sectionPlan(site: Site, most: number = Infinity): SectionPlan {
  const whole = laidOut(site, 1, 1);
  const excess = whole.whole.to - whole.whole.from - most;
  if (excess <= 0) return whole;
  const lengths = { trench: lengthOf(whole.trench), lowSpot: lengthOf(whole.lowSpot) };
  const cut = Math.min(0.65 * lengths.lowSpot, excess / (1 + 2.6 * BEYOND));
  const cutTrench = Math.min(0.7 * lengths.trench, excess / (1 + 2.6 * BEYOND) - cut);
  return laidOut(site, lengths.trench === 0 ? 1 : 1 - cutTrench / lengths.trench, lengths.lowSpot === 0 ? 1 : 1 - cut / lengths.lowSpot);
}

/** A plan with its trench drawn so much longer, and what lies beyond it so much further on [m]. */
export function withLongerTrench(plan: SectionPlan, longer: number): SectionPlan {
  const { trench, emitter, lowSpot, whole } = plan;
  const moved = (part: Stretch | null): Stretch | null => (part === null ? null : { from: part.from + longer, to: part.to + longer });
  return {
    ...plan, emitter: moved(emitter), lowSpot: moved(lowSpot), whole: { from: whole.from, to: whole.to + longer },
    trench: trench === null ? null : { from: trench.from, to: trench.to + longer },
  };
}

function lengthOf(stretch: Stretch | null): number {
  return stretch === null ? 0 : stretch.to - stretch.from;
}

/** Ground beyond the works to the left, of their length. */
const BEYOND = 0.06;

/** @param trenchShare, hollowShare  of the length that is drawn */
function laidOut(site: Site, trenchShare: number, hollowShare: number): SectionPlan {
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
    trench = stretch(trenchShare * overflowTrench.length);
  }
  const riser = emitter === null ? null : stretch(Math.max(emitter.diameter, 0.006 * works));
  const lowSpot = site.lowSpot === null ? null
    : stretch(hollowShare * Math.min(2 * hollowRadius(site.lowSpot, site.lowSpot.lip), MOST_HOLLOW * works));
  const opening = site.lowSpot?.grate ?? null;
  const shaft = opening === null ? 0 : Math.min(opening.perimeter / 4, 0.2 * chamberBank.length);
  const grate = opening === null ? null : { from: pit.from + 0.5 * shaft, to: pit.from + 1.5 * shaft };
  const beyond = BEYOND * at;
  const whole = { from: -beyond, to: at + 1.6 * beyond };
  return { boxes, pit, chambers: chambersIn(chamberBank, pit), trench, emitter: riser, lowSpot, grate, whole, isBroken: trenchShare < 1 };
}

/** Half of the low spot's width at a level, as a circle [m]: pi r^2 = A1 (h/h1)^(2/p). */
export function hollowRadius({ floor, depth, area, shape }: NonNullable<Site["lowSpot"]>, level: number): number {
  return Math.sqrt(area / Math.PI) * (Math.max(0, level - floor) / depth) ** (1 / shape);
}

/** of the works' length, what a low spot may take of the section */
const MOST_HOLLOW = 0.45;

/** How many rows the chambers stand in, one behind the other: as few as the pit's length asks for. */
export function chamberRows({ chambers, length }: Site["chamberBank"]): number {
  const abreast = chambers.reduce((sum, { count, outsideDiameter }) => sum + count * outsideDiameter, 0);
  return Math.max(1, Math.ceil(abreast / length - 1e-9));
}

/** The front row of chambers, evenly along the pit: each kind by its share of the rows. */
function chambersIn(bank: Site["chamberBank"], pit: Stretch): (Stretch & { height: number })[] {
  const rows = chamberRows(bank);
  const row: { width: number; height: number }[] = [];
  let room = pit.to - pit.from;
  for (const { count, outsideDiameter: width, height } of bank.chambers) {
    for (let i = 0; i < Math.ceil(count / rows) && width <= room + 1e-9; i++) {
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
