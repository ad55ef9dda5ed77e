import { changedSite } from "../site/changedSite.ts";
import type { Pipe, Site } from "../site/site.ts";
import { InputError } from "../text/problem.ts";

/**
 * The same works at another place of the slope: every level of boxes, pit, trench and emitter is moved by a height, the ground
 * over them and the soil's layers with them, as layers follow the ground. What belongs to the lot stays: the water table, the
 * water outside the emitter (`tailwater`), the low spot and the levels to watch.
 *
 * @param height  up the slope, or down where it is negative [m]
 * @throws InputError  where a grate or an open way joins the works to the low spot: they cannot be moved from it
 */
export function movedWorks(site: Site, height: number): Site {
  if (height === 0) return site;
  const tie = tieToLowSpot(site);
  if (tie !== null) {
    const expected = "works that do not exchange water with the low spot, which stays where it is";
    throw new InputError("The works cannot be moved:", [{ where: tie.where, expected, got: tie.got }]);
  }
  const up = (level: number): number => level + height;
  const pipe = (each: Pipe): Pipe => ({ ...each, invert: up(each.invert), outletInvert: up(each.outletInvert) });
  const { settlingBoxes, chamberBank: bank, overflowTrench: trench, emitter, soil } = site;
  return changedSite(site, {
    settlingBoxes: settlingBoxes.map((box) => ({ ...box, floor: up(box.floor), rim: up(box.rim), outlet: pipe(box.outlet) })),
    chamberBank: { ...bank, floor: up(bank.floor), ground: up(bank.ground) },
    overflowTrench: trench && {
      ...trench, floor: up(trench.floor), ground: { high: up(trench.ground.high), low: up(trench.ground.low) }, inlet: pipe(trench.inlet),
    },
    emitter: emitter && {
      ...emitter,
      crest: up(emitter.crest),
      weepHole: emitter.weepHole && { ...emitter.weepHole, elevation: up(emitter.weepHole.elevation) },
    },
    soil: { ...soil, layers: soil.layers.map((layer) => ({ ...layer, top: up(layer.top) })) },
  });
}

/** Where the works are tied to the hollow of the lot; an emitter that runs into it can be moved. */
function tieToLowSpot({ settlingBoxes, chamberBank, overflowTrench, lowSpot }: Site): { where: string; got: string } | null {
  if (lowSpot !== null && lowSpot.grate !== null) return { where: "lowSpot.grate", got: "a grate over the pit" };
  const spilling = [
    ...settlingBoxes.map((box) => ["settlingBox", box] as const), ["chamberBank", chamberBank] as const, ["overflowTrench", overflowTrench] as const,
  ].find(([, body]) => body !== null && body.spillsTo !== null);
  return spilling === undefined ? null : { where: `${spilling[0]}.spillsTo`, got: '"lowSpot"' };
}
