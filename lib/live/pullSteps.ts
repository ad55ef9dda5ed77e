import type { UnitSystem } from "../text/format.ts";
import type { QuantityKind } from "../text/writtenQuantity.ts";

/** What can be pulled. */
type PulledKind = Exclude<QuantityKind, "taped" | "area">;

/**
 * The nearest figure a hand would stop at: rain to 0.05 in or 1 mm, levels to 0.05 ft or 1 cm, lengths to half a foot or 10 cm,
 * durations to 5 min, a quarter of an hour or an hour, conductivities to two figures.
 *
 * @param si  in SI
 */
export function snapped(si: number, kind: PulledKind, units: UnitSystem): number {
  if (kind === "conductivity") return twoFigures(si, units);
  const grid = kind === "duration" ? durationGrid(si) : GRID[kind][units];
  return Math.max(kind === "level" ? -Infinity : grid, Math.round(si / grid) * grid);
}

/**
 * A figure some steps on: one to a grid line, a conductivity a tenth more or less; `large` steps are ten of them, for a
 * conductivity twice or half. What lies between two grid lines goes to the next one first.
 *
 * @param steps  whole, of either sign
 */
export function stepped(si: number, kind: PulledKind, units: UnitSystem, steps: number, large: boolean = false): number {
  if (kind === "conductivity") return conductivityStep(si, units, steps, large);
  let value = si;
  for (let i = 0; i < Math.abs(steps) * (large ? 10 : 1); i++) {
    const up = steps > 0;
    // a step down from a coarser stretch of the grid is one of the finer stretch below it
    const grid = kind === "duration" ? durationGrid(up ? value * (1 + 1e-9) : value * (1 - 1e-9)) : GRID[kind][units];
    const lines = value / grid;
    value = grid * (up ? Math.floor(lines + 1e-6) + 1 : Math.ceil(lines - 1e-6) - 1);
  }
  return kind === "level" ? value : Math.max(value, kind === "duration" ? 300 : GRID[kind][units]);
}

const GRID: Readonly<Record<Exclude<PulledKind, "conductivity" | "duration">, Readonly<Record<UnitSystem, number>>>> = Object.freeze({
  rain: Object.freeze({ us: 0.05 * 0.0254, si: 0.001 }),
  level: Object.freeze({ us: 0.05 * 0.3048, si: 0.01 }),
  length: Object.freeze({ us: 0.5 * 0.3048, si: 0.1 }),
});

function durationGrid(duration: number): number {
  return duration < 7200 ? 300 : duration < 6 * 3600 ? 900 : 3600;
}

/** From nothing a conductivity cannot be multiplied: the first step up is the least figure that is written. */
function conductivityStep(si: number, units: UnitSystem, steps: number, large: boolean): number {
  const unit = CONDUCTIVITY[units];
  const least = LEAST[units] * unit;
  let value = si;
  for (let i = 0; i < Math.abs(steps); i++) {
    if (steps > 0) value = value < least ? least : Math.max(twoFigures(value * (large ? 2 : 1.1), units), value + least);
    else value = value <= least ? 0 : Math.max(0, Math.min(twoFigures(value / (large ? 2 : 1.1), units), value - least));
  }
  return value < least / 2 ? 0 : value;
}

const CONDUCTIVITY: Readonly<Record<UnitSystem, number>> = Object.freeze({ us: 0.0254 / 3600, si: 1 / 3.6e6 });
const LEAST: Readonly<Record<UnitSystem, number>> = Object.freeze({ us: 0.001, si: 0.02 });

function twoFigures(si: number, units: UnitSystem): number {
  return Number((si / CONDUCTIVITY[units]).toPrecision(2)) * CONDUCTIVITY[units];
}
