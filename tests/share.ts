/** How many of a law's random cases to make: all in `npm run prove`, a tenth in `npm test`, or the share that PROVE_SHARE names. */
export function shareOf(all: number): number {
  const share = Number(process.env["PROVE_SHARE"] ?? 1);
  if (!(share > 0 && share <= 1)) throw new RangeError(`PROVE_SHARE: expected a number above 0 and at most 1, got ${process.env["PROVE_SHARE"]}`);
  return Math.ceil(share * all);
}
