import { State } from "./body";
import { factorise, solve } from "./tree";
import { rates, ratesWithSlopes } from "./water";
import { bodies, bodiesEnd, modes, modesEnd, moundPassage, mounds, passages, passagesEnd, states, statesEnd } from "./works";

/**
 * RODAS4P2, a stiffly accurate and L-stable Rosenbrock method of order 4 in 6 stages for y' = f(t, y), in the transformed form of
 * Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed. 1996, sec. IV.7:
 *
 *   (I/(h gamma) - J) k_i = f(t + alpha_i h, y + sum_j a_ij k_j) + sum_j (c_ij/h) k_j + h d_i df/dt      i = 1 .. 6
 *   y1 = y + sum_j a_6j k_j + k_6,         error estimate k_6
 *
 * A volume v that only adds up a flow, v' = q(t, y), is one more state whose stages can be eliminated:
 *
 *   v1 - v = h [ sum_i b_i q_i + dq/dy . sum_i b_i k_i + h (sum_i b_i d_i) dq/dt ],    b = gamma (I - gamma C)^-T m
 *
 * with m the weights of the k_i in y1 - y: the same rule as the states, so sums of flows and changes of volume agree to round-off.
 *
 * @source Steinebach, Improvement of Rosenbrock-Wanner method RODASP, in Progress in Differential-Algebraic Equations II, 2020
 */
const gamma: f64 = 0.25;
const a21: f64 = 3;
const a31: f64 = 0.906377755268814, a32: f64 = -0.189707390391685;
const a41: f64 = 3.758617027739064, a42: f64 = 1.161741776019525, a43: f64 = -0.849258085312803;
const a51: f64 = 7.089566927282776, a52: f64 = 4.573591406461604, a53: f64 = -8.423496976860259, a54: f64 = -0.959280113459775;
// a6j = a5j, a65 = 1
const c21: f64 = -12;
const c31: f64 = -6.354581592719008, c32: f64 = 0.338972550544623;
const c41: f64 = -8.575016317114033, c42: f64 = -7.606483992117508, c43: f64 = 12.22499765012482;
const c51: f64 = -5.888975457523102, c52: f64 = -8.15739661784182, c53: f64 = 24.805546872612922, c54: f64 = 12.79040151279698;
const c61: f64 = -4.408651676063871, c62: f64 = -6.692003137674639, c63: f64 = 24.625568527593117, c64: f64 = 16.627521966636085;
const c65: f64 = -5.714285714285718;
const alpha2: f64 = 0.75, alpha3: f64 = 0.321448134013046, alpha4: f64 = 0.519745732277726;
const d1: f64 = 0.25, d2: f64 = -0.5, d3: f64 = -0.189532918363016, d4: f64 = 0.085612108792769;
const h11: f64 = -5.323528268423303, h12: f64 = -10.042123754867493, h13: f64 = 17.175254928256965, h14: f64 = -5.079931171878093;
const h15: f64 = -0.016185991706112;
const h21: f64 = 6.984505741529879, h22: f64 = 6.914061169603662, h23: f64 = -0.849178943070653, h24: f64 = 18.104410789349338;
const h25: f64 = -3.516963011559032;

// b by back substitution: b_j = gamma (m_j + sum over i > j of c_ij b_i)
const b6: f64 = gamma;
const b5: f64 = gamma * (1.0 + c65 * b6);
const b4: f64 = gamma * (a54 + c54 * b5 + c64 * b6);
const b3: f64 = gamma * (a53 + c43 * b4 + c53 * b5 + c63 * b6);
const b2: f64 = gamma * (a52 + c32 * b3 + c42 * b4 + c52 * b5 + c62 * b6);
const b1: f64 = gamma * (a51 + c21 * b2 + c31 * b3 + c41 * b4 + c51 * b5 + c61 * b6);
const bd: f64 = b1 * d1 + b2 * d2 + b3 * d3 + b4 * d4;

/**
 * A trial step of length h that starts `since` the segment's start, where `linearise` was called: writes the end, the rate there,
 * the dense output and the volume of every flow.
 *
 * @returns  its error, relative to |value| + scale: the larger of the embedded estimate and of the defect at the end of the step
 */
export function trial(since: f64, h: f64): f64 {
  const perH = 1.0 / h, end = statesEnd();
  factorise(perH / gamma);
  for (let b = bodies; b != bodiesEnd; b = b.after) b.inflowSum = b1 * b.startInflow;
  for (let p = passages; p != passagesEnd; p = p.after) p.sum = b1 * p.startFlow;

  for (let s = states(); s != end; s = s.next) s.x = s.startRate + h * d1 * s.timeSlope;
  solve();

  for (let s = states(); s != end; s = s.next) {
    s.k1 = s.x;
    s.at = s.value + a21 * s.k1;
  }
  rates(since + alpha2 * h, b2);
  for (let s = states(); s != end; s = s.next) s.x = s.rate + perH * c21 * s.k1 + h * d2 * s.timeSlope;
  solve();

  for (let s = states(); s != end; s = s.next) {
    s.k2 = s.x;
    s.at = s.value + a31 * s.k1 + a32 * s.k2;
  }
  rates(since + alpha3 * h, b3);
  for (let s = states(); s != end; s = s.next) s.x = s.rate + perH * (c31 * s.k1 + c32 * s.k2) + h * d3 * s.timeSlope;
  solve();

  for (let s = states(); s != end; s = s.next) {
    s.k3 = s.x;
    s.at = s.value + a41 * s.k1 + a42 * s.k2 + a43 * s.k3;
  }
  rates(since + alpha4 * h, b4);
  for (let s = states(); s != end; s = s.next) s.x = s.rate + perH * (c41 * s.k1 + c42 * s.k2 + c43 * s.k3) + h * d4 * s.timeSlope;
  solve();

  for (let s = states(); s != end; s = s.next) {
    s.k4 = s.x;
    s.at = s.value + a51 * s.k1 + a52 * s.k2 + a53 * s.k3 + a54 * s.k4;
  }
  rates(since + h, b5);
  for (let s = states(); s != end; s = s.next) s.x = s.rate + perH * (c51 * s.k1 + c52 * s.k2 + c53 * s.k3 + c54 * s.k4);
  solve();

  for (let s = states(); s != end; s = s.next) {
    s.k5 = s.x;
    s.at += s.k5;
  }
  rates(since + h, b6);
  for (let s = states(); s != end; s = s.next) {
    s.x = s.rate + perH * (c61 * s.k1 + c62 * s.k2 + c63 * s.k3 + c64 * s.k4 + c65 * s.k5);
  }
  solve();

  let error: f64 = 0;
  for (let s = states(); s != end; s = s.next) {
    const k1 = s.k1, k2 = s.k2, k3 = s.k3, k4 = s.k4, k5 = s.k5, k6 = s.x;
    s.at += k6;
    s.end = s.at;
    s.dense1 = h11 * k1 + h12 * k2 + h13 * k3 + h14 * k4 + h15 * k5;
    s.dense2 = h21 * k1 + h22 * k2 + h23 * k3 + h24 * k4 + h25 * k5;
    s.direction = b1 * k1 + b2 * k2 + b3 * k3 + b4 * k4 + b5 * k5 + b6 * k6;
    error = larger(error, k6, s);
    if (!(s.end >= s.lowest) || (s.end < s.keeps && s.end < s.value)) error = Infinity;
  }
  addUp(h);
  ratesWithSlopes(since + h);
  // the defect: what f says at the end against the slope of the dense output. Filtered by the step's own matrix, so that a stiff
  // state, which corrects itself, does not cry wolf
  for (let s = states(); s != end; s = s.next) {
    s.endRate = s.rate;
    s.x = (s.rate - perH * (s.end - s.value - s.dense1 - s.dense2)) / gamma;
  }
  solve();
  for (let s = states(); s != end; s = s.next) error = larger(error, s.x, s);
  return error;
}

/** The larger of an error and another of a state, relative to |value| + scale; what is not a number stays so. */
function larger(error: f64, other: f64, s: State): f64 {
  const relative = Math.abs(other) / (Math.abs(s.value) + s.scale);
  return relative <= error ? error : relative;
}

/** What came in and what every passage brought during the step [m3]. */
function addUp(h: f64): void {
  for (let b = bodies; b != bodiesEnd; b = b.after) {
    b.entered = h * (b.inflowSum + b.startFading * b.direction + bd * h * b.startInflowSlope);
  }
  for (let p = passages; p != passagesEnd; p = p.after) {
    p.volume = h * (p.sum + p.startByFrom * p.from.direction + p.startByTo * p.to.direction + bd * h * p.startByTime);
  }
  if (!mounds) return;
  let rise: f64 = 0;
  for (let m = modes; m != modesEnd; m = m.after) rise += m.share * m.direction;
  moundPassage.volume += h * moundPassage.startByGround * rise;
}
