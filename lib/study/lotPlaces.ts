import { describe } from "../text/describe.ts";
import type { Problem } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";

/** Where a lot lies [m]: x to the east, y to the north, on the plane of its table. */
export interface LotPlace {
  readonly x: number;
  readonly y: number;
  /** its outline, ring by ring; empty where the table gives a point */
  readonly rings: readonly (readonly (readonly [number, number])[])[];
}

/** A geometry of GeoJSON, or the two cells of a point. */
export type WrittenGeometry =
  | { readonly kind: "geojson"; readonly geometry: unknown }
  | { readonly kind: "written"; readonly east: WrittenCell; readonly north: WrittenCell; readonly isDegrees: boolean };

interface WrittenCell {
  readonly head: string;
  readonly text: string;
  readonly unit: string | null;
}

/** What is wrong with a place, and the column it is in; null of a geometry. */
export interface PlaceFault {
  readonly head: string | null;
  readonly fault: Omit<Problem, "where">;
}
type Ring = readonly (readonly [number, number])[];
interface Shape {
  readonly rings: readonly Ring[];
  readonly isDegrees: boolean;
}

/**
 * Places of a table on one plane. Longitudes and latitudes in degrees (RFC 7946) are laid on the plane that touches a sphere at their
 * middle: over a town of 20 km that is off by less than a metre in a kilometre, and a street's distances by nothing that matters.
 * Coordinates of GeoJSON beyond 180 and 90 cannot be degrees and are taken for metres, which a note says.
 *
 *   x = R cos(middle latitude) (longitude - middle longitude),  y = R (latitude - middle latitude)
 *
 * @source  equirectangular projection; R = 6 371 008.8 m, the mean radius of the ellipsoid of GRS 80 (Moritz 2000, from memory)
 */
export function onePlane(written: readonly (WrittenGeometry | null)[]): {
  readonly places: readonly (LotPlace | PlaceFault | null)[];
  readonly notes: readonly string[];
} {
  const read = written.map((each) => (each === null ? null : each.kind === "geojson" ? shapeOf(each.geometry) : pointShape(each)));
  const shapes = read.filter((each): each is Shape => each !== null && !("fault" in each));
  const beyond = shapes.some(
    ({ rings, isDegrees }) => isDegrees && rings.some((ring) => ring.some(([x, y]) => Math.abs(x) > 180 || Math.abs(y) > 90)),
  );
  const isDegrees = shapes.length > 0 && shapes.every((shape) => shape.isDegrees) && !beyond;
  const all = shapes.flatMap(({ rings }) => rings.map((ring) => ring[0]!));
  const middle = (at: 0 | 1): number => (all.length === 0 ? 0 : all.reduce((sum, point) => sum + point[at], 0) / all.length);
  const [east, north] = [middle(0), middle(1)];
  const perDegree = (RADIUS * Math.PI) / 180;
  const along = perDegree * Math.cos((north * Math.PI) / 180);
  const metres = ([x, y]: readonly [number, number]): readonly [number, number] =>
    isDegrees ? [along * (x - east), perDegree * (y - north)] : [x, y];
  return {
    places: read.map((each): LotPlace | PlaceFault | null => {
      if (each === null || "fault" in each) return each;
      const rings = each.rings.map((ring) => ring.map(metres));
      const [x, y] = centreOf(rings[0]!);
      return { x, y, rings: rings[0]!.length < 3 ? [] : rings };
    }),
    notes: beyond ? ["The table's coordinates cannot be degrees and are taken for metres."] : [],
  };
}

const RADIUS = 6_371_008.8;

function pointShape({ east, north, isDegrees }: Extract<WrittenGeometry, { kind: "written" }>): Shape | PlaceFault {
  const numbers: number[] = [];
  for (const { head, text, unit } of [east, north]) {
    if (isDegrees) {
      const most = head === north.head ? 90 : 180;
      const value = text === "" ? NaN : Number(text);
      if (!(Math.abs(value) <= most)) return { head, fault: { expected: `degrees, -${most} to ${most}`, got: describe(text) } };
      numbers.push(value);
    } else {
      // a bare number on a plan is metres, as coordinates of surveys are
      const isBare = text !== "" && Number.isFinite(Number(text));
      const reading = readQuantity(isBare ? `${text} ${unit ?? "m"}` : text, "length");
      if (!("value" in reading)) return { head, fault: reading };
      numbers.push(reading.value);
    }
  }
  return { rings: [[[numbers[0]!, numbers[1]!]]], isDegrees };
}

/** The outer rings of a geometry, or its points. */
function shapeOf(geometry: unknown): Shape | PlaceFault {
  const { type, coordinates } = (geometry ?? {}) as { readonly type?: unknown; readonly coordinates?: unknown };
  const rings: unknown =
    type === "Point"
      ? [[coordinates]]
      : type === "LineString" || type === "MultiPoint"
        ? [coordinates]
        : type === "Polygon" || type === "MultiLineString"
          ? coordinates
          : type === "MultiPolygon"
            ? Array.isArray(coordinates)
              ? (coordinates as unknown[]).flat(1)
              : null
            : null;
  const isPoint = (each: unknown): boolean =>
    Array.isArray(each) && each.length >= 2 && Number.isFinite(each[0]) && Number.isFinite(each[1]);
  if (
    !Array.isArray(rings) ||
    rings.length === 0 ||
    !rings.every((ring: unknown) => Array.isArray(ring) && ring.length > 0 && ring.every(isPoint))
  ) {
    return {
      head: null,
      fault: {
        expected: "a geometry of GeoJSON with coordinates: Point, Polygon, MultiPolygon, LineString",
        got: typeof type === "string" ? `${type} that is not whole` : describe(geometry),
        code: "syntax",
      },
    };
  }
  return { rings: (rings as number[][][]).map((ring) => ring.map(([x, y]) => [x!, y!] as const)), isDegrees: true };
}

/** Centroid of a ring's area (the shoelace formula), counted from its first point so that large coordinates lose no digits. */
function centreOf(ring: Ring): readonly [number, number] {
  const [x0, y0] = ring[0]!;
  let [area, x, y] = [0, 0, 0];
  for (let i = 0; i < ring.length; i++) {
    const [ax, ay] = [ring[i]![0] - x0, ring[i]![1] - y0];
    const next = ring[(i + 1) % ring.length]!;
    const [bx, by] = [next[0] - x0, next[1] - y0];
    const cross = ax * by - bx * ay;
    area += cross;
    x += (ax + bx) * cross;
    y += (ay + by) * cross;
  }
  if (Math.abs(area) < 1e-9)
    return [ring.reduce((sum, point) => sum + point[0], 0) / ring.length, ring.reduce((sum, point) => sum + point[1], 0) / ring.length];
  return [x0 + x / (3 * area), y0 + y / (3 * area)];
}
