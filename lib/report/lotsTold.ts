import { spanWords } from "../figures/exceedanceFigure.ts";
import { plainText } from "../text/plainText.ts";
import type { Site } from "../site/site.ts";
import type { Decider, LotResult, LotState } from "../study/lotResults.ts";
import type { Lot } from "../study/lotTable.ts";
import type { LotYears } from "../study/lotYears.ts";
import type { Gutter, NeighbourRise } from "../study/streets.ts";
import { flowText, threeFigures, type UnitSystem } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import type { ToldProblem } from "../text/problem.ts";
import { heightText } from "../text/words.ts";

/** Lots of a table in one storm, and what they do to one another. */
export interface LotsTold {
  /** of the table's file, for the command that makes one lot's report */
  readonly table: string;
  readonly patternPath: string;
  /** names of the files beside the page: a row a lot, and a row a gutter or low spot */
  readonly files: { readonly lots: string; readonly streets: string };
  readonly pattern: Site;
  readonly storm: string;
  readonly keys: readonly string[];
  /** combinations of sizes that the works of each lot were chosen from; 0 where they stay as the table has them */
  readonly sized: number;
  readonly soils: number;
  readonly conductivityWithin: number;
  readonly lots: readonly { readonly lot: Lot; readonly result: LotResult }[];
  readonly gutters: readonly Gutter[];
  readonly rises: readonly NeighbourRise[];
  /** [m]; null where nothing was asked of neighbours */
  readonly within: number | null;
  /** what all pits within reach of one another soaked away, as their ledgers have it and as the mounds took it [m3] */
  readonly soaked: { readonly ledgers: number; readonly mounds: number };
  /** what years of rain do on them; null where they were not asked for */
  readonly years: { readonly length: number; readonly lots: ReadonlyMap<number, LotYears> } | null;
  /** of rows that cannot be run */
  readonly problems: readonly Pick<ToldProblem, "where" | "expected" | "got">[];
  readonly bad: number;
  readonly notes: readonly string[];
}

export const STATES: readonly LotState[] = ["holds", "lid opens", "spills", "not run"];

export const STATE_WORDS: Readonly<Record<LotState, string>> = {
  "holds": "holds",
  "lid opens": "the lid opens",
  "spills": "water comes out elsewhere",
  "not run": "not run",
};

export const DECIDERS: readonly Decider[] = ["soil", "water table", "room", "rain"];

/** The states of lots, counted. */
export function counted(lots: LotsTold["lots"]): Readonly<Record<LotState, number>> {
  return Object.fromEntries(STATES.map((state) => [state, lots.filter(({ result }) => result.state === state).length])) as Record<
    LotState,
    number
  >;
}

/** What happens on how many lots, in a sentence. */
export function lotsSentence({ lots, storm }: Pick<LotsTold, "lots" | "storm">): string {
  const count = counted(lots);
  const parts = [
    `${count.holds} ${count.holds === 1 ? "holds" : "hold"} it all`,
    ...(count["lid opens"] > 0 ? [`the lid opens on ${count["lid opens"]}`] : []),
    ...(count.spills > 0 ? [`water comes out elsewhere on ${count.spills}`] : []),
    ...(count["not run"] > 0 ? [`${count["not run"]} could not be run to the end`] : []),
  ];
  return `In the storm “${plainText(storm, 60)}”, of ${lots.length} ${lots.length === 1 ? "lot" : "lots"} ${parts.join(", ")}.`;
}

/** What would help most where water comes out, in a sentence; null where none comes out. */
export function decidesSentence({ lots }: Pick<LotsTold, "lots">): string | null {
  const told = lots.filter(({ result }) => result.decides !== null);
  if (told.length === 0) return null;
  const parts = DECIDERS.map((name) => [name, told.filter(({ result }) => result.decides === name).length] as const)
    .filter(([, count]) => count > 0)
    .sort((a, b) => b[1] - a[1])
    .map(([name, count]) => `${DECIDER_WORDS[name]} on ${count}`);
  return `Where water comes out, what would keep most of it in: ${parts.join("; ")}.`;
}

export const DECIDER_WORDS: Readonly<Record<Decider, string>> = {
  soil: "a more open soil",
  "water table": "a lower water table",
  room: "half as much room again",
  rain: "none of these alone",
};

/** Lots whose soil is worth a test before all others: those not tested yet on which it tells most. */
export function testFirst({ lots }: Pick<LotsTold, "lots">): readonly { readonly lot: Lot; readonly result: LotResult }[] {
  return lots
    .filter(({ lot, result }) => lot.tested !== true && result.testTells >= TELLS)
    .sort((a, b) => b.result.testTells - a.result.testTells || b.result.out.most - a.result.out.most);
}

/** Whether a test of the soil would tell something, in words. */
export function testWords({ lot, result }: LotsTold["lots"][number]): string {
  if (result.testTells === 0) return "nothing more";
  if (lot.tested === true) return "was made";
  return result.testTells >= TELLS ? "most: test first" : "something";
}

/** A test tells much where the less likely answer has three soils in ten. */
const TELLS = 0.3;

/**
 * How often in the years, in a sentence: on the middle lot and on the one where it is most often, each with its own soil. Null where no
 * lot's years came to their end.
 */
export function yearsSentence({ lots, years, pattern }: Pick<LotsTold, "lots" | "years" | "pattern">): string | null {
  if (years === null) return null;
  const hasLid = pattern.emitter !== null;
  const often = lots
    .flatMap(({ lot, result }) => {
      const its = years.lots.get(result.lot);
      const own = (hasLid ? its?.firingStorms : its?.spillStorms)?.own ?? NaN;
      return Number.isNaN(own) ? [] : [{ lot, own }];
    })
    .sort((a, b) => a.own - b.own);
  if (often.length === 0) return null;
  const [middle, most] = [often[Math.floor((often.length - 1) / 2)]!, often.at(-1)!];
  const what = hasLid ? "the lid lets out water" : "water comes out";
  const span = `In ${spanWords(years.length)} of rain`;
  if (most.own === 0) return `${span} ${hasLid ? "no lid lets out any" : "none comes out"} on any lot.`;
  if (often.length === 1) return `${span} ${what} in ${threeFigures(most.own)} storms a year.`;
  return `${span} ${what} in ${threeFigures(middle.own)} storms a year on the middle lot, and on “${plainText(most.lot.name, 40)}” in ${threeFigures(most.own)}, the most of all.`;
}

/** All that is said of a table in the terminal. */
export function lotsSentences(told: LotsTold): string[] {
  const { units } = told.pattern;
  const first = testFirst(told);
  const busiest = told.gutters.reduce<Gutter | null>((most, each) => (most === null || each.peak > most.peak ? each : most), null);
  const most = told.rises.reduce<NeighbourRise | null>((best, each) => (best === null || each.rise > best.rise ? each : best), null);
  const nameOf = (lot: number): string => told.lots.find(({ result }) => result.lot === lot)?.lot.name ?? String(lot);
  return [
    lotsSentence(told),
    decidesSentence(told),
    yearsSentence(told),
    first.length === 0 ? null : `Test the soil first on ${first.length}: ${firstNames(first, 5)}.`,
    busiest === null || busiest.peakTime === null ? null : busiestSentence(busiest, units),
    most === null ? null : riseSentence(nameOf(most.lot), most, units),
    told.bad === 0 ? null : `${told.bad} ${told.bad === 1 ? "row was" : "rows were"} not run; what is wrong with them stands above.`,
  ].filter((each) => each !== null);
}

/** `No. 3, No. 7 and 12 others` */
export function firstNames(lots: LotsTold["lots"], count: number): string {
  const names = lots.slice(0, count).map(({ lot }) => plainText(lot.name, 40));
  const others = lots.length - names.length;
  return `${names.join(", ")}${others === 0 ? "" : ` and ${others} ${others === 1 ? "other" : "others"}`}`;
}

export function busiestSentence({ name, peak, peakTime }: Gutter, units: UnitSystem): string {
  if (peakTime === null) return "No lid lets water out into a gutter or low spot.";
  return `The lids send “${plainText(name, 40)}” at most ${flowText(peak, units)}, ${momentText(peakTime)}.`;
}

export function riseSentence(lot: string, { rise }: NeighbourRise, units: UnitSystem): string {
  return `Neighbours' mounds lift the water table under “${plainText(lot, 40)}” by ${heightText(rise, units)}.`;
}
