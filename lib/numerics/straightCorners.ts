/**
 * Which points of a line drawn through (time, value) are needed: the others lie on the straight lines between these. A solver stops at
 * every corner, so one in the middle of a straight line costs a step and tells nothing. First, last and jump points (two at one time) stay.
 *
 * @param time   [n], rising; two equal times are a jump
 * @param slack  how far a dropped point may lie off the line that replaces it, in units of the value
 * @returns      indices of the points kept, rising
 */
export function straightCorners(time: ArrayLike<number>, value: ArrayLike<number>, slack: number): number[] {
  const last = time.length - 1;
  const kept = [0];
  let from = 0;
  // slopes of the lines out of point `from` that pass every point dropped so far within the slack
  let [least, most] = [-Infinity, Infinity];
  const startAt = (i: number): void => {
    kept.push(i);
    from = i;
    [least, most] = [-Infinity, Infinity];
  };
  for (let i = 1; i <= last; i++) {
    const slope = (value[i]! - value[from]!) / (time[i]! - time[from]!);
    const isJump = time[i] === time[i - 1] || (i < last && time[i] === time[i + 1]);
    if (i - 1 > from && (slope < least || slope > most)) startAt(i - 1);
    if (isJump || i === last) {
      startAt(i);
    } else {
      const reach = time[i]! - time[from]!;
      least = Math.max(least, (value[i]! - slack - value[from]!) / reach);
      most = Math.min(most, (value[i]! + slack - value[from]!) / reach);
    }
  }
  return kept;
}
