import { trial } from "./rodas4p2";
import { ratesWithSlopes } from "./water";
import { bodies, bodiesEnd, states, statesEnd } from "./works";

// What drives the works (model, section 4): segments of time, in each of which the inflow and the groundwater of every body are straight
// lines and the lid's schedule says one thing.

/** A segment: [from, until), whether the lid is held shut in it; behind it a `Drive` for every body. */
@unmanaged export class Segment {
  from: f64;
  until: f64;
  held: f64;

  @inline get drives(): Drive { return changetype<Drive>(changetype<usize>(this) + offsetof<Segment>()); }

  get after(): Segment {
    let drive = this.drives;
    for (let b = bodies; b != bodiesEnd; b = b.after) drive = drive.after;
    return changetype<Segment>(drive);
  }
}

/** The straight lines of a body in a segment: inflow [m3/s] and groundwater [m] at its start, and their slopes. */
@unmanaged class Drive {
  inflow: f64;
  inflowSlope: f64;
  groundwater: f64;
  groundwaterSlope: f64;

  @inline get after(): Drive { return changetype<Drive>(changetype<usize>(this) + offsetof<Drive>()); }
}

/** the time reached, and the segment it lies in [s] */
export let time: f64 = 0;
let from: f64 = 0;
export let until: f64 = 0;
/** whether the equations have changed since the last step */
export let isFresh: bool = true;
/** how often the flows were worked out */
export let evaluations: i32 = 0;

export function setTime(at: f64): void { time = at; }
export function resetEvaluations(): void { evaluations = 0; }

/** Takes over the straight lines of a segment. */
export function setLines(segment: Segment): void {
  from = segment.from;
  until = segment.until;
  let drive = segment.drives;
  for (let b = bodies; b != bodiesEnd; b = b.after, drive = drive.after) {
    b.inflowBend = Math.abs(drive.inflowSlope - b.inflowSlope);
    b.inflowStart = drive.inflow;
    b.inflowSlope = drive.inflowSlope;
    b.groundwaterStart = drive.groundwater;
    b.groundwaterSlope = drive.groundwaterSlope;
  }
}

/** The equations are others from here on: works out the rates at the time reached. */
export function begin(): void {
  isFresh = true;
  for (let s = states(); s != statesEnd(); s = s.next) s.at = s.value;
  ratesWithSlopes(time - from);
  evaluations++;
  for (let s = states(); s != statesEnd(); s = s.next) s.startRate = s.rate;
}

/** They are known from now on. */
export function begun(): void { isFresh = false; }

/** Tries a step of length h from the time reached; its error relative to |value| + scale. */
export function attempt(h: f64): f64 {
  evaluations += 6;
  return trial(time - from, h);
}
