/** What the errors of a series are like: a white part and one that is remembered. */
export interface ErrorKind {
  /** time in which the remembered part falls to 1/e [s] */
  readonly memory: number;
  /** variance of the white part over that of the remembered one */
  readonly white: number;
}

/** Takes the correlation of one kind of errors out of series that were read at the same times. */
export interface Whitener {
  /** n numbers of variance 1 without correlation where the series is of such errors, 0 where nothing counts */
  of(series: Float64Array): Float64Array;
  /** sum of ln S, which a likelihood pays for */
  readonly logVariance: number;
}

/**
 * Takes the correlation out of series: what comes out has, of errors of this kind with a remembered part of variance 1, a variance of 1
 * each and no correlation. It is linear in the series, so the difference of two series comes out as that of what comes out of them.
 *
 * The remembered part is that of Ornstein and Uhlenbeck, exp(-|t - t'|/memory), which knows uneven intervals; with the white part the
 * innovations are those of a filter of one state,
 *
 *   a = phi a,  P = phi^2 P + 1 - phi^2,  phi = exp(-dt/memory);   v = x - a,  S = P + white;   a += P v/S,  P = P (1 - P/S)
 *
 * and v/sqrt(S) is what comes out.
 *
 * @param time    n times that rise [s]
 * @param kept    which of them count; the others are passed over, and time goes on
 * @source  Kalman's filter, any text; the correlation: Uhlenbeck & Ornstein, Physical Review 36, 1930, from memory
 */
export function whitener(time: Float64Array, kept: Uint8Array, { memory, white }: ErrorKind): Whitener {
  const n = time.length;
  const [phis, gains, roots] = [new Float64Array(n), new Float64Array(n), new Float64Array(n)];
  let [variance, last, logVariance] = [1, NaN, 0];
  for (let i = 0; i < n; i++) {
    if (kept[i] === 0) continue;
    if (!Number.isNaN(last)) {
      const phi = Math.exp(-(time[i]! - last) / memory);
      phis[i] = phi;
      variance = phi * phi * variance + 1 - phi * phi;
    }
    last = time[i]!;
    const all = variance + white;
    gains[i] = variance / all;
    roots[i] = Math.sqrt(all);
    logVariance += Math.log(all);
    variance *= 1 - gains[i]!;
  }
  return {
    logVariance,
    of(series) {
      const out = new Float64Array(n);
      let state = 0;
      for (let i = 0; i < n; i++) {
        if (kept[i] === 0) continue;
        state *= phis[i]!;
        const off = series[i]! - state;
        out[i] = off / roots[i]!;
        state += gains[i]! * off;
      }
      return out;
    },
  };
}

/**
 * The likeliest kind of errors of some residuals, by the Gaussian likelihood with its variance taken out,
 *
 *   -2 ln L = n ln(sum v^2/S / n) + sum ln S
 *
 * over memories within bounds and a few shares of white error. The bounds are there so that no error is remembered for so long that a
 * season, or a floor that silts up, would pass for one.
 *
 * @returns  the kind, and the standard deviation of its remembered part [the residuals' unit]
 */
export function errorsOf(residual: Float64Array, time: Float64Array, kept: Uint8Array, [shortest, longest]: readonly [number,
  number]): ErrorKind & { readonly deviation: number } {
  const count = kept.reduce((sum, each) => sum + each, 0);
  let best = { memory: shortest, white: 0, deviation: NaN };
  let least = Infinity;
  for (let step = 0; step < MEMORIES; step++) {
    const memory = shortest * (longest / shortest) ** (step / (MEMORIES - 1));
    for (const white of WHITES) {
      const kind = { memory, white };
      const { of, logVariance } = whitener(time, kept, kind);
      const squares = of(residual).reduce((sum, each) => sum + each * each, 0);
      const cost = count * Math.log(Math.max(squares, Number.MIN_VALUE) / count) + logVariance;
      if (cost < least) [least, best] = [cost, { ...kind, deviation: Math.sqrt(squares / count) }];
    }
  }
  return best;
}

const MEMORIES = 10;
const WHITES: readonly number[] = [0.003, 0.03, 0.1, 0.3, 1, 3];
