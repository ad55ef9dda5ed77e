/** A sump that solids settle in, filled evenly over the year. */
export interface FillingSump {
  /** room below the outlet's crest [m3], 0 or more */
  readonly volume: number;
  /** share of it above which what lies there is stirred up, above 0 and below 1 */
  readonly limit: number;
  /** what settles in a sump that is not above the limit, as it lies [m3/s], 0 or more */
  readonly settled: number;
  /** share of what lies above the limit which is washed on in a unit of time [1/s], 0 or more */
  readonly washed: number;
}

/**
 * What lies in a sump after some time. Up to the limit all that settles stays. Above it a falling share does, none in a full sump,
 * and storms wash on some of what lies above the limit:
 *
 *   V' = s                                           V <= V_l = limit x volume
 *   V' = s (volume - V)/(volume - V_l) - r (V - V_l)     above,   whose solution is an exponential
 *
 * so that a sump nobody cleans comes to rest below its crest, and from then on everything passes.
 *
 * @param held  what lies there at first [m3], 0 to volume
 * @param time  [s], 0 or more
 * @returns     [m3]
 * @throws RangeError  for a sump, a filling or a time outside its bounds
 * @source   re-suspension above half full: common practice; the law's form is a choice of ours
 * @example  sumpFilling({ volume: 0.2, limit: 0.5, settled: 1e-9, washed: 0 }, 0, 5e7); // => 0.05
 */
export function sumpFilling({ volume, limit, settled, washed }: FillingSump, held: number, time: number): number {
  if (!(limit > 0 && limit < 1)) throw new RangeError(`limit: expected a share above 0 and below 1, got ${limit}`);
  for (const [name, value] of Object.entries({ volume, settled, washed, time })) {
    if (!(value >= 0 && value < Infinity)) throw new RangeError(`${name}: expected 0 or more, got ${value}`);
  }
  if (!(held >= 0 && held <= volume)) throw new RangeError(`held: expected 0 to ${volume} m3, got ${held}`);
  if (volume < LEAST) return Math.min(volume, held + settled * time);
  const full = limit * volume;
  const toLimit = held >= full ? 0 : settled === 0 ? Infinity : (full - held) / settled;
  if (held < full && time <= toLimit) return Math.min(full, held + settled * time);
  const over = Math.max(0, held - full);
  const rate = settled / (volume - full) + washed;
  if (rate === 0) return held;
  const rest = settled / rate;
  // round-off must not take it over the crest
  return Math.min(volume, full + rest + (over - rest) * Math.exp(-rate * (time - toLimit)));
}

/** A room of less than a millilitre [m3] fills as it comes: its law's rates would be no numbers. */
const LEAST = 1e-6;
