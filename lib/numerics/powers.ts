// Powers, logarithms and arcs of sums, products and square roots alone, which IEEE 754 rounds the same everywhere. An engine's own
// `Math.log`, `Math.acos` or `**` may differ from another's in the last digit, and with it would every run: a telephone and a terminal give
// the same run to the bit because no table, load or conductivity of theirs comes of those.

/** Natural logarithm of two in two parts, the first short enough that a multiple of it is exact. */
const [LN2_HIGH, LN2_LOW] = [0.693147180369123816490, 1.90821492927058770002e-10] as const;

/** 1/1!, 1/2!, ... */
const OVER_FACTORIALS: readonly number[] = Array.from({ length: 15 }).reduce<number[]>((row, _, k) => [...row, row[k]! / (k + 2)], [1]);
/** Coefficients of the arc sine's series in x^2, of which each term up to a half is smaller than a quarter of the one before. */
const ARC_SINE: readonly number[] = Array.from({ length: 25 })
  .reduce<number[]>((row, _, k) => [...row, row[k]! * ((2 * k + 1) / (2 * k + 2))], [1]).map((each, k) => each / (2 * k + 1));

function series(coefficients: readonly number[], x: number): number {
  let sum = 0;
  for (let k = coefficients.length - 1; k >= 0; k--) sum = sum * x + coefficients[k]!;
  return sum;
}

/** e^x, within 2 units in the last place; 0 and Infinity beyond what a number holds. */
export function exponential(x: number): number {
  if (!(Math.abs(x) < 746)) return x > 0 ? Infinity : x < 0 ? 0 : NaN;
  const twos = Math.round(x * Math.LOG2E);
  const rest = x - twos * LN2_HIGH - twos * LN2_LOW;
  const sum = 1 + rest * series(OVER_FACTORIALS, rest);
  return twos > 1023 ? sum * 2 * wholePower(2, twos - 1) : sum * wholePower(2, twos);
}

/** e^x - 1, true for a small x too, within 4 units in the last place. */
export function exponentialLess1(x: number): number {
  if (Math.abs(x) > 0.35) return exponential(x) - 1;
  return x * series(OVER_FACTORIALS, x);
}

const FAR = 0x1_0000_0000;

/** Natural logarithm, within 2 units in the last place; -Infinity of 0, NaN below. */
export function logarithm(x: number): number {
  if (!(x > 0 && x < Infinity)) return x === 0 ? -Infinity : x > 0 ? x : NaN;
  let [part, twos] = [x, 0];
  for (; part > FAR; twos += 32) part /= FAR;
  for (; part < 1 / FAR; twos -= 32) part *= FAR;
  for (; part > Math.SQRT2; twos++) part /= 2;
  for (; part < Math.SQRT1_2; twos--) part *= 2;
  return twos * LN2_HIGH + (twos * LN2_LOW + logarithmNear1(part - 1));
}

/** Logarithm of 1 + x, true for a small x too, within 3 units in the last place. */
export function logarithmOf1Plus(x: number): number {
  return x > -0.25 && x < 0.4 ? logarithmNear1(x) : logarithm(1 + x);
}

/** 2 artanh(x / (2 + x)) as its series, for 1 + x from half a root of two to a root of two. */
function logarithmNear1(x: number): number {
  const s = x / (2 + x);
  const z = s * s;
  let sum = 0;
  for (let odd = 23; odd > 1; odd -= 2) sum = z * (1 / odd + sum);
  return 2 * (s + s * sum);
}

/** Angle of a hyperbolic sine of 0 or more, within 4 units in the last place. */
export function arSinh(x: number): number {
  return logarithmOf1Plus(x + (x * x) / (1 + Math.sqrt(x * x + 1)));
}

/** x^y of an x of 0 or more, within 4 units in the last place and one more for each unit of y. */
export function power(x: number, y: number): number {
  const whole = Math.ceil(y - 0.5);
  const rest = y - whole;
  if (rest === 0) return wholePower(x, whole);
  if (!(x > 0 && x < Infinity)) return x === 0 || x === Infinity ? (x === 0) === y > 0 ? 0 : Infinity : NaN;
  return wholePower(x, whole) * (rest === 0.5 ? Math.sqrt(x) : exponential(rest * logarithm(x)));
}

function wholePower(x: number, n: number): number {
  let [result, factor] = [1, n < 0 ? 1 / x : x];
  for (let left = Math.abs(n); left > 0; left = Math.floor(left / 2)) {
    if (left % 2 === 1) result *= factor;
    if (left > 1) factor *= factor;
  }
  return result;
}

/** Angle of a sine from -1 to 1, within 3 units in the last place [radians]. */
export function arcSine(x: number): number {
  if (Math.abs(x) > 0.5) return Math.sign(x) * (Math.PI / 2 - 2 * arcSine(Math.sqrt((1 - Math.abs(x)) / 2)));
  return x * series(ARC_SINE, x * x);
}

/** Angle of a cosine from -1 to 1 [radians]. */
export function arcCosine(x: number): number {
  return x > 0.5 ? 2 * arcSine(Math.sqrt((1 - x) / 2)) : Math.PI / 2 - arcSine(x);
}

/** A quarter turn in two parts, the first short enough that a multiple of it is exact. */
const [QUARTER_HIGH, QUARTER_LOW] = [1.57079632673412561417, 6.07710050650619224932e-11] as const;

/** Sine and cosine of an angle of a few turns, within 1e-15 [radians]. */
export function sineAndCosine(angle: number): [sine: number, cosine: number] {
  const quarters = Math.round(angle / (Math.PI / 2));
  const x = angle - quarters * QUARTER_HIGH - quarters * QUARTER_LOW;
  let [sine, cosine] = [1, 1];
  for (let k = 18; k > 0; k -= 2) [sine, cosine] = [1 - (x * x * sine) / (k * (k + 1)), 1 - (x * x * cosine) / (k * (k - 1))];
  sine *= x;
  switch (((quarters % 4) + 4) % 4) {
    case 0: return [sine, cosine];
    case 1: return [cosine, -sine];
    case 2: return [-sine, -cosine];
    default: return [-cosine, sine];
  }
}
