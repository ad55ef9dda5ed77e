/**
 * What comes off the roof besides water, how it settles and clogs, how often it is taken out, and the cold; null where the file
 * does not say, and `upkeepFigures` puts a stated figure in its place.
 */
export interface Upkeep {
  /** what a reader should know of these figures */
  readonly about: string;
  /** rain of a year [m] */
  readonly rainPerYear: number | null;
  /** fine solids in the runoff, mean of all events [kg/m3] */
  readonly fines: number | null;
  /** grains of the fine solids by mass, shares of 1 */
  readonly fineGrains: readonly GrainClass[] | null;
  /** grit of a year on a plan area [kg/m2] */
  readonly gritPerYear: number | null;
  readonly gritGrains: readonly GrainClass[] | null;
  /** leaves of a year on a plan area, dry [kg/m2] */
  readonly leavesPerYear: number | null;
  /** speed at which soaked leaves sink [m/s] */
  readonly leafSettling: number | null;
  /** share of the leaves that a gutter guard keeps off the water */
  readonly gutterGuard: number | null;
  /** dry mass in a volume of what lies in the sump [kg/m3] */
  readonly fineDensity: number | null;
  readonly gritDensity: number | null;
  readonly leafDensity: number | null;
  /** of the water that settles [degC] */
  readonly waterTemperature: number | null;
  /** basins in series that a box mixes like, Hazen's n of 1 or more */
  readonly basins: number | null;
  /** share of the sump above which what lies there is stirred up */
  readonly fillingLimit: number | null;
  /** share of what lies above that limit which storms wash on in a year */
  readonly washedOn: number | null;
  /** time between two cleanings of the boxes [s]; null: by the filling limit */
  readonly cleanEvery: number | null;
  /** of the cake that fine solids and leaves lay on the pit's floor: dry mass in a volume [kg/m3], and conductivity [m/s] */
  readonly cakeDensity: number | null;
  readonly cakeConductivity: number | null;
  /** freezing index of the air, the sum of its degree days below 0 degC [degC s]; null: no frost is looked at */
  readonly freezingIndex: number | null;
  /** freezing index of the ground's surface over that of the air */
  readonly surfaceFactor: number | null;
  /** thermal conductivity of the frozen soil [W/(m K)], its dry density [kg/m3] and its water as a share of dry mass */
  readonly frozenConductivity: number | null;
  readonly soilDryDensity: number | null;
  readonly soilMoisture: number | null;
  /** of the water in the soil in the cold months [degC] */
  readonly coldWater: number | null;
}

/** Grains of one diameter [m], and their share of the mass. */
export interface GrainClass {
  readonly diameter: number;
  readonly share: number;
}

/** What a file alone can tell, for which nothing is taken where it is missing. */
type OwnKey = "about" | "cleanEvery" | "freezingIndex";

export type UpkeepKey = Exclude<keyof Upkeep, OwnKey>;

/** The figures of `Upkeep` with none missing but those that only the file can tell. */
export type UpkeepFigures = { readonly [Key in UpkeepKey]: NonNullable<Upkeep[Key]> };
