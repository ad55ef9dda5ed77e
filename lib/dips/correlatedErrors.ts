/** What the errors of a series are like: a white part, and one that is remembered and takes in a fresh error where the level rises much. */
export interface ErrorKind {
  /** time in which the remembered part falls to 1/e [s] */
  readonly memory: number;
  /** variance of the white part over that of the remembered one */
  readonly white: number;
  /** what the square of a rise adds to the variance of the remembered part, over that part's own [1/unit2]; none where missing */
  readonly rise?: number;
}

/** Takes the correlation of one kind of errors out of series that were read at the same times. */
export interface Whitener {
  /** n numbers of variance 1 without correlation where the series is of such errors, 0 where nothing counts */
  of(series: Float64Array): Float64Array;
  /** sum of ln S, which a likelihood pays for */
  readonly logVariance: number;
}

/** What a series rises from one reading to the next [its unit]. */
export function risesOf(level: Float64Array): Float64Array {
  return level.map((each, i) => (i === 0 ? 0 : Math.max(0, each - level[i - 1]!)));
}

/**
 * Takes the correlation out of series: what comes out has, of errors of this kind with a remembered part of variance 1, a variance of 1
 * each and no correlation. It is linear in the series, so the difference of two series comes out as that of what comes out of them.
 *
 * The remembered part is that of Ornstein and Uhlenbeck, exp(-|t - t'|/memory), which knows uneven intervals; with the white part the
 * innovations are those of a filter of one state,
 *
 *   a = phi a,  P = phi^2 P + 1 - phi^2 + rise r^2,  phi = exp(-dt/memory);   v = x - a,  S = P + white;   a += P v/S,  P = P (1 - P/S)
 *
 * and v/sqrt(S) is what comes out. The third term is the fresh error of the model after each storm, a share of what the storm did (r): a
 * model that has the loss of a roof a little wrong is off by so much after every storm, and no single reading of a rise may weigh more than
 * that leaves it.
 *
 * @param time    n times that rise [s]
 * @param kept    which of them count; the others are passed over, and time goes on
 * @param rises   n rises, as `risesOf` gives them; none where missing
 * @source  Kalman's filter, any text; the correlation: Uhlenbeck & Ornstein, Physical Review 36, 1930, from memory
 */
export function whitener(
  time: Float64Array, kept: Uint8Array, { memory, white, rise = 0 }: ErrorKind, rises?: Float64Array,
): Whitener {
  const n = time.length;
  const [phis, gains, roots] = [new Float64Array(n), new Float64Array(n), new Float64Array(n)];
  let [variance, last, logVariance] = [1, NaN, 0];
  for (let i = 0; i < n; i++) {
    if (kept[i] === 0) continue;
    if (!Number.isNaN(last)) {
      const phi = Math.exp(-(time[i]! - last) / memory);
      phis[i] = phi;
      variance = phi * phi * variance + 1 - phi * phi + rise * (rises?.[i] ?? 0) ** 2;
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
 * @param rises      what the series rose, and about what an error is [the residuals' unit]; where missing no rise brings a fresh error
 * @returns  the kind, and the standard deviation of its remembered part [the residuals' unit]
 */
export function errorsOf(
  residual: Float64Array, time: Float64Array, kept: Uint8Array, [shortest, longest]: readonly [number, number],
  rises?: { readonly of: Float64Array; readonly deviation: number },
): ErrorKind & { readonly deviation: number } {
  const count = kept.reduce((sum, each) => sum + each, 0);
  let best: ErrorKind & { readonly deviation: number } = { memory: shortest, white: 0, deviation: NaN };
  let least = Infinity;
  for (let step = 0; step < MEMORIES; step++) {
    const memory = shortest * (longest / shortest) ** (step / (MEMORIES - 1));
    for (const white of WHITES) for (const share of rises === undefined ? [0] : RISE_SHARES) {
      const kind = { memory, white, ...(share === 0 ? {} : { rise: (share / rises!.deviation) ** 2 }) };
      const { of, logVariance } = whitener(time, kept, kind, rises?.of);
      const squares = of(residual).reduce((sum, each) => sum + each * each, 0);
      const cost = count * Math.log(Math.max(squares, Number.MIN_VALUE) / count) + logVariance;
      if (cost < least) [least, best] = [cost, { ...kind, deviation: Math.sqrt(squares / count) }];
    }
  }
  return best;
}

const MEMORIES = 10;
const WHITES: readonly number[] = [0.003, 0.03, 0.1, 0.3, 1, 3];
/** What a model may be off after a rise, as shares of the rise. */
const RISE_SHARES: readonly number[] = [0, 0.01, 0.03, 0.1];
