/** A point of a picture [px], up positive. */
export type Spot = readonly [x: number, y: number];

/** A box of a picture [px], up positive. */
export interface SpotBox {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

/** A label and the spots it may stand at. */
export interface AroundWish {
  readonly width: number;
  readonly height: number;
  /** the label may be centred on one of these, best first */
  readonly on: readonly Spot[];
  /** or stand round one of these, at some distance */
  readonly around: readonly Spot[];
  /** how much it minds to stand far from its spot: 1, or more for what is nothing without it */
  readonly pull: number;
}

/** Where a label stands; `from` is the spot it belongs to where it stands so far from it that a line should join them. */
export interface AroundPlace {
  readonly box: SpotBox;
  readonly from: Spot | null;
}

/**
 * Places for labels on a plan, so that none overlaps another or leaves the panel, as few lines as may be run through one, and each is
 * near what it names. The first given chooses first.
 *
 * @param strokes  lines already drawn, by their two ends
 * @param kept     boxes that no label may stand on, points already drawn
 * @returns        a place a label; null if no place is left
 */
export function placeAround(
  wishes: readonly AroundWish[], panel: { readonly width: number; readonly height: number }, strokes: readonly (readonly [Spot, Spot])[],
  kept: readonly SpotBox[] = [],
): (AroundPlace | null)[] {
  const taken = [...kept];
  return wishes.map((wish) => {
    let best: { readonly place: AroundPlace; readonly cost: number } | null = null;
    for (const { place, cost } of candidates(wish)) {
      if (best !== null && cost >= best.cost) continue;
      if (!isWithin(place.box, panel) || taken.some((other) => meets(place.box, other))) continue;
      const whole = cost + STROKE * strokes.filter((stroke) => runsThrough(stroke, place.box)).length;
      if (best === null || whole < best.cost) best = { place, cost: whole };
    }
    if (best !== null) taken.push(best.place.box);
    return best?.place ?? null;
  });
}

// What a label gives up rather than have a line run through it [px of distance].
const STROKE = 30;
// Air around a label [px].
const AIR = 3;
const DISTANCES = [5, 12, 22, 36, 54, 76, 110];
const DIRECTIONS = 16;
// From here on a line has to join a label and what it names [px].
const JOINED = 20;

function candidates({ width, height, on, around, pull }: AroundWish): { readonly place: AroundPlace; readonly cost: number }[] {
  const centred = on.map((spot, i) => ({ place: { box: boxAt(spot, width, height), from: null }, cost: 2 * i }));
  const beside = around.flatMap((spot, i) => DISTANCES.flatMap((distance) => Array.from({ length: DIRECTIONS }, (_, k) => {
    const angle = (2 * Math.PI * k) / DIRECTIONS;
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    // The box's edge, not its middle, stands at the distance.
    const reach = Math.min(width / 2 / Math.max(Math.abs(cos), 1e-9), height / 2 / Math.max(Math.abs(sin), 1e-9));
    const middle: Spot = [spot[0] + (distance + reach) * cos, spot[1] + (distance + reach) * sin];
    return {
      place: { box: boxAt(middle, width, height), from: distance > JOINED ? spot : null },
      // Beside is read more easily than over or under, and those than aslant.
      cost: pull * distance + 1.5 * i + (k % 4 === 0 ? 0 : 3) + (k % 8 === 0 ? 0 : 1),
    };
  })));
  return [...centred, ...beside];
}

function boxAt([x, y]: Spot, width: number, height: number): SpotBox {
  return { left: x - width / 2, right: x + width / 2, bottom: y - height / 2, top: y + height / 2 };
}

function isWithin({ left, right, bottom, top }: SpotBox, { width, height }: { readonly width: number; readonly height: number }): boolean {
  return left >= 1 && right <= width - 1 && bottom >= 1 && top <= height - 1;
}

function meets(a: SpotBox, b: SpotBox): boolean {
  return a.left < b.right + AIR && b.left < a.right + AIR && a.bottom < b.top + AIR && b.bottom < a.top + AIR;
}

/** Whether a stroke runs through a box: what is left of it when it is cut at the box's four edges (Liang and Barsky, from memory). */
function runsThrough([[x0, y0], [x1, y1]]: readonly [Spot, Spot], { left, right, bottom, top }: SpotBox): boolean {
  let [from, to] = [0, 1];
  for (const [along, room] of [[x0 - x1, x0 - left], [x1 - x0, right - x0], [y0 - y1, y0 - bottom], [y1 - y0, top - y0]] as const) {
    if (along === 0 && room < 0) return false;
    if (along < 0) from = Math.max(from, room / along);
    if (along > 0) to = Math.min(to, room / along);
  }
  return from <= to;
}
