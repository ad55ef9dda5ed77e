/**
 * Densities, bulking, loads and allowances for the order list; null where the file does not say, and `materialFigures` puts
 * common practice in its place and says so.
 */
export interface Materials {
  /** what a reader should know of these figures */
  readonly about: string;
  /** of the stone as it lies, voids included [kg/m3] */
  readonly stoneDensity: number | null;
  /** ordered over what is measured, a ratio */
  readonly stoneSpare: number | null;
  readonly stoneLoad: Load | null;
  /** of the soil in the ground, as it is dug [kg/m3] */
  readonly soilDensity: number | null;
  /** loose spoil over the same soil in the ground, a ratio of volumes of 1 or more */
  readonly bulking: number | null;
  readonly spoilLoad: Load | null;
  /** lap at each joint of the fabric, and the width of its roll [m] */
  readonly fabricLap: number | null;
  readonly fabricRoll: number | null;
  /** room to work on each side of a settling box [m] */
  readonly workingSpace: number | null;
  /** thickness of a settling box's wall and floor, and of what it stands on [m] */
  readonly boxWall: number | null;
  readonly boxBase: number | null;
  /** width of the trench of a pipe, and thickness of the bed under the pipe [m] */
  readonly pipeTrenchWidth: number | null;
  readonly pipeBed: number | null;
  /** length in which pipes are sold [m] */
  readonly pipeLength: number | null;
  /** thickness of turf over everything dug [m], 0 for none */
  readonly turfThickness: number | null;
}

/** What one lorry brings or takes: weighed [kg], or measured loose [m3]. */
export type Load = { readonly mass: number } | { readonly volume: number };

/** The figures of `Materials` with none missing. */
export type MaterialFigures = { readonly [Key in MaterialKey]: NonNullable<Materials[Key]> };

export type MaterialKey = Exclude<keyof Materials, "about">;
