import { volumeText } from "../text/format.ts";
import type { Run } from "../simulate/run.ts";
import { bodyViews, DRY, type BodyView } from "./bodyViews.ts";
import { momentText } from "../text/hours.ts";
import type { Tone } from "./look.ts";
import { percentText } from "../text/words.ts";

/** A line of the water book. */
export interface BookEntry {
  readonly key: string;
  readonly words: string;
  /** [m3], 0 or more */
  readonly volume: number;
  /** of all that came in and stood there before, 0 to 1 */
  readonly share: number;
  /** the same in whole percent, rounded so that a side of the book comes to 100 and parts add up to their sums */
  readonly percent: number;
  readonly tone: Tone;
}

/** Where a run's water came from and went. */
export interface WaterBook {
  readonly cameIn: readonly BookEntry[];
  readonly wentTo: readonly BookEntry[];
  /** all that came in and stood there before [m3] */
  readonly total: number;
  /** closing error of the ledger, of that total */
  readonly error: number;
}

/**
 * The ledger as a person reads it: what came in against where it went, in the water's way. What a run did not have or
 * use is left out. Soil that gave more groundwater than it took stands on the side of what came in.
 */
export function waterBook(run: Run): WaterBook {
  const { ledger } = run;
  const cameIn: Draft[] = [["inflow", ranIn(run), ledger.inflow, "rain"], ["storedStart", `stood there before (${stoodWhere(run)})`, ledger.storedStart, "still"]];
  const wentTo: Draft[] = [];
  for (const [key, soil, groundwater, tone] of SOILS) {
    const volume = ledger[key] ?? 0;
    if (volume < 0) cameIn.push([key, groundwater, -volume, tone]);
    else wentTo.push([key, soil, volume, tone]);
  }
  for (const [key, words, tone] of OUTLETS) {
    const several = key === "boxSpill" && run.site.settlingBoxes.length > 1;
    wentTo.push([key, several ? "over the rims of the boxes" : words, ledger[key] ?? 0, tone]);
  }
  wentTo.push(["storedEnd", `still held at ${momentText(run.until)}`, ledger.storedEnd, "still"]);
  const total = cameIn.reduce((sum, [, , volume]) => sum + volume, 0);
  const entries = (drafts: readonly Draft[]): BookEntry[] => {
    const kept = drafts.filter(([, , volume]) => volume > NOTHING);
    const percents = wholePercents(kept.map(([, , volume]) => volume / total));
    return kept.map(([key, words, volume, tone], i) => ({ key, words, volume, share: volume / total, percent: percents[i]!, tone }));
  };
  return { cameIn: entries(cameIn), wentTo: entries(wentTo), total, error: total > 0 ? Math.abs(ledger.error) / total : 0 };
}

/**
 * The book in one sentence: `Of 1470 gal (492 gal of it stood there before), 22 % goes into the soil, 19 % out of the emitter
 * and 59 % is still held at hour 73.`
 */
export function ledgerSentence(run: Run, book: WaterBook = waterBook(run)): string {
  if (book.total <= NOTHING) return "There was no water.";
  const sums = [
    ["goes into the soil", [...SOILS.map(([key]) => key), "weep"]],
    ["out of the emitter", ["emitter"]],
    ["over rims and up through the ground", ["boxSpill", "bankSpill", "trenchSpill"]],
    ["over the lip of the low spot", ["lowSpotOverflow"]],
    [`is still held at ${momentText(run.until)}`, ["storedEnd"]],
  ] as const;
  const shares = sums.flatMap(([words, keys]) => {
    const entries = book.wentTo.filter(({ key }) => (keys as readonly string[]).includes(key));
    const sum = { share: addUp(entries, "share"), percent: addUp(entries, "percent") };
    return sum.share > 0 ? [`${percentText(sum.share, sum.percent)} ${words}`] : [];
    // the verb of all that goes somewhere stands with the first
  }).map((share, i) => (i === 0 ? share.replace(/ % (out|over) /, " % goes $1 ") : share));
  const list = shares.length < 3 ? shares.join(" and ") : `${shares.slice(0, -1).join(", ")} and ${shares.at(-1)!}`;
  const before = book.cameIn.find(({ key }) => key === "storedStart");
  const { units } = run.site;
  return `Of ${volumeText(book.total, units)}${before === undefined ? "" : ` (${volumeText(before.volume, units)} of it stood there before)`}${netOfPump(run)}, ${list}.`;
}

/** What ran in, and that it is counted less what was pumped out where something was. */
function ranIn(run: Run): string {
  return `ran in${run.rain === null ? "" : " from the rain"}${netOfPump(run)}`;
}

function netOfPump({ inflows }: Run): string {
  return Object.values(inflows).some(({ flow }) => flow.some((each) => each < 0)) ? ", less what is pumped out" : "";
}

/** How closely in and out agree, in words. */
export function closingWords(error: number): string {
  const [, part] = CLOSENESS.find(([bound]) => error <= bound) ?? [0, null];
  return part === null ? `in and out differ by ${percentText(error)}` : `in and out agree to one part in ${part}`;
}

const CLOSENESS: readonly (readonly [number, string])[] = [[1e-12, "a million million"], [1e-9, "a thousand million"], [1e-6, "a million"], [1e-3, "a thousand"]];

/** Where water stood when the run began. */
function stoodWhere(run: Run): string {
  const isWet = ({ body, floor }: BodyView): boolean => run.level(body, 0) - floor > DRY;
  const wet = bodyViews(run).filter(isWet);
  const boxes = wet.filter(({ tone }) => tone === "box").length;
  const sump = boxes === 0 ? [] : boxes === 1 ? ["sump of the box"] : ["sumps of the boxes"];
  const others = [...new Set(wet.filter(({ tone }) => tone !== "box").map(({ words }) => words.replace(/ (pipe|\d+)/g, "")))];
  return [...others, ...sump].join(", ") || "hardly any";
}

/** Shares in whole percent by the largest remainders, so that they come to 100 where the shares come to 1. */
function wholePercents(shares: readonly number[]): number[] {
  const floors = shares.map((share) => Math.floor(share * 100));
  const missing = Math.round(shares.reduce((sum, share) => sum + share, 0) * 100) - floors.reduce((sum, each) => sum + each, 0);
  const byRemainder = shares.map((share, i) => ({ i, rest: share * 100 - floors[i]! })).sort((a, b) => b.rest - a.rest || a.i - b.i);
  for (const { i } of byRemainder.slice(0, missing)) floors[i]!++;
  return floors;
}

function addUp(entries: readonly BookEntry[], of: "share" | "percent"): number {
  return entries.reduce((sum, entry) => sum + entry[of], 0);
}

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
  ["bankSpill", "up through the ground at the pit", "pit"],
  ["trenchSpill", "up through the ground at the trench", "trench"],
  ["lowSpotOverflow", "over the lip of the low spot", "lowSpot"],
] as const;
