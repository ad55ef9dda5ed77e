import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { ANSWERS, type AnswerName } from "./answerRow.ts";
import { LOT_COLUMNS, WHAT_IF, type LotsStudy } from "./lotCases.ts";
import type { Rows } from "./runStudy.ts";
import { lotSite, type LotPattern } from "./lotSite.ts";
import { lotPit, type Lot, type LotValue } from "./lotTable.ts";
import type { Sizes } from "./resized.ts";
import { sizePlan } from "./sizeCases.ts";

/** Whether the works hold a storm: nothing comes out, the lid lets some out, or water comes out elsewhere. */
export type LotState = "holds" | "lid opens" | "spills" | "not run";

/** What would keep most of the water in that comes out: another soil, a lower water table, more room; or nothing of these alone. */
export type Decider = "soil" | "water table" | "room" | "rain";

/** An answer with the lot's own soil, and the least and greatest of all its soils; NaN where a run has none. */
export interface Banded {
  readonly own: number;
  readonly least: number;
  readonly most: number;
}

/** One lot in one storm. */
export interface LotResult {
  readonly lot: number;
  readonly storm: number;
  readonly state: LotState;
  readonly answers: Readonly<Record<Exclude<AnswerName, "stopped">, Banded>>;
  /** what comes out at lid and surface together [m3] */
  readonly out: Banded;
  /** shares of the soils in which nothing comes out, and in which none comes out elsewhere than at the lid */
  readonly holds: number;
  readonly spillsNot: number;
  /** null where nothing comes out with the lot's own soil */
  readonly decides: Decider | null;
  /** share of the water that comes out which that would keep in */
  readonly keeps: number;
  /** 0 to 1/2: how far it hangs on the soil alone whether the works hold, or spill; a test of the soil tells most at 1/2 */
  readonly testTells: number;
  /** which of the sizes asked for it has; null where none were asked for, or none will do */
  readonly design: number | null;
  /** runs of the lot that could not go on */
  readonly stopped: number;
}

/** Less than a tenth of a litre is no water [m3]. */
const NOTHING = 1e-4;
/** What keeps in less than a tenth of the water decides nothing. */
const DECIDES = 0.1;

/**
 * Results of lots from their rows, as soon as those of a lot are all there: rows are taken in their order, and nothing of them is kept.
 *
 * @param soils  of the study
 * @returns      takes rows that follow one another; gives a result for every lot and storm that they complete
 */
export function lotResults(soils: number): (rows: Rows) => LotResult[] {
  const states = soils + WHAT_IF.length;
  const width = LOT_COLUMNS.length;
  let held: number[] = [];
  return ({ values }) => {
    const found: LotResult[] = [];
    for (let at = 0; at < values.length; at += width) {
      for (let i = 0; i < width; i++) held.push(values[at + i]!);
      if (held.length < states * width) continue;
      found.push(resultOf(held, soils));
      held = [];
    }
    return found;
  };
}

const BEFORE = LOT_COLUMNS.length - ANSWERS.length;
const DESIGN = LOT_COLUMNS.findIndex(({ name }) => name === "design");
type Told = Exclude<AnswerName, "stopped">;
const TOLD = ANSWERS.map(({ name }) => name as AnswerName).filter((name): name is Told => name !== "stopped");

function resultOf(rows: readonly number[], soils: number): LotResult {
  const width = LOT_COLUMNS.length;
  const answer = (state: number, name: AnswerName): number =>
    rows[state * width + BEFORE + ANSWERS.findIndex((each) => each.name === name)]!;
  const own = (soils - 1) / 2;
  const band = (value: (state: number) => number): Banded => {
    const values = Array.from({ length: soils }, (_, state) => value(state)).filter((each) => !Number.isNaN(each));
    return { own: value(own), least: values.length === 0 ? NaN : leastOf(values), most: values.length === 0 ? NaN : greatestOf(values) };
  };
  const outOf = (state: number): number => answer(state, "emitterVolume") + answer(state, "spilled");
  const all = Array.from({ length: soils }, (_, state) => state).filter((state) => answer(state, "stopped") === 0);
  const share = (is: (state: number) => boolean): number => (all.length === 0 ? NaN : all.filter(is).length / all.length);
  const holds = share((state) => outOf(state) <= NOTHING);
  const spillsNot = share((state) => answer(state, "spilled") <= NOTHING);
  const ran = answer(own, "stopped") === 0;
  const out = outOf(own);
  const kept: readonly (readonly [Decider, number])[] = (
    [
      ["soil", soils - 1],
      ["water table", soils],
      ["room", soils + 1],
    ] as const
  ).map(([name, state]) => [name, 1 - outOf(state) / out] as const);
  const [best, keeps] = kept.reduce((most, each) => (each[1] > most[1] ? each : most), ["rain", 0] as readonly [Decider, number]);
  const isIn = !ran || out <= NOTHING;
  return {
    lot: rows[0]!,
    storm: rows[1]!,
    out: band(outOf),
    holds,
    spillsNot,
    state: !ran ? "not run" : out <= NOTHING ? "holds" : answer(own, "spilled") > NOTHING ? "spills" : "lid opens",
    answers: Object.fromEntries(TOLD.map((name) => [name, band((state) => answer(state, name))])) as LotResult["answers"],
    decides: isIn ? null : keeps < DECIDES ? "rain" : best,
    keeps: isIn ? 0 : Math.max(0, keeps),
    design: Number.isFinite(rows[DESIGN]) ? rows[DESIGN]! : null,
    testTells: all.length === 0 ? 0 : Math.max(Math.min(holds, 1 - holds), Math.min(spillsNot, 1 - spillsNot)),
    stopped: Array.from({ length: soils + WHAT_IF.length }, (_, state) => answer(state, "stopped")).reduce((sum, each) => sum + each, 0),
  };
}

/** Lots with the sizes that were found for them as values of their own, as a table would give them. */
interface SizedLots {
  readonly keys: readonly string[];
  readonly lots: readonly Lot[];
  /** combinations of sizes there were to choose from; 0 where works were not sized */
  readonly steps: number;
}

/** The lots of a study that sized them, in the sizes of its results; as they are where it did not. */
export function sizedLots(
  pattern: LotPattern,
  { keys, options: { size } }: LotsStudy,
  lots: readonly Lot[],
  results: readonly LotResult[],
): SizedLots {
  if (size === undefined) return { keys, lots, steps: 0 };
  const { sizes } = sizePlan(pattern.site, size);
  const varied = Object.keys(sizes[0]!) as (keyof Sizes)[];
  const own = [...new Set([...keys, ...varied])];
  const designs = new Map(results.map(({ lot, design }) => [lot, design]));
  return {
    keys: own,
    steps: sizes.length,
    lots: lots.map((lot, i): Lot => {
      const design = designs.get(i) ?? null;
      const values = own.map((key, k): LotValue => {
        const size = design === null || !varied.includes(key as keyof Sizes) ? undefined : sizes[design]![key as keyof Sizes];
        if (size === undefined) return k < keys.length ? lot.values[k]! : null;
        return key === "chambers" ? size : `${size} m`;
      });
      return { ...lot, values, pit: lotPit(lotSite(pattern, own, values, lot.name)) };
    }),
  };
}
