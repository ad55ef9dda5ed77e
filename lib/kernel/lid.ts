import { attempt, begin, time } from "./clock";
import { Emitter } from "./laws";
import { closesAtHead, emitter, lidOpen, opensAtHead, outside, setLid } from "./works";

// The emitter's lid (model, sections 2, 4 and 7): it opens when the head over the sill rises to one height and closes when it falls to a
// lower one. The moment is found on the step's dense output, and the step repeated to end there.

/** A firing that has ended: [s], [m3], [m3/s]. */
@unmanaged class Firing {
  start: f64;
  end: f64;
  volume: f64;
  peakFlow: f64;
}

/** time in which the lid does not move again [s] */
const LID_REST: f64 = 1;
/** how far from its event a step may end [s] */
const LANDED: f64 = 1e-3;
const NEVER: f64 = 2;

/** head at which the lid moves next; Infinity while it rests or is held shut */
let lidHead: f64 = Infinity;
let isHeld: bool = false;
export let restsUntil: f64 = -Infinity;
/** how far past its threshold the head is, negative before it, at the ends of the step */
let eventAtStart: f64 = -1;
let eventAtEnd: f64 = -1;
/** of the firing under way: its start, what the emitter had brought before, its highest head so far and the flow at that */
export let firingStart: f64 = 0;
let firingBefore: f64 = 0;
let topHead: f64 = 0;
export let firingPeak: f64 = 0;

export function firingVolume(): f64 { return emitter.forth - firingBefore; }

/** where firings that have ended are written, and their number */
let firingRecord: usize = 0;
let firingRoom: i32 = 0;
export let firings: i32 = 0;

export function setFiringRoom(at: usize, count: i32): void {
  firingRecord = at;
  firingRoom = count;
}
export function clearFirings(): void { firings = 0; }
/** Whether there is no room for one more and what follows on it at once. */
export function firingsFull(): bool { return firings + 1 >= firingRoom; }

/** Begins a run; a lid that stands open fires. */
export function startLid(isOpen: bool): void {
  setLid(isOpen);
  lidHead = Infinity;
  restsUntil = isOpen ? time + LID_REST : -Infinity;
  firingStart = time;
  firingBefore = 0;
  topHead = -Infinity;
  firingPeak = 0;
}

export function rests(): bool { return restsUntil > time; }

// ---- heads

function headNow(): f64 { return changetype<Emitter>(emitter.row).headOf(emitter.from.level, emitter.to.level); }

function headAt(u: f64): f64 {
  const from = emitter.from, to = emitter.to;
  return changetype<Emitter>(emitter.row).headOf(from.levelOf(from.within(u)), to == outside ? -Infinity : to.levelOf(to.within(u)));
}

function eventOf(head: f64): f64 { return lidOpen ? lidHead - head : head - lidHead; }

function eventNow(): f64 { return lidHead == Infinity ? -1 : eventOf(headNow()); }

function eventAt(u: f64): f64 { return eventOf(headAt(u)); }

/** Sees how far the head is where the equations have changed, and where a step has ended. */
export function lookAtEvent(): void { eventAtStart = eventNow(); }
export function passEvent(): void { eventAtStart = eventAtEnd; }

// ---- moves

/** At a corner of the run the lid may be shut or set free, and at the start it may open. */
export function atCorner(held: bool): void {
  if (lidOpen) raisePeak(headNow());
  isHeld = held;
  if (held && lidOpen) moveLid();
  else watchLid();
}

export function atRestEnd(): void {
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

export function moveLid(): void {
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

/** The greatest flow of a firing may lie inside a step. */
export function lookAtFiring(): void {
  raisePeak(headNow());
  for (let quarter = 1; quarter < 4; quarter++) raisePeak(headAt(0.25 * <f64>quarter));
}

/** The flow rises with the head, so only a head above the highest so far needs the law. */
function raisePeak(head: f64): void {
  if (head <= topHead) return;
  topHead = head;
  firingPeak = changetype<Emitter>(emitter.row).flowAt(head);
}

// ---- the event inside a step

/**
 * Where in the trial step, as a share of it, the lid's event first comes to pass. Looks at the ends, at the middle, and, where these
 * come near, at the quarters and at the top of the parabola through the highest, so that a level that rises over the threshold
 * and falls again within one step is seen.
 */
export function firstCrossing(): f64 {
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

/**
 * Repeats the step cut short at the event, so that clock, states and volumes all come from one step, and corrects its length by secants.
 *
 * @returns  the length of the step that was tried last [s]
 */
export function landOnEvent(h: f64, u: f64): f64 {
  let length = u * h, lastLength: f64 = 0, lastValue = eventAtStart;
  for (let i = 0; i < 5; i++) {
    attempt(length);
    const value = eventNow(), slope = (value - lastValue) / (length - lastLength), correction: f64 = slope > 0 ? -value / slope : 0;
    const target = length + correction;
    if (i == 4 || Math.abs(correction) < LANDED || target <= 0 || target > h) break;
    lastLength = length;
    lastValue = value;
    length = target;
  }
  return length;
}
