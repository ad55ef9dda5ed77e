import { leastOf } from "../numerics/extremes.ts";
import type { TimedLevel } from "../ground/seriesLevel.ts";
import type { Site } from "../site/site.ts";
import { changedSite } from "../site/changedSite.ts";
import { keepNetwork, networkOf } from "../simulate/assemble.ts";
import { LAW, OUT, type Body, type Network, type Passage } from "../simulate/network.ts";
import { openHoleRow, scaleHollowSeepage, scaleWeepHole, smoothRoot } from "../works/passageRows.ts";
import { scaleSeepage } from "../works/seepage.ts";

/** How works that were built may differ from those that were drawn. */
export interface AsBuilt {
  /** all conductivities of the soil times this */
  readonly soil: number;
  /** the pit's floor times this again: 0 sealed, 1 as designed, more where it is more open than the sides */
  readonly floor: number;
  /** the groundwater under everything, one level or a series [m]; null: the design's */
  readonly waterTable: number | TimedLevel | null;
  /** a hole in the pit's side, through which water is lost for good; null: none */
  readonly leak: Leak | null;
}

/**
 * A hole that lets water out above its level z, as an orifice does: Q = flow sqrt(H - z)/sqrt(full - z), made smooth at rest.
 * It is named by its flow at a level that was measured, not by its size, which would hang on z.
 */
export interface Leak {
  /** of which body; the pit where missing */
  readonly from?: "bank" | "trench";
  readonly level: number;
  /** [m3/s] when the water stands at `full` */
  readonly flow: number;
  readonly full: number;
}

/**
 * The works of a site as they may have been built, for runs only: what differs is in the network that is stepped and not in the
 * site's own data, since a floor better than the sides or a hole in the side have no place there.
 *
 * The numbers of a seepage row are straight lines in the floor's open share, so a row for any floor lies on the line through
 * the design's and the sealed one's.
 */
export function asBuiltWorks(site: Site): (asBuilt: AsBuilt) => Site {
  const design = networkOf(site);
  const sealed = networkOf(changedSite(site, { chamberBank: { ...site.chamberBank, openFloorShare: 0 } }));
  const bank = design.bodies.findIndex(({ kind }) => kind === "bank");
  const row = design.passages.find(({ law, from }) => law === LAW.seepage && from === bank)!.row;
  const next = leastOf([design.table.length, ...design.passages.map((passage) => passage.row).filter((start) => start > row)]);
  return ({ soil, floor, waterTable, leak }) => {
    const table = design.table.slice();
    for (let at = row; at < next; at++) table[at] = sealed.table[at]! + floor * (design.table[at]! - sealed.table[at]!);
    for (const { law, row: start } of design.passages) {
      if (law === LAW.seepage) scaleSeepage(table, start, soil);
      else if (law === LAW.hollowSeepage) scaleHollowSeepage(table, start, soil);
      else if (law === LAW.weepHole) scaleWeepHole(table, start, soil);
    }
    const groundwater = typeof waterTable === "number" ? { time: [0], level: [waterTable] } : waterTable;
    const bodies = groundwater === null ? design.bodies
      : design.bodies.map((body) => (body.kind === "box" ? body : { ...body, groundwater }));
    const built = Object.freeze({ ...site });
    const network = { ...design, table, bodies };
    keepNetwork(built, leak === null ? network : withLeak(network, leak.from === "trench" ? design.bodies.findLastIndex(({ kind }) => kind === "trench") : bank, leak));
    return built;
  };
}

/** The passage stands in the order of the laws, before the emitter; the pit has a corner where the hole begins. */
function withLeak(network: Network, bank: number, { level, flow, full }: Leak): Network {
  const { passages, table, emitter, bodies } = network;
  const at = passages.filter(({ law }) => law <= LAW.weepHole).length;
  const hole: Passage = { name: "leak", law: LAW.weepHole, from: bank, to: OUT, ledger: "weep", row: table.length };
  return {
    passages: passages.toSpliced(at, 0, hole),
    table: Float64Array.of(...table, ...openHoleRow(level, flow / smoothRoot(full - level))),
    emitter: emitter && { ...emitter, passage: emitter.passage + 1 },
    bodies: bodies.map((body, b) => (b === bank ? withCorner(body, level) : body)),
  };
}

function withCorner(body: Body, level: number): Body {
  return { ...body, corners: Float64Array.from(new Set([...body.corners, body.volume(level)])).sort() };
}
