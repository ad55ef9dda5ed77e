/** Whether a place of the page is on the screen, as far as the browser has told. */
export type InSight = () => boolean;

/**
 * Watches whether a place is on the screen: while a hand pulls, what is out of sight need not be drawn.
 *
 * @param came  it has come into sight
 */
export function inSight(place: Element, came: () => void): InSight {
  let isSeen = true;
  new IntersectionObserver((entries) => {
    const was = isSeen;
    isSeen = entries.at(-1)!.isIntersecting;
    if (isSeen && !was) came();
  }).observe(place);
  return () => isSeen;
}
