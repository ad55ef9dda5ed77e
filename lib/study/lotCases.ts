import type { Hyetograph } from "../rain/hyetograph.ts";
import { soilFactors } from "./soilFactors.ts";
import { COARSE_TOLERANCE } from "../simulate/runOptions.ts";
import { stormRuns } from "../simulate/stormRuns.ts";
import { variedSite } from "../simulate/variedSite.ts";
import { changedSite } from "../site/changedSite.ts";
import type { Site } from "../site/site.ts";
import { ANSWERS, rowFrom, type AnswerName } from "./answerRow.ts";
import type { Cases, Column } from "./cases.ts";
import { lotSite } from "./lotSite.ts";
import type { LotValue } from "./lotTable.ts";
import { resized, sizeProblems, type Sizes } from "./resized.ts";
import { readSite } from "../site/readSite.ts";
import { InputError } from "../text/problem.ts";
import { ANSWER_OF, isMet, priced, priceOf } from "./sizedDesign.ts";
import { sizePlan, type SizeOptions, type SizePlan } from "./sizeCases.ts";
import { withSealedFloors } from "./sidesOnly.ts";

/** Lots as plain data: a pattern, and what each changes in it. */
export interface LotsGiven {
  /** the pattern's file, as `lotPattern` makes it */
  readonly file: Readonly<Record<string, unknown>>;
  readonly keys: readonly string[];
  /** one list a lot, one value a key */
  readonly values: readonly (readonly LotValue[])[];
}

export interface LotsOptions {
  readonly storms: readonly { readonly name: string; readonly rain: Hyetograph }[];
  /** soils, at the middles of as many equal shares of what is likely; odd, so that the middle one is the lot's own */
  readonly soils: number;
  /** 95 of 100 soils lie within this factor */
  readonly conductivityWithin: number;
  /** end of each run [s]; as in `simulate` where missing */
  readonly until?: number;
  /** sizes every lot's works first: the smallest that do what is asked are run, or where none do those of the lot as given */
  readonly size?: SizeOptions;
}

export interface LotsStudy extends LotsGiven {
  readonly kind: "lots";
  readonly options: LotsOptions;
}

/** What is asked beside the soils: what keeps the water in, if anything does. */
export const WHAT_IF = ["waterTableFar", "moreRoom"] as const;

/** The pit with half as much room again. */
const MORE_ROOM = 1.5;

/**
 * A case for every lot, storm and state of it, in this order, the state fastest: a state for each soil, then those of WHAT_IF with the
 * lot's own soil. A row is the numbers of all three, the factor on the soil's conductivity, the design where works are sized, and
 * `ANSWERS` of the run with the tolerance of `COARSE_TOLERANCE`. A lot whose works cannot be built as asked, or whose run stops, is a
 * row with `stopped` 1.
 *
 * | state | what |
 * | --- | --- |
 * | 0 to soils - 1 | soils from the tightest to the most open |
 * | soils | the groundwater far below |
 * | soils + 1 | half as many chambers again in a pit as much longer, or a pit without chambers half as long again |
 */
export function lotCases({ file, keys, values, options: { storms, soils, conductivityWithin, until, size } }: LotsStudy): Cases {
  const states = soils + WHAT_IF.length;
  const perLot = storms.length * states;
  const factors = soilFactors(soils, conductivityWithin);
  const ends = until === undefined ? {} : { until };
  let known: KnownLot | null = null;
  const worksOf = lotWorks({ file, keys, values }, size);
  const knownOf = (lot: number): KnownLot => {
    const { site, design } = worksOf(lot);
    return { lot, site, design, runs: storms.map(({ rain }) => stormRuns(site, rain, { tolerance: COARSE_TOLERANCE, ...ends })) };
  };
  return {
    columns: LOT_COLUMNS,
    count: values.length * perLot,
    chunk: perLot,
    row(index) {
      const lot = Math.floor(index / perLot);
      const storm = Math.floor((index % perLot) / states);
      const state = index % states;
      // all cases of one lot come in a row
      if (known?.lot !== lot) known = knownOf(lot);
      const { site, design, runs } = known;
      const factor = factors[state] ?? 1;
      const works =
        state === soils
          ? withoutTable(site)
          : state === soils + 1
            ? withMoreRoom(site)
            : factor === 1
              ? site
              : variedSite(site, { conductivityFactor: factor });
      return [lot, storm, state, factor, design, ...(works === null ? STOPPED : rowFrom(() => runs[storm]!(works, 1), 0))];
    },
  };
}

/** The works of lots by their numbers: as given, or the smallest that do what is asked. */
export function lotWorks({ file, keys, values }: LotsGiven, size: SizeOptions | undefined): (lot: number) => LotWorks {
  const pattern = { file, site: readSite({ ...file, name: "pattern" }) };
  return (lot) => {
    const given = lotSite(pattern, keys, values[lot]!, `lot ${lot}`);
    const smallest = size === undefined ? null : smallestWorks(given, size);
    return { site: smallest?.site ?? given, design: smallest?.design ?? NaN };
  };
}

interface LotWorks {
  readonly site: Site;
  /** which of the sizes asked for; NaN where none was asked for, or none will do */
  readonly design: number;
}

interface KnownLot extends LotWorks {
  readonly lot: number;
  readonly runs: readonly ReturnType<typeof stormRuns>[];
}

/** The answers of works that cannot be built so. */
const STOPPED: readonly number[] = ANSWERS.map(({ name }) => (name === "stopped" ? 1 : NaN));

/** Of a row of `lotCases`. */
export const LOT_COLUMNS: readonly Column[] = [
  { name: "lot", unit: "" },
  { name: "storm", unit: "" },
  { name: "state", unit: "" },
  { name: "conductivityFactor", unit: "" },
  { name: "design", unit: "" },
  ...ANSWERS,
];

/** The groundwater far below everything. */
function withoutTable(site: Site): Site {
  const { groundwater, chamberBank, overflowTrench, lowSpot } = site;
  return changedSite(site, {
    groundwater: { ...groundwater, level: null, mounding: null },
    chamberBank: { ...chamberBank, groundwaterLevel: null },
    overflowTrench: overflowTrench === null ? null : { ...overflowTrench, groundwaterLevel: null },
    lowSpot: lowSpot === null ? null : { ...lowSpot, groundwaterLevel: null },
  });
}

/** Null where a pit of that size does not fit. */
function withMoreRoom(site: Site): Site | null {
  const { chamberBank } = site;
  const count = chamberBank.chambers.reduce((sum, each) => sum + each.count, 0);
  if (count > 0) {
    const sizes = { chambers: Math.ceil(MORE_ROOM * count) };
    return sizeProblems(site, sizes).length > 0 ? null : resized(site, sizes);
  }
  return changedSite(site, { chamberBank: { ...chamberBank, length: MORE_ROOM * chamberBank.length } });
}

/** The works of a lot in the first of some sizes that does what is asked. */
interface SmallestWorks {
  /** its place among the combinations of the steps, the last named size fastest */
  readonly design: number;
  readonly sizes: Sizes;
  readonly site: Site;
}

/**
 * The smallest works, or with prices the cheapest, of the steps that do what is asked: designs are run from the least price up until one
 * does, so that of the combinations `size` would run only some are. Between the steps nothing is sought, and no room is looked for.
 *
 * @param options  as in `size`
 * @returns        the design that `size` calls `ofSteps`; null where none does, or a size cannot be built with this site
 */
export function smallestWorks(site: Site, options: SizeOptions): SmallestWorks | null {
  const plan = planOf(site, options);
  if (plan === null) return null;
  const designs = plan.sizes.map((sizes, design) => {
    const works = plan.siteOf(sizes);
    return { design, sizes, site: works, ...priced(plan, works) };
  });
  designs.sort((a, b) => priceOf(a) - priceOf(b) || a.dug - b.dug);
  const { storms, criteria, sidesOnly, rowOf } = plan;
  const runs = storms.flatMap(({ runs: of }, storm) => of.map(() => storm));
  const found = designs.find((design) => {
    const works = sidesOnly ? withSealedFloors(design.site) : design.site;
    return runs.every((storm, run) => {
      const row = rowOf(works, run);
      const reached = (asked: AnswerName): number => row[ANSWERS.findIndex(({ name }) => name === asked)]!;
      return criteria.every((each) => each.storm !== storm || isMet(each, reached(ANSWER_OF[each.asks])));
    });
  });
  return found === undefined ? null : { design: found.design, sizes: found.sizes, site: found.site };
}

/** What works of one lot can be, those of another cannot: a size that does not fit is no fault of the study. */
function planOf(site: Site, options: SizeOptions): SizePlan | null {
  try {
    return sizePlan(site, options);
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}
