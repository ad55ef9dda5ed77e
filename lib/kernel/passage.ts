import { Body } from "./body";

/** A passage between two bodies, or out of the works: `to` is then the outside, whose level is below everything. */
@unmanaged export class Passage {
  from: Body;
  to: Body;
  /** the numbers of its law */
  row: usize;
  /** its coupling in the step's matrix, and whether it leads from the earlier body to the later */
  link: Link;
  forward: i32;
  /** flow [m3/s] and its slopes with the levels at both ends, or with that of the groundwater for `byTo` [m2/s] */
  flow: f64;
  byFrom: f64;
  byTo: f64;
  /** at the step's start: flow, and its slopes with the volumes at both ends and with time */
  startFlow: f64;
  startByFrom: f64;
  startByTo: f64;
  startByTime: f64;
  /** and that with the groundwater [m2/s] */
  startByGround: f64;
  /** weighted sum of its flow over the stages, and what it brought during the trial step [m3] */
  sum: f64;
  volume: f64;
  /** what it has brought forward, and back [m3] */
  forth: f64;
  back: f64;

  @inline get after(): Passage { return changetype<Passage>(changetype<usize>(this) + offsetof<Passage>()); }
}

/** A coupling of two bodies in df/dV and in the factors of the step's matrix; `upper` lies in the row of the earlier body. */
@unmanaged export class Link {
  early: Body;
  late: Body;
  upper: f64;
  lower: f64;
  upperFactor: f64;
  lowerFactor: f64;

  @inline get after(): Link { return changetype<Link>(changetype<usize>(this) + offsetof<Link>()); }

  @inline get before(): Link { return changetype<Link>(changetype<usize>(this) - offsetof<Link>()); }
}

/** weight of the stage whose flows are being summed */
let weight: f64 = 0;

export function setWeight(share: f64): void { weight = share; }

/** Where a law hands over what it found. Slopes that are not asked for cost nothing: the call is inlined and they are dropped. */
@unmanaged export class Found {
  @inline static flow(p: Passage, flow: f64, byFrom: f64, byTo: f64, slopes: bool): void {
    p.flow = flow;
    if (slopes) {
      p.byFrom = byFrom;
      p.byTo = byTo;
    } else {
      p.sum += weight * flow;
    }
    p.from.rate -= flow;
    p.to.rate += flow;
  }

  @inline static rest(p: Passage, slopes: bool): void {
    p.flow = 0;
    if (slopes) {
      p.byFrom = 0;
      p.byTo = 0;
    }
  }
}
