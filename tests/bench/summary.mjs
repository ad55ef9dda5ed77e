/** Median and the spread of the middle half, in milliseconds. */
export function summary(times) {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share) => sorted[Math.round(share * (sorted.length - 1))];
  return { median_ms: round(at(0.5)), spread_ms: round(at(0.75) - at(0.25)) };
}

export function round(value) {
  return Number(value.toFixed(3));
}
