import { YEAR } from "../text/unitTable.ts";
import { massOf, solidsBook } from "./solidsBook.ts";
import { type SolidsPlace } from "./solidsIn.ts";

/** How often the boxes are cleaned, and why. */
export interface Cleaning {
  /** [s] */
  readonly every: number;
  /** the file's own, by the filling limit of a box, or at the least once a year */
  readonly by: "file" | "filling" | "yearly";
  /** the box that reaches its filling limit first, and when, from clean [s]; null where none has a sump that fills */
  readonly first: { readonly box: string; readonly after: number } | null;
  /** what all sumps hold when they are cleaned: as it lies [m3], and its dry mass [kg] */
  readonly volume: number;
  readonly mass: number;
}

/**
 * The interval between two cleanings: the file's own, else whole months within which no sump passes its filling limit, a month at
 * least and a year at most.
 *
 * @param given  the file's own [s]
 * @source   a look into every box once a year at the least: common practice
 */
export function cleaningOf(places: readonly SolidsPlace[], given: number | null): Cleaning {
  const first = places.flatMap(({ name, sump }) => (
    sump === null || sump.volume === 0 || sump.settled === 0 ? [] : [{ box: name, after: (sump.limit * sump.volume) / sump.settled }]
  )).reduce<Cleaning["first"]>((least, each) => (least === null || each.after < least.after ? each : least), null);
  const months = first === null ? MONTHS : Math.min(MONTHS, Math.max(1, Math.floor(first.after / MONTH)));
  const every = given ?? months * MONTH;
  const books = places.map((place) => ({ filling: solidsBook(place, null, every), room: place.sump?.volume ?? 0 }));
  return {
    every, first,
    by: given !== null ? "file" : months === MONTHS ? "yearly" : "filling",
    volume: books.reduce((sum, { filling, room }) => sum + filling.filling * room, 0),
    mass: books.reduce((sum, { filling }) => sum + massOf(filling.held), 0),
  };
}

const MONTHS = 12;

/** A twelfth of a year [s]. */
export const MONTH: number = YEAR / MONTHS;
