import { greatestOf, leastOf } from "../../numerics/extremes.ts";
import type { Axis } from "../figure.ts";

/** A figure on an axis, and where it stands in the axis' own numbers. */
export interface AxisTick {
  readonly at: number;
  readonly text: string;
}

/**
 * The figures of an axis as plotly chooses them: those that are given, else every `dtick` from `tick0`, else a step of 1, 2 or 5
 * times a power of ten that makes `nticks` of them at most.
 */
export function axisTicks({ range, dtick, tick0, nticks, tickvals, ticktext }: Axis): AxisTick[] {
  if (range === undefined) return [];
  const [low, high] = [leastOf(range), greatestOf(range)];
  if (tickvals !== undefined) {
    return tickvals.map((at, i) => ({ at, text: ticktext?.[i] ?? shown(at, 6) })).filter(({ at }) => at >= low && at <= high);
  }
  const step = dtick ?? roundStep((high - low) / Math.max(1, nticks ?? 6));
  if (!(step > 0)) return [];
  const base = tick0 ?? 0;
  const magnitude = Math.floor(Math.log10(step) + 1e-9);
  const decimals = Math.max(0, -magnitude + (Number.isInteger(step / 10 ** magnitude) ? 0 : 2));
  const ticks: AxisTick[] = [];
  const slack = 1e-9 * (high - low);
  for (let i = Math.ceil((low - base - slack) / step); base + i * step <= high + slack; i++) {
    ticks.push({ at: base + i * step, text: shown(base + i * step, Math.min(6, decimals)) });
  }
  return ticks;
}

function roundStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough));
  return power * ([1, 2, 5, 10].find((times) => times * power >= rough * (1 - 1e-9)) ?? 10);
}

function shown(value: number, decimals: number): string {
  const text = String(Number(value.toFixed(decimals)));
  return text.startsWith("-") ? `−${text.slice(1)}` : text;
}
