import { moundRiseLinear } from "../ground/mound/moundRise.ts";
import type { MoundPit, MoundPoint } from "../ground/mound/moundPit.ts";
import { greatestOf } from "../numerics/extremes.ts";
import type { Ledger } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { FLOWS_BEFORE, LEDGER_ENTRIES } from "./lotFlows.ts";

/** Entries of a ledger, added up over lots [m3]. */
export type SummedLedger = Readonly<Record<keyof Ledger, number>>;

/** What one gutter or low spot is sent by the lids that run to it. */
export interface Gutter {
  readonly name: string;
  /** places of its lots in the table */
  readonly lots: readonly number[];
  /** mean flow of all lids together in each stretch of time [m3/s] */
  readonly flow: Float64Array;
  readonly peak: number;
  /** the middle of the stretch in which it is greatest [s]; null where no lid opens */
  readonly peakTime: number | null;
  /** what the single greatest lid flow of the same stretches adds up to if none were spread in time [m3/s] */
  readonly atOnce: number;
  readonly volume: number;
  /** what the runs' own ledgers say their emitters let out, less `volume` [m3]: what the stretches leave out */
  readonly difference: number;
  readonly ledger: SummedLedger;
  /** lots whose run could not go on, in none of the sums */
  readonly stopped: number;
}

/** A row of `lotFlowCases`, and the lot it is of. */
export interface LotFlow {
  readonly lot: number;
  readonly values: Float64Array;
}

/**
 * Adds up the lids that run to one gutter or low spot, and the ledgers of their lots. Nothing is routed along the street: flows of one
 * time are added as they leave the lids, which is on the safe side of a peak.
 *
 * @param until  the end of the runs [s], which their stretches divide evenly
 */
export function gutters(
  flows: readonly LotFlow[],
  runsTo: (lot: number) => string | null,
  { until, lidBins }: { readonly until: number; readonly lidBins: number },
): Gutter[] {
  const byName = new Map<string, LotFlow[]>();
  for (const flow of flows) {
    const name = runsTo(flow.lot);
    if (name !== null) byName.set(name, [...(byName.get(name) ?? []), flow]);
  }
  const width = until / lidBins;
  return [...byName]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, members]) => {
      const ran = members.filter(({ values }) => values[FLOWS_BEFORE - 1] === 0);
      const volumes = Array.from({ length: lidBins }, (_, bin) => ran.reduce((sum, { values }) => sum + values[FLOWS_BEFORE + bin]!, 0));
      const flow = Float64Array.from(volumes, (each) => each / width);
      const peak = lidBins === 0 ? 0 : Math.max(0, greatestOf(flow));
      const volume = volumes.reduce((sum, each) => sum + each, 0);
      const ledger = summed(ran);
      return {
        name,
        flow,
        peak,
        volume,
        ledger,
        lots: members.map(({ lot }) => lot),
        peakTime: peak === 0 ? null : (flow.indexOf(peak) + 0.5) * width,
        atOnce: ran.reduce((sum, { values }) => sum + greatestOf(values.subarray(FLOWS_BEFORE, FLOWS_BEFORE + lidBins)) / width, 0),
        difference: ledger.emitter - volume,
        stopped: members.length - ran.length,
      };
    });
}

function summed(flows: readonly LotFlow[]): SummedLedger {
  return Object.fromEntries(
    LEDGER_ENTRIES.map((entry, i) => [entry, flows.reduce((sum, { values }) => sum + values[1 + i]!, 0)]),
  ) as SummedLedger;
}

/** A pit of a street, for the mounds that pits make under one another. */
export interface StreetPit {
  readonly lot: number;
  /** of its middle [m] */
  readonly x: number;
  readonly y: number;
  readonly pit: MoundPit;
  /** what it soaks away in each of equal stretches of time [m3] */
  readonly soaked: ArrayLike<number>;
}

/** What the neighbours of a pit do to the water table under it. */
export interface NeighbourRise {
  readonly lot: number;
  readonly neighbours: readonly number[];
  /** the greatest rise that the neighbours' mounds add up to under the middle of its pit [m], and when [s] */
  readonly rise: number;
  readonly time: number;
  /** which the water under the pit's middle would rise by its own soaking alone, at that time [m] */
  readonly own: number;
}

/**
 * The mounds of pits within reach of one another, added up under the middle of each: Hantush's linear law adds over pits and over time. A
 * pit's rate is even within each stretch; a stretch's part is the law's rise of a recharge begun at its start less that of one begun at its
 * end. Sides lie along x and y. The runs themselves do not feel the neighbours: this is what would be added, to the first order.
 *
 *   s(t_n) = sum over pits j, stretches m of w_j,m [S_j(t_n - t_m-1) - S_j(t_n - t_m)],   S_j(t) by `moundRiseLinear`
 *
 * @param until   the end of the runs [s]
 * @param within  [m], between the middles of two pits
 * @source  superposition of the linearised law of Hantush, Water Resources Research 3(1), 1967
 */
export function neighbourRises(
  pits: readonly StreetPit[],
  { until, within }: { readonly until: number; readonly within: number },
): NeighbourRise[] {
  const near = neighbourFinder(pits, within);
  return pits.flatMap((pit): NeighbourRise[] => {
    const others = near(pit);
    if (others.length === 0) return [];
    const bins = pit.soaked.length;
    const rise = new Float64Array(bins);
    for (const other of others) addRise(rise, other, { x: pit.x - other.x, y: pit.y - other.y }, until);
    const at = rise.reduce((best, each, i) => (each > rise[best]! ? i : best), 0);
    const own = new Float64Array(bins);
    addRise(own, pit, { x: 0, y: 0 }, until);
    return [{ lot: pit.lot, neighbours: others.map(({ lot }) => lot), rise: rise[at]!, time: ((at + 1) * until) / bins, own: own[at]! }];
  });
}

/** Adds a pit's mound at a place, at the end of each stretch. */
function addRise(rise: Float64Array, { pit, soaked }: Pick<StreetPit, "pit" | "soaked">, point: MoundPoint, until: number): void {
  const bins = soaked.length;
  const width = until / bins;
  const area = 4 * pit.halfLength * pit.halfWidth;
  const risen = Array.from(
    { length: bins + 1 },
    (_, n) => moundRiseLinear({ ...pit, ...point, rechargeRate: 1e-6, time: n * width }) / 1e-6,
  );
  for (let m = 0; m < bins; m++) {
    const rate = soaked[m]! / (area * width);
    if (rate === 0) continue;
    for (let n = m; n < bins; n++) rise[n]! += rate * (risen[n - m + 1]! - risen[n - m]!);
  }
}

/** Pits within a distance, by squares of that side, so that a town's pits are not each held against all others. */
function neighbourFinder(pits: readonly StreetPit[], within: number): (pit: StreetPit) => StreetPit[] {
  const squares = new Map<string, StreetPit[]>();
  const squareOf = (value: number): number => Math.floor(value / within);
  for (const pit of pits) {
    const key = `${squareOf(pit.x)} ${squareOf(pit.y)}`;
    squares.set(key, [...(squares.get(key) ?? []), pit]);
  }
  return (pit) =>
    [-1, 0, 1]
      .flatMap((i) => [-1, 0, 1].flatMap((j) => squares.get(`${squareOf(pit.x) + i} ${squareOf(pit.y) + j}`) ?? []))
      .filter((other) => other !== pit && Math.hypot(other.x - pit.x, other.y - pit.y) <= within);
}

/** The pit of a site as its mound knows it; null where the file says nothing of the aquifer. */
export function moundPitOf({ chamberBank, groundwater: { mounding } }: Site): MoundPit | null {
  if (mounding === null) return null;
  return {
    halfLength: chamberBank.length / 2,
    halfWidth: chamberBank.width / 2,
    hydraulicConductivity: mounding.conductivity,
    thickness: mounding.thickness,
    specificYield: mounding.specificYield,
  };
}
