import { Body, Mode, State } from "./body";
import { Emitter } from "./laws";
import { Passage } from "./passage";
import { trial } from "./rodas4p2";
import { linearise, ratesWithSlopes } from "./water";
import {
  bodies, closesAtHead, emitter, hasEmitter, lidOpen, modes, opensAtHead, passages, passagesEnd, setLid, states, statesEnd,
} from "./works";

// The march through time (model, section 4): segments in which all that drives the works is a straight line, steps of a length that the
// error control chooses, the lid. `march` can be called again and again; it returns when its segments are done or there is
// no more room for what it tells.

/** What `march` returns with. */
const DONE: i32 = 0;
const NO_ROOM: i32 = 1;
const NO_STEP: i32 = 2;
const NO_END: i32 = 3;
const NO_END_IN_ALL: i32 = 4;

/** A segment: [from, until), whether the lid is held shut in it; behind it a `Drive` for every body. */
@unmanaged class Segment {
  from: f64;
  until: f64;
  held: f64;

  @inline get drives(): Drive { return changetype<Drive>(changetype<usize>(this) + offsetof<Segment>()); }
}

/** The straight lines of a body in a segment: inflow [m3/s] and groundwater [m] at its start, and their slopes. */
@unmanaged class Drive {
  inflow: f64;
  inflowSlope: f64;
  groundwater: f64;
  groundwaterSlope: f64;

  @inline get after(): Drive { return changetype<Drive>(changetype<usize>(this) + offsetof<Drive>()); }
}

/** A firing of the emitter that has ended: [s], [m3], [m3/s]. */
@unmanaged class Firing {
  start: f64;
  end: f64;
  volume: f64;
  peakFlow: f64;
}

/** error allowed in a step, relative to |value| + scale */
let tolerance: f64 = 0;
export let time: f64 = 0;
let from: f64 = 0;
let until: f64 = 0;
/** the step to be tried next, the one just taken, and the last that the error control chose freely with the root of its error */
export let wish: f64 = 0;
let taken: f64 = 0;
let freeLength: f64 = 0;
let freeRoot: f64 = 1;
/** trials since the last corner or event */
let trials: i32 = 0;
/** most trial steps of the run */
let mostInAll: f64 = Infinity;
/** whether the equations have changed since the last step */
let isFresh: bool = true;

export let steps: i32 = 0;
export let rejections: i32 = 0;
export let evaluations: i32 = 0;

// ---- segments and record: addresses in memory, set by the TypeScript side

let segment: usize = 0;
let segmentsLeft: i32 = 0;
let inSegment: bool = false;
let recordAt: usize = 0;
let record: usize = 0;
let rowRoom: i32 = 0;
export let rows: i32 = 0;
let firingRecord: usize = 0;
let firingRoom: i32 = 0;
export let firings: i32 = 0;

/** Room for rows of the record, none where no record is wanted, and for firings. */
export function setRoom(rowsAt: usize, rowCount: i32, firingsAt: usize, firingCount: i32): void {
  recordAt = rowsAt;
  rowRoom = rowCount;
  firingRecord = firingsAt;
  firingRoom = firingCount;
}

/** Begins a run at a time, from the values that the states have; sums, peaks and counters begin at 0. A lid that stands open fires. */
export function start(at: f64, allowed: f64, firstStep: f64, isOpen: bool, most: f64): void {
  time = at;
  tolerance = allowed;
  mostInAll = most;
  wish = firstStep;
  freeLength = 0;
  isFresh = true;
  segmentsLeft = 0;
  inSegment = false;
  rows = 0;
  firings = 0;
  steps = 0;
  rejections = 0;
  evaluations = 0;
  for (let b = bodies; b != changetype<Body>(modes); b = b.after) {
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
  setLid(isOpen);
  lidHead = Infinity;
  restsUntil = isOpen ? at + LID_REST : -Infinity;
  firingStart = at;
  firingBefore = 0;
  topHead = -Infinity;
  firingPeak = 0;
}

/** The highest volumes are looked for from now on. */
export function resetPeaks(): void {
  for (let b = bodies; b != changetype<Body>(modes); b = b.after) {
    b.top = b.value;
    b.topTime = time;
  }
}

/** Hands over the next segments; those before are done. */
export function drive(first: usize, count: i32): void {
  segment = first;
  segmentsLeft = count;
  inSegment = false;
}

/** Steps on to the end of the last segment. After NO_ROOM the record and firings are to be read, and `march` called again. */
export function march(): i32 {
  record = recordAt;
  rows = 0;
  firings = 0;
  while (segmentsLeft > 0) {
    if (!inSegment) enter(changetype<Segment>(segment));
    while (time < until) {
      if (rows == rowRoom && rowRoom > 0 || firings + 1 >= firingRoom) return NO_ROOM;
      const stop = rests() ? min<f64>(until, restsUntil) : until;
      const code = advance(stop);
      if (code != DONE) return code;
      if (time >= stop && time < until) atRestEnd();
    }
    inSegment = false;
    segmentsLeft--;
    let drive = changetype<Segment>(segment).drives;
    for (let b = bodies; b != changetype<Body>(modes); b = b.after) drive = drive.after;
    segment = changetype<usize>(drive);
  }
  return DONE;
}

/** The flows at the values that the states have, at a time within a segment; for looking at a state between two runs. */
export function look(first: usize, at: f64): void {
  const segment = changetype<Segment>(first);
  setLines(segment);
  time = at;
  begin();
}

function enter(segment: Segment): void {
  inSegment = true;
  until = segment.until;
  setLines(segment);
  begin();
  // a bend of the inflow starts a transient whose error grows as bend x h^2: do not try what can only be refused
  for (let b = bodies; b != changetype<Body>(modes); b = b.after) {
    b.weigh();
    if (b.inflowBend > 0) wish = min<f64>(wish, sqrt<f64>(tolerance * b.scale / (BEND_SHARE * b.inflowBend)));
  }
  if (!hasEmitter) return;
  if (lidOpen) raisePeak(headNow());
  atCorner(segment.held != 0);
}

/** The straight lines of a segment. */
function setLines(segment: Segment): void {
  from = segment.from;
  let drive = segment.drives;
  for (let b = bodies; b != changetype<Body>(modes); b = b.after, drive = drive.after) {
    b.inflowBend = Math.abs(drive.inflowSlope - b.inflowSlope);
    b.inflowStart = drive.inflow;
    b.inflowSlope = drive.inflowSlope;
    b.groundwaterStart = drive.groundwater;
    b.groundwaterSlope = drive.groundwaterSlope;
  }
}

/** share of bend x h^2 that shows as error; found by trial on the reference runs, where it saves one refusal in three */
const BEND_SHARE: f64 = 0.003;

/** The equations are others from here on. */
function begin(): void {
  isFresh = true;
  trials = 0;
  freeLength = 0;
  for (let s = states(); s != statesEnd(); s = s.next) s.at = s.value;
  ratesWithSlopes(time - from);
  evaluations++;
  for (let s = states(); s != statesEnd(); s = s.next) s.startRate = s.rate;
}

/** One step, which ends at `stop` at the latest, or where the lid moves. */
function advance(stop: f64): i32 {
  if (isFresh) eventAtStart = eventNow();
  isFresh = false;
  lookAround();
  linearise();
  const code = acceptedStep(stop);
  if (code > HIT) return code;
  const reached = time + taken;
  time = stop - reached <= 1e-12 * Math.abs(stop) ? stop : reached;
  steps++;
  for (let p = passages; p != passagesEnd; p = p.after) bookFlow(p);
  for (let b = bodies; b != changetype<Body>(modes); b = b.after) {
    b.enteredAll += b.entered;
    lookForTop(b);
  }
  if (rowRoom > 0) tell();
  if (lidOpen) lookAtFiring();
  for (let s = states(); s != statesEnd(); s = s.next) {
    s.value = s.end;
    s.startRate = s.endRate;
  }
  eventAtStart = eventAtEnd;
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
const MOST_TRIALS: i32 = 20000;
/**
 * Trials without a corner or event after which ten times less error is let pass, three times at most. Over a kink of a law or of a narrow
 * body's storage a state can swing about its rest by just what the error control lets pass, for ever; finer steps bring it to rest.
 */
const PATIENCE: i32 = 1000;
/** how often one step is cut at corners it did not see coming */
const MOST_CUTS: i32 = 3;
/** a corner counts as passed where less than this share of the step lies before it, and as reached from that share on */
const SHORTEST_CUT: f64 = 1e-2;
const LONGEST_CUT: f64 = 0.98;
/** what `acceptedStep` returns besides where it ends in the event */
const HIT: i32 = 1;

/** Tries until a step is good. */
function acceptedStep(stop: f64): i32 {
  const corner = timeToCorner();
  let longest = corner, cuts = 0, refusedLength: f64 = 0, refusedError: f64 = 0;
  while (++trials <= MOST_TRIALS) {
    if (<f64>(steps + rejections) > mostInAll) return NO_END_IN_ALL;
    const rest = stop - time, isLast = wish >= rest * (1.0 - 1e-9);
    const h = min<f64>(longest, isLast ? rest : min<f64>(wish, rest > 2.0 * wish ? rest : 0.5 * rest));
    if (!(h > SHORTEST * max<f64>(1, Math.abs(time)))) return NO_STEP;
    const error = attempt(h) / (trials < PATIENCE ? tolerance : tolerance * Math.pow(0.1, min<f64>(3, <f64>(trials / PATIENCE)))), share = cuts < MOST_CUTS ? cornerInside() : 1;
    // the dense output of a trial that is no good says nothing of its first moments
    if (share < LONGEST_CUT && (error <= 1 || share > SHORTEST_CUT)) {
      cuts++;
      rejections++;
      longest = max<f64>(share, 0.01 * SHORTEST_CUT) * h;
      continue;
    }
    if (error <= 1) {
      const root = rootOfOrder(max<f64>(error, 1e-8)), next = h * growth(root, h, refusedLength > 0), u = firstCrossing();
      if (u <= 1) {
        landOnEvent(h, u);
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

function attempt(h: f64): f64 {
  evaluations += 6;
  return trial(time - from, h);
}

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

// ---- corners: volumes at which geometry or the law of a passage bends. On one the method loses its order, and its error estimate
// can miss what happens there: of a body that falls back to its rim it can miss all, since beneath it nothing flows

/** how far behind a corner a step aims to end, in units of the scale */
const BEHIND: f64 = 1e-5;
/** share of the step within which a corner ahead counts as passed */
const NEAREST: f64 = 1e-4;
/** by how much of its length a step reaches over the corner it is meant to end at, lest it fall short of it again and again */
const OVERSHOOT: f64 = 0.003;

/** Keeps for each body the corners next above and next below its start. */
function lookAround(): void {
  for (let b = bodies; b != changetype<Body>(modes); b = b.after) {
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

/** The earliest time in which a body crosses its next corner, from y' and y''; Infinity where none is in reach. */
function timeToCorner(): f64 {
  let first: f64 = Infinity;
  for (let b = bodies; b != changetype<Body>(modes); b = b.after) {
    const rate = b.startRate, behind = BEHIND * b.scale, way = (rate > 0 ? b.above + behind : b.below - behind) - b.value;
    if (!(Math.abs(way) < Math.abs(rate) * 3.0 * wish)) continue;
    const square = rate * rate + 2.0 * b.bend * way;
    if (square < 0) continue;
    const t = 2.0 * way / (rate + (rate > 0 ? 1.0 : -1.0) * sqrt<f64>(square));
    if (t > NEAREST * wish && t < first) first = t;
  }
  return first * (1.0 + OVERSHOOT);
}

/** Where in the trial step, as a share of it, a body is first just behind a corner; 1 where none is passed. */
function cornerInside(): f64 {
  let first: f64 = 1;
  for (let b = bodies; b != changetype<Body>(modes); b = b.after) {
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

// ---- the lid: it opens when the head over the sill rises to one height and closes when it falls to a lower one

/** time in which the lid does not move again [s] */
const LID_REST: f64 = 1;
/** how far from its event a step may end [s] */
const LANDED: f64 = 1e-3;
const NEVER: f64 = 2;
/** a step that ends this far below the highest head so far has no higher one inside [m] */
const NEAR_TOP: f64 = 0.01;

/** head at which the lid moves next; Infinity while it rests or is held shut */
let lidHead: f64 = Infinity;
let isHeld: bool = false;
let restsUntil: f64 = -Infinity;
/** how far past its threshold the head is, negative before it, at the ends of the step */
let eventAtStart: f64 = -1;
let eventAtEnd: f64 = -1;
/** of the firing under way */
export let firingStart: f64 = 0;
let firingBefore: f64 = 0;
export let firingPeak: f64 = 0;
let topHead: f64 = 0;

export function firingVolume(): f64 { return emitter.forth - firingBefore; }

function rests(): bool { return restsUntil > time; }

function headNow(): f64 { return changetype<Emitter>(emitter.row).headOf(emitter.from.level, emitter.to.level); }

function headAt(u: f64): f64 {
  const from = emitter.from, to = emitter.to;
  return changetype<Emitter>(emitter.row).headOf(from.levelOf(from.within(u)), changetype<usize>(to) < changetype<usize>(modes) ? to.levelOf(to.within(u)) : -Infinity);
}

function eventOf(head: f64): f64 { return lidOpen ? lidHead - head : head - lidHead; }

function eventNow(): f64 { return lidHead == Infinity ? -1 : eventOf(headNow()); }

/** At a corner of the run the lid may be shut or set free, and at the start it may open. */
function atCorner(held: bool): void {
  isHeld = held;
  if (held && lidOpen) moveLid();
  else watchLid();
}

function atRestEnd(): void {
  begin();
  watchLid();
}

/** Looks for the next move of the lid, and makes it where it is due already. */
function watchLid(): void {
  lidHead = Infinity;
  if (isHeld || rests()) return;
  lidHead = lidOpen ? closesAtHead : opensAtHead;
  if (eventNow() >= 0) moveLid();
}

function moveLid(): void {
  setLid(!lidOpen);
  restsUntil = time + LID_REST;
  lidHead = Infinity;
  if (lidOpen) beginFiring(); else endFiring();
  begin();
}

function beginFiring(): void {
  firingStart = time;
  firingBefore = emitter.forth;
  topHead = -Infinity;
  firingPeak = 0;
  raisePeak(headNow());
}

function endFiring(): void {
  const firing = changetype<Firing>(firingRecord + <usize>firings * offsetof<Firing>());
  firing.start = firingStart;
  firing.end = time;
  firing.volume = firingVolume();
  firing.peakFlow = firingPeak;
  firings++;
}

function lookAtFiring(): void {
  const last = headNow();
  raisePeak(last);
  if (last < topHead - NEAR_TOP) return;
  for (let quarter = 1; quarter < 4; quarter++) raisePeak(headAt(0.25 * <f64>quarter));
}

/** The flow rises with the head, so only a head above the highest so far needs the law. */
function raisePeak(head: f64): void {
  if (head <= topHead) return;
  topHead = head;
  firingPeak = changetype<Emitter>(emitter.row).flowAt(head);
}

function eventAt(u: f64): f64 { return eventOf(headAt(u)); }

/**
 * Where in the trial step, as a share of it, the lid's event first comes to pass. Looks at the ends, at the middle, and, where these
 * come near, at the quarters and at the top of the parabola through the highest, so that a level that rises over the threshold
 * and falls again within one step is seen.
 */
function firstCrossing(): f64 {
  if (lidHead == Infinity) {
    eventAtEnd = -1;
    return NEVER;
  }
  const first = eventAtStart, last = eventNow(), middle = eventAt(0.5);
  eventAtEnd = last;
  const most = max<f64>(max<f64>(first, middle), last), spread = most - min<f64>(min<f64>(first, middle), last);
  if (most + spread < 0) return NEVER;
  const early = eventAt(0.25), late = eventAt(0.75);
  if (early >= 0) return rootBetween(0, first, 0.25, early);
  if (middle >= 0) return rootBetween(0.25, early, 0.5, middle);
  if (late >= 0) return rootBetween(0.5, middle, 0.75, late);
  if (last >= 0) return rootBetween(0.75, late, 1, last);
  if (max<f64>(first, early) >= max<f64>(max<f64>(middle, late), last)) return crossingAtTop(0, first, early, middle);
  if (middle >= max<f64>(late, last)) return crossingAtTop(0.25, early, middle, late);
  return crossingAtTop(0.5, middle, late, last);
}

/** Looks at the top of the parabola through three values a quarter of the step apart, where it lies between them. */
function crossingAtTop(from: f64, before: f64, at: f64, after: f64): f64 {
  const bend = before - 2.0 * at + after, offset: f64 = bend < 0 ? 0.125 * (before - after) / bend : 0;
  if (Math.abs(offset) > 0.25) return NEVER;
  const u = from + 0.25 + offset, top = eventAt(u);
  if (top < 0) return NEVER;
  return offset > 0 ? rootBetween(from + 0.25, at, u, top) : rootBetween(from, before, u, top);
}

/** Root of a rising crossing: va < 0 <= vb. A secant guess kept inside the bracket, every third a halving. */
function rootBetween(a: f64, va: f64, b: f64, vb: f64): f64 {
  for (let i = 0; i < 100 && b - a > 1e-14; i++) {
    const secant = vb > va ? a - va * (b - a) / (vb - va) : 0.5 * (a + b);
    const guess = i % 3 == 2 ? 0.5 * (a + b) : min<f64>(max<f64>(secant, a + 0.01 * (b - a)), b - 0.01 * (b - a));
    const v = eventAt(guess);
    if (v >= 0) {
      b = guess;
      vb = v;
    } else {
      a = guess;
      va = v;
    }
  }
  return b;
}

/** Repeats the step cut short at the event, so that clock, states and volumes all come from one step, and corrects its length by secants. */
function landOnEvent(h: f64, u: f64): void {
  let length = u * h, lastLength: f64 = 0, lastValue = eventAtStart;
  for (let i = 0; ; i++) {
    attempt(length);
    taken = length;
    const value = eventNow(), slope = (value - lastValue) / (length - lastLength), correction: f64 = slope > 0 ? -value / slope : 0;
    const target = length + correction;
    if (i == 4 || Math.abs(correction) < LANDED || target <= 0 || target > h) return;
    lastLength = length;
    lastValue = value;
    length = target;
  }
}
