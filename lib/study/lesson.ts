import { timeAbove } from "./placement.ts";
import { capillaryRise } from "../ground/capillaryRise.ts";
import { moundRiseLinear } from "../ground/mound/moundRise.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { waterAtWall, type WaterAtWall } from "../ground/waterAtWall.ts";
import { designStorm } from "../rain/storms/designStorm.ts";
import { stochasticRain } from "../rain/storms/stochasticRain.ts";
import { rainToFill } from "../simulate/rainToFill.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { simulate } from "../simulate/simulate.ts";
import { readSite } from "../site/readSite.ts";
import { YEAR } from "../text/unitTable.ts";

/** Where the works of the lesson stand, and which of the two causes are there. */
export interface LessonState {
  /** steps of a quarter of a metre up the slope from its foot, 0 to 10: there the house is nearest */
  readonly place: number;
  /** a water table under the slope; without it groundwater is far below */
  readonly groundwater: boolean;
  /** the slope's own water runs into the hollow at its foot */
  readonly runOn: boolean;
}

/** The highest place. */
export const TOP_PLACE = 10;

/** The lesson's slope, seen from the side; lengths along it from the middle of a pit at its foot [m]. */
export const slope: Readonly<Record<"perPlace" | "run" | "wall" | "cellar" | "tableFall" | "house", number>> = Object.freeze({
  /** up, and along, for a step */
  perPlace: 0.25, run: 2.5,
  /** the house's wall, its ground's height over the foot, and the level of its cellar floor */
  wall: 30, house: 2.5, cellar: 19.9,
  /** rise of the water table along the slope, for a metre of the ground's */
  tableFall: 0.35,
});

/** How deep the lesson's pit is: the depth of its stone [m]. */
export const LESSON_DEEP = 1.5;

/**
 * The site of the lesson at a state, as a site file: an invented school's slope, the same works at every place. At the foot they
 * stand beside the hollow, with a grate in it over the pit's stone; higher up nothing joins them to it. The water table rises up the
 * slope less than the ground does, as water tables under slopes do (common practice).
 *
 * @throws RangeError  for a place that the slope does not have
 */
export function lessonFile({ place, groundwater, runOn }: LessonState): Readonly<Record<string, unknown>> {
  if (!(Number.isInteger(place) && place >= 0 && place <= TOP_PLACE)) {
    throw new RangeError(`place: expected a whole number from 0 to ${TOP_PLACE}, got ${place}`);
  }
  const up = place * slope.perPlace;
  const at = (level: number): string => `${Number((level + up).toFixed(3))} m`;
  const isAtFoot = place === 0;
  const joined = isAtFoot ? { spillsTo: "lowSpot" } : {};
  return {
    name: "The lesson's slope",
    about: "An invented slope of an invented school. Levels above its own datum.",
    catchments: [
      { name: "classroom roof", area: "240 m^2", runoffCoefficient: 0.92, timeOfConcentration: "6 min" },
      ...(runOn ? [{ name: "slope above the hollow", area: "1400 m^2", curveNumber: 77, timeOfConcentration: "18 min", drainsTo: "lowSpot" }] : []),
    ],
    settlingBox: {
      length: "0.8 m", width: "0.6 m", floor: at(18.25), rim: at(20.15),
      outlet: { diameter: "110 mm", invert: at(19.15), outletInvert: at(19), length: "6 m", manningN: 0.011 },
    },
    chamberBank: {
      floor: at(17.8), length: "5 m", width: "2.6 m", ground: at(20), stone: { depth: `${LESSON_DEEP} m`, porosity: 0.4, base: "0.15 m" },
      chambers: [{ count: 4, insideDiameter: "0.75 m", outsideDiameter: "0.8 m", height: "1.2 m", wallOpenings: { share: 0.02 }, gap: "0.3 m" }], ...joined,
    },
    overflowTrench: {
      floor: at(18.9), fall: "0.15 m", length: "20 m", width: "0.5 m", ground: at(19.85), stone: { depth: "0.5 m", porosity: 0.4 },
      pipe: { insideDiameter: "100 mm", outsideDiameter: "113 mm", bedding: "50 mm" },
      inlet: { diameter: "110 mm", invert: at(18.97), length: "2 m", manningN: 0.011 }, ...joined,
    },
    emitter: { crest: at(19.45), diameter: "100 mm", opensAtHead: "14 mm", closesAtHead: "4 mm", dischargesTo: "lowSpot" },
    lowSpot: {
      floor: "19.40 m", depth: "0.2 m", area: "70 m^2", lip: "19.78 m", lipLength: "2.5 m", conductivity: "9 mm/h",
      ...(isAtFoot ? { grate: { level: "19.50 m", perimeter: "1.6 m", area: "0.08 m^2" } } : {}),
    },
    soil: { layers: [{ top: at(20), conductivity: "9 mm/h" }, { top: at(19), conductivity: "36 mm/h" }], factorOfSafety: 2 },
    ...(groundwater ? { groundwater: { level: WEEK.map(([hours, level]) => ({ time: `${hours} h`, level: `${tableAt(level, up).toFixed(4)} m` })) } } : {}),
  };
}

/** The water table at the slope's foot in the week of the storm, and in the months of a year [m]. */
const WEEK = [[0, 18.15], [60, 18.4], [120, 18.35]] as const;
const MONTHS = [18.2, 18.4, 18.35, 18.1, 17.8, 17.6, 17.4, 17.3, 17.3, 17.5, 17.8, 18, 18.2] as const;

/** The water table where the ground stands so much higher than at the foot [m]. */
function tableAt(atFoot: number, up: number): number {
  return atFoot + slope.tableFall * up;
}

/** The water table of the lesson's storm at a time [s] where the ground stands `up` over the foot [m]. */
export function lessonTable(time: number, up: number): number {
  return tableAt(seriesLevel({ time: WEEK.map(([hours]) => hours * 3600), level: WEEK.map(([, level]) => level) }, time), up);
}

/** The lesson's one storm, 58 mm in a day, at a state: for the four days that the page shows. */
export function lessonRun(state: LessonState): Run {
  return settledRun(readSite(lessonFile(state)), designStorm({ pattern: "nrcs-ii", depth: "58 mm" }), { until: `${LESSON_HOURS} h` });
}

export const LESSON_HOURS = 96;

/** What follows a place and its causes, besides the water in the pit. */
export interface LessonAnswers {
  /** water over the pit's floor: before the rain, at its highest, and 48 h after the rain began [m] */
  readonly start: number;
  readonly peak: number;
  readonly day3: number;
  /** rain that the works have room for before it begins [m] */
  readonly room: number;
  /** rise of the water table at the house's wall by what soaks away in the four days, spread evenly over them [m] */
  readonly rise: number;
  readonly wall: WaterAtWall | null;
}

/** How high the lesson's ground is kept damp over the water table: as fine sand [m]. */
export const LESSON_DAMP: number = capillaryRise("fine sand").high;

/**
 * Rise of the water table beside the lesson's pit by what soaks away in the four days, spread evenly over them [m]: Hantush's mound,
 * linear, in a saturated thickness of 4 m, 36 mm/h and a yield of 0.12, as in a sandy loam (assumed).
 *
 * @param away  from the pit's middle, along the slope [m]
 */
export function lessonRise(run: Run, away: number): number {
  const { chamberBank: bank } = run.site;
  return moundRiseLinear({
    rechargeRate: run.ledger.bankSeepage / (bank.length * bank.width * run.until), halfLength: bank.length / 2, halfWidth: bank.width / 2,
    hydraulicConductivity: 0.036 / 3600, thickness: 4, specificYield: 0.12, time: run.until, x: away, y: 0,
  });
}

/** The answers of a run of the lesson. */
export function lessonAnswers(run: Run, { place, groundwater }: LessonState): LessonAnswers {
  const { chamberBank: bank } = run.site;
  const depth = (time: number): number => Math.max(0, run.level("chamberBank", time) - bank.floor);
  const rise = lessonRise(run, slope.wall - place * slope.run);
  return {
    start: depth(0), peak: Math.max(0, run.peaks["chamberBank"]!.level - bank.floor), day3: depth(48 * 3600), room: rainToFill(run.site).rain ?? 0, rise,
    wall: groundwater ? waterAtWall({
      groundwaterLevel: lessonTable(run.until, slope.house), rise, slabLevel: slope.cellar, capillaryRise: LESSON_DAMP,
    }) : null,
  };
}

/**
 * The share of a year in which water stands in the pit, 2 cm and more over its floor: one invented year of rain with a water table
 * that is highest in February and lowest in September.
 */
export function lessonYear(state: LessonState): number {
  const up = state.place * slope.perPlace;
  const file = { ...lessonFile(state) };
  if (state.groundwater) {
    file["groundwater"] = { level: MONTHS.map((level, month) => ({ time: `${(month * 365) / 12} day`, level: `${tableAt(level, up).toFixed(4)} m` })) };
  }
  const site = readSite(file);
  const rain = stochasticRain({ stormsPerYear: 60, meanDepth: "11 mm", meanDuration: "6 h", years: 1, seed: 22 });
  const run = simulate(site, rain, { until: YEAR });
  return timeAbove(run, "chamberBank", site.chamberBank.floor + 0.02) / YEAR;
}

/**
 * The share of the year wet at every place, with and without each cause: `table[place][groundwater][runOn]`, each run made once.
 * It takes some seconds, and is made when the page is.
 */
export function lessonYears(): number[][][] {
  const known = new Map<string, number>();
  const of = (place: number, groundwater: boolean, runOn: boolean): number => {
    // run-on reaches the pit at the foot alone, and without a water table every higher place is like any other
    const [at, runs] = [groundwater || place === 0 ? place : 1, runOn && place === 0];
    const key = `${at} ${groundwater} ${runs}`;
    const share = known.get(key) ?? Number(lessonYear({ place: at, groundwater, runOn: runs }).toFixed(3));
    known.set(key, share);
    return share;
  };
  const switches = [false, true];
  return Array.from({ length: TOP_PLACE + 1 }, (_, place) =>
    switches.map((groundwater) => switches.map((runOn) => of(place, groundwater, runOn))));
}

/**
 * A state and an hour as a code of four signs, short enough to be called across a room: the place as a letter from the foot up,
 * the causes (1 none, 2 groundwater, 3 run-on, 4 both), the hour.
 *
 * @example lessonCode({ place: 0, groundwater: true, runOn: true }, 12); // => "A412"
 */
export function lessonCode({ place, groundwater, runOn }: LessonState, hour: number): string {
  return `${LETTERS[place]!}${1 + (groundwater ? 1 : 0) + (runOn ? 2 : 0)}${String(Math.round(hour)).padStart(2, "0")}`;
}

const LETTERS = "ABCDEFGHIJK";

/**
 * The state of a code.
 *
 * @returns  null for what is no code
 * @example readLessonCode("a412"); // => { state: { place: 0, groundwater: true, runOn: true }, hour: 12 }
 */
export function readLessonCode(code: string): { readonly state: LessonState; readonly hour: number } | null {
  const found = /^([A-K])([1-4])(\d\d)$/.exec(code.trim().toUpperCase());
  if (found === null || Number(found[3]) > LESSON_HOURS) return null;
  const causes = Number(found[2]) - 1;
  return { state: { place: LETTERS.indexOf(found[1]!), groundwater: causes % 2 === 1, runOn: causes >= 2 }, hour: Number(found[3]) };
}
