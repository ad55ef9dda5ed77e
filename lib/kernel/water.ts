import { Body } from "./body";
import { Cover, Emitter, Grate, HollowSeepage, Pipe, Seepage, SharedWeir, Slits, SlopedWeir, Stone, WeepHole, Weir } from "./laws";
import { Found, setWeight } from "./passage";
import {
  bodies, bodiesEnd, COVER, endOf, GRATE, HOLLOW_SEEPAGE, lidOpen, links, linksEnd, modes, modesEnd, moundBody, moundPassage, mounds, outside,
  passageAt, passages, passagesEnd, perArea, PIPE, SEEPAGE, setLid, SHARED_WEIR, SLITS, SLOPED_WEIR, STONE, WEEP_HOLE, WEIR,
} from "./works";

// The water as differential equations (model, sections 1 to 3):
//
//   V' = inflow(t) + sum of Q over passages into the body - sum of Q over passages out of it,     Q = law(Ha, Hb),  H = H(V)
//   y_k' = bank's seepage / plan area - y_k/T_k,     G of the bank = its groundwater level + sum of c_k y_k
//
// Inflow and groundwater are straight lines in time within a segment.

/** f at the values `at`, `since` the segment's start [s]; adds `weight` times all flows to the sums of the step. */
export function rates(since: f64, weight: f64): void {
  setWeight(weight);
  const awake = Water.levels(since, false);
  for (let b = bodies; b != bodiesEnd; b = b.after) b.inflowSum += weight * b.inflow;
  Water.flows(awake, false);
  if (mounds) moundRates();
}

/** The same with the slopes of all flows and levels, and without adding to any sum. */
export function ratesWithSlopes(since: f64): void {
  Water.levels(since, true);
  Water.flows(true, true);
  if (mounds) moundRates();
}

@unmanaged class Water {
  /** Levels, groundwater and inflow of all bodies, the inflow being the first part of their rates; true where a body is awake. */
  @inline static levels(since: f64, slopes: bool): bool {
    let awake = false;
    for (let b = bodies; b != bodiesEnd; b = b.after) {
      b.setLevel(slopes);
      if (b.level >= b.wakes) awake = true;
      b.groundwater = b.groundwaterStart + b.groundwaterSlope * since;
      const q = b.inflowStart + b.inflowSlope * since, isFading = q < 0 && b.at < b.film;
      b.inflow = isFading ? q * b.at / b.film : q;
      if (slopes) b.fading = isFading ? q / b.film : 0;
      b.rate = b.inflow;
    }
    if (mounds) for (let m = modes; m != modesEnd; m = m.after) moundBody.groundwater += m.share * m.at;
    return awake;
  }

  /** All laws, in their order. While no body is awake nothing flows over edges. */
  @inline static flows(awake: bool, slopes: bool): void {
    let p = passages;
    for (let end = endOf(SEEPAGE); p != end; p = p.after) changetype<Seepage>(p.row).flow(p, slopes);
    for (let end = endOf(HOLLOW_SEEPAGE); p != end; p = p.after) changetype<HollowSeepage>(p.row).flow(p, slopes);
    for (let end = endOf(PIPE); p != end; p = p.after) changetype<Pipe>(p.row).flow(p, slopes);
    for (let end = endOf(SLITS); p != end; p = p.after) changetype<Slits>(p.row).flow(p, slopes);
    for (let end = endOf(STONE); p != end; p = p.after) changetype<Stone>(p.row).flow(p, slopes);
    if (!awake) return;
    for (let end = endOf(WEIR); p != end; p = p.after) changetype<Weir>(p.row).flow(p, slopes);
    for (let end = endOf(SHARED_WEIR); p != end; p = p.after) changetype<SharedWeir>(p.row).flow(p, slopes);
    for (let end = endOf(SLOPED_WEIR); p != end; p = p.after) changetype<SlopedWeir>(p.row).flow(p, slopes);
    for (let end = endOf(COVER); p != end; p = p.after) changetype<Cover>(p.row).flow(p, slopes);
    for (let end = endOf(GRATE); p != end; p = p.after) changetype<Grate>(p.row).flow(p, slopes);
    for (let end = endOf(WEEP_HOLE); p != end; p = p.after) changetype<WeepHole>(p.row).flow(p, slopes);
    // the emitter, last of all
    for (; p != passagesEnd; p = p.after) if (lidOpen) changetype<Emitter>(p.row).flow(p, slopes); else Found.rest(p, slopes);
  }
}

function moundRates(): void {
  const recharge = moundPassage.flow * perArea;
  for (let m = modes; m != modesEnd; m = m.after) m.rate = recharge - m.at / m.timeConstant;
}

/** Takes over f, df/dy, df/dt and y'' = df/dy f + df/dt from what `ratesWithSlopes` found at the start of a step. */
export function linearise(): void {
  for (let l = links; l != linksEnd; l = l.after) {
    l.upper = 0;
    l.lower = 0;
  }
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    b.weigh();
    b.startInflow = b.inflow;
    b.startFading = b.fading;
    // where a pump fades the slope in time fades with the volume; that small part is left to the error control
    b.startInflowSlope = b.fading == 0 ? b.inflowSlope : 0;
    b.own = b.fading;
    b.timeSlope = b.startInflowSlope;
    b.bend = b.startInflowSlope + b.fading * b.startRate;
  }
  for (let p = passages; p != passagesEnd; p = p.after) {
    const a = p.from, b = p.to, q = p.flow;
    const byFrom = p.byFrom * a.levelSlope;
    let byTo: f64 = 0, byTime: f64 = 0;
    a.own -= byFrom;
    if (b == outside) {
      byTime = p.byTo * a.groundwaterSlope;
      a.timeSlope -= byTime;
    } else {
      byTo = p.byTo * b.levelSlope;
      b.own += byTo;
      if (p.forward) {
        p.link.upper -= byTo;
        p.link.lower += byFrom;
      } else {
        p.link.lower -= byTo;
        p.link.upper += byFrom;
      }
    }
    const change = byFrom * a.startRate + byTo * b.startRate + byTime;
    a.bend -= change;
    b.bend += change;
    p.startFlow = q;
    p.startByFrom = byFrom;
    p.startByTo = byTo;
    p.startByTime = byTime;
    p.startByGround = p.byTo;
  }
  for (let m = modes; m != modesEnd; m = m.after) m.timeSlope = moundPassage.startByTime * perArea;
}

/** One passage by itself: its flow and slopes with the lid open, for a level at its one end and a level or groundwater at the other. */
export function lookAtPassage(i: i32, Ha: f64, Hb: f64): void {
  const p = passageAt(i);
  p.from.level = Ha;
  p.from.groundwater = Hb;
  if (p.to != outside) p.to.level = Hb;
  setLid(true);
  Water.flows(true, true);
  setLid(false);
}
