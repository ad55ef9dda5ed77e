import { drainTime, type DrainTime } from "../simulate/drainTime.ts";
import { type Exit, exits, volumeOut } from "../simulate/exits.ts";
import { bodiesOf, type Run } from "../simulate/run.ts";
import { greatestOf } from "../numerics/extremes.ts";
import { overLowGround } from "../site/trenchGround.ts";

/** What a storm does in one year of the works. */
export interface YearAnswer {
  /** the storm's name */
  readonly storm: string;
  /** `drainTime`: when the pit was last full, and from then to half empty and to its rest, however long after the run [s]; null: never */
  readonly full: number;
  readonly half: number | null;
  readonly empty: number | null;
  /** what it comes back to, and why it never does; null where it holds no water to speak of, or where it does */
  readonly rest: DrainTime["rest"] | null;
  readonly never: DrainTime["never"];
  /** highest water in the pit, and in the box nearest to its rim [m] */
  readonly pitPeak: number;
  readonly boxPeak: number;
  /** let out by the emitter, and over rims, grounds and a grate: `Run.spilled` [m3] */
  readonly emitter: number;
  readonly surface: number;
  /** the place other than the emitter at which most comes to the surface; null where nothing does */
  readonly outAt: Pick<Exit, "kind" | "name"> | null;
  /** how far the trench stands over the low end of a ground that slopes, held by soil and turf [m]; 0 where it does not */
  readonly overTrench: number;
  /** over which of trench and pit pressure lifts the turf, so that water comes out there whatever the run made of it */
  readonly lifted: readonly ("trench" | "pit")[];
  /** end of the run [s] */
  readonly until: number;
}

/** The answers of a run that the years change, without the run itself, so that forty of them take no room. */
export function yearAnswer(storm: string, run: Run): YearAnswer {
  const { peaks, emitted, spilled, site, until } = run;
  const { full, half, empty, rest, never } = drainTime(run) ?? { full: 0, half: 0, empty: 0, rest: null, never: null };
  const trenches = bodiesOf(run, "trench");
  const lifts = (names: readonly string[]): boolean => run.events.some(({ kind, body }) => kind === "uplift" && names.includes(body));
  const boxes = site.settlingBoxes.map(({ name, rim }) => ({ level: peaks[name]!.level, spare: rim - peaks[name]!.level }));
  return {
    storm, full, half, empty, rest, never, until,
    pitPeak: peaks.chamberBank!.level,
    boxPeak: boxes.reduce((worst, box) => (box.spare < worst.spare ? box : worst)).level,
    emitter: emitted,
    surface: spilled,
    outAt: spilled > 0 ? placeOut(run) : null,
    overTrench: trenches.length === 0 ? 0 : overLowGround(greatestOf(trenches.map((name) => peaks[name]!.level)), site.overflowTrench),
    lifted: [...lifts(trenches) ? ["trench" as const] : [], ...lifts(bodiesOf(run, "bank")) ? ["pit" as const] : []],
  };
}

function placeOut(run: Run): YearAnswer["outAt"] {
  const edges = exits(run.site).filter(({ kind }) => kind !== "emitter" && kind !== "lowSpotLip" && kind !== "watchLevel");
  const places = edges.map((exit) => ({ exit, volume: volumeOut(run, exit) })).filter(({ volume }) => volume > 0);
  if (places.length === 0) return null;
  const { kind, name } = places.reduce((most, each) => (each.volume > most.volume ? each : most)).exit;
  return { kind, name };
}
