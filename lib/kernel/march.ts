import { Body } from "./body";
import { attempt, begin, begun, isFresh, resetEvaluations, Segment, setLines, setTime, time, until } from "./clock";
import { cornerInside, lookAround, timeToCorner } from "./corners";
import {
  atCorner, atRestEnd, firingsFull, firstCrossing, landOnEvent, lookAtEvent, lookAtFiring, moveLid, passEvent, rests, restsUntil, setFiringRoom,
  startLid, clearFirings,
} from "./lid";
import { Passage } from "./passage";
import { linearise } from "./water";
import { bodies, bodiesEnd, hasEmitter, lidOpen, passages, passagesEnd, states, statesEnd } from "./works";

// The march through time (model, section 4): steps of a length that the error control chooses, from segment to segment. `march` can be
// called again and again; it returns when its segments are done or there is no more room for what it tells.

/** What `march` returns with. */
const DONE: i32 = 0;
const NO_ROOM: i32 = 1;
const NO_STEP: i32 = 2;
const NO_END: i32 = 3;
const NO_END_IN_ALL: i32 = 4;

/** error allowed in a step, relative to |value| + scale */
let tolerance: f64 = 0;
/** the step to be tried next, the one just taken, and the last that the error control chose freely with the root of its error */
export let wish: f64 = 0;
let taken: f64 = 0;
let freeLength: f64 = 0;
let freeRoot: f64 = 1;
/** trials since the last corner or event */
let trials: i32 = 0;
/** most trial steps of the run */
let mostInAll: f64 = Infinity;

export let steps: i32 = 0;
export let rejections: i32 = 0;

// ---- segments and record: addresses in memory, set by the TypeScript side

let segment: Segment = changetype<Segment>(0);
let segmentsLeft: i32 = 0;
let inSegment: bool = false;
let recordAt: usize = 0;
let record: usize = 0;
let rowRoom: i32 = 0;
export let rows: i32 = 0;

/** Room for rows of the record, none where no record is wanted, and for firings. */
export function setRoom(rowsAt: usize, rowCount: i32, firingsAt: usize, firingCount: i32): void {
  recordAt = rowsAt;
  rowRoom = rowCount;
  setFiringRoom(firingsAt, firingCount);
}

/** Begins a run at a time, from the values that the states have; sums, peaks and counters begin at 0. */
export function start(at: f64, allowed: f64, firstStep: f64, isOpen: bool, most: f64): void {
  setTime(at);
  tolerance = allowed;
  mostInAll = most;
  wish = firstStep;
  segmentsLeft = 0;
  inSegment = false;
  rows = 0;
  steps = 0;
  rejections = 0;
  resetEvaluations();
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    b.enteredAll = 0;
    b.above = -Infinity;
    b.below = Infinity;
    b.inflowSlope = 0;
  }
  for (let p = passages; p != passagesEnd; p = p.after) {
    p.forth = 0;
    p.back = 0;
  }
  resetPeaks();
  startLid(isOpen);
  clearFirings();
}

/** The highest volumes are looked for from now on. */
export function resetPeaks(): void {
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    b.top = b.value;
    b.topTime = time;
  }
}

/** Hands over the next segments; those before are done. */
export function drive(first: usize, count: i32): void {
  segment = changetype<Segment>(first);
  segmentsLeft = count;
  inSegment = false;
}

/** Steps on to the end of the last segment. After NO_ROOM the record and firings are to be read, and `march` called again. */
export function march(): i32 {
  record = recordAt;
  rows = 0;
  clearFirings();
  for (; segmentsLeft > 0; segment = segment.after, segmentsLeft--, inSegment = false) {
    if (!inSegment) enter();
    while (time < until) {
      if (rows == rowRoom && rowRoom > 0 || firingsFull()) return NO_ROOM;
      const stop = rests() ? min<f64>(until, restsUntil) : until;
      const code = advance(stop);
      if (code != DONE) return code;
      if (time >= stop && time < until) atRestEnd();
    }
  }
  return DONE;
}

/** The flows at the values that the states have, at a time within a segment; for looking at a state between two runs. */
export function look(first: usize, at: f64): void {
  setLines(changetype<Segment>(first));
  setTime(at);
  begin();
}

/** share of bend x h^2 that shows as error; found by trial on the reference runs, where it saves one refusal in three */
const BEND_SHARE: f64 = 0.003;

function enter(): void {
  inSegment = true;
  setLines(segment);
  begin();
  // a bend of the inflow starts a transient whose error grows as bend x h^2: do not try what can only be refused
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    b.weigh();
    if (b.inflowBend > 0) wish = min<f64>(wish, sqrt<f64>(tolerance * b.scale / (BEND_SHARE * b.inflowBend)));
  }
  if (hasEmitter) atCorner(segment.held != 0);
}

/** One step, which ends at `stop` at the latest, or where the lid moves. */
function advance(stop: f64): i32 {
  if (isFresh) {
    begun();
    trials = 0;
    freeLength = 0;
    lookAtEvent();
  }
  lookAround();
  linearise();
  const code = acceptedStep(stop);
  if (code > HIT) return code;
  const reached = time + taken;
  setTime(stop - reached <= 1e-12 * Math.abs(stop) ? stop : reached);
  steps++;
  for (let p = passages; p != passagesEnd; p = p.after) bookFlow(p);
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    b.enteredAll += b.entered;
    lookForTop(b);
  }
  if (rowRoom > 0) tell();
  if (lidOpen) lookAtFiring();
  for (let s = states(); s != statesEnd(); s = s.next) {
    s.value = s.end;
    s.startRate = s.endRate;
  }
  passEvent();
  if (code == HIT) moveLid();
  return DONE;
}

/** Books what a passage brought, forward and back; where its flow turned within the step, what flowed before it did as a triangle. */
function bookFlow(p: Passage): void {
  const first = p.startFlow, last = p.flow;
  if (first > 0 == last > 0 || first == 0 || last == 0) {
    if (p.volume > 0) p.forth += p.volume; else p.back -= p.volume;
    return;
  }
  const early = 0.5 * taken * first * first / (first - last), late = p.volume - early;
  p.forth += max<f64>(0, early) + max<f64>(0, late);
  p.back -= min<f64>(0, early) + min<f64>(0, late);
}

/** A row of the record: the time, and the end and dense output of every state. */
function tell(): void {
  let at = record;
  store<f64>(at, time);
  at += 8;
  for (let s = states(); s != statesEnd(); s = s.next, at += 24) {
    store<f64>(at, s.end);
    store<f64>(at, s.dense1, 8);
    store<f64>(at, s.dense2, 16);
  }
  record = at;
  rows++;
}

/** Keeps the highest volume, of the step's end or of a top inside it: y'(u) = c + q u + a u^2. */
function lookForTop(b: Body): void {
  if (b.end > b.top) {
    b.top = b.end;
    b.topTime = time;
  }
  const c = b.end - b.value + b.dense1, q = 2.0 * (b.dense2 - b.dense1), a = -3.0 * b.dense2;
  if (c <= 0 || c + q + a >= 0) return;
  const m = -0.5 * (q + (q < 0 ? -1.0 : 1.0) * sqrt<f64>(q * q - 4.0 * a * c)), root = c / m;
  const u = root > 0 && root < 1 ? root : m / a, inside = b.within(u);
  if (inside <= b.top) return;
  b.top = inside;
  b.topTime = time - (1.0 - u) * taken;
}

// ---- error control

/** share of the time reached below which a step counts as vanished: some fifty roundings of the clock */
const SHORTEST: f64 = 1e-14;
/** most trial steps from one corner or event to the next */
const MOST_TRIALS: i32 = 40000;
/**
 * Trials without a corner or event after which ten times less error is let pass, and again after as many more. Over a kink of a law or of
 * a narrow body's storage a state can swing about its rest by just what the error control lets pass, for ever; finer steps bring it to
 * rest. Not too soon: a slow run of a random site needed 11 000 by itself, and finer steps take more.
 */
const PATIENCE: i32 = 10000;
/** how often one step is cut at corners it did not see coming */
const MOST_CUTS: i32 = 3;
/** a corner counts as passed where less than this share of the step lies before it, and as reached from that share on */
const SHORTEST_CUT: f64 = 1e-2;
const LONGEST_CUT: f64 = 0.98;
/** what `acceptedStep` returns besides where it ends in the event */
const HIT: i32 = 1;

/** Tries until a step is good. */
function acceptedStep(stop: f64): i32 {
  const shortest = SHORTEST * max<f64>(1, Math.abs(time)), corner = timeToCorner(wish, shortest);
  let longest = corner, cuts = 0, refusedLength: f64 = 0, refusedError: f64 = 0;
  while (++trials <= MOST_TRIALS) {
    if (<f64>(steps + rejections) > mostInAll) return NO_END_IN_ALL;
    const rest = stop - time, isLast = wish >= rest * (1.0 - 1e-9);
    const h = min<f64>(longest, isLast ? rest : min<f64>(wish, rest > 2.0 * wish ? rest : 0.5 * rest));
    if (!(h > shortest)) return NO_STEP;
    const error = attempt(h) / allowed(), share = cuts < MOST_CUTS ? cornerInside() : 1;
    // the dense output of a trial that is no good says nothing of its first moments
    if (share < LONGEST_CUT && share * h > shortest && (error <= 1 || share > SHORTEST_CUT)) {
      cuts++;
      rejections++;
      longest = share * h;
      continue;
    }
    if (error <= 1) {
      const root = rootOfOrder(error), u = firstCrossing();
      // a step cut to some roundings of the clock says that the next may be longer, whatever its own trend
      const next = max<f64>(h * growth(root, h, refusedLength > 0), 2.0 * shortest);
      if (u <= 1) {
        taken = landOnEvent(h, u);
        // the equations change: begin again with a share of the step, the error control finds the rest
        wish = min<f64>(next, max<f64>(taken, 0.05 * h));
        return HIT;
      }
      taken = h;
      const isFree = !isLast && h != longest;
      freeLength = isFree ? h : 0;
      freeRoot = root;
      // a step cut short to land where it was meant to says little about the size the next may have
      wish = isFree || cuts > 0 ? next : max<f64>(next, wish);
      return DONE;
    }
    rejections++;
    longest = corner;
    wish = h * shrinkage(error, h, refusedError, refusedLength);
    refusedLength = h;
    refusedError = error;
  }
  return NO_END;
}

/** The error let pass. */
function allowed(): f64 { return trials < PATIENCE ? tolerance : tolerance * Math.pow(0.1, <f64>(trials / PATIENCE)); }

/** The root of the method's order, 4. */
function rootOfOrder(x: f64): f64 { return sqrt<f64>(sqrt<f64>(x)); }

/**
 * By how much to lengthen a step, given the root of its error: by what the error leaves, and by how errors have changed from the
 * step before, whichever is less (Gustafsson 1994; Hairer & Wanner II, sec. IV.8).
 */
function growth(root: f64, h: f64, afterRefusal: bool): f64 {
  const most: f64 = afterRefusal ? 1 : 4, byError = 0.85 / root;
  if (freeLength == 0) return min<f64>(most, byError);
  const trend = h / freeLength * max<f64>(freeRoot, 0.31622776601683794) / root;
  return min<f64>(min<f64>(most, byError), max<f64>(0.3, byError * trend));
}

/**
 * By how much to shorten a refused step. The error of a step over a kink or a fresh transient falls far slower than the method's order
 * promises, so the second refusal in a row goes by the order the first two tell.
 */
function shrinkage(error: f64, h: f64, refusedError: f64, refusedLength: f64): f64 {
  if (!(error < Infinity)) return 0.2;
  const seen: f64 = refusedLength > 0 && refusedError < Infinity ? Math.log(refusedError / error) / Math.log(refusedLength / h) : 4;
  return max<f64>(0.1, min<f64>(0.7, Math.pow(0.5 / error, 1.0 / max<f64>(0.7, min<f64>(4, seen)))));
}
