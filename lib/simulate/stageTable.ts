import { seriesLevel } from "../ground/seriesLevel.ts";
import type { Site } from "../site/site.ts";
import { networkOf } from "./assemble.ts";
import { withKernel } from "./kernel.ts";
import { LAW } from "./network.ts";
import type { BodyKind } from "./run.ts";

/** What a body holds and passes on with its water at a level. */
export interface StageRow {
  /** [m] */
  readonly level: number;
  /** [m3] */
  readonly volume: number;
  /** into the soil, groundwater as at the start of a run, negative where it comes in [m3/s]; null for a body without soil */
  readonly seepage: number | null;
  /** through each way out, the next body dry and the lid open [m3/s], in the order of `StageTable.ways` */
  readonly discharge: readonly number[];
}

/** Stage against storage, seepage and discharge of one body. */
export interface StageTable {
  readonly body: string;
  readonly kind: BodyKind;
  /** the passages that take water from it, as a run names them, but the soil */
  readonly ways: readonly string[];
  readonly rows: readonly StageRow[];
}

/**
 * Tables of every body of a site from its floor to the ground over it: what the stepper works with, by its own laws.
 *
 * @param count  rows of a body, evenly spread, 2 or more
 */
export function stageTables(site: Site, count: number = 12): StageTable[] {
  const network = networkOf(site);
  const top = { box: (name: string) => site.settlingBoxes.find((box) => box.name === name)!.rim, bank: () => site.chamberBank.ground,
    trench: () => site.overflowTrench!.lowestGround, pipe: () => site.overflowTrench!.lowestGround, lowSpot: () => site.lowSpot!.lip };
  return withKernel((kernel) => {
    kernel.load({ network, blocked: NOTHING_BLOCKED, mound: null });
    return network.bodies.map(({ name, kind, cornerLevels, volume, groundwater }, b): StageTable => {
      const floor = cornerLevels[0]!;
      const upper = top[kind](name);
      const own = network.passages.map((passage, p) => ({ ...passage, p })).filter(({ from }) => from === b);
      const soil = own.find(({ law }) => law === LAW.seepage || law === LAW.hollowSeepage);
      const ways = own.filter(({ law }) => law !== LAW.seepage && law !== LAW.hollowSeepage);
      const table = seriesLevel(groundwater, 0);
      return {
        body: name, kind, ways: ways.map((way) => way.name),
        rows: Array.from({ length: count }, (_, i): StageRow => {
          const level = floor + (i / (count - 1)) * (upper - floor);
          return {
            level, volume: volume(level), seepage: soil === undefined ? null : kernel.flowOf(soil.p, level, table),
            discharge: ways.map(({ p, law }) => kernel.flowOf(p, level, law === LAW.weepHole ? table : DRY)),
          };
        }),
      };
    });
  });
}

const NOTHING_BLOCKED: ReadonlySet<number> = new Set();
/** A level below every crest: what lies beyond holds nothing back [m]. */
const DRY = -1e6;
