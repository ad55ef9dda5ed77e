import { volumeText } from "../units/format.ts";
import type { Run } from "../simulate/run.ts";
import type { Tone } from "./look.ts";
import { momentText } from "./hours.ts";

/** A line of the water book. */
export interface BookEntry {
  readonly key: string;
  readonly words: string;
  /** [m3], 0 or more */
  readonly volume: number;
  /** of all that came in, 0 to 1 */
  readonly share: number;
  readonly tone: Tone;
}

/** Where a run's water came from and went. */
export interface WaterBook {
  readonly cameIn: readonly BookEntry[];
  readonly wentTo: readonly BookEntry[];
  /** all that came in [m3] */
  readonly total: number;
  /** closing error of the ledger, of all that came in */
  readonly error: number;
}

/**
 * The ledger as a person reads it: what came in against where it went, in the water's way. What a run did not have or
 * use is left out. Soil that gave more groundwater than it took stands on the side of what came in.
 */
export function waterBook(run: Run): WaterBook {
  const { ledger } = run;
  const cameIn: Draft[] = [["inflow", "ran in from the rain", ledger.inflow, "rain"], ["storedStart", "stood there before", ledger.storedStart, "still"]];
  const wentTo: Draft[] = [];
  for (const [key, soil, groundwater, tone] of SOILS) {
    const volume = ledger[key] ?? 0;
    if (volume < 0) cameIn.push([key, groundwater, -volume, tone]);
    else wentTo.push([key, soil, volume, tone]);
  }
  for (const [key, words, tone] of OUTLETS) wentTo.push([key, words, ledger[key] ?? 0, tone]);
  wentTo.push(["storedEnd", `still held at ${momentText(run.until)}`, ledger.storedEnd, "still"]);
  const total = cameIn.reduce((sum, [, , volume]) => sum + volume, 0);
  const entries = (drafts: readonly Draft[]): BookEntry[] => drafts
    .filter(([, , volume]) => volume > NOTHING)
    .map(([key, words, volume, tone]) => ({ key, words, volume, share: volume / total, tone }));
  return { cameIn: entries(cameIn), wentTo: entries(wentTo), total, error: total > 0 ? Math.abs(ledger.error) / total : 0 };
}

/** A share in percent as people write it: `66 %`, `under 1 %`. */
export function shareText(share: number): string {
  if (share > 0 && share < 0.01) return "under 1 %";
  return share < 1 && share >= 0.995 ? "over 99 %" : `${Math.round(share * 100)} %`;
}

/** The book in one sentence: `Of 4670 gal, 77 % goes into the soil and 22 % out of the emitter.` */
export function ledgerSentence(run: Run, book: WaterBook = waterBook(run)): string {
  if (book.total <= NOTHING) return "There was no water.";
  const sums = [
    ["goes into the soil", [...SOILS.map(([key]) => key), "weep"]],
    ["out of the emitter", ["emitter"]],
    ["over rims and out of the ground", ["boxSpill", "bankSpill", "trenchSpill", "lowSpotOverflow"]],
    ["stays", ["storedEnd"]],
  ] as const;
  const shares = sums.flatMap(([words, keys]) => {
    const entries = book.wentTo.filter(({ key }) => (keys as readonly string[]).includes(key));
    const share = entries.reduce((sum, entry) => sum + entry.share, 0);
    return share > 0 ? [`${shareText(share)} ${words}`] : [];
  });
  const list = shares.length < 3 ? shares.join(" and ") : `${shares.slice(0, -1).join(", ")} and ${shares.at(-1)!}`;
  return `Of ${volumeText(book.total, run.site.units)}, ${list}.`;
}

/** How closely in and out agree, in words. */
export function closingWords(error: number): string {
  const [, part] = CLOSENESS.find(([bound]) => error <= bound) ?? [0, null];
  return part === null ? `in and out differ by ${shareText(error)}` : `in and out agree to one part in ${part}`;
}

const CLOSENESS: readonly (readonly [number, string])[] = [[1e-12, "a million million"], [1e-9, "a thousand million"], [1e-6, "a million"], [1e-3, "a thousand"]];

type Draft = readonly [key: string, words: string, volume: number, tone: Tone];

// A tenth of a litre: less is not worth a line.
const NOTHING = 1e-4;

const SOILS = [
  ["bankSeepage", "into the soil around the pit", "groundwater into the pit", "pit"],
  ["trenchSeepage", "into the soil around the trench", "groundwater into the trench", "trench"],
  ["lowSpotSeepage", "into the soil under the low spot", "groundwater into the low spot", "lowSpot"],
] as const;

const OUTLETS = [
  ["emitter", "out of the emitter", "emitter"],
  ["weep", "through the weep hole into the soil", "emitter"],
  ["boxSpill", "over the box rim", "box"],
  ["bankSpill", "out of the ground over the pit", "pit"],
  ["trenchSpill", "out of the ground over the trench", "trench"],
  ["lowSpotOverflow", "over the lip of the low spot", "lowSpot"],
] as const;
