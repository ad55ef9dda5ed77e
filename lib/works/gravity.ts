/** acceleration of gravity [m/s2] */
export const GRAVITY = 9.80665;
