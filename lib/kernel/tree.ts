import { Body } from "./body";
import { Link } from "./passage";
import {
  bodies, bodiesEnd, bodyAt, indexOf, links, linksEnd, modes, modesEnd, moundBody, moundPassage, mounds, outside, passages, passagesEnd, perArea,
  reserve, setLinks,
} from "./works";

// The linear equations (d I - J) x = r of a step. Bodies are eliminated in their order, which runs down the water's way: on a chain
// or tree that fills in nothing. Water that leaves a body reaches another or is gone, and flows rise with the level they come
// from: the matrix is diagonally dominant by columns and needs no pivoting.

/** A step of the elimination on a graph with cycles: what body `near.early` = `far.early` leaves between the two behind it. */
@unmanaged class Fill {
  near: Link;
  far: Link;
  into: Link;

  @inline get after(): Fill { return changetype<Fill>(changetype<usize>(this) + offsetof<Fill>()); }
}

let fills: Fill = changetype<Fill>(0);
let fillsEnd: Fill = changetype<Fill>(0);
/** whether every body is coupled with the next one only */
let isChain: bool = false;

/** Lays out the links between bodies, those that the elimination fills in included, once all passages are set. */
export function join(): void {
  const n = indexOf(bodiesEnd);
  const size = <usize>n * <usize>n, grid = reserve(size);
  for (let p = passages; p != passagesEnd; p = p.after) if (p.to != outside) store<u8>(grid + cell(p.from, p.to, n), 1);
  isChain = true;
  for (let i = 0; i < n; i++) for (let j = i + 2; j < n; j++) if (load<u8>(grid + <usize>(i * n + j)) != 0) isChain = false;
  // on a chain every body is linked with the next, be it by nothing
  if (isChain) for (let i = 0; i + 1 < n; i++) store<u8>(grid + <usize>(i * n + i + 1), 1);
  // symbolic elimination: two bodies behind one that is eliminated become coupled
  let linkCount: usize = 0, fillCount: usize = 0;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      if (load<u8>(grid + <usize>(i * n + j)) == 0) continue;
      linkCount++;
      for (let k = j + 1; k < n; k++) {
        if (load<u8>(grid + <usize>(i * n + k)) == 0) continue;
        fillCount++;
        store<u8>(grid + <usize>(j * n + k), 1);
      }
    }
  }
  const first = changetype<Link>(reserve(linkCount * offsetof<Link>())), at = reserve(size << 2);
  let link = first;
  for (let i = 0; i < n; i++) {
    const early = bodyAt(i);
    early.links = changetype<usize>(link);
    for (let j = i + 1; j < n; j++) {
      if (load<u8>(grid + <usize>(i * n + j)) == 0) continue;
      link.early = early;
      link.late = bodyAt(j);
      store<usize>(at + (<usize>(i * n + j) << 2), changetype<usize>(link));
      link = link.after;
    }
    early.linksEnd = changetype<usize>(link);
  }
  setLinks(first, link);
  fills = changetype<Fill>(reserve(fillCount * offsetof<Fill>()));
  let fill = fills;
  for (let near = first; near != link; near = near.after) {
    for (let far = near.after; changetype<usize>(far) < near.early.linksEnd; far = far.after) {
      fill.near = near;
      fill.far = far;
      fill.into = changetype<Link>(load<usize>(at + (cell(near.late, far.late, n) << 2)));
      fill = fill.after;
    }
  }
  fillsEnd = fill;
  for (let p = passages; p != passagesEnd; p = p.after) {
    if (p.to != outside) p.link = changetype<Link>(load<usize>(at + (cell(p.from, p.to, n) << 2)));
  }
}

function cell(a: Body, b: Body, n: i32): usize {
  const i = indexOf(a), j = indexOf(b);
  return <usize>(i < j ? i * n + j : j * n + i);
}

/** LU factors of d I - J. */
export function factorise(d: f64): void {
  for (let b = bodies; b != bodiesEnd; b = b.after) b.pivot = d - b.own;
  if (mounds) factoriseMound(d);
  if (isChain) {
    let b = bodies;
    for (let l = links; l != linksEnd; l = l.after, b = b.after) {
      b.pivot = 1.0 / b.pivot;
      l.lowerFactor = -l.lower * b.pivot;
      l.upperFactor = -l.upper;
      b.after.pivot += l.lowerFactor * l.upper;
    }
    b.pivot = 1.0 / b.pivot;
    return;
  }
  for (let l = links; l != linksEnd; l = l.after) {
    l.upperFactor = -l.upper;
    l.lowerFactor = -l.lower;
  }
  let fill = fills;
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    b.pivot = 1.0 / b.pivot;
    for (let l = changetype<Link>(b.links), end = changetype<Link>(b.linksEnd); l != end; l = l.after) {
      l.lowerFactor *= b.pivot;
      l.late.pivot -= l.lowerFactor * l.upperFactor;
    }
    for (; fill != fillsEnd && fill.near.early == b; fill = fill.after) {
      fill.into.upperFactor -= fill.near.lowerFactor * fill.far.upperFactor;
      fill.into.lowerFactor -= fill.far.lowerFactor * fill.near.upperFactor;
    }
  }
}

/** Solves for the right side in `x` of all states, in place. */
export function solve(): void {
  let moved: f64 = 0;
  if (mounds) moved = beforeMound();
  if (isChain) {
    let b = bodies, x = b.x;
    for (let l = links; l != linksEnd; l = l.after) {
      b = b.after;
      x = b.x - l.lowerFactor * x;
      b.x = x;
    }
    x *= b.pivot;
    b.x = x;
    for (let l = linksEnd; l != links;) {
      l = l.before;
      b = b.before;
      x = (b.x - l.upperFactor * x) * b.pivot;
      b.x = x;
    }
  } else {
    for (let b = bodies; b != bodiesEnd; b = b.after) {
      for (let l = changetype<Link>(b.links), end = changetype<Link>(b.linksEnd); l != end; l = l.after) l.late.x -= l.lowerFactor * b.x;
    }
    for (let b = bodiesEnd.before; changetype<usize>(b) >= changetype<usize>(bodies); b = b.before) {
      let x = b.x;
      for (let l = changetype<Link>(b.links), end = changetype<Link>(b.linksEnd); l != end; l = l.after) x -= l.upperFactor * l.late.x;
      b.x = x * b.pivot;
    }
  }
  if (mounds) afterMound(moved);
}

// The mound's modes couple with the bank alone, through its seepage q = q_V V + q_G R, R = sum of c_k y_k:
//
//   (d + 1/T_k) y_k - q/A = r_k,   so   R = (rho + g q_V V)/(1 - g q_G),   rho = sum c_k r_k/(d + 1/T_k),  g = sum c_k/(d + 1/T_k)/A
//
// which leaves the bank a pivot larger by q_V g q_G/(1 - g q_G) and a right side smaller by q_G rho/(1 - g q_G).

/** 1/(1 - g q_G), and q_G */
let yields: f64 = 1;
let byRise: f64 = 0;
let spread: f64 = 0;

function factoriseMound(d: f64): void {
  spread = 0;
  for (let m = modes; m != modesEnd; m = m.after) {
    m.inverse = 1.0 / (d + 1.0 / m.timeConstant);
    spread += m.share * m.inverse * perArea;
  }
  byRise = moundPassage.startByGround;
  yields = 1.0 / (1.0 - spread * byRise);
  moundBody.pivot += moundPassage.startByFrom * spread * byRise * yields;
}

function beforeMound(): f64 {
  let rho: f64 = 0;
  for (let m = modes; m != modesEnd; m = m.after) rho += m.share * m.inverse * m.x;
  moundBody.x -= byRise * rho * yields;
  return rho;
}

function afterMound(rho: f64): void {
  const byVolume = moundPassage.startByFrom * moundBody.x, rise = (rho + spread * byVolume) * yields, seepage = byVolume + byRise * rise;
  for (let m = modes; m != modesEnd; m = m.after) m.x = m.inverse * (m.x + seepage * perArea);
}
