import { describe } from "../text/describe.ts";
import { areaText, depthText, levelText, type UnitSystem } from "../text/format.ts";
import type { Problem } from "../text/problem.ts";

/** What a rule of geometry needs: the file as it was written, for the words, and a place for what it finds. */
export interface Judge {
  /** adds a problem; what was got is what the file holds there, unless said otherwise */
  readonly refuse: (where: string, expected: string, got?: string) => void;
  /** whether the file holds that key */
  readonly holds: (where: string) => boolean;
  /** what the file holds there, in words */
  readonly given: (where: string) => string;
  /** computed values, in the system of the file */
  readonly level: (level: number) => string;
  readonly depth: (depth: number) => string;
  readonly area: (area: number) => string;
}

/** A judge for one file. `source` is the parsed file itself. */
export function judgeOf(source: unknown, units: UnitSystem, problems: Problem[]): Judge {
  const given = (where: string): string => {
    const value = valueAt(source, where);
    return value === undefined ? "its default" : describe(value);
  };
  return {
    refuse: (where, expected, got = given(where)) => problems.push({ where, expected, got, code: "conflict" }),
    holds: (where) => valueAt(source, where) !== undefined,
    given,
    level: (level) => levelText(level, units),
    depth: (depth) => depthText(depth, units),
    area: (area) => areaText(area, units),
  };
}

/**
 * Levels and sizes closer than this are one: a sum of feet and inches misses the same sum in one unit by round-off, and
 * a chamber that just fits must not be refused for it [m].
 */
export const ROUND_OFF = 1e-9;

/** Whether `a` is less than `b` by more than round-off; never so where either could not be read. */
export function isBelow(a: number, b: number): boolean {
  return a < b - ROUND_OFF;
}

/** Follows a path of plain keys and indices, `chamberBank.chambers[0].height`, through the parsed file. */
function valueAt(source: unknown, where: string): unknown {
  let value = source;
  for (const key of where.split(/[.[\]]+/).filter((part) => part !== "")) {
    if (typeof value !== "object" || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<string, unknown>)[key];
  }
  return value;
}
