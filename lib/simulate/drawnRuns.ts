import type { TimedLevel } from "../ground/seriesLevel.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Site } from "../site/site.ts";
import { bankStorage } from "../works/bankStorage.ts";
import { levelAt, type StorageCurve, straightTables, volumeOf } from "../works/storageTable.ts";
import { networkOf, withCorners } from "./assemble.ts";
import { segmentStorage } from "./assembleTrench.ts";
import { withKernel } from "./kernel.ts";
import { ledgerOf, runSums } from "./ledger.ts";
import { begin, marched, marchOn, outsetIn } from "./march.ts";
import { moundOf } from "./mound.ts";
import { type Body, LAW, type Network, type Passage } from "./network.ts";
import { pitWater, type PitWater } from "./pitWater.ts";
import type { Run, RunBody } from "./run.ts";
import { runOptions, type SimulateOptions } from "./runOptions.ts";
import { stormLines } from "./stormRuns.ts";
import { lentRecorder } from "./trajectory.ts";
import { scaledSoil, shiftedLevels } from "./variedSite.ts";

/** What studies keep of a run. */
export interface RunFigures extends Pick<Run, "firings" | "openTime" | "emitted" | "spilled" | "seeped"> {
  readonly bodies: readonly RunBody[];
  /** highest level of each body [m] */
  readonly peaks: readonly number[];
  /** what ran in [m3] */
  readonly inflow: number;
  readonly pit: PitWater;
}

/**
 * One storm on works that are drawn again and again, as `simulate` runs it from rest without settling, but for what no study asks: what
 * differs from run to run is written into an instance of the kernel, and no Site, no events and no notes are made.
 *
 * @param options  those of `simulate`, but `settle`
 * @returns        a run of what is drawn, its rain times that factor; the next run replaces it
 * @throws StepFailure  from a run that cannot go on
 */
export function drawnRuns(
  site: Site, rain: Hyetograph, options: Omit<SimulateOptions, "settle">,
): (draw: Draw, stormFactor: number) => RunFigures {
  const given = networkOf(site);
  const networkFor = drawnWorks(site);
  const storms = stormLines(site, rain);
  const recorderFrom = lentRecorder();
  let known: { readonly of: object; readonly options: ReturnType<typeof runOptions> } | null = null;
  return (draw, stormFactor) => {
    const network = networkFor(draw);
    const inflows = storms.corners(stormFactor);
    if (known?.of !== inflows) known = { of: inflows, options: runOptions(options, given, inflows) };
    const outset = outsetIn(network, moundOf(given, site, known.options.until), inflows, known.options);
    const { start, until, mound } = outset;
    const line = storms.line(outset, stormFactor);
    return withKernel((kernel) => {
      const record = recorderFrom(start);
      begin(kernel, outset, line);
      marchOn(kernel, line, 0, line.corners.length - 1, record.add);
      const { sums, firings, tops, end } = marched(kernel);
      const ledger = ledgerOf(network, sums, start, end);
      return {
        bodies: network.bodies,
        peaks: network.bodies.map(({ storage }, b) => levelAt(storage, tops[b]!.volume)),
        inflow: ledger.inflow,
        pit: pitWater({ network, trajectory: record.trajectory(), tops, mound, until }),
        firings,
        ...runSums(network, sums, ledger, firings, until),
      };
    });
  };
}

/** What differs in one of many runs from the works as given. */
interface Draw {
  /** the conductivities of all soil times this, at the trench and its weep hole times the second */
  readonly conductivityFactor: number;
  readonly trenchSoilFactor: number;
  /** up [m]: every groundwater level, the emitter's crest, the outlets of the boxes, the trench's inlet */
  readonly groundwaterShift: number;
  readonly emitterShift: number;
  readonly boxOutletShift: number;
  readonly inletShift: number;
  /** on the stone's porosity */
  readonly porosityShift: number;
}

/**
 * The networks of a site's works with what is drawn, without making a Site and its network each time: the numbers of laws that differ are
 * written, and the tables of bodies whose stone differs follow from two that are made once.
 */
function drawnWorks(site: Site): (draw: Draw) => Network {
  const given = networkOf(site);
  const ways = given.passages.flatMap((passage) => crestWays(site, given, passage));
  const stones = given.bodies.map((body, b) => stoneOf(site, given, body, b));
  return (draw) => {
    const table = scaledSoil(given, draw.conductivityFactor, draw.trenchSoilFactor);
    for (const { row, level } of ways) table[row] = level(draw);
    const { porosityShift, boxOutletShift, groundwaterShift, emitterShift, inletShift } = draw;
    const isBuiltSo = porosityShift === 0 && boxOutletShift === 0 && emitterShift === 0 && inletShift === 0;
    if (isBuiltSo && groundwaterShift === 0) return { ...given, table };
    const shifted = shiftedLevels(groundwaterShift);
    const moved = ({ kind, groundwater }: Body): TimedLevel | null => (
      groundwaterShift === 0 || kind === "box" ? groundwater : shifted(groundwater));
    if (isBuiltSo) return { ...given, table, bodies: given.bodies.map((body) => ({ ...body, groundwater: moved(body) })) };
    // a list of its own, for what is compiled of the bodies goes by it
    const passages = given.passages.slice();
    const bodies = given.bodies.map((body, b): Body => {
      const stone = porosityShift === 0 ? null : stones[b]!;
      return withCorners({
        ...body,
        ...(stone === null ? {} : stone(porosityShift)),
        groundwater: moved(body),
        start: body.kind === "box" && boxOutletShift !== 0 ? (G) => body.start(G) + boxOutletShift : body.start,
      }, b, passages, table);
    });
    return { ...given, table, bodies, passages };
  };
}

/** Where in the table a level begins the row of a passage that may be built higher or lower, and that level. */
function crestWays(
  { emitter }: Site, { bodies, table }: Network, { law, from, row }: Passage,
): { readonly row: number; readonly level: (draw: Draw) => number }[] {
  const crest = table[row]!;
  if (law === LAW.emitter) {
    const { crest: sill, tailwater } = emitter!;
    return [{ row, level: ({ emitterShift }) => Math.max(sill + emitterShift, tailwater ?? -Infinity) }];
  }
  if (law !== LAW.pipe) return [];
  if (bodies[from]!.kind === "box") return [{ row, level: ({ boxOutletShift }) => crest + boxOutletShift }];
  return bodies[from]!.kind === "bank" ? [{ row, level: ({ inletShift }) => crest + inletShift }] : [];
}

/** Table and volumes of a body with a stone of another porosity; null where it has no stone. */
function stoneOf(site: Site, { bodies }: Network, body: Body, b: number): ((shift: number) => Pick<Body, "storage" | "volume">) | null {
  const { chamberBank: bank, overflowTrench: trench } = site;
  const segment = bodies.slice(0, b).filter(({ kind }) => kind === "trench").length;
  const curveOf = body.kind === "bank" ? (porosity: number) => bankStorage({ ...bank, stone: { ...bank.stone, porosity } })
    : body.kind === "trench" ? (porosity: number) => segmentStorage({ ...trench!, stone: { ...trench!.stone, porosity } }, segment) : null;
  if (curveOf === null) return null;
  const porosity = (body.kind === "bank" ? bank : trench!).stone.porosity;
  const curves = [curveOf(porosity), curveOf(porosity + APART)] as const;
  const tableAt = straightTables(curves);
  // of the levels that stay where they are
  const known = new Map([...body.cornerLevels].map((level) => [level, curves.map((curve) => volumeOf(curve, level)) as [number, number]]));
  return (shift) => {
    let own: StorageCurve | null = null;
    return {
      storage: tableAt(shift / APART),
      volume(level) {
        const volumes = known.get(level);
        return volumes === undefined ? volumeOf(own ??= curveOf(porosity + shift), level)
          : volumes[0] + (shift / APART) * (volumes[1] - volumes[0]);
      },
    };
  };
}

/** porosities between which tables are straight lines: any two would do */
const APART = 0.1;
