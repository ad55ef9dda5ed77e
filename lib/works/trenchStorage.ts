import { SLOT_SHARE } from "./bankStorage.ts";
import { segmentArea, segmentAreaIntegral, segmentWidth } from "./circle.ts";
import type { StorageCurve } from "./storageTable.ts";

/** A trench, or one of its segments: `floor` is the high end, `floor - fall` the low one. */
export interface TrenchShape {
  readonly floor: number;
  readonly fall: number;
  readonly length: number;
  readonly width: number;
  /** over its two ends */
  readonly ground: { readonly high: number; readonly low: number };
  readonly stone: { readonly depth: number; readonly porosity: number };
  readonly pipe: { readonly insideDiameter: number; readonly outsideDiameter: number; readonly bedding: number } | null;
  /** true: the pipe's inside belongs to the stone's body; false: it is a body of its own */
  readonly pipeInside: boolean;
  readonly coverPorosity: number;
  readonly cover: object | null;
}

/** A floor that falls less than this [m] over its length is taken as level: differences over it would be round-off. */
const LEVEL_FALL = 1e-6;

/**
 * Storage of a stone trench with a perforated pipe, at one water level. Free section at depth y above the local floor
 *
 *   a(y) = n (w y - seg(Do, y - bedding)) + seg(Di, y - bedding - wall)      up to the stone top, wall = (Do - Di)/2
 *
 * above it `coverPorosity` w more per metre, under a cover SLOT_SHARE w above the local ground. Along a floor that falls, with
 * F the integral of a over depth,
 *
 *   V(H) = (L/fall) (F(H - low floor) - F(H - high floor))
 */
export function trenchStorage(trench: TrenchShape): StorageCurve {
  const { length, fall } = trench;
  const section = trenchSection(trench);
  const low = trench.floor - fall;
  const depths = section.corners;
  const slot = trench.cover !== null ? overGround(trench.ground) : null;
  const lost = (trench.coverPorosity - SLOT_SHARE) * trench.width * length;
  const lostVolume = (level: number): number => (slot === null ? 0 : lost * slot.depth(level));
  const lostArea = (level: number): number => (slot === null ? 0 : lost * slot.share(level));
  if (fall < LEVEL_FALL) {
    return {
      floor: low,
      exponent: 1,
      corners: withSlot(depths.map((depth) => low + depth), slot),
      volume: (level) => length * section.area(level - low) - lostVolume(level),
      area: (level) => length * section.width(level - low) - lostArea(level),
    };
  }
  const stretch = length / fall;
  return {
    floor: low,
    exponent: 0.5,
    corners: withSlot(depths.flatMap((depth) => [low + depth, trench.floor + depth]), slot),
    volume: (level) =>
      stretch * (section.areaIntegral(level - low) - section.areaIntegral(level - trench.floor)) - lostVolume(level),
    area: (level) =>
      stretch * (section.area(level - low) - section.area(level - trench.floor)) - lostArea(level),
  };
}

interface Section {
  /** depths at which the section has a corner, rising from 0 to the stone top */
  readonly corners: readonly number[];
  /** da/dy, a(y) and its integral; all 0 for depths of 0 and less */
  width(depth: number): number;
  area(depth: number): number;
  areaIntegral(depth: number): number;
}

function trenchSection({ width, stone, pipe, pipeInside, coverPorosity }: TrenchShape): Section {
  const n = stone.porosity;
  const outside = pipe?.outsideDiameter ?? 0;
  const inside = pipe !== null && pipeInside ? pipe.insideDiameter : 0;
  const bedding = pipe?.bedding ?? 0;
  const wall = (outside - (pipe?.insideDiameter ?? 0)) / 2;
  const full = n * (width * stone.depth - segmentArea(outside, stone.depth)) + segmentArea(inside, stone.depth);
  const withinArea = (y: number): number =>
    n * (width * y - segmentArea(outside, y - bedding)) + segmentArea(inside, y - bedding - wall);
  const withinIntegral = (y: number): number =>
    n * ((width * y * y) / 2 - segmentAreaIntegral(outside, y - bedding)) + segmentAreaIntegral(inside, y - bedding - wall);
  const fullIntegral = withinIntegral(stone.depth);
  const pipeCorners = pipe === null ? [] : [bedding, bedding + wall, bedding + wall + inside, bedding + outside];
  return {
    corners: [...new Set([0, ...pipeCorners, stone.depth])].filter((y) => y <= stone.depth).sort((a, b) => a - b),
    width(y) {
      if (y < 0) return 0;
      if (y >= stone.depth) return coverPorosity * width;
      return n * (width - segmentWidth(outside, y - bedding)) + segmentWidth(inside, y - bedding - wall);
    },
    area(y) {
      if (y <= 0) return 0;
      return y < stone.depth ? withinArea(y) : full + coverPorosity * width * (y - stone.depth);
    },
    areaIntegral(y) {
      if (y <= 0) return 0;
      if (y < stone.depth) return withinIntegral(y);
      const over = y - stone.depth;
      return fullIntegral + full * over + (coverPorosity * width * over * over) / 2;
    },
  };
}

/** How the water stands over a ground, on the average along it: its depth and the share that it stands over. */
interface OverGround {
  /** where water first and last comes over it, one level where it is level */
  readonly levels: readonly number[];
  depth(level: number): number;
  share(level: number): number;
}

/** (1/L) integral of max(0, H - z) along a ground from one end to the other, and its slope with H. */
function overGround({ high, low }: TrenchShape["ground"]): OverGround {
  const [foot, head] = [Math.min(high, low), Math.max(high, low)];
  const rise = head - foot;
  if (rise < LEVEL_FALL) {
    return { levels: [foot], depth: (level) => Math.max(0, level - foot), share: (level) => (level >= foot ? 1 : 0) };
  }
  const over = (level: number, end: number): number => Math.max(0, level - end);
  return {
    levels: [foot, head],
    depth: (level) => (over(level, foot) * over(level, foot) - over(level, head) * over(level, head)) / (2 * rise),
    share: (level) => (over(level, foot) - over(level, head)) / rise,
  };
}

function withSlot(levels: readonly number[], slot: OverGround | null): number[] {
  return [...new Set([...levels, ...(slot === null ? [] : slot.levels)])].sort((a, b) => a - b);
}

/** share of its diameter a full pipe goes on with as a slot, so that its state stays a volume under pressure */
const SLOT = 0.01;

/**
 * Storage of a pipe as a body of its own, at one level along its slope: section seg(D, y) + 0.01 D max(0, y - D), y above
 * the inside invert.
 *
 * @param invert  inside invert at the high end [m]; falls by `fall` over `length`
 */
export function pipeBodyStorage(
  { invert, fall, length, diameter }: { invert: number; fall: number; length: number; diameter: number },
): StorageCurve {
  const low = invert - fall;
  const over = (y: number): number => Math.max(0, y - diameter);
  const area = (y: number): number => segmentArea(diameter, y) + SLOT * diameter * over(y);
  const integral = (y: number): number => segmentAreaIntegral(diameter, y) + (SLOT * diameter * over(y) * over(y)) / 2;
  if (fall < 1e-6) {
    return {
      floor: low,
      exponent: 2 / 3,
      corners: [low, low + diameter],
      volume: (level) => length * area(level - low),
      area: (level) => length * (segmentWidth(diameter, level - low) + (level - low >= diameter ? SLOT * diameter : 0)),
    };
  }
  const corners = [low, invert, low + diameter, invert + diameter].sort((a, b) => a - b);
  return {
    floor: low,
    exponent: 0.4,
    corners,
    volume: (level) => (length / fall) * (integral(level - low) - integral(level - invert)),
    area: (level) => (length / fall) * (area(level - low) - area(level - invert)),
  };
}
