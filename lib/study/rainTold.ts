import { greatestOf } from "../numerics/extremes.ts";
import { annualMaxima } from "../rain/storms/greatestDepth.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { wholeYears, YEAR } from "../text/unitTable.ts";
import type { OftenPlan } from "./oftenCases.ts";
import { onceIn, tellableYears, type Banded } from "./onceIn.ts";

/** The rain of the years: what it is made of, and how it stands to the place's table. */
export interface RainTold {
  readonly from: OftenPlan["from"];
  /** depths that one of a number of years reaches, by duration [s] and years; null where there is no table, or the years are too few */
  readonly beside: readonly { readonly duration: number; readonly years: number; readonly table: number; readonly fell: Banded }[];
  /** what the years cannot tell, or was assumed of the table: sentences */
  readonly notes: readonly string[];
}

/** Records that are held against the table at most: years of rain [years]. */
const MOST_YEARS = 3000;

export function rainTold({ records, recordOf, from, frequency }: OftenPlan, hasRainfall: boolean): RainTold {
  const rains: Hyetograph[] = [];
  let years = 0;
  for (let r = 0; r < records && years < MOST_YEARS; r++) {
    const rain = recordOf(r);
    rains.push(rain);
    years += wholeYears(lengthOf(rain));
  }
  return { from, beside: besideTable(rains, years, from, frequency), notes: notesOf(rains, from, frequency, hasRainfall) };
}

function besideTable(
  rains: readonly Hyetograph[], years: number, from: RainTold["from"], frequency: OftenPlan["frequency"],
): RainTold["beside"] {
  if (frequency === null) return [];
  const { durations, returnPeriods, rateOf } = frequency;
  // what is finer than a record's intervals is not in it
  const coarse = from === "record" ? greatestOf(rains.map(intervalOf)) : 0;
  const shown = durations.map((duration, which) => ({ duration, which })).filter(({ duration }) => duration >= coarse * (1 - 1e-9));
  // a year is counted by its largest: whatever the table counts, its rate is that of the same years
  const asked = tellableYears(years).filter((each) => (
    -Math.log1p(-1 / each) >= rateOf(returnPeriods.at(-1)!) * (1 - 1e-9)));
  if (asked.length === 0) return [];
  const maxima = rains.map((rain) => annualMaxima(rain, shown.map(({ duration }) => duration), wholeYears(lengthOf(rain))));
  return shown.flatMap(({ duration, which }, k) => {
    const fell = onceIn(maxima.flatMap((of) => of[k]!.map((depth) => [depth])), asked);
    return asked.flatMap((each, i) => {
      const rate = -Math.log1p(-1 / each);
      return fell[i] === null ? [] : [{ duration, years: each, table: frequency.depth(which, rate, FREQUENT), fell: fell[i]! }];
    });
  });
}

/** More often than any rate asked for. */
const FREQUENT = 1e6;

function notesOf(rains: readonly Hyetograph[], from: RainTold["from"], frequency: OftenPlan["frequency"], hasRainfall: boolean): string[] {
  const notes: string[] = [];
  if (from === "climate") {
    notes.push(`These years are made of three averages of the place${hasRainfall
      ? ", as its rainfall has one return period only" : ", without a table of its rain"}: there are no cloudbursts in them.`);
  }
  if (frequency !== null && !frequency.isSeriesSaid) {
    notes.push("The table does not say what its return periods are of: they are taken as those of the largest of each year (“series”: “annual-maximum”).");
  }
  if (from !== "record") return notes;
  const coarse = greatestOf(rains.map(intervalOf));
  if (coarse > 900 * (1 + 1e-9)) {
    notes.push(`The record tells its rain by intervals of ${Math.round(coarse / 60)} min: cloudbursts within them are evened out, so that a lid opens less often here, and lets out less, than in truth.`);
  }
  const years = rains.reduce((sum, rain) => sum + lengthOf(rain) / YEAR, 0);
  if (years < 10) notes.push(`A record of less than ten years tells averages; of what comes once in several years it tells little.`);
  return notes;
}

function lengthOf({ time }: Hyetograph): number {
  return time.at(-1)! - time[0]!;
}

/** The length of a record's wet intervals: of half of them at most [s]. */
function intervalOf({ time, depth }: Hyetograph): number {
  const wet = Float64Array.from([...depth].flatMap((each, i) => (each > 0 ? [time[i + 1]! - time[i]!] : []))).sort();
  return wet[Math.floor(wet.length / 2)] ?? 0;
}
