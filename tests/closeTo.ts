import { expect } from "vitest";

/** How far a value may be from what is expected, and why that is the right distance. */
export interface Tolerance {
  /** share of the expected value's size */
  readonly relative?: number;
  /** in the unit of the value */
  readonly absolute?: number;
  /** where the distance comes from: digits of the source, the method's own error, round-off */
  readonly because: string;
}

/** What is wrong with a value, as one line; null where it is close enough. NaN is never close. */
export function miss(value: number, expected: number, tolerance: Tolerance): string | null {
  const allowed = (tolerance.absolute ?? 0) + (tolerance.relative ?? 0) * Math.abs(expected);
  const off = Math.abs(value - expected);
  if (value === expected || off <= allowed) return null;
  return `expected ${expected}, got ${value}: off by ${off}, allowed ${allowed} (${tolerance.because})`;
}

/** Fails unless the value is within absolute + relative |expected| of what is expected. */
export function expectClose(value: number, expected: number, tolerance: Tolerance, what = "value"): void {
  expectAllClose([{ what, value, expected }], tolerance);
}

/** The same for many values at once: a failure names every one that is off. */
export function expectAllClose(
  values: readonly { readonly what: string; readonly value: number; readonly expected: number }[], tolerance: Tolerance,
): void {
  expect(values.flatMap(({ what, value, expected }) => {
    const wrong = miss(value, expected, tolerance);
    return wrong === null ? [] : [`${what}: ${wrong}`];
  })).toEqual([]);
}
