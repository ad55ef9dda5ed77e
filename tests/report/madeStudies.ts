// Results of studies put together by hand, one for each thing their sentences may have to say; the figures are invented.
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { ANSWERS, type AnswerName } from "../../lib/study/answerRow.ts";
import type { DrawnName } from "../../lib/study/ensembleCases.ts";
import type { HowSure, Quantiles } from "../../lib/study/howSure.ts";
import { valueAt, type Exceeded } from "../../lib/study/exceeded.ts";
import type { HowOften } from "../../lib/study/often.ts";
import { tellableYears, type Banded } from "../../lib/study/onceIn.ts";
import type { Sizes } from "../../lib/study/resized.ts";
import type { SizedDesign, Sizing } from "../../lib/study/size.ts";
import type { ReachedState } from "../../lib/study/siteState.ts";
import type { Critical, Sweep, SweepCell, SweepRow } from "../../lib/study/sweep.ts";
import { upkeepCalendar } from "../../lib/upkeep/upkeepCalendar.ts";
import type { YearAnswer } from "../../lib/upkeep/yearAnswer.ts";
import { years as yearsOf, type Course, type Years } from "../../lib/upkeep/years.ts";
import { changed, demo, fixture } from "../site/siteFiles.ts";

export const sites = {
  house: readSite(demo("copperbeech-lane")),
  row: readSite(demo("linden-row")),
  bare: readSite(fixture("tested-soil")),
  hollow: readSite(demo("hazelbank-lower-bench")),
  boxes: readSite(fixture("two-boxes")),
  drowned: readSite(changed(demo("sedge-hollow"), "groundwater.level", "45 ft")),
  noEmitter: readSite(changed(fixture("orchard-depot"), "emitter", undefined)),
};

const HOUR = 3600;
const emptyTable = { columns: [], count: 0, values: new Float64Array() };

export function design(
  site: Site, sizes: Sizes, dug: number, reached: readonly number[], met: readonly boolean[], cost: number | null = null,
): SizedDesign {
  const decided = reached.map(() => ({ rain: hyetograph({ time: [0, 1], depth: [0] }), duration: null, edge: null, dayBefore: null }));
  const fit = { site, held: { along: 0, across: 0 }, fits: null, faults: [] } as const;
  const [margins, trenchPeaks] = [reached.map(() => 0), reached.map(() => NaN)];
  return { site, sizes, dug, cost, reached, met, decided, fit, letOut: 0, margins, trenchPeaks };
}

export const ASKED: Sizing["criteria"] = [
  { storm: 0, asks: "noFiring", limit: 0 }, { storm: 0, asks: "emptyWithin", limit: 48 * HOUR }, { storm: 1, asks: "noSpill", limit: 0 },
  { storm: 1, asks: "halfEmptyWithin", limit: 20 * HOUR }, { storm: 1, asks: "emitterVolumeAtMost", limit: 0.5 }, { storm: 1, asks: "boxHeadroom", limit: 0.15 },
];
const MET = [0, 30 * HOUR, 0, 9 * HOUR, 0.2, 0.4];

export function sizing(site: Site, made: Partial<Sizing> = {}): Sizing {
  const designs = [
    design(site, { chambers: 2, stoneBase: 0.1 }, 20, [0.7, 30 * HOUR, 0, 9 * HOUR, 0.9, 0.05], [false, true, true, true, false, false]),
    design(site, { chambers: 3, stoneBase: 0.1 }, 25, MET, MET.map(() => true)),
    design(site, { chambers: 4, stoneBase: 0.1 }, 30, MET, MET.map(() => true)),
  ];
  return {
    site, designs, storms: ["2 year, 1 h, block", "design <day>"], rains: [[{ duration: 3600, depth: 0.03 }], [{ duration: 86_400, depth: 0.08 }]], criteria: ASKED, prices: null, sidesOnly: false, best: designs[1]!,
    binding: [{ size: "chambers", design: designs[0]!, misses: [0, 4, 5] }],
    asDrawn: designs[2]!, ofSteps: designs[1]!, sought: [{ size: "chambers", from: 2, to: 4 }], sealed: null, sealedToo: false, roomless: null, largest: null, limits: [], elsewhere: [],
    front: [], never: [], apart: [], rulesOfThumb: [], stopped: 0, table: emptyTable, ...made,
  };
}

/** Answers of one storm: nothing happens but what is given. */
export function answers(given: Partial<Record<AnswerName, number>> = {}): Record<AnswerName, number> {
  const quiet = Object.fromEntries(ANSWERS.map(({ name }) => [name, 0])) as Record<AnswerName, number>;
  const rise = { pitPeak: 47.3, boxHeadroom: 0.6, trenchPeak: 47.6, half: 5 * HOUR, empty: 20 * HOUR };
  return { ...quiet, ...rise, firstFiring: NaN, inflow: 4, seeped: 4, ...given };
}

const stopped = Object.fromEntries(ANSWERS.map(({ name }) => [name, name === "stopped" ? 1 : NaN])) as Record<AnswerName, number>;

type Given = Partial<Record<AnswerName, number>>;

export function cell(returnPeriod: string, duration: string, depth: number, state: ReachedState | null, given: Given = {}): SweepCell {
  return { returnPeriod, duration, depth, state: state ?? "dry", answers: state === null ? stopped : answers(given) };
}

/** The worst of every answer as the study finds it, of cells that all have it. */
export function sweepRow(cells: readonly SweepCell[]): SweepRow {
  const worst = (name: AnswerName, sign: 1 | -1, counts: (value: number) => boolean): Critical | null => cells
    .filter(({ answers: { [name]: value, stopped: halted } }) => halted === 0 && counts(value))
    .map(({ duration, answers: { [name]: value } }): Critical => ({ duration, value }))
    .sort((a, b) => sign * (b.value - a.value))[0] ?? null;
  const [some, known] = [(value: number): boolean => value > 0, (value: number): boolean => !Number.isNaN(value)];
  return {
    returnPeriod: cells[0]!.returnPeriod, cells,
    critical: {
      pitPeak: worst("pitPeak", 1, known), boxHeadroom: worst("boxHeadroom", -1, known), emitterVolume: worst("emitterVolume", 1, some),
      emitterPeak: worst("emitterPeak", 1, some), firstFiring: worst("firstFiring", -1, known), spilled: worst("spilled", 1, some),
      half: worst("half", 1, known), empty: worst("empty", 1, known),
    },
  };
}

export function sweepOf(site: Site, rows: readonly (readonly SweepCell[])[], made: Partial<Sweep> = {}): Sweep {
  return {
    designs: [{ name: "as the site file has it", site, rows: rows.map(sweepRow) }], durations: rows[0]!.map(({ duration }) => duration),
    rainTimes: 1, table: emptyTable, stopped: 0, ...made,
  };
}

const FIRES = { emitterVolume: 1.3, openTime: 900, firstFiring: 40 * 60, emitterPeak: 0.002, pitPeak: 48.05, boxHeadroom: 0.2 };
export const cells = {
  fills: (period: string, duration: string, depth: number) => cell(period, duration, depth, "filling"),
  fires: (period: string, duration: string, depth: number, more: Given = {}) => cell(period, duration, depth, "emitter firing", { ...FIRES, ...more }),
  spills: (period: string, duration: string, depth: number, more: Given = {}) => (
    cell(period, duration, depth, "out at the surface", { ...FIRES, spilled: 0.4, boxHeadroom: -0.02, ...more })
  ),
  stopped: (period: string, duration: string, depth: number) => cell(period, duration, depth, null),
};

export function sure(site: Site, made: {
  readonly firing?: number; readonly spilling?: number; readonly stopped?: number; readonly worth?: HowSure["worth"];
  readonly swings?: readonly (readonly [DrawnName, number, number])[];
  readonly answers?: Partial<Record<AnswerName, Quantiles>>;
} = {}): HowSure {
  const run = simulate(site, hyetograph({ time: [0, HOUR], depth: [0.03] }), { until: 30 * HOUR });
  const peak = site.chamberBank.floor + 1.2;
  const time = Float64Array.from([0, 6, 12, 18, 24, 30], (hour) => hour * HOUR);
  const emits = (made.firing ?? 0) > 0.02;
  const known: Partial<Record<AnswerName, Quantiles>> = {
    pitPeak: [peak - 0.2, peak - 0.1, peak, peak + 0.1, peak + 0.2], boxHeadroom: [-0.01, 0.2, 0.3, 0.4, 0.5],
    emitterVolume: [0, 0, 0.2, 0.6, 1.4], openTime: [0, 0, 300, 900, 1800], firstFiring: [2400, 2600, 3000, null, null],
    spilled: [0, 0, 0, 0, 0.1], half: [HOUR, 2 * HOUR, 5 * HOUR, 9 * HOUR, 20 * HOUR],
    empty: [5 * HOUR, 9 * HOUR, 20 * HOUR, 30 * HOUR, null],
  };
  const table = { columns: [], count: 1000, values: new Float64Array() };
  const share = (of: number) => ({ share: of, standardError: of === 0 || of === 1 ? 0.001 : Math.sqrt((of * (1 - of)) / 1000) });
  return {
    run, asMeasured: run, soil: { within: 3, from: "asked", drawn: "together" }, worth: made.worth ?? [{ drawn: "conductivityFactor", narrows: 0.4, byOne: 0.1 }],
    table, stopped: made.stopped ?? 0, firing: share(made.firing ?? 0), spilling: share(made.spilling ?? 0),
    answers: { ...known, ...made.answers } as Record<AnswerName, Quantiles>,
    swings: (made.swings ?? [["conductivityFactor", 1, -1]]).map(([drawn, low, high]) => ({
      drawn,
      low: Number.isNaN(low) ? stopped : answers({ emitterVolume: emits ? 2 + low : 0, pitPeak: peak + low / 10 }),
      high: Number.isNaN(high) ? stopped : answers({ emitterVolume: emits ? 2 + high : 0, pitPeak: peak + high / 10 }),
    })),
    fan: {
      time,
      levels: [-0.2, -0.1, 0, 0.1, 0.19].map((off) => (
        Float64Array.from(time, (at) => (at === 0 ? run.level("chamberBank", 0) : peak + off - at / HOUR / 100))
      )),
    },
  };
}

type MadeOften = Omit<Partial<HowOften>, "average"> & { readonly average?: Partial<HowOften["average"]> };

export function often(site: Site, made: MadeOften = {}): HowOften {
  const { average = {}, ...others } = made;
  const exceeded = (least: number, step: number): Exceeded[] => (
    Array.from({ length: 30 }, (_, i) => ({ returnPeriod: 30.12 / (i + 0.56), value: least + step * (30 - i) }))
  );
  const floor = site.chamberBank.floor;
  const stormVolume = made.stormVolume ?? exceeded(0, site.emitter === null || (average.emitterVolume ?? 0) === 0 ? 0 : 0.1);
  const peak = made.peak ?? exceeded(floor + 0.5, 0.04);
  const banded = (points: readonly Exceeded[], years: number): Banded => {
    const value = valueAt(points, years);
    return { value, low: value - 0.04 * value ** 0.25, high: value + 0.05 * value ** 0.25 };
  };
  return {
    once: peak.length === 0 ? [] : tellableYears(made.years ?? 30)
      .map((years) => ({ years, stormVolume: banded(stormVolume, years), peak: banded(peak, years) })),
    byRule: null, tableStorms: [], rain: { from: "table", beside: [], notes: [] },
    site, table: emptyTable, stopped: 0, years: 30,
    average: {
      firingStorms: 0, spillStorms: 0, emitterVolume: 0, spilled: 0, inflow: 160, emitterShare: 0, spilledShare: 0, open: 0,
      aboveHalf: 0.012, wet: 0.31, ...average,
    },
    longestWet: 200 * HOUR,
    soils: [{ conductivityFactor: 1, firingStorms: average.firingStorms ?? 0, emitterVolume: average.emitterVolume ?? 0 }],
    stormVolume, peak,
    ...others,
  };
}

/** Two years of a site in a small storm, with what the pit's water does put in by hand: new, cleaned and left alone at the end. */
export function years(site: Site, [fresh, cleaned, left]: readonly [Partial<YearAnswer>, Partial<YearAnswer>, Partial<YearAnswer>]): Years {
  const made = yearsOf(site, { storms: [{ name: "cloudburst", load: hyetograph({ time: [0, HOUR], depth: [0.02] }) }], years: 2 });
  const quiet: YearAnswer = {
    storm: "cloudburst", full: 5 * HOUR, half: 8 * HOUR, empty: 30 * HOUR, rest: "floor", never: null, pitPeak: site.chamberBank.floor + 1,
    boxPeak: site.settlingBoxes[0]!.rim - 0.4, emitter: 0, surface: 0, outAt: null, overTrench: 0, lifted: [], until: 300 * HOUR,
  };
  const course = ({ cleanEvery, years: states }: Course, end: Partial<YearAnswer>): Course => ({
    cleanEvery, years: states.map((state, year) => ({ ...state, answers: [{ ...quiet, ...(year === 0 ? fresh : end) }] })),
  });
  const result = { ...made, cleaned: course(made.cleaned, cleaned), left: course(made.left, left) };
  return {
    ...result,
    cold: {
      ...made.cold,
      storms: [{ asGiven: { ...quiet, ...fresh }, coldWater: { ...quiet, ...cleaned }, frozenGround: null, lidIced: null }],
    },
    calendar: upkeepCalendar(site, result.cleaning, result.cleaned, result.left, made.cold),
  };
}
