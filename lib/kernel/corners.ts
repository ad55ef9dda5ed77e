import { Body } from "./body";
import { bodies, bodiesEnd } from "./works";

// Corners: volumes at which geometry or the law of a passage bends. On one the method loses its order, and its error estimate can miss
// what happens there: of a body that falls back to its rim it can miss all, since beneath it nothing flows. So a step ends just behind
// the corner that it sees coming (`timeToCorner`), and is cut at one that it did not (`cornerInside`).

/** how far behind a corner a step aims to end, in units of the scale */
const BEHIND: f64 = 1e-5;
/** share of the step within which a corner ahead counts as passed */
const NEAREST: f64 = 1e-4;
/** by how much of its length a step reaches over the corner it is meant to end at, lest it fall short of it again and again */
const OVERSHOOT: f64 = 0.003;

/** Keeps for each body the corners next above and next below its start. */
export function lookAround(): void {
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    const v = b.value;
    if (v < b.above && v > b.below) continue;
    b.above = Infinity;
    b.below = -Infinity;
    for (let c = b.corners; c != b.cornersEnd; c += 8) {
      const corner = load<f64>(c);
      if (corner < v) b.below = corner;
      if (corner > v && corner < b.above) b.above = corner;
    }
  }
}

/**
 * The earliest time in which a body crosses its next corner, from y' and y''; Infinity where none is in reach of three steps. One nearer
 * than the clock can tell is passed over: the last drops of a hollow that narrows to nothing are gone in a billionth of a second.
 */
export function timeToCorner(step: f64, shortest: f64): f64 {
  let first: f64 = Infinity;
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    const rate = b.startRate, behind = BEHIND * b.scale, way = (rate > 0 ? b.above + behind : b.below - behind) - b.value;
    if (!(Math.abs(way) < Math.abs(rate) * 3.0 * step)) continue;
    const square = rate * rate + 2.0 * b.bend * way;
    if (square < 0) continue;
    const t = 2.0 * way / (rate + (rate > 0 ? 1.0 : -1.0) * sqrt<f64>(square));
    if (t > max<f64>(NEAREST * step, shortest) && t < first) first = t;
  }
  return first * (1.0 + OVERSHOOT);
}

/** Where in the trial step, as a share of it, a body is first just behind a corner; 1 where none is passed. */
export function cornerInside(): f64 {
  let first: f64 = 1;
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    const behind = BEHIND * b.scale;
    if (b.end < b.above + behind && b.end > b.below - behind) continue;
    const rising = b.end > b.value, low = min<f64>(b.value, b.end), high = max<f64>(b.value, b.end);
    for (let c = b.corners; c != b.cornersEnd; c += 8) {
      const corner = load<f64>(c);
      if (corner - behind > low && corner + behind < high) first = passing(b, rising ? corner + behind : corner - behind, rising, first);
    }
  }
  return first;
}

/** Where before `first` a body passes a volume on its way from start to end; else `first`. */
function passing(b: Body, volume: f64, rising: bool, first: f64): f64 {
  if (b.within(first) < volume == rising) return first;
  let low: f64 = 0, high = first;
  for (let i = 0; i < 30; i++) {
    const middle = 0.5 * (low + high);
    if (b.within(middle) < volume == rising) low = middle; else high = middle;
  }
  return high;
}
