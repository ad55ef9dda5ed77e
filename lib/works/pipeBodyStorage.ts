import { segmentArea, segmentAreaIntegral, segmentWidth } from "./circle.ts";
import type { StorageCurve } from "./storageTable.ts";

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
  const integral = (y: number): number => segmentAreaIntegral(diameter, y) + (SLOT * diameter * over(y) ** 2) / 2;
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
