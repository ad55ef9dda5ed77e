import { cakeShare } from "../ground/cakeShare.ts";
import { conductivityAt, soilProfile } from "../ground/soilProfile.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Load } from "../simulate/bodyInflows.ts";
import { oneLevel } from "../simulate/oneLevel.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { changedSite } from "../site/changedSite.ts";
import { seepagePath } from "../site/seepagePath.ts";
import type { Site } from "../site/site.ts";
import type { UpkeepFigures } from "../site/upkeep.ts";
import { type AssumedUpkeep, upkeepFigures } from "../site/upkeepFigures.ts";
import { optionReader } from "../text/optionReader.ts";
import { YEAR } from "../text/unitTable.ts";
import { type Cleaning, cleaningOf } from "./cleaning.ts";
import { coldDays, type ColdDays } from "./coldDays.ts";
import { solidsBook, type SolidsBook, sumOfBooks } from "./solidsBook.ts";
import { solidsIn, type SolidsPlace } from "./solidsIn.ts";
import { upkeepCalendar, type UpkeepTask } from "./upkeepCalendar.ts";
import { yearAnswer, type YearAnswer } from "./yearAnswer.ts";

export interface YearsOptions {
  /** what is asked of the works each year, one storm or more */
  readonly storms: readonly { readonly name: string; readonly load: Load }[];
  /** a record of rain, over whose flows the boxes' capture is taken; `yearlyShowers` where missing */
  readonly rain?: Hyetograph;
  /** whole years to look ahead, 1 to 100; 20 where missing */
  readonly years?: number;
}

/** The works at the end of a year. */
export interface YearState {
  /** since they were built; 0 is new */
  readonly year: number;
  /** of all boxes and the pit together */
  readonly solids: SolidsBook;
  /** cake of fine solids and leaves on the pit's floor [kg/m2] */
  readonly cake: number;
  /** `openFloorShare` of the pit under it; at ten times and at a tenth of the cake's resistance */
  readonly openFloorShare: number;
  readonly shareBand: { readonly low: number; readonly high: number };
  /** in the order of the storms */
  readonly answers: readonly YearAnswer[];
}

/** The years of a site under one way of looking after it, from new (year 0) to the last. */
export interface Course {
  /** [s], null: never cleaned */
  readonly cleanEvery: number | null;
  readonly years: readonly YearState[];
}

/** What becomes of the works in the years. */
export interface Years {
  readonly site: Site;
  readonly figures: UpkeepFigures;
  /** figures the file does not give */
  readonly assumed: readonly AssumedUpkeep[];
  readonly places: readonly SolidsPlace[];
  readonly cleaning: Cleaning;
  /** with the boxes cleaned, and with nobody looking after them */
  readonly cleaned: Course;
  readonly left: Course;
  readonly cold: ColdDays;
  /** share of the chambers' holes that may close before that matters in the first storm (`openingsToSpare`); null where not known */
  readonly holesToSpare: number | null;
  readonly calendar: readonly UpkeepTask[];
}

/**
 * Looks ahead over the years: solids settle in the boxes (`solidsIn`), fill their sumps and are taken out or washed on
 * (`sumpFilling`); what goes on lies on the pit's floor as a cake (`cakeShare`), and the storms are run on it each year. Once with
 * the boxes cleaned, once with nobody doing it; and the cold beside it.
 *
 * All that passes the boxes is taken to lie evenly on the pit's floor, on the safe side: some runs on to trench and emitter, and
 * most lies inside the chambers. Of it the fine solids and the leaves make the cake, grit lets water through. Leaves do not rot.
 * The pit's sides, the trench's floor and all holes and slits stay clean; `holesToSpare` says how much of the holes may close
 * before that is wrong. Each storm finds the works as they start a run.
 *
 * @throws InputError  for options that cannot be used, or as `simulate`
 * @throws StoppedRun  as `simulate`
 * @source   the loads are common practice or assumptions, each named in `assumed`; the laws say theirs
 */
export function years(site: Site, options: YearsOptions): Years {
  const read = optionReader("years", options, "The years cannot be run:");
  const count = read.number("years", { least: 1, most: 100, missing: 20 });
  if (!Number.isInteger(count) && !Number.isNaN(count)) read.problem("years", "a whole number of years");
  const storms = read.children("storms").map((storm) => {
    const [name, load] = [storm.raw("name"), storm.raw("load")];
    if (typeof name !== "string") storm.problem("name", "the storm's name, a text");
    // what it is, `simulate` says
    return { name: name as string, load: load as Load };
  });
  const rain = read.raw("rain") as Hyetograph | undefined;
  if (rain !== undefined && !(rain.depth instanceof Float64Array && rain.depth.some((depth) => depth > 0))) {
    read.problem("rain", "a record in which it rains, such as readRain makes", "none");
  }
  read.done();

  const { figures, assumed } = upkeepFigures(site);
  const places = solidsIn(site, figures, rain);
  const cleaning = cleaningOf(places, site.upkeep?.cleanEvery ?? null);
  const answersOf = (changed: Site, blocked: readonly string[]): YearAnswer[] => storms.map(({ name, load }) => (
    yearAnswer(name, settledRun(changed, load, { blocked }))
  ));
  const known = new Map<number, YearAnswer[]>();
  const stateAt = (year: number, cleanEvery: number | null): YearState => {
    const solids = sumOfBooks(places.map((place) => solidsBook(place, cleanEvery, year * YEAR)));
    const floor = floorUnder(site, figures, solids);
    const answers = known.get(floor.openFloorShare) ?? answersOf(withFloor(site, floor.openFloorShare), []);
    known.set(floor.openFloorShare, answers);
    return { year, solids, ...floor, answers };
  };
  const course = (cleanEvery: number | null): Course =>
    ({ cleanEvery, years: Array.from({ length: count + 1 }, (_, year) => stateAt(year, cleanEvery)) });
  const [cleaned, left] = [course(cleaning.every), course(null)];
  const cold = coldDays(site, figures, answersOf);
  const holesToSpare = openingsToSpare(settledRun(site, storms[0]!.load));
  const calendar = upkeepCalendar(site, cleaning, cleaned, left, cold);
  return { site, figures, assumed, places, cleaning, cleaned, left, cold, holesToSpare, calendar };
}

/** How far the resistance of a cake may be off, either way. */
const CAKE_DOUBT = 10;

function floorUnder(site: Site, figures: UpkeepFigures, { toPit }: SolidsBook): Pick<YearState, "cake" | "openFloorShare" | "shareBand"> {
  const { chamberBank: bank, soil, groundwater } = site;
  const cake = (toPit.fines + toPit.leaves) / (bank.length * bank.width);
  const share = (doubt: number): number => bank.openFloorShare * cakeShare({
    settled: cake * doubt, density: figures.cakeDensity, conductivity: figures.cakeConductivity,
    // both at 20 degC: cold thickens the water in soil and cake alike
    soilConductivity: conductivityAt(soilProfile(soil.layers, soil.factorOfSafety), bank.floor),
    path: seepagePath(groundwater, bank.width),
  });
  return { cake, openFloorShare: share(1), shareBand: { low: share(CAKE_DOUBT), high: share(1 / CAKE_DOUBT) } };
}

function withFloor(site: Site, openFloorShare: number): Site {
  if (openFloorShare === site.chamberBank.openFloorShare) return site;
  return changedSite(site, { chamberBank: { ...site.chamberBank, openFloorShare } });
}

/**
 * Share of the chambers' holes that silt and roots may close before the chambers stop sharing one level at a run's worst moment,
 * as `oneLevel` has it: more than 25 mm between the first and the last. How fast holes close is not known, so this says how much
 * there is to spare and not when it is used up.
 *
 * @returns  0 where they do not share one level when clean; null where no chamber says its openings or none stands in water
 */
export function openingsToSpare(run: Run): number | null {
  const matters = (clogged: number): boolean | null => oneLevel(run, { clogged })?.clogged.matters ?? null;
  const clean = matters(0);
  if (clean === null) return null;
  if (clean) return 0;
  let [open, closed] = [0, 1];
  // to a part in a thousand: the difference grows with every hole that closes
  while (closed - open > 1e-3) {
    const middle = (open + closed) / 2;
    if (matters(middle) === true) closed = middle;
    else open = middle;
  }
  return open;
}
