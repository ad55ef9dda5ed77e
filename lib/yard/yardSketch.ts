import type { UnitSystem } from "../text/format.ts";
import { quantity } from "../text/quantity.ts";
import type { WorksLevels } from "./feasibleLevels.ts";

/** What can be drawn of a yard so far, in SI; everything may be missing. */
export interface YardSketch {
  readonly units: UnitSystem;
  /** levels of the points that were read, by name [m] */
  readonly levels: ReadonlyMap<string, number>;
  readonly distances: Readonly<Partial<Record<"houseToPit" | "boxToPit" | "pitToLid" | "lidToLowPoint", number>>>;
  /** places by the tape; null without */
  readonly places: ReadonlyMap<string, readonly [x: number, y: number]> | null;
  /** rectangles of roof, each with its notch [m] */
  readonly roof: readonly {
    readonly length: number;
    readonly width: number;
    readonly notchLength: number;
    readonly notchWidth: number;
  }[];
  /** free ground for the pit [m]; null if not given */
  readonly room: { readonly length: number; readonly width: number } | null;
  /** of the proposal, where there is one */
  readonly works: {
    readonly levels: WorksLevels;
    readonly pitLength: number;
    readonly pitWidth: number;
    readonly chambers: number;
    readonly trenchLength: number;
  } | null;
  /** level of the groundwater [m]; null: not known or far below */
  readonly groundwater: number | null;
}

/**
 * What is known so far as a sketch, from the texts of a survey; what cannot be read yet is left out.
 *
 * @param survey  the survey's texts, any of them missing
 */
export function sketchOf(survey: Readonly<Record<string, unknown>>, units: UnitSystem): YardSketch {
  const length = (text: unknown): number | null => {
    try {
      return quantity(text, "length", "it");
    } catch {
      return null;
    }
  };
  const entries = (given: unknown): [string, unknown][] => Object.entries((given ?? {}) as Readonly<Record<string, unknown>>);
  const levels = new Map<string, number>([["benchmark", length(survey["benchmark"]) ?? 0]]);
  for (const sights of (survey["setUps"] ?? []) as [string, string][][]) {
    const from = sights.find(([point]) => levels.has(point));
    const height = from === undefined ? null : levels.get(from[0])! + (length(from[1]) ?? NaN);
    if (height === null || Number.isNaN(height)) continue;
    for (const [point, reading] of sights) {
      const read = length(reading);
      if (read !== null && !levels.has(point)) levels.set(point, height - read);
    }
  }
  const distances = Object.fromEntries(
    entries(survey["distances"]).flatMap(([key, text]) => {
      const value = length(text);
      return value === null ? [] : [[key, value]];
    }),
  );
  const roof = ((survey["roof"] ?? []) as Readonly<Record<string, unknown>>[]).map((piece) => ({
    length: length(piece["length"]) ?? 0,
    width: length(piece["width"]) ?? 0,
    notchLength: length(piece["notchLength"]) ?? 0,
    notchWidth: length(piece["notchWidth"]) ?? 0,
  }));
  const tape = survey["tape"] as
    | { readonly corners: string; readonly points: readonly { readonly point: string; readonly fromA: string; readonly fromB: string }[] }
    | undefined;
  const c = tape === undefined ? null : length(tape.corners);
  const places =
    c === null
      ? null
      : new Map<string, readonly [number, number]>([
          ["A", [0, 0]],
          ["B", [c, 0]],
          ...tape!.points.map(({ point, fromA, fromB }): [string, readonly [number, number]] => {
            const [a, b] = [length(fromA) ?? 0, length(fromB) ?? 0];
            const x = (a * a - b * b + c * c) / (2 * c);
            return [point, [x, Math.sqrt(Math.max(0, a * a - x * x))]];
          }),
        ]);
  const sides = survey["room"] as { readonly length?: unknown; readonly width?: unknown } | undefined;
  const [long, wide] = [length(sides?.length), length(sides?.width)];
  const room = long === null || wide === null ? null : { length: Math.max(long, wide), width: Math.min(long, wide) };
  const taped = (from: string, to: string): number | undefined => {
    const [a, b] = [places?.get(from), places?.get(to)];
    return a === undefined || b === undefined ? undefined : Math.hypot(a[0] - b[0], a[1] - b[1]);
  };
  const ways = { boxToPit: taped("box", "pit"), pitToLid: taped("pit", "lid"), houseToPit: places?.get("pit")?.[1] };
  const known = Object.fromEntries(Object.entries(ways).flatMap(([key, way]) => (way === undefined ? [] : [[key, way]])));
  return { units, levels, distances: { ...known, ...distances }, places, room, roof, works: null, groundwater: null };
}
