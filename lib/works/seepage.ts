import { conductivityAt, conductivityBetween, type SoilProfile } from "../ground/soilProfile.ts";

/** The wetted faces of one body: a floor that may fall, upright sides up to the stone top that follows it. */
export interface SeepageFaces {
  /** floor at its high and at its low end; alike where it is level [m] */
  readonly highFloor: number;
  readonly lowFloor: number;
  /** height of the faces: the stone's depth [m] */
  readonly depth: number;
  readonly length: number;
  readonly width: number;
  /** whether the end faces touch soil (inner ends of segments do not) */
  readonly highEnd: boolean;
  readonly lowEnd: boolean;
  /** share of the floor that is open, 0 where the floor is switched off */
  readonly floorShare: number;
  readonly sides: boolean;
  /** distance over which the head to the groundwater is lost [m] */
  readonly pathLength: number;
}

/**
 * Numbers of `seepageFlows`: [low floor, high floor, 1/path, depth, width, length, floor share, sides per metre, high end,
 * low end, count of layers, where in the row they begin, then per piece of the conductance its level, c0, c1, c2, and a level
 * never reached, then per layer its bottom and conductivity from the top down].
 */
export function seepageRow(faces: SeepageFaces, soil: SoilProfile): number[] {
  const layers = soil.conductivity.flatMap((k, i) => [soil.borders[i] ?? -Infinity, k]);
  const pieces = conductancePieces(faces, soil);
  return [
    faces.lowFloor, faces.highFloor, 1 / faces.pathLength, faces.depth, faces.width, faces.length,
    faces.floorShare, faces.sides ? 2 : 0, faces.sides && faces.highEnd ? 1 : 0, faces.sides && faces.lowEnd ? 1 : 0,
    soil.conductivity.length, HEADER + pieces.length + 1, ...pieces, Infinity, ...layers,
  ];
}

/** Multiplies all conductivities of a row: the layers' and, with them, the conductance's. */
export function scaleSeepage(table: Float64Array, row: number, factor: number): void {
  const layers = row + table[row + 11]!;
  for (let layer = 0; layer < table[row + 10]!; layer++) table[layers + 2 * layer + 1]! *= factor;
  for (let piece = row + HEADER; piece + PIECE < layers; piece += PIECE) {
    for (let c = 1; c < PIECE; c++) table[piece + c]! *= factor;
  }
}

/** Levels at which the conductance of a row has a corner [m]. */
export function conductanceCorners(table: Float64Array, row: number): number[] {
  const layers = row + table[row + 11]!;
  const corners: number[] = [];
  for (let piece = row + HEADER; piece + PIECE < layers; piece += PIECE) corners.push(table[piece]!);
  return corners;
}

/** depth [m] over which a wetted floor comes into play, so that a dry body stays at rest */
const FLOOR_FILM = 1e-3;

const HEADER = 12;
const PIECE = 4;

/**
 * Conductance S(h) from its slope, which is linear between corners:
 *
 *   dS/dh = (w L/fall) (integral of K_floor over floors in (h - d, h))/d + 2 (L/fall) K(h) x stretch of floors in
 *           (h - depth, h) + end faces,      level floors: w L K_floor/d below the film's depth d, and P K(h)
 */
function conductancePieces(faces: SeepageFaces, soil: SoilProfile): number[] {
  const { lowFloor, highFloor, depth } = faces;
  const own = [lowFloor, highFloor].flatMap((floor) => [floor, floor + FLOOR_FILM, floor + depth]);
  const layered = soil.borders.flatMap((border) => [border, border + FLOOR_FILM, border + depth]);
  const corners = [...new Set([...own, ...layered])]
    .filter((level) => level >= lowFloor && level <= highFloor + depth)
    .sort((a, b) => a - b);
  const pieces: number[] = [];
  let sum = 0;
  for (let n = 0; n + 1 < corners.length; n++) {
    const [from, height] = [corners[n]!, corners[n + 1]! - corners[n]!];
    const [early, late] = [conductanceSlope(faces, soil, from + 0.25 * height), conductanceSlope(faces, soil, from + 0.75 * height)];
    const bend = (late - early) / (0.5 * height);
    const slope = early - 0.25 * height * bend;
    pieces.push(from, sum, slope, bend / 2);
    sum += height * (slope + (height * bend) / 2);
  }
  pieces.push(corners[corners.length - 1]!, sum, 0, 0);
  return pieces;
}

function conductanceSlope(faces: SeepageFaces, soil: SoilProfile, h: number): number {
  const { lowFloor, highFloor, depth, length, width, floorShare } = faces;
  const k = conductivityAt(soil, h);
  const endFaces = (faces.highEnd && touches(highFloor, depth, h) ? width : 0) +
    (faces.lowEnd && touches(lowFloor, depth, h) ? width : 0);
  if (highFloor === lowFloor) {
    const floor = h < lowFloor + FLOOR_FILM ? (floorShare * conductivityAt(soil, lowFloor) * width * length) / FLOOR_FILM : 0;
    return floor + (faces.sides ? k * (2 * length + endFaces) : 0);
  }
  const stretch = length / (highFloor - lowFloor);
  const [filmFrom, filmTo] = [Math.max(lowFloor, h - FLOOR_FILM), Math.min(highFloor, h)];
  const film = filmTo > filmFrom ? conductivityBetween(soil, filmFrom, filmTo) : 0;
  const wetFloors = Math.max(0, Math.min(highFloor, h) - Math.max(lowFloor, h - depth));
  const sides = faces.sides ? k * (2 * stretch * wetFloors + endFaces) : 0;
  return (floorShare * width * stretch * film) / FLOOR_FILM + sides;
}

function touches(floor: number, depth: number, level: number): boolean {
  return level > floor && level < floor + depth;
}
